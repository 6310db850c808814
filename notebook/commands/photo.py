"""`teardown photo`: look at a photo of a job, mark a copy of it, link it by hand."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path

import click

from notebook.commands.common import shop_option, with_options
from notebook.errors import WRONG_USE, NotebookError, one_line


@click.command("photo")
@click.argument("number")
@click.argument("name")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="Write a copy as JPEG, without the position and all else the camera wrote.",
)
@click.option(
    "--arrow", "arrows", multiple=True, metavar="PLACE", help='Point at a place on the copy: "top left" or 0.4,0.6.'
)
@click.option("--ring", "rings", multiple=True, metavar="PLACE", help="Ring a place on the copy.")
@click.option("--keep-position", is_flag=True, help="Leave in the copy where it was taken.")
@click.option("--remark", "remarks", multiple=True, help="It is of this remark; may be given again. For ever.")
@click.option("--loose", is_flag=True, help="It is of no remark. For ever.")
@click.option("--free", is_flag=True, help="Let it be linked by itself again.")
@with_options(shop_option)
def command(
    number: str, name: str, out: Path | None, arrows: tuple[str, ...], rings: tuple[str, ...], keep_position: bool, remarks: tuple[str, ...],
    loose: bool, free: bool, shop_folder: Path | None,
) -> None:  # fmt: skip
    """Look at photo NAME of job NUMBER in the terminal; or write a marked copy; or say which remark it is of.

    Marks are drawn on a copy, the original stays as it came.
    """
    from notebook.jobs.opening import find_job, open_archive
    from notebook.jobs.pictures_out import describe_photo, find_photo, link_photo_by_hand, original_path
    from notebook.photos.look import PictureMark, copy_without_position, read_place
    from notebook.shop import open_shop

    if bool(remarks) + loose + free > 1:
        raise NotebookError("Say one thing.", "Give --remark, --loose or --free.", WRONG_USE)
    if (arrows or rings or keep_position) and out is None:
        raise NotebookError("Marks are drawn on a copy.", "Say where the copy goes, with --out FILE.jpg.", WRONG_USE)
    marks = [PictureMark(shape="arrow", x=x, y=y) for x, y in map(read_place, arrows)]
    marks += [PictureMark(shape="ring", x=x, y=y) for x, y in map(read_place, rings)]
    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        log = archive.load_log(job)
        photo = find_photo(log, name)
        if remarks or loose or free:
            log = link_photo_by_hand(archive, shop, job, photo, remarks, loose=loose, free=free)
    if out is not None:
        original = original_path(log, photo)
        if out.resolve().parent == original.parent.resolve():
            raise NotebookError("The copy may not lie among the originals.", "Write it to another folder.", WRONG_USE)
        out.write_bytes(copy_without_position(original, marks, keep_position=keep_position))
        click.echo(f"{out}: a copy of {one_line(photo.name)}{' with its position' if keep_position else ''}")
        return
    if sys.stdout.isatty() and not os.environ.get("NO_COLOR") and log.folder is not None:
        _show(log.folder / "photos" / f"{photo.sha256}.small.jpg")
    taken = f"{photo.taken:%Y-%m-%d %H:%M:%S} UTC by its own clock" if photo.taken else "no time that can be believed"
    click.echo(f"{one_line(photo.name)}  {photo.width_px} x {photo.height_px}  {taken}  {one_line(photo.camera)}")
    for line in describe_photo(log, photo):
        click.echo(f"  {line}")


def _show(thumbnail: Path) -> None:
    from notebook.photos.half_blocks import read_half_blocks

    columns, lines = shutil.get_terminal_size()
    for row in read_half_blocks(thumbnail, columns, lines - 4):
        drawn = "".join(f"\x1b[38;2;{u[0]};{u[1]};{u[2]};48;2;{d[0]};{d[1]};{d[2]}m\u2580" for u, d in row)
        click.echo(drawn + "\x1b[0m", color=True)
