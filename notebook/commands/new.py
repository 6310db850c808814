"""`teardown new`: open a job."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from notebook.commands.common import json_option, read_time, say_json, shop_option, with_options


@click.command("new")
@click.argument("number")
@click.option("--machine", required=True, help='What it is: "forestry winch".')
@click.option("--plate", help="Plate number or shop tag; the same tag is the same machine.")
@click.option("--owner-ref", help="The owner's own reference.")
@click.option("--reading", help='What its clock or meter shows: "4318 h".')
@click.option("--opened", help="When it came in (2026-03-04); now when left out.")
@with_options(shop_option, json_option)
def command(
    number: str,
    machine: str,
    plate: str | None,
    owner_ref: str | None,
    reading: str | None,
    opened: str | None,
    shop_folder: Path | None,
    as_json: bool,
) -> None:
    """Open job NUMBER for a machine."""
    from notebook.jobs.opening import open_archive, open_job
    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        job = open_job(
            archive, shop, number=number, machine=machine, plate=plate, owner_ref=owner_ref, reading=reading,
            opened=read_time(opened, shop.settings.zone) or datetime.now(UTC),
        )  # fmt: skip
    if as_json:
        say_json({"id": job.id, "number": job.number, "machine": job.machine.kind, "plate": job.machine.plate})
    else:
        click.echo(f"Job {job.number} is open: {job.machine.kind}.")
