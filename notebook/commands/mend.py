"""`teardown mend`: correct a remark or one of its entries."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import click

from notebook.commands.common import json_option, person_option, say_json, shop_option, with_options
from notebook.errors import WRONG_USE, NotebookError, one_line


@click.command("mend")
@click.argument("number")
@click.argument("remark")
@click.option("--entry", "entry_id", help="Which entry (see teardown log NUMBER --ids); not needed when there is one.")
@click.option("--text", help="What was really said.")
@click.option(
    "--set", "sets", multiple=True, metavar="FIELD=VALUE", help="Give a field another value; may be given again."
)
@click.option("--add", "kind", metavar="KIND", help="Add an entry of this kind, its fields with --set.")
@click.option("--strike", is_flag=True, help="Strike the entry out.")
@click.option("--accept", is_flag=True, help="Accept the entry as it stands, doubt and all.")
@with_options(person_option, shop_option, json_option)
def command(
    number: str, remark: str, entry_id: str | None, text: str | None, sets: tuple[str, ...], kind: str | None, strike: bool, accept: bool,
    person: str | None, shop_folder: Path | None, as_json: bool,
) -> None:  # fmt: skip
    """Correct REMARK (its number in the log) of job NUMBER. What was read stays on record; the mend wins."""
    from notebook.documents.log_json import remark_json
    from notebook.documents.words import entry_words, part_name
    from notebook.jobs.mending import add_entry, find_remark, mend_entry, mend_text
    from notebook.jobs.opening import find_job, open_archive
    from notebook.shop import open_shop

    wanted = [bool(text is not None), bool(sets) and kind is None, kind is not None, strike, accept]
    if sum(wanted) != 1:
        raise NotebookError("Say one thing to do.", "Give --text, --set, --add KIND, --strike or --accept.", WRONG_USE)
    changes = dict(_pair(s) for s in sets)
    shop = open_shop(shop_folder)
    now = datetime.now(UTC)
    with open_archive(shop) as archive:
        job = find_job(archive, number)
        found = find_remark(archive.load_log(job), remark)
        if text is not None:
            log = mend_text(archive, job, found, text, person=person, now=now, shop=shop)
        elif kind is not None:
            log = add_entry(archive, job, found, kind, changes, person=person, now=now, shop=shop)
        else:
            action = "strike" if strike else "accept" if accept else "set"
            log = mend_entry(
                archive, job, found, entry_id, action=action, changes=changes, person=person, now=now, shop=shop
            )
    after = next(r for r in log.remarks if r.id == found.id)
    if as_json:
        say_json(remark_json(after, log))
        return
    click.echo(f'Remark {after.order}: "{one_line(after.text)}"')
    for entry in after.entries:
        words = one_line(f"{part_name(entry)}: {entry_words(entry)}")
        click.echo(f"  {entry.kind}: {words}{'  (mended)' if entry.mended else ''}")


def _pair(text: str) -> tuple[str, str]:
    field, sign, value = text.partition("=")
    if not sign or not field:
        raise NotebookError(f"{text!r} is not FIELD=VALUE.", "Write for example --set condition=cracked.", WRONG_USE)
    return field.strip(), value.strip()
