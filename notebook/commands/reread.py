"""`teardown reread`: read a job again with the words known now."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import shop_option, talk


@click.command("reread")
@click.argument("numbers", nargs=-1)
@click.option("--all", "everything", is_flag=True, help="Every job in the archive.")
@shop_option
def command(numbers: tuple[str, ...], everything: bool, shop_folder: Path | None) -> None:
    """Make tidied text, entries, parts and links of jobs NUMBERS again; mends are kept and win."""
    from notebook.errors import WRONG_USE, NotebookError
    from notebook.jobs.derive import reread_job
    from notebook.jobs.opening import find_job, open_archive
    from notebook.shop import open_shop

    if bool(numbers) == everything:
        raise NotebookError("Say which jobs.", "Give job numbers, or --all.", WRONG_USE)
    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        jobs = archive.all_jobs() if everything else [find_job(archive, n) for n in numbers]
        for job in jobs:
            log = reread_job(archive, job, shop=shop)
            entries = sum(len(r.entries) for r in log.remarks)
            click.echo(
                f"Job {job.number}: {len(log.remarks)} remarks read again, {entries} entries, {len(log.parts)} parts."
            )
            for mend in log.mends:
                if mend.conflict:
                    talk(f"! a mend no longer fits: {mend.conflict}")
