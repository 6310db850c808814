"""`teardown rebuild`: the way back, to tick on paper, and how far it is."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from notebook.commands.common import json_option, person_option, say_json, shop_option, with_options
from notebook.commands.papers import give_papers, paper_option, to_option
from notebook.errors import WRONG_USE, NotebookError

if TYPE_CHECKING:
    from notebook.archive.store import Archive
    from notebook.log.rebuilding import TickState
    from notebook.nouns import Job
    from notebook.shop import Shop


@click.command("rebuild")
@click.argument("number")
@click.option("--how-far", is_flag=True, help="Say how far the rebuild is: not done, waited for, left in the bags.")
@click.option("--step", type=int, metavar="N", help="Show one step; with one of the next three, tick it.")
@click.option("--done", is_flag=True, help="Tick the step.")
@click.option("--torque-set", is_flag=True, help="Tick the step, its fasteners at the sheet's torque.")
@click.option("--skip", metavar="WHY", help="Skip the step, and say why.")
@click.option("--open-again", is_flag=True, help="It was not done after all.")
@with_options(to_option, paper_option, person_option, shop_option, json_option)
def command(
    number: str, how_far: bool, step: int | None, done: bool, torque_set: bool, skip: str | None, open_again: bool, to: Path | None,
    paper: str | None, person: str | None, shop_folder: Path | None, as_json: bool,
) -> None:  # fmt: skip
    """Make the rebuild sheet of job NUMBER, as PDF and HTML: the order it came off, turned round, to tick.

    At the bench it is walked by voice: teardown bench NUMBER --rebuild.
    """
    from notebook.jobs.opening import find_job, open_archive
    from notebook.shop import open_shop

    asked: tuple[tuple[TickState, bool], ...] = (
        ("done", done), ("torque set", torque_set), ("skipped", skip is not None), ("open", open_again),
    )  # fmt: skip
    states = [state for state, is_set in asked if is_set]
    if len(states) > 1 or (states and step is None):
        raise NotebookError(
            "Which step, and what of it? Nothing was noted.", "Give one: teardown rebuild NUMBER --step 3 --done", WRONG_USE
        )  # fmt: skip
    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        if step is not None or how_far:
            _walk(archive, shop, job, step, states[0] if states else None, skip or "", person, as_json)
            return
        from notebook.jobs.paperwork import file_stem, papers_folder, rebuild_papers

        papers = rebuild_papers(archive, shop, job, paper=paper)
    give_papers(papers, papers_folder(shop, to), file_stem(job.number, "rebuild"), as_json=as_json)


def _walk(
    archive: Archive, shop: Shop, job: Job, step: int | None, state: TickState | None, why: str, person: str | None, as_json: bool
) -> None:  # fmt: skip
    """Show a step or how far it is, after ticking what is to be ticked."""
    from datetime import UTC, datetime

    from notebook.documents.bench_lines import message_json, message_line
    from notebook.jobs.rebuilding import load_rebuild, show_step, sum_up, tick_step

    if state is not None and step is not None:
        tick_step(archive, shop, job, step, state, words=why, person=person, now=datetime.now(UTC))
    now = load_rebuild(archive, shop, job)
    if step is not None and not 1 <= step <= len(now.standings):
        raise NotebookError(f"There is no step {step}.", f"Give 1 to {len(now.standings)}.", WRONG_USE)
    message = show_step(now, step - 1) if step is not None and state is None else sum_up(now)
    if as_json:
        say_json(message_json(message))
    else:
        click.echo(message_line(message))
