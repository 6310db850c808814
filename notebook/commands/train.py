"""`teardown train`: what all jobs of a kind of machine taught, for the next person."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, shop_option, with_options
from notebook.commands.papers import give_papers, paper_option, to_option


@click.command("train")
@click.argument("kind", nargs=-1, required=True, metavar="MACHINE-KIND")
@click.option("--voice", "voices", multiple=True, metavar="PERSON", help="Someone who has said yes to being heard.")
@with_options(to_option, paper_option, shop_option, json_option)
def command(
    kind: tuple[str, ...], voices: tuple[str, ...], to: Path | None, paper: str | None, shop_folder: Path | None, as_json: bool
) -> None:  # fmt: skip
    """Make the training pack of a MACHINE-KIND ("winch") from all its jobs: one HTML file with pictures and voices inside, and a PDF.

    Voices are only of people who said yes: --voice, or voices in shop.toml. Owners, plates and job numbers are left out.
    """
    from notebook.jobs.opening import open_archive
    from notebook.jobs.paperwork import file_stem, papers_folder, training_papers
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    words = " ".join(kind)
    with open_archive(shop) as archive:
        papers = training_papers(archive, shop, words, paper=paper, voices=voices)
    give_papers(papers, papers_folder(shop, to), file_stem(words, "training"), as_json=as_json)
