"""`teardown close`: close a job, or open it again."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from notebook.commands.common import shop_option


@click.command("close")
@click.argument("number")
@click.option("--open-again", is_flag=True, help="Open a closed job again.")
@shop_option
def command(number: str, open_again: bool, shop_folder: Path | None) -> None:
    """Close job NUMBER."""
    from notebook.jobs.opening import find_job, open_archive
    from notebook.shop import open_shop

    with open_archive(open_shop(shop_folder)) as archive:
        job = find_job(archive, number)
        archive.close_job(job.id, None if open_again else datetime.now(UTC))
    click.echo(f"Job {job.number} is {'open again' if open_again else 'closed'}.")
