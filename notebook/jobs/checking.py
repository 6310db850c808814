"""Checks a shop: the database, every sound and picture by its hash, what lies about, what can be made again.

In: an archive and its shop. Out: a `Checked`. Changes nothing; `make_again` makes anew what follows from the record.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path

from notebook.archive.care import count_unread, find_damage, find_stale, lay_out_again, list_files
from notebook.archive.store import Archive
from notebook.reading.reader import reader_version
from notebook.shop import Shop

_BLOCK_BYTES = 1 << 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Checked:
    """What was found, a line each."""

    damage: tuple[str, ...]
    """Wrong inside the database."""
    missing: tuple[str, ...]
    """Originals that are not there."""
    changed: tuple[str, ...]
    """Originals whose bytes are not those that were taken in."""
    strays: tuple[str, ...]
    """Files that the archive does not know."""
    again: tuple[str, ...]
    """What can be made again."""
    file_count: int

    @property
    def is_whole(self) -> bool:
        """Tell whether nothing of the record is lost."""
        return not (self.damage or self.missing or self.changed)


def check_shop(archive: Archive, shop: Shop) -> Checked:
    """Check everything; reads every original once."""
    missing: list[str] = []
    changed: list[str] = []
    again: list[str] = []
    known: dict[str, bool] = {}
    for file in list_files(archive):
        path = shop.folder / file.path
        is_new = file.path not in known
        known[file.path] = True
        if not is_new:
            continue
        about = f"{file.path} ({file.what} of job {file.job_number})"
        if not path.is_file():
            (again if file.what == "thumbnail" else missing).append(about)
        elif file.sha256 is not None and _sha256(path) != file.sha256:
            changed.append(about)
    again += find_stale(archive)
    unread = count_unread(archive, reader_version(shop.words))
    if unread:
        again.append(f"entries of {unread} jobs, read by other rules than today's (teardown reread)")
    return Checked(
        damage=tuple(find_damage(archive)), missing=tuple(missing), changed=tuple(changed), strays=tuple(_strays(archive, shop, known)),
        again=tuple(again), file_count=len(known),
    )  # fmt: skip


def make_again(archive: Archive) -> None:
    """Make the index of words and the entries laid out for asking again."""
    lay_out_again(archive)


def _strays(archive: Archive, shop: Shop, known: dict[str, bool]) -> list[str]:
    """Give files and folders that belong to no job; sound that is still being kept is no stray."""
    jobs = {job.id for job in archive.all_jobs()}
    found = []
    for folder in sorted((shop.folder / "jobs").glob("*")):
        if folder.name not in jobs:
            found.append(f"jobs/{folder.name} (no such job)")
            continue
        for path in sorted(folder.rglob("*")):
            said = path.relative_to(shop.folder).as_posix()
            if (
                path.is_file()
                and said not in known
                and (path.suffix == ".part" or path.parent.name in ("sound", "photos"))
            ):
                if path.suffix not in (".raw", ".json", ".toml"):
                    found.append(said)
    return found


def _sha256(path: Path) -> str:
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while block := file.read(_BLOCK_BYTES):
            digest.update(block)
    return digest.hexdigest()
