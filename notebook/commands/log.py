"""`teardown log`: show the log of a job."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, say_json, shop_option, with_options


@click.command("log")
@click.argument("number")
@click.option("--markdown", is_flag=True, help="Write it as Markdown.")
@click.option("--ids", is_flag=True, help="Show remark:entry beside each line, for teardown mend.")
@click.option(
    "--contact-sheet",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="Write all photos with what was said beneath, as .pdf or .jpg.",
)
@click.option("--clocks", is_flag=True, help="Show how far each camera's clock is off, how sure that is, and why.")
@with_options(shop_option, json_option)
def command(
    number: str, markdown: bool, ids: bool, contact_sheet: Path | None, clocks: bool, shop_folder: Path | None, as_json: bool
) -> None:  # fmt: skip
    """Show the log of job NUMBER: what was found a part at a time, in the order it came off."""
    from notebook.documents.log_json import log_json
    from notebook.documents.log_text import log_markdown, log_text
    from notebook.jobs.derive import judge_anew
    from notebook.jobs.limits import load_limits
    from notebook.jobs.opening import find_job, open_archive
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        log = judge_anew(archive, archive.load_log(find_job(archive, number)), shop)
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
