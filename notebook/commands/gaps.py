"""`teardown gaps`: what has not been said about a job."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, person_option, say_json, shop_option, talk, with_options
from notebook.errors import NOTHING_FOUND


@click.command("gaps")
@click.argument("number")
@click.option("--read", "is_read", is_flag=True, help="Show the usual cautions in full and note them as read.")
@with_options(person_option, shop_option, json_option)
def command(number: str, is_read: bool, person: str | None, shop_folder: Path | None, as_json: bool) -> int:
    """Say what has not been said about job NUMBER, while it is still open on the bench.

    Exit status 1 when nothing is missing.
    """
    from datetime import UTC, datetime

    from notebook.documents.gaps_text import gaps_json, gaps_text
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.paperwork import job_gaps, read_cautions
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        if is_read:
            for caution in read_cautions(archive, shop, job, person=person, now=datetime.now(UTC)):
                talk(f"Read: {caution}")
        gaps = job_gaps(archive, shop, job)
    if as_json:
        say_json(gaps_json(job.number, gaps))
    else:
        click.echo(gaps_text(job.number, gaps), nl=False)
    return 0 if gaps else NOTHING_FOUND
