"""`teardown add`: take in sound, photos, folders and remarks in words."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import (
    json_option,
    person_option,
    progress_bars,
    read_time,
    say_json,
    shop_option,
    talk,
    tell_problems,
    with_options,
)
from notebook.errors import COULD_NOT, WRONG_USE, NotebookError


@click.command("add")
@click.argument("number")
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
@click.option("--started", help="When the first sound file began (2026-03-04T09:12:00+00:00).")
@click.option("--model", default="whisper-base", show_default=True, help="Speech model: a name, or a folder you bring.")
@click.option(
    "--watch", type=click.Path(path_type=Path), metavar="DIR", help="Go on taking in what comes into a folder."
)
@click.option("--all-days", is_flag=True, help="Of a whole card take pictures of other days too.")
@with_options(person_option, shop_option, json_option)
def command(
    number: str,
    files: tuple[Path, ...],
    started: str | None,
    model: str,
    watch: Path | None,
    all_days: bool,
    person: str | None,
    shop_folder: Path | None,
    as_json: bool,
) -> int:
    """Take FILES into job NUMBER: sound, photos, folders, remarks in words (.txt, .jsonl).

    What was taken in before stays as it is, so it is safe to stop and to run again. Of a camera's card (a DCIM folder,
    or more than 200 pictures) only those of the job's days are taken. With --watch DIR pictures are taken in as they
    come, until you stop it.
    """
    if not files and watch is None:
        raise NotebookError("There is nothing to take in.", "Name files or folders, or --watch DIR.", WRONG_USE)
    from notebook.audio.ear import Ear
    from notebook.jobs.clocks import tell_clocks
    from notebook.jobs.intake import take_in
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.watching import watch_folder
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive, progress_bars() as progress:
        job = find_job(archive, number)
        intake = take_in(
            archive,
            shop,
            job,
            files,
            started=read_time(started, shop.settings.zone),
            person=person,
            ear=lambda: Ear(model),
            progress=progress,
            all_days=all_days,
        )
        clocks = tell_clocks(intake.log) if intake.photos and intake.log is not None else []
    for line in intake.started_how:
        talk(line)
    tell_problems(intake.problems)
    if as_json:
        say_json({
            "remarks": intake.remarks, "known_remarks": intake.known_remarks, "photos": intake.photos, "known_photos": intake.known_photos,
            "noise_dropped": intake.dropped, "problems": [str(p) for p in intake.problems],
        })  # fmt: skip
    else:
        click.echo(
            f"Job {job.number}: {intake.remarks} remarks and {intake.photos} photos taken in"
            + _known(intake.known_remarks, intake.known_photos)
            + "."
        )
    for line in clocks:
        talk(line)
    if watch is not None:
        watch_folder(shop, number, watch)
    nothing_done = not (intake.remarks or intake.photos or intake.known_remarks or intake.known_photos)
    return COULD_NOT if intake.problems and nothing_done else 0


def _known(remarks: int, photos: int) -> str:
    if not remarks and not photos:
        return ""
    return f"; {remarks} remarks and {photos} photos were there already"
