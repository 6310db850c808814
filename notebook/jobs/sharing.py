"""Jobs as one file: out to another bench, and in from one.

In: the archive, job numbers, a path. Out: a zip of JSON lines with sound and pictures, or the jobs of one taken in.
The format, documented in DEVELOPERS.md: `share.json` (format, number of files and bytes), `jobs/<id>/<table>.jsonl`
(one row a line), `jobs/<id>/sound/...`, `jobs/<id>/photos/...`, `files.sha256` (a line "hash  path" for every other file,
as `sha256sum --check` reads it), and when asked `vocabulary.toml` and `limits/*.toml`.

Everything is checked before anything is changed: a share that is wrong anywhere is refused whole.
"""

from __future__ import annotations

import hashlib
import json
import re
import shutil
import tempfile
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path, PurePosixPath
from typing import Any

from notebook.archive.shared_rows import TABLES, Row, check_rows, put_in, rows_of_job
from notebook.archive.store import Archive
from notebook.errors import COULD_NOT, WRONG_USE, NotebookError, one_line
from notebook.jobs.derive import reread_job
from notebook.jobs.opening import find_job
from notebook.nouns import Job
from notebook.shop import Shop

FORMAT = 1
_FIXED_TIME = (2000, 1, 1, 0, 0, 0)
"""A share made twice of the same jobs is the same, byte for byte."""
_MOST_FILES = 200_000
_MOST_BYTES = 200 * 2**30
_MOST_JSON_BYTES = 2**31
_PATH = re.compile(
    r"^(share\.json|files\.sha256|vocabulary\.toml|limits/[^/]+\.toml|jobs/[0-9a-f-]{36}/(?:[a-z_]+\.jsonl|(?:sound|photos)/[^/]+))$"
)
_ID = re.compile(r"^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What a share brought."""

    jobs: tuple[Job, ...]
    new_rows: int
    new_files: int


def write_share(
    archive: Archive,
    shop: Shop,
    numbers: Sequence[str],
    path: Path,
    *,
    with_words: bool = False,
    with_limits: bool = False,
) -> int:
    """Write jobs as one file; give how many files are in it. Raises NotebookError where a job or an original is missing."""
    if path.exists():
        raise NotebookError(
            f"{one_line(str(path))} is there already; nothing was written.", "Give another name.", WRONG_USE
        )
    jobs = [find_job(archive, number) for number in numbers]
    sums: list[str] = []
    with tempfile.TemporaryDirectory(dir=path.parent) as folder:
        made = Path(folder) / "share.zip"
        with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as share:
            for job in jobs:
                rows = rows_of_job(archive, job.id)
                for table, listed in rows.items():
                    lines = "".join(json.dumps(row, ensure_ascii=False, sort_keys=True) + "\n" for row in listed)
                    _add(share, f"jobs/{job.id}/{table}.jsonl", lines.encode(), sums)
                for name in _originals(rows):
                    _add_file(share, shop.folder / name, name, sums)
            if with_words and (shop.folder / "vocabulary.toml").exists():
                _add_file(share, shop.folder / "vocabulary.toml", "vocabulary.toml", sums)
            for sheet in sorted((shop.folder / "limits").glob("*.toml")) if with_limits else ():
                _add_file(share, sheet, f"limits/{sheet.name}", sums)
            head = {"format": FORMAT, "jobs": [job.id for job in jobs], "files": len(sums)}
            _add(share, "share.json", json.dumps(head, indent=1).encode() + b"\n", sums)
            _add(share, "files.sha256", "".join(sorted(sums, key=lambda s: s.split("  ")[1])).encode(), [])
        made.replace(path)
    return len(sums)


def _originals(rows: dict[str, list[Row]]) -> Iterator[str]:
    for table, columns in (("recording", ("path",)), ("photo", ("path", "thumbnail_path"))):
        for row in rows[table]:
            yield from (row[c] for c in columns if row.get(c))


def _add(share: zipfile.ZipFile, name: str, content: bytes, sums: list[str]) -> None:
    share.writestr(zipfile.ZipInfo(name, _FIXED_TIME), content, zipfile.ZIP_DEFLATED)
    sums.append(f"{hashlib.sha256(content).hexdigest()}  {name}\n")


def _add_file(share: zipfile.ZipFile, path: Path, name: str, sums: list[str]) -> None:
    if not path.is_file():
        raise NotebookError(
            f"{one_line(name)} is missing in this shop; no share was written.",
            "Run `teardown check`, or put it back from a backup.",
            COULD_NOT,
        )
    content = hashlib.sha256()
    with path.open("rb") as source, share.open(zipfile.ZipInfo(name, _FIXED_TIME), "w", force_zip64=True) as into:
        while piece := source.read(2**20):
            content.update(piece)
            into.write(piece)
    sums.append(f"{content.hexdigest()}  {name}\n")


def read_share(archive: Archive, shop: Shop, path: Path) -> Taken:
    """Take a share in; what is there already stays, what is wrong anywhere refuses the whole, with nothing changed."""
    try:
        with zipfile.ZipFile(path) as share, tempfile.TemporaryDirectory(dir=shop.folder) as folder:
            unpacked = _unpack(share, Path(folder))
            return _take_in(archive, shop, Path(folder), unpacked)
    except (
        zipfile.BadZipFile,
        zipfile.LargeZipFile,
        EOFError,
        OSError,
        NotImplementedError,
        RuntimeError,
        UnicodeDecodeError,
    ) as error:
        if isinstance(error, OSError) and error.errno is not None and not isinstance(error, FileNotFoundError):
            raise
        raise _refused(path, f"cannot be read ({one_line(str(error))})") from error


def _unpack(share: zipfile.ZipFile, folder: Path) -> dict[str, Path]:
    """Unpack into a folder beside, hash by hash; refuses what climbs out, is too large, is not listed or differs."""
    name = Path(share.filename or "share")
    members = share.infolist()
    if len(members) > _MOST_FILES or len({m.filename for m in members}) != len(members):
        raise _refused(name, "holds too many files, or one twice")
    if sum(m.file_size for m in members) > min(_MOST_BYTES, shutil.disk_usage(folder).free // 2):
        raise _refused(name, "would unpack to more than there is room for")
    for member in members:
        if not _PATH.match(member.filename) or ".." in PurePosixPath(member.filename).parts or member.is_dir():
            raise _refused(name, f"holds a file that belongs in no share: {one_line(member.filename[:80])}")
        if member.filename.endswith((".jsonl", ".json", ".sha256", ".toml")) and member.file_size > _MOST_JSON_BYTES:
            raise _refused(name, "holds a list that is too long")
    listed = {m.filename for m in members}
    if not {"share.json", "files.sha256"} <= listed:
        raise _refused(name, "is no share of this notebook")
    head = _json(share.read("share.json"), name)
    if not isinstance(head, dict) or not isinstance(head.get("format"), int):
        raise _refused(name, "is no share of this notebook")
    if head["format"] > FORMAT:
        raise _refused(
            name, f"is of a newer format ({head['format']}; this notebook reads {FORMAT})", "Update this notebook."
        )
    lines = [line.split("  ", 1) for line in share.read("files.sha256").decode().splitlines() if "  " in line]
    sums = {path: content for content, path in lines}
    if set(sums) != listed - {"files.sha256"}:
        raise _refused(name, "holds files that its list does not name, or lacks some that it does")
    out = {}
    for member in members:
        if member.filename == "files.sha256":
            continue
        target = folder / member.filename
        target.parent.mkdir(parents=True, exist_ok=True)
        if _copy(share, member, target) != sums[member.filename]:
            raise _refused(name, f"has a wrong hash for {one_line(member.filename)}")
        out[member.filename] = target
    return out


def _copy(share: zipfile.ZipFile, member: zipfile.ZipInfo, target: Path) -> str:
    """Unpack one file, never more of it than it says it holds; give its SHA-256."""
    content, size = hashlib.sha256(), 0
    with share.open(member) as source, target.open("wb") as into:
        while piece := source.read(2**20):
            size += len(piece)
            if size > member.file_size:
                raise _refused(Path(share.filename or "share"), "holds a file that is larger than it says")
            content.update(piece)
            into.write(piece)
    return content.hexdigest()


def _take_in(archive: Archive, shop: Shop, folder: Path, unpacked: dict[str, Path]) -> Taken:
    ids = sorted({name.split("/")[1] for name in unpacked if name.startswith("jobs/")})
    jobs_rows = {job_id: _rows(unpacked, job_id, folder) for job_id in ids}
    for job_id, rows in jobs_rows.items():
        check_rows(archive, rows)
        if (
            not _ID.match(job_id)
            or rows["job"][0].get("id") != job_id
            or not all(_is_own(name, job_id) and name in unpacked for name in _originals(rows))
        ):
            raise _refused(folder, "names an original that it does not hold, or one of another job")
    count = files = 0
    with archive.all_or_nothing():
        for rows in jobs_rows.values():
            count += put_in(archive, rows)
        files = sum(
            _put_file(unpacked[name], shop.folder / name)
            for name in unpacked
            if "/sound/" in name or "/photos/" in name
        )
    files += sum(_put_file(path, shop.folder / name) for name, path in unpacked.items() if name.startswith("limits/"))
    words = shop.folder / "vocabulary.toml"
    if "vocabulary.toml" in unpacked and not words.exists():
        files += _put_file(unpacked["vocabulary.toml"], words)
    jobs = [job for job_id in ids for job in archive.find_jobs(job_id) if job.id == job_id]
    for job in jobs:
        reread_job(archive, job, shop=shop)
    return Taken(jobs=tuple(jobs), new_rows=count, new_files=files)


def _rows(unpacked: dict[str, Path], job_id: str, folder: Path) -> dict[str, list[Row]]:
    rows: dict[str, list[Row]] = {}
    for table in TABLES:
        path = unpacked.get(f"jobs/{job_id}/{table}.jsonl")
        rows[table] = (
            [_json(line.encode(), folder) for line in path.read_text("utf-8").splitlines() if line] if path else []
        )
    return rows


def _is_own(name: str, job_id: str) -> bool:
    return name.startswith((f"jobs/{job_id}/sound/", f"jobs/{job_id}/photos/")) and bool(_PATH.match(name))


def _put_file(source: Path, target: Path) -> bool:
    """Put a file in its place where there is none; give whether it was new."""
    if target.exists():
        return False
    target.parent.mkdir(parents=True, exist_ok=True)
    source.replace(target)
    return True


def _json(text: bytes, name: Path) -> Any:
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        raise _refused(name, "holds a line that is no JSON") from error


def _refused(path: Path, why: str, remedy: str = "Ask for it again.") -> NotebookError:
    return NotebookError(f"{one_line(path.name)} {why}; nothing was taken in.", remedy, COULD_NOT)
