"""`teardown labels`: labels with a code for the bags and trays of a job."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, shop_option, with_options
from notebook.commands.papers import give_papers, paper_option, to_option


@click.command("labels")
@click.argument("number")
@click.argument("places", nargs=-1, metavar="[PLACE]...")
@with_options(to_option, paper_option, shop_option, json_option)
def command(
    number: str, places: tuple[str, ...], to: Path | None, paper: str | None, shop_folder: Path | None, as_json: bool
) -> None:  # fmt: skip
    """Print labels for the places that hold things of job NUMBER, or for those named: a PDF sheet, and plain text.

    Stick one on the bag; a photo that shows it links itself to the remark that says what is in there.
    """
    from notebook.jobs.labels import label_papers
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.paperwork import file_stem, papers_folder
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        papers = label_papers(archive, shop, job, places, paper=paper)
    give_papers(papers, papers_folder(shop, to), file_stem(job.number, "labels"), as_json=as_json)
