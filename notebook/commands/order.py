"""`teardown order`: what is to be ordered for one job or several."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, shop_option, with_options
from notebook.commands.papers import give_papers, paper_option, to_option
from notebook.errors import NOTHING_FOUND


@click.command("order")
@click.argument("numbers", nargs=-1, required=True, metavar="NUMBER...")
@click.option("--all", "with_all", is_flag=True, help="Also what the owner has not approved yet.")
@with_options(to_option, paper_option, shop_option, json_option)
def command(
    numbers: tuple[str, ...], with_all: bool, to: Path | None, paper: str | None, shop_folder: Path | None, as_json: bool
) -> int:  # fmt: skip
    """List what is to be ordered for job NUMBER, or for several at once, as PDF, HTML, CSV and spreadsheet.

    Parts that the owner approved, and the consumables that the work implies; with --all the rest too.
    """
    from notebook.documents.order_sheet import OrderSheet, order_text
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.paperwork import file_stem, order_papers, papers_folder
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        jobs = [find_job(archive, n) for n in dict.fromkeys(numbers)]
        papers = order_papers(archive, shop, jobs, paper=paper, with_all=with_all)
    sheet: OrderSheet = papers.values
    if not as_json:
        click.echo(order_text(sheet))
    stem = file_stem(*[j.number for j in jobs[:4]], "order")
    give_papers(papers, papers_folder(shop, to), stem, as_json=as_json)
    return 0 if sheet.rows or sheet.left_out else NOTHING_FOUND
