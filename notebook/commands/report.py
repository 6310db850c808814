"""`teardown report`: the strip report of a job, for its owner."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, shop_option, with_options
from notebook.commands.papers import give_papers, paper_option, to_option


@click.command("report")
@click.argument("number")
@click.option("--prices", type=click.Path(path_type=Path), help="Price list, a CSV with the columns part and price.")
@click.option("--labour", is_flag=True, help="Add the hours by assembly, estimated from the clock.")
@with_options(to_option, paper_option, shop_option, json_option)
def command(
    number: str, prices: Path | None, labour: bool, to: Path | None, paper: str | None, shop_folder: Path | None, as_json: bool
) -> None:  # fmt: skip
    """Make the strip report of job NUMBER, as PDF and HTML: what was found, what is to be done, what was found good."""
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.paperwork import file_stem, papers_folder, report_papers
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        papers = report_papers(archive, shop, job, paper=paper, prices=prices, with_labour=labour)
    give_papers(papers, papers_folder(shop, to), file_stem(job.number, "report"), as_json=as_json)
