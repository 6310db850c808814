"""`teardown places`: what is in every bag, tray and shelf now."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from notebook.commands.common import json_option, person_option, say_json, shop_option, with_options
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError


@click.command("places")
@click.argument("place", required=False)
@click.option("--emptied", is_flag=True, help="Note that PLACE was emptied.")
@with_options(person_option, shop_option, json_option)
def command(place: str | None, emptied: bool, person: str | None, shop_folder: Path | None, as_json: bool) -> int:
    """Show what is in every place now, over all open jobs, or what is in PLACE ("bag 7")."""
    from notebook.documents.places_text import places_json, places_text
    from notebook.jobs.opening import open_archive
    from notebook.jobs.placing import empty_place, known_place, shop_places
    from notebook.shop import open_shop

    if emptied and place is None:
        raise NotebookError("Say which place was emptied.", 'For example: teardown places "bag 7" --emptied', WRONG_USE)
    shop = open_shop(shop_folder)
    with open_archive(shop) as archive:
        places = shop_places(archive)
        if place is not None:
            found = known_place(places, place)
            places = (found,)
            if emptied:
                empty_place(archive, shop, found, person=person, now=datetime.now(UTC))
                click.echo(f"{found.name} is empty.")
                return 0
    if as_json:
        say_json(places_json(places))
    else:
        click.echo(places_text(places), nl=False)
    return 0 if places else NOTHING_FOUND
