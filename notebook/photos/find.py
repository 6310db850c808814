"""Which files in these places are pictures, by their names.

In: files and folders, as a person gave them. Out: paths, sorted, each once.
Never opens a picture, never follows a link to a folder, never writes.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from pathlib import Path

PICTURE_SUFFIXES = frozenset({".jpg", ".jpeg", ".jpe", ".jfif", ".png", ".heic", ".heif", ".hif", ".webp"})


def find_pictures(paths: Iterable[Path]) -> list[Path]:
    """List the pictures among files and in folders and all below them, a card's DCIM tree too.

    Suffixes in any case; hidden files and folders are left out, and so are the `._` files that
    some computers leave beside pictures on a card. A folder that cannot be opened, and a file
    that is not there, are given back themselves, so that taking them in says why it failed.
    """
    found: set[Path] = set()
    for path in paths:
        if path.is_dir():
            found.update(_walk(path))
        elif _is_picture_name(path.name):
            found.add(path)
    return sorted(found)


def _walk(folder: Path) -> Iterator[Path]:
    closed: list[Path] = []
    for here, folders, files in os.walk(folder, onerror=lambda why: closed.append(Path(why.filename))):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in files:
            path = Path(here, name)
            if _is_picture_name(name) and (path.is_file() or path.is_symlink()):
                yield path
    yield from closed


def _is_picture_name(name: str) -> bool:
    return not name.startswith(".") and Path(name).suffix.lower() in PICTURE_SUFFIXES
