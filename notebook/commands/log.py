"""`teardown log`: show the log of a job."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, say_json, shop_option, with_options


@click.command("log")
@click.argument("number")
@click.option("--markdown", is_flag=True, help="Write it as Markdown.")
@click.option("--ids", is_flag=True, help="Show remark:entry beside each line, for teardown mend.")
@with_options(shop_option, json_option)
def command(number: str, markdown: bool, ids: bool, shop_folder: Path | None, as_json: bool) -> None:
    """Show the log of job NUMBER: what was found a part at a time, in the order it came off."""
    from notebook.documents.log_json import log_json
    from notebook.documents.log_text import log_markdown, log_text
    from notebook.jobs.limits import load_limits
    from notebook.jobs.opening import find_job, open_archive
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        log = archive.load_log(find_job(archive, number))
    for problem in load_limits(shop)[1]:
        click.echo(str(problem), err=True)
    if as_json:
        say_json(log_json(log))
    else:
        click.echo(log_markdown(log) if markdown else log_text(log, with_ids=ids), nl=False)
