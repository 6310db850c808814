"""`teardown find`: ask the archive a question, or look for words."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from notebook.commands.common import json_option, say_json, shop_option, with_options
from notebook.errors import NOTHING_FOUND, one_line

if TYPE_CHECKING:
    from notebook.archive.search import Hit

_MOST_LINES = 40


@click.command("find")
@click.argument("question", nargs=-1, required=True)
@click.option("--play", type=int, metavar="N", help="Play the sound of the Nth remark of the answer.")
@click.option("--open", "to_open", type=int, metavar="N", help="Show the photo of the Nth remark of the answer.")
@with_options(shop_option, json_option)
def command(
    question: tuple[str, ...], play: int | None, to_open: int | None, shop_folder: Path | None, as_json: bool
) -> int:
    """Answer a QUESTION over all jobs ("which jobs had broken springs"), or look for words.

    It may ask for a part and how it was, what was done, sizes ("end float over five thou"), fasteners ("3/8 BSF"),
    places ("what is in bag seven"), a machine, a person, an owner, a date, running hours; which, how many, how often,
    when last, where.
    """
    from zoneinfo import ZoneInfo

    from notebook.history.ask import answer_json, answer_question
    from notebook.jobs.opening import open_archive
    from notebook.jobs.playing import open_hit, play_hit
    from notebook.reading.matching import matcher_with
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        answer = answer_question(
            archive, " ".join(question), matcher_with(shop.words), now=datetime.now(UTC), zone=ZoneInfo(shop.settings.zone)
        )  # fmt: skip
        if as_json:
            say_json(answer_json(answer))
        else:
            click.echo(f"Asked: {one_line(answer.question.in_words())}")
            for note in answer.notes:
                click.echo(one_line(note))
            click.echo(one_line(answer.sentence))
            shown: set[str] = set()
            for n, hit in enumerate(answer.hits, 1):
                if hit.remark_id not in shown and len(shown) < _MOST_LINES:
                    shown.add(hit.remark_id)
                    click.echo(f"  {_numbered(n, hit, bool(play or to_open))}")
            more = len({h.remark_id for h in answer.hits}) - len(shown)
            if more:
                click.echo(f"  ... and {more} more; see --json")
        if play is not None:
            play_hit(archive, shop, answer.hits, play)
        if to_open is not None:
            click.echo(one_line(str(open_hit(archive, shop, answer.hits, to_open))))
    return 0 if answer.hits else NOTHING_FOUND


def _numbered(n: int, hit: Hit, is_numbered: bool) -> str:
    where = f"{int(hit.second // 60)}:{int(hit.second % 60):02}" if hit.second is not None else f"remark {hit.order}"
    photo = f"  {one_line(hit.photo)}" if hit.photo else ""
    number = f"{n}. " if is_numbered else ""
    return f'{number}{one_line(hit.job_number)}  {one_line(hit.machine)}  {hit.opened:%Y-%m-%d}  "{one_line(hit.text)}"  [{where}]{photo}'
