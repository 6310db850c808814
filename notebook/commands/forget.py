"""`teardown forget`: forget a job for good."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import shop_option
from notebook.errors import WRONG_USE, NotebookError, one_line


@click.command("forget")
@click.argument("number")
@click.option("--yes", is_flag=True, help="Do not ask; for scripts.")
@shop_option
def command(number: str, yes: bool, shop_folder: Path | None) -> None:
    """Forget job NUMBER for good: its words, entries, sound and pictures. There is no way back."""
    from notebook.jobs.forgetting import forget_job, still_held_in
    from notebook.jobs.opening import find_job, open_archive
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        log = archive.load_log(job)
        click.echo(
            f"Job {one_line(job.number)}, {one_line(job.machine.kind)}, opened {job.opened:%Y-%m-%d}: "
            f"{len(log.remarks)} remarks, {len(log.recordings)} recordings, {len(log.photos)} photos."
        )
        if not yes:
            said = click.prompt(
                "This cannot be undone. Type the job's number to forget it", default="", show_default=False
            )
            if said.strip() != job.number:
                raise NotebookError("That is not its number; nothing was forgotten.", "", WRONG_USE)
        held = still_held_in(archive, job)
        forget_job(archive, shop, job)
    click.echo(f"Job {one_line(job.number)} is forgotten.")
    for one in held:
        where = "" if one.is_there else " (not there now)"
        click.echo(f"Still in the backup of {one.backup.made:%Y-%m-%d}: {one_line(one.backup.path)}{where}")
    if held:
        click.echo("Take those files away too, if it must be gone everywhere, then make a new backup.")
