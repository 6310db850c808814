"""What the screen says, as text: pure functions from the log and the messages to lines.

In: nouns. Out: `rich` text and plain strings. Decides nothing that the log does not say.
"""

from __future__ import annotations

from rich.text import Text

from notebook.documents.bench_lines import entry_line
from notebook.documents.words import entry_words, part_name
from notebook.entries import Correction, Entry, PhotoCue
from notebook.errors import one_line
from notebook.nouns import Log, Part, Remark
from notebook.screen.block_letters import block_lines

UNSURE_BELOW = 0.4
_FIRST_KINDS = ("finding", "measurement", "disposition", "decision", "fastener", "storage", "mileage", "step", "mark", "caution", "tip", "tool", "promise", "photo", "correction")  # fmt: skip


def main_entry(remark: Remark) -> Entry | None:
    """Give the entry that is shown largest."""
    standing = [e for e in remark.entries if not e.struck]
    return min(standing, key=lambda e: _FIRST_KINDS.index(e.kind), default=None)


def large_words(remark: Remark) -> str:
    """Give what is written in block letters: the main entry in words, else what was said."""
    entry = main_entry(remark)
    if entry is None:
        return one_line(remark.tidied or remark.text)
    if isinstance(entry, (PhotoCue, Correction)) or getattr(entry, "component", None) is None:
        return one_line(entry_words(entry))
    return one_line(f"{part_name(entry)} {entry_words(entry)}")


def last_remark_text(remark: Remark, width: int, height: int) -> Text:
    """Write the last remark: block letters, what was said, what was understood."""
    under = [f'"{one_line(remark.tidied or remark.text)}"']
    if remark.doubt:
        under.append(f"? {one_line(remark.doubt)}")
    under.extend(understood_line(e) for e in remark.entries)
    room = max(1, (height - min(len(under), 5)) // 3)
    lines, whole = block_lines(large_words(remark), width, min(room, 3))
    out = Text()
    out.append("\n".join(lines), "bold")
    if not whole:
        out.append(" ...")
    for n, line in enumerate(under):
        out.append("\n")
        out.append(line, "italic" if n == 0 else "bold" if line.startswith(("?", "~")) else "")
    return out


def understood_line(entry: Entry) -> str:
    """Say what was understood, its doubt by word and sign."""
    line = entry_line(entry)
    if entry.doubt:
        return f"? {line}"
    return f"~ {line} (not sure)" if entry.confidence < UNSURE_BELOW else f"  {line}"


def log_by_part(log: Log) -> Text:
    """Write the running list of the job by part, the part spoken of last at the end; what was said last is marked."""
    by_id = {e.id: (e, r) for r in log.remarks for e in r.entries}
    last = log.remarks[-1].id if log.remarks else None
    out = Text()
    loose = [e for r in log.remarks for e in r.entries if e.kind in ("storage", "caution", "tip") and not e.struck]
    if loose:
        out.append("   where things are, cautions, tips\n", "bold")
        for entry in loose:
            out.append(f"      {one_line(entry_words(entry))}\n")
    for part in sorted(log.parts, key=lambda p: max((by_id[i][1].order for i in p.entry_ids if i in by_id), default=0)):
        said = [by_id[i] for i in part.entry_ids if i in by_id]
        if not said:
            continue
        order = f"{part.order:2} " if part.order is not None else "   "
        out.append(f"{order}{part_title(part)}\n", "bold")
        for entry, remark in said:
            sign = "?" if entry.doubt else "~" if entry.confidence < UNSURE_BELOW else ">" if remark.id == last else " "
            style = "strike" if entry.struck else "bold" if remark.id == last else ""
            out.append(f"    {sign} {one_line(entry_words(entry))}\n", style)
        for verdict in part.verdicts:
            out.append(f"    = {one_line(verdict)}\n")
    out.rstrip()
    return out if out.plain else Text("   Nothing yet. Just speak.")


def part_title(part: Part) -> str:
    """Name a part."""
    where = f" ({part.position})" if part.position else ""
    return one_line(f"{part.component}{where}")


def level_bar(db: float, width: int = 8) -> str:
    """Draw how loud it is, from -60 dB to -10 dB."""
    full = max(0, min(width, round((db + 60) / 50 * width)))
    return "\N{BLACK VERTICAL RECTANGLE}" * full + "\N{WHITE VERTICAL RECTANGLE}" * (width - full)
