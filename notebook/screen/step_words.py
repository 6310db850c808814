"""What the screen says of a step of the rebuild: pure functions from messages to text.

In: the messages of a rebuild. Out: `rich` text. Decides nothing that the messages do not say.
"""

from __future__ import annotations

from rich.text import Text

from notebook.documents.bench_lines import summed_lines
from notebook.errors import one_line
from notebook.jobs import bench_messages as told
from notebook.screen.block_letters import block_lines


def step_text(step: told.StepShown, width: int, height: int) -> Text:
    """Write a step: its title in block letters, then where things are, how it sat, fasteners, torque, cautions."""
    room = max(1, min(2, (height - min(len(step.lines), 6) - 1) // 3))
    lines, whole = block_lines(step.title, width, room)
    out = Text()
    out.append("\n".join(lines), "bold")
    if not whole:
        out.append(f" ...\n{one_line(step.title)}", "bold")
    for line in step.lines:
        out.append(f"\n{one_line(line)}", "bold" if line.startswith(("!", "?")) or "torque" in line else "")
    if not step.lines:
        out.append("\nnothing more was said of it")
    return out


def step_title(step: told.StepShown) -> str:
    """Say which step it is, and where it stands."""
    return f"step {step.number} of {step.of}: {step.state}"


def open_text(step: told.StepShown, most: int = 8) -> Text:
    """List the steps that are not done."""
    listed = [one_line(title) for title in step.still_open[:most]]
    more = [f"and {len(step.still_open) - most} more"] if len(step.still_open) > most else []
    return Text("\n".join([*listed, *more]) or "nothing")


def said_lines(said: told.StepSaid) -> str:
    """Write what was said beside the sheet: what agrees, then what differs."""
    return "\n".join([*(f"= {line}" for line in said.fine), *(f"? {line}" for line in said.doubts)])


def summed_title(summed: told.RebuildSummed) -> str:
    """Say how far it is, for block letters."""
    return f"{summed.done} of {summed.of} done"


def summed_text(summed: told.RebuildSummed) -> str:
    """Write what was not done, what is waited for, and what is left in the bags."""
    return "\n".join(line[7:] for line in summed_lines(summed)[1:])
