"""`teardown play`: play the sound of a remark, or write it to a file."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import shop_option
from notebook.errors import one_line


@click.command("play")
@click.argument("number")
@click.argument("remark")
@click.option(
    "--to", "to_file", type=click.Path(path_type=Path), help="Write the sound to this FLAC file instead of playing it."
)
@shop_option
def command(number: str, remark: str, to_file: Path | None, shop_folder: Path | None) -> None:
    """Play REMARK (its number in the log) of job NUMBER."""
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.playing import play_remark, save_remark
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        log = archive.load_log(find_job(archive, number))
        if to_file is not None:
            seconds = save_remark(archive, shop, log, remark, to_file)
            click.echo(f"{seconds:.1f} s written to {one_line(str(to_file))}.")
        else:
            play_remark(archive, shop, log, remark)
