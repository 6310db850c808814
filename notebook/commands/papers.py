"""What the commands that make documents share: their options, and how they tell what they wrote.

In and out: click options; paths on standard output, problems on standard error.
"""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from notebook.commands.common import say_json, tell_problems

if TYPE_CHECKING:
    from notebook.jobs.paperwork import Papers

to_option = click.option(
    "--to", type=click.Path(path_type=Path), help="Folder to write to (else documents in the shop folder)."
)
paper_option = click.option("--paper", type=click.Choice(["a4", "letter"]), help="Size of the paper.")


def give_papers(papers: Papers, folder: Path, stem: str, *, as_json: bool) -> None:
    """Write a document and print where, or print its values as JSON and write nothing."""
    from notebook.jobs.paperwork import write_papers

    tell_problems(papers.problems)
    if as_json:
        say_json(asdict(papers.values))
        return
    for path in write_papers(papers, folder, stem):
        click.echo(str(path))
