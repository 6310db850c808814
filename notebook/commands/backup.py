"""`teardown backup`: back the shop up into one file."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from notebook.commands.common import json_option, say_json, shop_option, tell_problems, with_options
from notebook.errors import one_line


@click.command("backup")
@click.argument("target", type=click.Path(path_type=Path))
@with_options(shop_option, json_option)
def command(target: Path, shop_folder: Path | None, as_json: bool) -> None:
    """Write everything of the shop into one file at TARGET, a file or a folder.

    May be done while the bench listens. The file is checked before it gets its name; any unzip program opens it.
    """
    from notebook.jobs.backing_up import make_backup
    from notebook.jobs.opening import open_archive
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        made = make_backup(archive, shop, target, datetime.now(UTC))
    tell_problems(made.problems)
    if as_json:
        say_json({"path": str(made.path), "files": made.file_count, "bytes": made.bytes, "sha256": made.sha256})
        return
    click.echo(f"{made.file_count} files, {made.bytes / 1e6:.1f} MB, checked: {one_line(str(made.path))}")
