"""`teardown export`: write the archive out for other programs."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import shop_option
from notebook.errors import one_line


@click.command("export")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--as",
    "shape",
    type=click.Choice(["csv", "json"]),
    default="csv",
    show_default=True,
    help="Tables, or whole jobs, one a line.",
)
@shop_option
def command(folder: Path, shape: str, shop_folder: Path | None) -> None:
    """Write every job into an empty FOLDER as tables (CSV) or as whole jobs (JSON)."""
    from notebook.jobs.exporting import export_jobs, export_tables
    from notebook.jobs.opening import open_archive
    from notebook.shop import open_shop

    with open_archive(open_shop(shop_folder)) as archive:
        written = (export_tables if shape == "csv" else export_jobs)(archive, folder)
    for name, count in written.items():
        click.echo(f"{count:8}  {one_line(str(folder / name))}")
