"""A shop with one open job, for tests; and the rows of an archive laid side by side.

In: a folder. Out: a shop, its archive and a job. Nothing here reads the network or another folder.
"""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import TypeVar

from notebook.archive.store import Archive
from notebook.errors import NotebookError
from notebook.jobs.derive import reread_job
from notebook.jobs.intake import Intake, take_in
from notebook.jobs.opening import open_archive, open_job
from notebook.nouns import Job, Log, Remark
from notebook.shop import Shop, open_shop

Given = TypeVar("Given")
OPENED = datetime(2026, 3, 4, 8, 30, tzinfo=UTC)

HOSTILE = {
    "markup": '<script>alert(1)</script> & <b>bold</b> [link](x) *star* _line_ `tick` # head | cell "said"',
    "entity": "&lt;b&gt; is what the label says, &amp; nothing else",
    "colour": "\x1b[31mred\x1b[0m and \x1b]0;title\x07 then \x1b[2J",
    "one byte": "wiped \x9b2J and \x9d0;title\x9c",
    "bell": "ding\a dong\b\b\x7f \x00 end",
    "over": "bag \u202egnp.exe\u202c, \u2066left\u2069 and \u200fright\u200f mark",
    "emoji": "cracked \U0001f468\u200d\U0001f527 hub \U0001f1f3\U0001f1f4 \u2764\ufe0f \u05d0\u05d1\u05d2 \u0634\u062f",
    "lines": "first\u2028second\u2029third\x85fourth\x0bfifth\x0csixth",
}
"""Texts that a page, a terminal or a file of lines might take for its own."""

TERMINAL = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069]")
"""Control characters of ECMA-48 (C0, DEL, C1) but the line feed, overrides of UAX #9, and what else breaks a line."""


def is_one_line(text: str) -> bool:
    """Tell whether a message stays one line and drives no terminal."""
    return bool(text.strip()) and "\n" not in text and not TERMINAL.search(text)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """A shop, its archive and one open job."""

    shop: Shop
    archive: Archive
    job: Job

    def say(self, *remarks: str, name: str = "said.txt", person: str | None = None) -> Log:
        """Take remarks into the job as one file of words; give the log after it."""
        self.take(write_lines(self.shop.folder.parent / name, *remarks), person=person)
        return self.log()

    def take(self, *paths: Path, person: str | None = None) -> Intake:
        """Take files in."""
        return take_in(self.archive, self.shop, self.job, paths, person=person)

    def log(self) -> Log:
        """Load the log."""
        return self.archive.load_log(self.job)

    def reread(self) -> Log:
        """Read everything again."""
        return reread_job(self.archive, self.job, shop=self.shop)

    def remark(self, words: str) -> Remark:
        """Give the one remark that holds these words."""
        (found,) = [r for r in self.log().remarks if words in r.text]
        return found


@contextmanager
def open_bench(folder: Path, *, number: str = "2041", machine: str = "forestry winch") -> Iterator[Bench]:
    """Open a shop in a folder, with its job; the job is opened when it is not there."""
    shop = open_shop(folder / "shop")
    with open_archive(shop) as archive:
        found = archive.find_jobs(number)
        job = found[0] if found else open_job(archive, shop, number=number, machine=machine, opened=OPENED)
        yield Bench(shop=shop, archive=archive, job=job)


def try_it(call: Callable[[], Given]) -> Given | NotebookError:
    """Give what a call gives, or the error of the notebook that it raised."""
    try:
        return call()
    except NotebookError as told:
        return told


def write_lines(path: Path, *lines: str) -> Path:
    """Write a file of lines."""
    path.write_text("".join(f"{line}\n" for line in lines), encoding="utf-8", newline="")
    return path


def copy_shop(shop: Path, to: Path) -> Path:
    """Copy a shop that nothing runs in, so that two runs begin alike, ids and all."""
    return Path(shutil.copytree(shop, to))


def rows_of(shop: Path) -> list[str]:
    """Give every row of a shop's archive as text, without when it was migrated and how the index lies on the disk."""
    with sqlite3.connect(shop / "archive.db") as connection:
        lines = [
            line
            for line in connection.iterdump()
            if "_sqlite_migrations" not in line and "remark_words" not in line and "sqlite_sequence" not in line
        ]
    connection.close()
    return lines
