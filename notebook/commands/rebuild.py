"""`teardown rebuild`: the way back, to tick."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, shop_option, with_options
from notebook.commands.papers import give_papers, paper_option, to_option


@click.command("rebuild")
@click.argument("number")
@with_options(to_option, paper_option, shop_option, json_option)
def command(number: str, to: Path | None, paper: str | None, shop_folder: Path | None, as_json: bool) -> None:
    """Make the rebuild sheet of job NUMBER, as PDF and HTML: the order it came off, turned round, to tick."""
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.paperwork import file_stem, papers_folder, rebuild_papers
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        papers = rebuild_papers(archive, shop, job, paper=paper)
    give_papers(papers, papers_folder(shop, to), file_stem(job.number, "rebuild"), as_json=as_json)
