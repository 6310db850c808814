"""`teardown life`: how long a component lasts, over all jobs."""

from __future__ import annotations

from pathlib import Path

import click

from notebook.commands.common import json_option, say_json, shop_option, with_options
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError, one_line


@click.command("life")
@click.argument("component", nargs=-1, required=True)
@click.option("--machine", help="Only this kind of machine, or the one with this plate.")
@click.option("--svg", type=click.Path(path_type=Path), help="Write the curve as SVG.")
@click.option("--png", type=click.Path(path_type=Path), help="Write the curve as PNG.")
@with_options(shop_option, json_option)
def command(
    component: tuple[str, ...],
    machine: str | None,
    svg: Path | None,
    png: Path | None,
    shop_folder: Path | None,
    as_json: bool,
) -> int:
    """Say how long a COMPONENT lasts, in hours, miles or km, with the jobs behind it.

    It is made of what was fitted, found good and put back, or found failed at a reading of the clock; a part whose
    beginning nobody told is left out.
    """
    from notebook.documents.life_text import life_json, life_png, life_svg, life_text
    from notebook.history.lives import lives_of
    from notebook.jobs.opening import open_archive
    from notebook.reading.names import names_of
    from notebook.shop import open_shop

    asked = " ".join(component).strip()
    if not asked:
        raise NotebookError("No part was named.", "Say which: teardown life brake lining", WRONG_USE)
    with open_archive(open_shop(shop_folder)) as archive:
        found = lives_of(archive, asked, names_of, machine)
    if as_json:
        say_json({"component": asked, "groups": [life_json(lives) for lives in found]})
    elif not found:
        click.echo(
            f"Nothing is known of how long {one_line(asked)} lasts: no fitting of it has both a beginning and an end."
        )
    else:
        click.echo("\n\n".join(life_text(lives) for lives in found))
    if found and svg is not None:
        _write_plot(svg, life_svg(found[0]).encode())
    if found and png is not None:
        _write_plot(png, life_png(found[0]))
    return 0 if found else NOTHING_FOUND


def _write_plot(path: Path, content: bytes) -> None:
    try:
        path.write_bytes(content)
    except OSError as error:
        raise NotebookError(
            f"The plot cannot be written to {one_line(str(path))} ({error.strerror}).",
            "Name a file in a folder that is there.",
        ) from error
