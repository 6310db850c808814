"""The `teardown` command: finds the sub-command, prints errors as one line, gives the exit status.

In: arguments. Out: exit status 0 done, 1 nothing found, 2 wrong use, 3 could not.
Imports nothing but click until a command is called.
"""

from __future__ import annotations

import importlib
import io
import os
import sys
from typing import NoReturn

import click

from notebook import __version__
from notebook.errors import COULD_NOT, WRONG_USE, NotebookError

COMMANDS = {
    "new": "Open a job.",
    "bench": "Listen at the bench: the live screen.",
    "add": "Take in sound, photos and remarks in words.",
    "log": "Show the log of a job.",
    "find": "Ask the archive a question, or look for words.",
    "look-up": "Look up a thread, a spanner, a key, a measured bolt, units or a torque.",
    "life": "Say how long a component lasts, over all jobs.",
    "share": "Give jobs to another bench as one file, or take them in.",
    "gaps": "Say what has not been said about a job.",
    "report": "Make the strip report for the owner.",
    "order": "List what is to be ordered, for one job or several.",
    "decide": "Show what is to be decided, or write a decision down.",
    "places": "Show what is in every bag, tray and shelf now.",
    "labels": "Print labels with a code for the bags and trays of a job.",
    "rebuild": "Make the rebuild sheet: the way back, to tick; say how far it is.",
    "outcome": "Note how a job turned out: it ran, or it came back.",
    "train": "Make the training pack of a kind of machine.",
    "photo": "Look at a photo, mark a copy of it, link it by hand.",
    "sync-card": "Show the time as a code that cameras picture.",
    "drop": "Let a phone take pictures straight into a job.",
    "mend": "Correct a remark or an entry.",
    "close": "Close a job, or open it again.",
    "hear": "Turn sound files into remarks, storing nothing.",
    "read": "Turn text into entries, storing nothing.",
    "reread": "Read a job again with the words known now; mends are kept.",
    "play": "Play the sound of a remark.",
    "backup": "Back the shop up into one file.",
    "restore": "Put a backup back as a shop folder.",
    "check": "Check the archive, and every sound and picture.",
    "forget": "Forget a job for good.",
    "export": "Write every job out as tables (CSV) or JSON.",
    "doctor": "Say what is there, what is missing and how to get it.",
    "demo": "Run the invented demonstration job from end to end.",
}


class _LazyGroup(click.Group):
    """A group that imports a command's module only when it is called."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"notebook.commands.{cmd_name.replace('-', '_')}").command
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.command(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="teardown")
def teardown() -> None:
    """Field notebook for mechanics: talk while you strip a machine, get the log.

    Everything stays on this machine. Each command has its own --help.
    """


def run() -> NoReturn:
    """Run the command line and leave with its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a terminal or pipe that cannot show a sign gets "?", not a failure
            stream.reconfigure(errors="replace")
    try:
        status = teardown.main(prog_name="teardown", standalone_mode=False)
    except NotebookError as error:
        click.echo(f"teardown: {error}", err=True)
        sys.exit(error.exit_status)
    except click.UsageError as error:
        error.show()
        sys.exit(WRONG_USE)
    except click.ClickException as error:
        error.show()
        sys.exit(COULD_NOT)
    except (click.Abort, KeyboardInterrupt):
        click.echo("teardown: stopped. What was finished is stored; run the same command again to go on.", err=True)
        sys.exit(COULD_NOT)
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        sys.exit(COULD_NOT)
    except UnicodeEncodeError:
        click.echo("teardown: Something that was typed is no text; nothing was stored. Type it again.", err=True)
        sys.exit(WRONG_USE)
    except OSError as error:
        click.echo(f"teardown: {explain_os_error(error)}", err=True)
        sys.exit(COULD_NOT)
    sys.exit(status if isinstance(status, int) else 0)


def explain_os_error(error: OSError) -> str:
    """Say in one line what the system refused."""
    import errno

    from notebook.errors import one_line

    if error.errno == errno.ENOSPC:
        return "The disk is full; what was finished is stored and safe. Free some room and run the same command again."
    where = f" ({one_line(str(error.filename))})" if error.filename else ""
    return f"The system refused: {error.strerror or error}{where}. What was finished is stored. Put that right and run the same command again."
