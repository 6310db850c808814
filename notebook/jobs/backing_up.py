"""Backs a shop up into one file, and puts such a file back.

In: a shop, or a backup. Out: one file that any unzip program can open, or a shop folder. The file holds the database as
it was at one moment, every sound and picture, the settings, and `contents.json` with the SHA-256 of each; its last 64
bytes are the SHA-256 of all before them. A backup that is cut short or has one wrong byte is refused whole.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import zipfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath
from typing import IO, Any

from notebook.archive.care import copy_database, list_files, newest_job_n, note_backup, refuse_damaged_file
from notebook.archive.store import Archive
from notebook.errors import WRONG_USE, NotebookError, Problem, one_line
from notebook.shop import Shop

CONTENTS = "contents.json"
SUFFIX = ".teardown-backup.zip"
_LEFT_OUT = (".part", "-wal", "-shm", "-journal", ".lock")
_SEAL_BYTES = 64
_BLOCK_BYTES = 1 << 20
_AGAIN = "Make the backup again from the shop, or use another one."


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeFile:
    """A backup as it was made."""

    path: Path
    file_count: int
    bytes: int
    sha256: str
    problems: tuple[Problem, ...] = ()


def make_backup(archive: Archive, shop: Shop, target: Path, now: datetime) -> MadeFile:
    """Write a backup beside, check it byte by byte, and only then give it its name."""
    if target.is_dir() or not target.suffix:
        target = target / f"{now:%Y-%m-%d-%H%M%S}{SUFFIX}"
    if target.exists():
        raise NotebookError(
            f"{one_line(str(target))} is there already; it was left as it is.", "Give another name.", WRONG_USE
        )
    problems: list[Problem] = []
    with _telling_disk(target):
        target.parent.mkdir(parents=True, exist_ok=True)
        part = target.with_name(f".{target.name}.part")
        copy = target.with_name(f".{target.name}.db.part")
        try:
            newest = newest_job_n(archive)
            copy_database(archive, copy)
            listed = _write_zip(archive, shop, copy, part, now, problems)
            sha256 = _seal(part)
            with _opened(part):
                pass
            part.replace(target)
            _make_lasting(target.parent)
        finally:
            for path in (part, copy):
                with suppress(OSError):
                    path.unlink()
    note_backup(archive, target.resolve(), now, sha256, newest)
    return MadeFile(
        path=target, file_count=len(listed), bytes=target.stat().st_size, sha256=sha256, problems=tuple(problems)
    )


def restore_backup(backup: Path, folder: Path) -> int:
    """Put a backup back as a shop folder that was not there or was empty; give how many files.

    Nothing is at the folder until everything was checked.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise NotebookError(
            f"{one_line(str(folder))} is not empty; nothing was changed.",
            "Name a folder that is not there yet with --shop DIR, or move this one away.",
            WRONG_USE,
        )
    with _telling_disk(folder):
        folder.parent.mkdir(parents=True, exist_ok=True)
        beside = folder.with_name(f".{folder.name}.restoring")
        shutil.rmtree(beside, ignore_errors=True)
        try:
            with _opened(backup) as (box, contents):
                for name, said in contents["files"].items():
                    _unpack(box, name, said["sha256"], beside / name)
            refuse_damaged_file(beside / "archive.db")
            for made in ("jobs", "limits"):
                (beside / made).mkdir(exist_ok=True)
            if folder.exists():
                folder.rmdir()
            beside.replace(folder)
            _make_lasting(folder.parent)
        finally:
            shutil.rmtree(beside, ignore_errors=True)
    return len(contents["files"])


def look_into_backup(backup: Path) -> dict[str, Any]:
    """Give what a backup holds; raises NotebookError where it is not whole."""
    with _telling_disk(backup), _opened(backup) as (_, contents):
        return contents


# --- writing -----------------------------------------------------------------------------------------------


def _write_zip(
    archive: Archive, shop: Shop, copy: Path, part: Path, now: datetime, problems: list[Problem]
) -> dict[str, Any]:
    known = {f.path: f.sha256 for f in list_files(archive) if f.sha256}
    listed: dict[str, Any] = {}
    with zipfile.ZipFile(part, "x", zipfile.ZIP_STORED, allowZip64=True) as box:
        listed["archive.db"] = _pack(box, "archive.db", copy, zipfile.ZIP_DEFLATED)
        for name in sorted(_files_of(shop.folder)):
            try:
                listed[name] = _pack(box, name, shop.folder / name, zipfile.ZIP_STORED)
            except FileNotFoundError:
                continue
            if known.get(name) not in (None, listed[name]["sha256"]):
                problems.append(
                    Problem(
                        about=name,
                        message="is not what was taken in: its bytes have changed.",
                        remedy="Look at it with: teardown check",
                    )
                )
        for name in sorted(known.keys() - listed.keys()):
            problems.append(Problem(about=name, message="is missing in the shop folder, and so in the backup."))
        contents = {"made": now.isoformat(), "files": listed}
        box.writestr(CONTENTS, json.dumps(contents, indent=1), zipfile.ZIP_DEFLATED)
        box.comment = b"0" * _SEAL_BYTES
    return listed


