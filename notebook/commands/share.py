"""`teardown share`: jobs as one file, out to another bench and in from one."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import shop_option, with_options
from notebook.errors import one_line


@click.group("share")
def command() -> None:
    """Give jobs to another bench as one file, or take them in from one."""


@command.command("export")
@click.argument("path", type=click.Path(path_type=Path))
@click.argument("numbers", nargs=-1, required=True)
@click.option("--vocabulary", is_flag=True, help="The shop's own words too.")
@click.option("--limits", is_flag=True, help="The machines' data sheets too.")
@with_options(shop_option)
def export_command(
    path: Path, numbers: tuple[str, ...], vocabulary: bool, limits: bool, shop_folder: Path | None
) -> int:
    """Write the jobs NUMBERS with their sound and pictures to PATH (a zip)."""
    from notebook.jobs.opening import open_archive
    from notebook.jobs.sharing import write_share
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        count = write_share(archive, shop, numbers, path, with_words=vocabulary, with_limits=limits)
    click.echo(f"{len(numbers)} jobs, {count} files in {one_line(str(path))}.")
    return 0


@command.command("import")
@click.argument("path", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@with_options(shop_option)
def import_command(path: Path, shop_folder: Path | None) -> int:
    """Take in the jobs of the share PATH; what is there already stays."""
    from notebook.jobs.opening import open_archive
    from notebook.jobs.sharing import read_share
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        taken = read_share(archive, shop, path)
    names = ", ".join(one_line(job.number) for job in taken.jobs)
    click.echo(f"Jobs {names}: {taken.new_rows} rows and {taken.new_files} files are new.")
    return 0
