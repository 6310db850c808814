"""What the commands share: the options every one has, times, JSON and progress on the terminal.

In and out: click options, standard output for answers, standard error for talk.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TypeVar
from zoneinfo import ZoneInfo

import click

from notebook.errors import WRONG_USE, NotebookError, Problem

_F = TypeVar("_F", bound=Callable[..., Any])

shop_option = click.option(
    "--shop",
    "shop_folder",
    type=click.Path(path_type=Path),
    help="Shop folder (else TEARDOWN_SHOP, else the usual place).",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Answer as JSON.")
person_option = click.option("--person", help="Who is speaking, or who makes the change.")


def with_options(*options: Callable[[_F], _F]) -> Callable[[_F], _F]:
    """Put several options on a command."""

    def put(command: _F) -> _F:
        for option in reversed(options):
            command = option(command)
        return command

    return put


def say_json(value: Any) -> None:
    """Print a value as JSON."""
    click.echo(_spell_unseen(json.dumps(value, ensure_ascii=_is_narrow(), indent=1)))


def say_json_line(value: Any) -> None:
    """Print a value as one line of JSON."""
    click.echo(_spell_unseen(json.dumps(value, ensure_ascii=_is_narrow())))


def _is_narrow() -> bool:
    """Tell whether standard output can hold no more than a few scripts; JSON then spells the rest as escapes."""
    return not (sys.stdout.encoding or "").lower().replace("-", "").startswith("utf")


def _spell_unseen(written: str) -> str:
    """Spell as JSON escapes what drives a terminal and JSON lets stand: DEL, C1 controls, overrides of direction."""
    return _UNSEEN.sub(lambda sign: f"\\u{ord(sign[0]):04x}", written)


_UNSEEN = re.compile("[\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")


def talk(text: str) -> None:
    """Say something that is not the answer."""
    click.echo(text, err=True)


def tell_problems(problems: Sequence[Problem]) -> None:
    """Tell each problem in one line."""
    for problem in problems:
        talk(f"! {problem}")


def read_time(text: str | None, zone: str = "UTC") -> datetime | None:
    """Read a date or a time from the command line; without a zone it is in the shop's."""
    if text is None:
        return None
    try:
        at = datetime.fromisoformat(text)
        if at.tzinfo is None:
            at = at.replace(tzinfo=ZoneInfo(zone))
        return at.astimezone(UTC)
    except (ValueError, OverflowError) as error:
        raise NotebookError(
            f"{text!r} is no time.", "Write 2026-03-04 or 2026-03-04T09:12:00+00:00.", WRONG_USE
        ) from error


@contextmanager
def progress_bars() -> Iterator[Callable[[str, float, float], None]]:
    """Give a function that shows progress on the terminal; on anything else it shows nothing."""
    if not sys.stderr.isatty():
        yield lambda _what, _done, _of: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeElapsedColumn

    with Progress(
        TextColumn("{task.description}"), BarColumn(), TimeElapsedColumn(), console=Console(stderr=True), transient=True
    ) as bars:
        tasks: dict[str, Any] = {}

        def show(what: str, done: float, of: float) -> None:
            if what not in tasks:
                tasks[what] = bars.add_task(what, total=of or None)
            bars.update(tasks[what], completed=done, total=of or None)

        yield show
