"""`teardown sync-card`: show the notebook's time as a QR code, to be photographed by every camera."""

from __future__ import annotations

import sys
import time
from datetime import UTC, datetime
from pathlib import Path

import click


@click.command("sync-card")
@click.option("--once", is_flag=True, help="Show it once and stop; else it is drawn anew every second.")
@click.option(
    "--png", type=click.Path(path_type=Path), help="Write it as a picture instead, for a screen that is seen better."
)
def command(once: bool, png: Path | None) -> None:
    """Show the time as a code. Take a picture of it with each camera, and add that with the others.

    One such picture tells how far the camera's clock is off, to the second; before, after or during the job.
    """
    from notebook.photos.card import picture_code, show_code, write_card

    if png is not None:
        picture_code(write_card(datetime.now(UTC))).save(png)
        click.echo(f"{png}: the time now; it is right only while it is fresh, so picture it at once.")
        return
    going = not once and sys.stdout.isatty()
    while True:
        moment = datetime.now(UTC)
        lines = [
            *show_code(write_card(moment)),
            f"{moment.astimezone():%Y-%m-%d %H:%M:%S %Z}   Picture this with each camera. Ctrl-C ends.",
        ]
        click.echo(("\x1b[2J\x1b[H" if going else "") + "\n".join(lines), color=True)
        if not going:
            return
        time.sleep(1.0 - datetime.now(UTC).microsecond / 1e6)
