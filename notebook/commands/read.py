"""`teardown read`: turn text into entries, storing nothing."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Any

import click

from notebook.commands.common import json_option, say_json_line, shop_option
from notebook.errors import COULD_NOT, NotebookError, one_line

habit_option = click.option(
    "--habit", type=click.Choice(["inch", "metric"]), help='What a bare "tenth" or "mil" means here.'
)


@click.command("read")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--machine", help="What kind of machine it is.")
@click.option(
    "--explain",
    is_flag=True,
    help="Show what was put right, each entry with its words and what decided it, and what was passed over.",
)
@habit_option
@shop_option
@json_option
def command(
    file: Path, machine: str | None, explain: bool, habit: str | None, shop_folder: Path | None, as_json: bool
) -> None:
    """Read FILE (or - for standard input): one remark a line, in order, as one job.

    An empty line starts a new job. With --json one object a remark is written.
    """
    from notebook.reading.matching import matcher_with
    from notebook.reading.reader import Reader, Reading
    from notebook.shop import words_of

    matcher = matcher_with(words_of(shop_folder))
    reader: Reader | None = None
    count = 0
    for line in _lines(file):
        if not line.strip():
            reader = None
            continue
        reader = reader or Reader(machine=machine, habit=habit, matcher=matcher)
        count += 1
        reading: Reading = reader.read(line, line=str(count))
        if as_json:
            say_json_line(reading_json(count, reading))
        else:
            _show(count, reading, explain)


def _lines(file: Path) -> list[str]:
    if str(file) == "-":
        text = sys.stdin.buffer.read().decode("utf-8-sig", errors="replace").replace("\r\n", "\n")
    else:
        try:
            text = file.read_text(encoding="utf-8-sig", errors="replace")
        except OSError as error:
            raise NotebookError(
                f"{one_line(str(file))} cannot be read ({error.strerror}).", "Check the name.", COULD_NOT
            ) from error
    return text.removesuffix("\n").split("\n") if text else []


def reading_json(line: int, reading: Any) -> dict[str, Any]:
    """Give a reading as JSON values."""
    return {
        "line": line,
        "text": reading.text,
        "tidied": reading.tidied,
        "changes": [[list(a), list(b), why] for a, b, why in reading.changes],
        "entries": [e.to_json() for e in reading.entries],
    }


def _show(count: int, reading: Any, explain: bool) -> None:
    from notebook.documents.explain_text import explain_remark
    from notebook.documents.words import entry_words, part_name

    if explain:
        for line in explain_remark(
            count, reading.text, reading.tidied, reading.changes, reading.entries, reading.asides
        ):
            click.echo(one_line(line))
        return
    click.echo(f"{count}: {one_line(reading.tidied)}")
    for entry in reading.entries:
        doubt = f"  ? {entry.doubt}" if entry.doubt else ""
        click.echo(f"   {entry.kind:12} {one_line(part_name(entry))}: {one_line(entry_words(entry))}{one_line(doubt)}")
