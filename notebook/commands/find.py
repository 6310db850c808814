"""`teardown find`: ask the archive a question, or look for words."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, say_json, shop_option, with_options
from notebook.errors import NOTHING_FOUND, one_line


@click.command("find")
@click.argument("question", nargs=-1, required=True)
@with_options(shop_option, json_option)
def command(question: tuple[str, ...], shop_folder: Path | None, as_json: bool) -> int:
    """Answer a QUESTION over all jobs ("which jobs had broken springs"), or look for words."""
    from notebook.history.ask import answer_json, answer_question
    from notebook.jobs.opening import open_archive
    from notebook.shop import open_shop

    with open_archive(open_shop(shop_folder)) as archive:
        answer = answer_question(archive, " ".join(question))
    if as_json:
        say_json(answer_json(answer))
        return 0 if answer.hits else NOTHING_FOUND
    click.echo(f"Asked: {one_line(answer.question.in_words())}")
    for note in answer.notes:
        click.echo(note)
    click.echo(one_line(answer.sentence))
    for hit in answer.hits[:40]:
        where = (
            f"{int(hit.second // 60)}:{int(hit.second % 60):02}" if hit.second is not None else f"remark {hit.order}"
        )
        photo = f"  {one_line(hit.photo)}" if hit.photo else ""
        click.echo(
            f'  {one_line(hit.job_number)}  {one_line(hit.machine)}  {hit.opened:%Y-%m-%d}  "{one_line(hit.text)}"  [{where}]{photo}'
        )
    if len(answer.hits) > 40:
        click.echo(f"  ... and {len(answer.hits) - 40} more; see --json")
    return 0 if answer.hits else NOTHING_FOUND
