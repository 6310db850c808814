"""Find the speech weights and check that they are what their card says.

In: the name of a card, or a folder that the user brought. Out: a checked folder, or one clear line why not.
Never fetches anything (see `place`), and never hands a name to a library that would.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from notebook.audio.model_cards import ModelCard, read_cards
from notebook.errors import WRONG_USE, NotebookError

NEEDED_FILES = ("model.bin", "config.json", "tokenizer.json")
MEMORY_FILE = "checked.json"
"""Beside the weights: size, time and SHA-256 of each file when it was last read through."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelState:
    """Whether a known model is in place, for the doctor."""

    name: str
    what: str
    licence: str
    size_bytes: int
    folder: Path
    in_place: bool
    trouble: str = ""
    """Why it is not in place or cannot be used; empty when all is well."""


def stay_offline() -> None:
    """Tell the libraries of model hubs, before they are loaded, to open no connection."""
    os.environ["HF_HUB_OFFLINE"] = "1"
    os.environ["HF_HUB_DISABLE_TELEMETRY"] = "1"


def find_models_home() -> Path:
    """Give the folder where weights are placed: `TEARDOWN_MODELS`, else the user's cache."""
    told = os.environ.get("TEARDOWN_MODELS")
    if told:
        with contextlib.suppress(RuntimeError):
            return Path(told).expanduser()
        return Path(told)
    from platformdirs import user_cache_path

    return user_cache_path("teardown-notebook", appauthor=False) / "models"


def find_model(name_or_folder: str | Path) -> Path:
    """Give the checked folder of a known model or of one the user brought.

    The size of every file is compared each time, its SHA-256 once and again after it changed.
    Raises NotebookError when it is unknown, not in place, incomplete or not what its card says.
    """
    stay_offline()
    card = read_cards().get(str(name_or_folder))
    if card is not None:
        return check_model(card, find_models_home() / card.name)
    folder = _as_folder(name_or_folder)
    if folder is None:
        known = ", ".join(read_cards())
        raise NotebookError(
            f"'{name_or_folder}' is neither a known speech model nor a folder, and nothing is fetched from a hub.",
            f"Name one of {known}, or the folder of a model laid out for CTranslate2.",
            WRONG_USE,
        )
    _check_complete(folder)
    card = read_cards().get(folder.name)
    if card is not None and folder.resolve().parent == find_models_home().resolve():
        return check_model(card, folder)
    read_model_sha256(folder)
    return folder


def check_model(card: ModelCard, folder: Path) -> Path:
    """Compare every file of a placed model with its card; give the folder, or raise NotebookError."""
    if not folder.is_dir():
        raise NotebookError(
            f"The speech model {card.name} is not in place; sound is kept safe without it.",
            f"Run `python -m notebook.audio.place {card.name}` once, with a network.",
        )
    again = f"Run `python -m notebook.audio.place {card.name}` to put it in place again."
    for file in card.files:
        path = folder / file.name
        if not path.is_file():
            raise NotebookError(f"The speech model {card.name} has no {file.name}.", again)
        if path.stat().st_size != file.size_bytes:
            raise NotebookError(
                f"{file.name} of the speech model {card.name} has {path.stat().st_size} bytes instead of"
                f" {file.size_bytes} and is not used.",
                again,
            )
    for file in card.files:
        if _remembered_sha256(folder, file.name) != file.sha256:
            raise NotebookError(
                f"{file.name} of the speech model {card.name} does not have the SHA-256 on its card and is not used.",
                again,
            )
    return folder


def read_model_sha256(folder: Path) -> str:
    """Give the SHA-256 of a model's `model.bin`, read through once and then remembered."""
    return _remembered_sha256(folder, "model.bin")


def name_model(folder: Path) -> str:
    """Name a model by the card whose weights it has, else by its folder."""
    found = read_model_sha256(folder)
    for card in read_cards().values():
        if any(file.name == "model.bin" and file.sha256 == found for file in card.files):
            return card.name
    return folder.resolve().name


def list_models() -> tuple[ModelState, ...]:
    """Say of every known model whether it is in place and sound."""
    states = []
    for card in read_cards().values():
        folder = find_models_home() / card.name
        trouble = ""
        try:
            check_model(card, folder)
        except NotebookError as error:
            trouble = str(error)
        states.append(
            ModelState(
                name=card.name,
                what=card.what,
                licence=card.licence,
                size_bytes=card.size_bytes,
                folder=folder,
                in_place=not trouble,
                trouble=trouble,
            )
        )
    return tuple(states)


def sha256_of_file(path: Path) -> str:
    """Read a file through and give its SHA-256; flat memory."""
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _as_folder(name: str | Path) -> Path | None:
    try:
        folder = Path(name).expanduser()
        return folder if folder.is_dir() else None
    except (OSError, RuntimeError, ValueError):
        # Too long for a name, or the home of nobody.
        return None


def _check_complete(folder: Path) -> None:
    missing = [name for name in NEEDED_FILES if not (folder / name).is_file()]
    if missing:
        raise NotebookError(
            f"The folder {folder} holds no speech model that can be used: {', '.join(missing)} missing.",
            "Bring the whole folder of a model laid out for CTranslate2; nothing is fetched to fill it up.",
            WRONG_USE,
        )


def _remembered_sha256(folder: Path, name: str) -> str:
    try:
        stat = (folder / name).stat()
        known = _read_memory(folder)
        seen = known.get(name)
        if isinstance(seen, dict) and (seen.get("size_bytes"), seen.get("mtime_ns")) == (
            stat.st_size,
            stat.st_mtime_ns,
        ):
            return str(seen.get("sha256"))
        found = sha256_of_file(folder / name)
    except OSError as error:
        raise NotebookError(
            f"{name} in {folder} cannot be read: {error.strerror}.", "Check its permissions."
        ) from error
    known[name] = {"size_bytes": stat.st_size, "mtime_ns": stat.st_mtime_ns, "sha256": found}
    _write_memory(folder, known)
    return found


def _read_memory(folder: Path) -> dict[str, Any]:
    try:
        known = json.loads((folder / MEMORY_FILE).read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return known if isinstance(known, dict) else {}


def _write_memory(folder: Path, known: dict[str, Any]) -> None:
    # A folder that may not be written to is only read through again the next time.
    with contextlib.suppress(OSError):
        beside = folder / f".{MEMORY_FILE}.{os.getpid()}"
        beside.write_text(json.dumps(known, indent=1), "utf-8")
        beside.replace(folder / MEMORY_FILE)
