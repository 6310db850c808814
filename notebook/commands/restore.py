"""`teardown restore`: put a backup back as a shop folder."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import shop_option
from notebook.errors import one_line


@click.command("restore")
@click.argument("backup", type=click.Path(path_type=Path))
@shop_option
def command(backup: Path, shop_folder: Path | None) -> None:
    """Put BACKUP back as a shop folder that is not there yet, or empty.

    Every byte is checked first; a backup that is not whole is refused whole.
    """
    from notebook.jobs.backing_up import restore_backup
    from notebook.shop import default_folder

    folder = (shop_folder or default_folder()).expanduser()
    files = restore_backup(backup, folder)
    click.echo(f"{files} files put back, each checked: {one_line(str(folder))}")