def _files_of(folder: Path) -> Iterator[str]:
    for place, _, names in os.walk(folder):
        for name in names:
            path = Path(place) / name
            said = path.relative_to(folder).as_posix()
            if (
                said != "archive.db"
                and not name.endswith(_LEFT_OUT)
                and path.is_file()
                and not path.is_symlink()
                and not name.endswith(SUFFIX)
            ):
                yield said


def _pack(box: zipfile.ZipFile, name: str, path: Path, how: int) -> dict[str, Any]:
    """Put a file in and give the SHA-256 of what was put in, also where the file grows meanwhile."""
    digest, size = hashlib.sha256(), 0
    shown = zipfile.ZipInfo.from_file(path, name, strict_timestamps=False)
    shown.compress_type = how
    with path.open("rb") as source, box.open(shown, "w", force_zip64=True) as target:
        while block := source.read(_BLOCK_BYTES):
            digest.update(block)
            size += len(block)
            target.write(block)
    return {"sha256": digest.hexdigest(), "bytes": size}


def _seal(path: Path) -> str:
    """Write the SHA-256 of the file into its last bytes, where the zip format keeps a note."""
    with path.open("r+b") as file:
        digest = _digest(file, path.stat().st_size - _SEAL_BYTES)
        file.seek(-_SEAL_BYTES, os.SEEK_END)
        file.write(digest.encode())
        file.flush()
        os.fsync(file.fileno())
    return digest


# --- reading -----------------------------------------------------------------------------------------------


@contextmanager
def _opened(path: Path) -> Iterator[tuple[zipfile.ZipFile, dict[str, Any]]]:
    """Open a backup whose seal is right, with its list of contents."""
    with path.open("rb") as file:
        size = path.stat().st_size
        file.seek(max(0, size - _SEAL_BYTES))
        seal = file.read()
        file.seek(0)
        if size <= _SEAL_BYTES or _digest(file, size - _SEAL_BYTES).encode() != seal:
            raise NotebookError(
                f"{one_line(path.name)} is no whole backup: it was cut short, or bytes in it are wrong. Nothing was changed.",
                _AGAIN,
            )
    try:
        with zipfile.ZipFile(path) as box:
            contents = json.loads(box.read(CONTENTS))
            _refuse_strange(path, box, contents)
            yield box, contents
    except (zipfile.BadZipFile, KeyError, ValueError, TypeError) as error:
        raise NotebookError(f"{one_line(path.name)} is no backup of a shop. Nothing was changed.", _AGAIN) from error


def _refuse_strange(path: Path, box: zipfile.ZipFile, contents: dict[str, Any]) -> None:
    names = box.namelist()
    is_whole = "archive.db" in contents["files"] and sorted(names) == sorted([*contents["files"], CONTENTS])
    if not is_whole or not all(_stays_inside(name) for name in names):
        raise NotebookError(f"{one_line(path.name)} holds other files than it lists. Nothing was changed.", _AGAIN)


def _stays_inside(name: str) -> bool:
    path = PurePosixPath(name)
    return (
        not path.is_absolute() and ".." not in path.parts and "\\" not in name and ":" not in name and bool(path.parts)
    )


def _unpack(box: zipfile.ZipFile, name: str, sha256: str, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    digest = hashlib.sha256()
    with box.open(name) as source, target.open("xb") as file:
        while block := source.read(_BLOCK_BYTES):
            digest.update(block)
            file.write(block)
        file.flush()
        os.fsync(file.fileno())
    if digest.hexdigest() != sha256:
        raise NotebookError(f"{one_line(name)} in the backup is not what was put in. Nothing was changed.", _AGAIN)


def _digest(file: IO[bytes], size: int) -> str:
    digest = hashlib.sha256()
    while size > 0 and (block := file.read(min(_BLOCK_BYTES, size))):
        digest.update(block)
        size -= len(block)
    return digest.hexdigest()


def _make_lasting(folder: Path) -> None:
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def _telling_disk(path: Path) -> Iterator[None]:
    try:
        yield
    except FileNotFoundError as error:
        raise NotebookError(
            f"{one_line(str(error.filename or path))} is not there; nothing was changed.", "Check the name."
        ) from error
    except OSError as error:
        raise NotebookError(
            f"{one_line(str(path))} could not be written or read ({error.strerror or error}); nothing was changed.",
            "Free some room or check the rights, and run the same command again.",
        ) from error
