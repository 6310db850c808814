"""`teardown decide`: what is to be decided on a job, and the owner's word on it."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from notebook.commands.common import json_option, person_option, read_time, say_json, shop_option, with_options
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError

if TYPE_CHECKING:
    from notebook.nouns import Decision


@click.command("decide")
@click.argument("number")
@click.argument("part", required=False)
@click.option("--approved", "state", flag_value="approved", help="It is to be done.")
@click.option("--declined", "state", flag_value="declined", help="It is not to be done.")
@click.option("--asked", "state", flag_value="asked", help="The owner asks about it, and has not answered.")
@click.option("--advised", "state", flag_value="advised", help="The shop advises it.")
@click.option("--action", help="What is to be done, where that was not said: replace, rework, overhaul, clean ...")
@click.option("--by", help="Who decided; the owner where it is not said.")
@click.option("--note", help="The words it was decided in.")
@click.option("--settle", is_flag=True, help="It puts an end to what was decided before, also where people differ.")
@click.option("--at", "at_text", help="When, where not now.")
@with_options(person_option, shop_option, json_option)
def command(
    number: str, part: str | None, state: str | None, action: str | None, by: str | None, note: str | None, settle: bool, at_text: str | None,
    person: str | None, shop_folder: Path | None, as_json: bool,
) -> int:  # fmt: skip
    """Show what is to be decided on job NUMBER; with PART, write down what was decided about it.

    PART is its name as the list shows it, or "everything" that was advised. Nothing is ever deleted by a decision.
    """
    from notebook.documents.decided_list import decided_json, decided_text
    from notebook.documents.deciding_words import decided_part, decision_words
    from notebook.jobs.deciding import ACTIONS, decide
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.paperwork import job_facts
    from notebook.shop import open_shop

    if (part is None) != (state is None):
        raise NotebookError("Name the part and what was decided.", "For example: teardown decide 2041 bush --approved", WRONG_USE)  # fmt: skip
    if action is not None and action not in ACTIONS:
        raise NotebookError(f"{action!r} is nothing that is done with a part.", f"Say one of: {', '.join(ACTIONS)}.", WRONG_USE)  # fmt: skip
    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        log = archive.load_log(job)
        made: tuple[Decision, ...] = ()
        if part is not None and state is not None:
            now = read_time(at_text, shop.settings.zone) or datetime.now(UTC)
            log, made = decide(
                archive,
                shop,
                job,
                part,
                state,
                action=action,
                by=by,
                noted_by=person,
                note=note,
                settles=settle,
                now=now,
            )
        parts = job_facts(shop, log)
    if as_json:
        say_json(decided_json(log, parts))
    elif made:
        for decision in made:
            click.echo(f"{decided_part(decision)}: {decision_words(decision)}")
    else:
        click.echo(decided_text(log, parts), nl=False)
    return 0 if log.decisions or made or any(p.defects or p.dispositions for p in parts) else NOTHING_FOUND
