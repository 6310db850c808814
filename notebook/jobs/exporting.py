"""Writes the archive out as tables (CSV) or whole jobs (JSON), for other programs.

In: an archive. Out: files in a folder. Never changes the archive.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path

from notebook.archive.care import read_view
from notebook.archive.store import Archive
from notebook.documents.log_json import log_json
from notebook.errors import WRONG_USE, NotebookError, one_line

TABLES = {
    "findings.csv": "all_findings", "measurements.csv": "all_measurements", "dispositions.csv": "all_dispositions", "fasteners.csv": "all_fasteners",
    "places.csv": "all_places", "remarks.csv": "all_remarks", "jobs.csv": "all_jobs",
}  # fmt: skip
_LIKE_A_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def export_tables(archive: Archive, folder: Path) -> dict[str, int]:
    """Write a CSV file a table; give how many rows each has.

    Text that a spreadsheet would run as a formula gets an apostrophe before it.
    """
    _make_folder(folder)
    written = {}
    for name, view in TABLES.items():
        columns, found = read_view(archive, view)
        with (folder / name).open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(columns)
            count = 0
            for row in found:
                writer.writerow([_plain(value) for value in row])
                count += 1
        written[name] = count
    return written


def export_jobs(archive: Archive, folder: Path) -> dict[str, int]:
    """Write every job whole, one a line, as `teardown log --json` gives it."""
    _make_folder(folder)
    count = 0
    with (folder / "jobs.jsonl").open("w", encoding="utf-8") as file:
        for job in archive.all_jobs():
            file.write(json.dumps(log_json(archive.load_log(job)), ensure_ascii=False) + "\n")
            count += 1
    return {"jobs.jsonl": count}


def _make_folder(folder: Path) -> None:
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise NotebookError(
            f"{one_line(str(folder))} is not empty; nothing was written.", "Give an empty folder.", WRONG_USE
        )
    folder.mkdir(parents=True, exist_ok=True)


def _plain(value: object) -> object:
    if isinstance(value, str) and value.startswith(_LIKE_A_FORMULA):
        return f"'{value}"
    return value
