"""`teardown log`: show the log of a job."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from notebook.commands.common import json_option, say_json, shop_option, with_options
from notebook.errors import WRONG_USE, NotebookError

if TYPE_CHECKING:
    from notebook.shop import Shop


@click.command("log")
@click.argument("number", required=False)
@click.option(
    "--machine", "plate", metavar="PLATE", help="The whole history of a machine over its jobs, by plate or tag."
)
@click.option("--markdown", is_flag=True, help="Write it as Markdown.")
@click.option("--ids", is_flag=True, help="Show remark:entry beside each line, for teardown mend.")
@click.option(
    "--contact-sheet",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write all photos with what was said beneath, as .pdf or .jpg.",
)
@click.option("--left", is_flag=True, help="Show in ten lines where it was left, what is open, what was promised.")
@click.option("--clocks", is_flag=True, help="Show how far each camera's clock is off, how sure that is, and why.")
@with_options(shop_option, json_option)
def command(
    number: str | None, plate: str | None, markdown: bool, ids: bool, contact_sheet: Path | None, left: bool, clocks: bool, shop_folder: Path | None, as_json: bool
) -> None:  # fmt: skip
    """Show the log of job NUMBER: what was found a part at a time, in the order it came off; or a machine's whole history."""
    from notebook.documents.log_json import log_json
    from notebook.documents.log_text import log_markdown, log_text
    from notebook.jobs.derive import judge_anew
    from notebook.jobs.limits import load_limits
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.seen_before import list_seen_before
    from notebook.shop import open_shop

    if (number is None) == (plate is None):
        raise NotebookError("Which job, or which machine?", "Give one: teardown log NUMBER, or teardown log --machine PLATE", WRONG_USE)  # fmt: skip
    shop = open_shop(shop_folder)
    if number is None:
        _show_machine(shop, plate or "", as_json)
        return
    with open_archive(shop) as archive:
        if left:
            from notebook.jobs.handing_over import hand_over

            lines = hand_over(archive, shop, find_job(archive, number))
            say_json(list(lines)) if as_json else click.echo("\n".join(lines))
            return
        log = judge_anew(archive, archive.load_log(find_job(archive, number)), shop)
        seen = [] if as_json or markdown or contact_sheet or clocks else list_seen_before(archive, log)
    for problem in load_limits(shop)[1]:
        click.echo(str(problem), err=True)
    if contact_sheet is not None:
        from notebook.jobs import pictures_out

        for path in pictures_out.contact_sheet(log, contact_sheet):
            click.echo(str(path))
    elif clocks:
        from notebook.jobs.clocks import clocks_json, judge_clocks, tell_clocks

        if as_json:
            say_json(clocks_json(judge_clocks(log)[0]))
        else:
            click.echo("\n".join(tell_clocks(log) or ["There is no picture with a time in this job."]))
    elif as_json:
        say_json(log_json(log))
    else:
        click.echo(log_markdown(log) if markdown else log_text(log, with_ids=ids), nl=False)
        if seen:
            click.echo("\n".join(["", "Seen before", *(f"  {line}" for line in seen)]))


def _show_machine(shop: Shop, plate: str, as_json: bool) -> None:
    from notebook.documents.machine_text import machine_json, machine_text
    from notebook.jobs.histories import find_machine, machine_past
    from notebook.jobs.opening import open_archive

    with open_archive(shop) as archive:
        past = machine_past(archive, shop, find_machine(archive, plate))
    if as_json:
        say_json(machine_json(past))
    else:
        click.echo(machine_text(past), nl=False)
