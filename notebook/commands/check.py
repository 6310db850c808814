"""`teardown check`: check the archive, every sound and every picture."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from notebook.commands.common import json_option, say_json, shop_option, with_options
from notebook.errors import COULD_NOT, one_line

_SAID = (
    ("damage", "Damaged in the archive"), ("missing", "Missing"), ("changed", "Not what was taken in"), ("strays", "Belongs to no job"),
    ("again", "Can be made again"),
)  # fmt: skip


@click.command("check")
@click.option("--make-again", "makes_again", is_flag=True, help="Make the indexes again from the remarks and entries.")
@with_options(shop_option, json_option)
def command(makes_again: bool, shop_folder: Path | None, as_json: bool) -> int:
    """Check the archive, and every sound and picture by its SHA-256; say what can be made again."""
    from notebook.jobs.checking import check_shop, make_again
    from notebook.jobs.opening import open_archive
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        if makes_again:
            make_again(archive)
        checked = check_shop(archive, shop)
    if as_json:
        say_json({**asdict(checked), "whole": checked.is_whole})
        return 0 if checked.is_whole else COULD_NOT
    for field, said in _SAID:
        lines = getattr(checked, field)
        if lines:
            click.echo(f"{said}:")
            for line in lines[:40]:
                click.echo(f"  {one_line(line)}")
            if len(lines) > 40:
                click.echo(f"  ... and {len(lines) - 40} more; see --json")
    click.echo(
        f"The archive is whole, and so are its {checked.file_count} files."
        if checked.is_whole
        else "Not whole. A backup may hold what is lost: teardown restore FILE --shop ANOTHER_FOLDER"
    )
    return 0 if checked.is_whole else COULD_NOT
