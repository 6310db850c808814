"""`teardown outcome`: how a job turned out."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from notebook.commands.common import json_option, person_option, read_time, say_json, shop_option, with_options
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError


@click.command("outcome")
@click.argument("number")
@click.argument("words", nargs=-1)
@click.option("--ran", is_flag=True, help="It ran well, up to --reading.")
@click.option("--came-back", is_flag=True, help="It came back; WORDS say what was wrong.")
@click.option("--reading", help='What its clock showed then: "2160 h".')
@click.option("--on", "day", metavar="DATE", help="When (today unless said).")
@with_options(person_option, shop_option, json_option)
def command(
    number: str, words: tuple[str, ...], ran: bool, came_back: bool, reading: str | None, day: str | None, person: str | None,
    shop_folder: Path | None, as_json: bool,
) -> int:  # fmt: skip
    """Note how job NUMBER turned out, in WORDS: "came back at 2160 hours, brake lining glazed again"; without WORDS, say it."""
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.outcomes import How, note_outcome, tell_outcomes
    from notebook.shop import open_shop

    if ran and came_back:
        raise NotebookError("It ran or it came back, not both; nothing was noted.", "Give two outcomes.", WRONG_USE)
    shop = open_shop(shop_folder)
    now = read_time(day, shop.settings.zone) or datetime.now(UTC)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        if words or ran or came_back or reading is not None:
            how: How | None = "ran" if ran else "came back" if came_back else None
            note_outcome(archive, shop, job, " ".join(words), how=how, reading=reading, person=person, now=now)
        lines, values = tell_outcomes(archive, job)
    if as_json:
        say_json({"job": job.number, "outcomes": values})
    elif lines:
        click.echo("\n".join([f"Job {job.number}, how it turned out", *(f"  {line}" for line in lines)]))
    else:
        click.echo(f"Nobody has said how job {job.number} turned out.")
    return 0 if lines else NOTHING_FOUND
