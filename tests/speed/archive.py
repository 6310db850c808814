"""Measure asking, opening and adding on archives of ten thousand to a million remarks, beside bare SQLite.

    python -m tests.speed.archive [--jobs 400 4000 40000] [--keep FOLDER]

In: archives made from a seed (`made_jobs`; kept in FOLDER when one is named, else made and taken away). Out: for each
archive and each sort of question the median and the 95th of a hundred milliseconds inside a running program, and beside
it the floor: the very statements that the question ran, run again by themselves through Python's sqlite3 with all rows
fetched. Milliseconds are of the processor, for other work runs beside; the time on the clock of all questions is told too.
"""

from __future__ import annotations

import argparse
import gc
import sqlite3
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from notebook.archive.asking import MOST_SAID
from notebook.archive.store import Archive
from notebook.entries import Finding
from notebook.history.ask import answer_question
from notebook.history.precedent import find_precedent
from notebook.jobs.opening import open_archive
from notebook.nouns import Remark
from notebook.shop import open_shop
from tests.speed.made_archive import fill_archive
from tests.speed.made_jobs import make_jobs

SEED = 7
NOW = datetime(2026, 1, 5, 12, tzinfo=UTC)
TIMES = 5
ASKED: dict[str, tuple[str, ...]] = {
    "a part and its condition": (
        "which jobs had broken springs", "cracked drum shafts on winches", "leaking seals", "which blades were bent or chipped",
        "pistons that might be seized", "drive belts that were not cracked", "springs that were checked and fine",
    ),
    "a common part or condition": ("what was worn", "bearings", "what was broken", "anything cracked since 2020", "what might be broken"),
    "what was done": ("what did we replace on winches last year", "what was scrapped", "what went out to the specialist in march 2024"),
    "sizes": ("end float over five thou", "pinion backlash more than 0.5 mm", "brushes thinner than 2 mm"),
    "fasteners and places": ("where did we meet 3/8 BSF", "seized M10 studs", "what is in bag seven"),
    "jobs": ("how many jobs has Tobias done", "jobs between 2000 and 2100 hours", "which winches have we had in", "what has SM-00005 been in for"),
    "counts and times": ("how often has the head gasket been leaking on generators", "when did we last see a seized piston", "how many pump jobs had a pitted thrust bearing"),
    "words, rare": ("radio's too loud", "where did I put the pencil", "slides off"),
    "words, common": ("the", "spring fine", "next time", "kettle", "rest are fine"),
    "nothing there": ("cracked flux capacitor", "xylophone", "jobs with a missing guard"),
}  # fmt: skip


def milliseconds(run: Callable[[], object], times: int = TIMES) -> list[float]:
    """Give the processor milliseconds of each of some runs."""
    taken = []
    gc.collect()
    for _ in range(times):
        start = time.process_time()
        run()
        taken.append((time.process_time() - start) * 1000)
    return taken


def statements_of(archive: Archive, run: Callable[[], object]) -> list[str]:
    """Give the statements that something runs, with their values in them."""
    said: list[str] = []
    archive.db.conn.set_trace_callback(said.append)
    try:
        run()
    finally:
        archive.db.conn.set_trace_callback(None)
    # SQLite tells a statement again for each trigger that it sets off.
    own = [s for s in said if not s.startswith("--")]
    return [s for n, s in enumerate(own) if n == 0 or s != own[n - 1]]


def replay(path: Path, statements: Sequence[str]) -> list[float]:
    """Run statements by themselves; give the milliseconds of each run of them all."""
    bare = sqlite3.connect(path)
    bare.execute("PRAGMA query_only = ON")

    def run() -> None:
        for sql in statements:
            bare.execute(sql).fetchall()

    run()
    taken = milliseconds(run)
    bare.close()
    return taken


def of_hundred(values: Sequence[float], share: float) -> float:
    """Give the value that this share of the values does not pass."""
    ordered = sorted(values)
    return ordered[min(len(ordered) - 1, round(share * (len(ordered) - 1)))]


def measure_questions(archive: Archive, say: Callable[[str], object]) -> None:
    every: list[float] = []
    floors: list[float] = []
    clock = 0.0
    say(
        "| questions | asked | median ms | 95 % ms | bare SQLite median | bare SQLite 95 % |\n| --- | --: | --: | --: | --: | --: |\n"
    )
    for sort, questions in ASKED.items():
        taken: list[float] = []
        bare: list[float] = []
        for question in questions:

            def ask(question: str = question) -> object:
                return answer_question(archive, question, now=NOW)

            statements = statements_of(archive, ask)
            start = time.perf_counter()
            taken += milliseconds(ask)
            clock += time.perf_counter() - start
            bare += replay(archive.path, statements)
        every += taken
        floors += bare
        say(
            f"| {sort} | {len(questions)} | {statistics.median(taken):.1f} | {of_hundred(taken, 0.95):.1f}"
            f" | {statistics.median(bare):.1f} | {of_hundred(bare, 0.95):.1f} |\n"
        )
    asked = sum(map(len, ASKED.values()))
    say(
        f"| all | {asked} | {statistics.median(every):.1f} | {of_hundred(every, 0.95):.1f}"
        f" | {statistics.median(floors):.1f} | {of_hundred(floors, 0.95):.1f} |\n"
    )
    say(f"\nOn the clock {clock / (asked * TIMES) * 1000:.0f} ms a question on the mean, other work beside.\n\n")


def measure_rest(archive: Archive, folder: Path, say: Callable[[str], object]) -> None:
    def open_it() -> None:
        with open_archive(open_shop(folder)):
            pass

    def open_bare() -> None:
        bare = sqlite3.connect(archive.path)
        bare.execute("SELECT count(*) FROM sqlite_schema").fetchone()
        bare.close()

    (job, *_) = archive.all_jobs()[:1]
    sitting = archive.load_log(job).sittings[0]
    finding = Finding(component="return spring", condition="worn", span=(0, 25), confidence=0.8)
    n = 0

    def add() -> None:
        nonlocal n
        n += 1
        remark = Remark(
            id=f"speed {n}", sitting_id=sitting.id, order=100_000 + n, at=NOW, seconds=2.0, heard="The return spring is worn.",
            text="The return spring is worn.", tidied="The return spring is worn.", entries=(replace(finding, id=f"speed {n} 0"),),
        )  # fmt: skip
        archive.add_remark(job.id, remark, source_key=f"speed {n}")

    def precedent() -> object:
        return find_precedent(archive, "return spring", "broken", without_job=job.id)

    add_sql = statements_of(archive, add)
    say("| what | median ms | 95 % ms | bare SQLite median |\n| --- | --: | --: | --: |\n")
    bare_add = _replay_writing(archive.path, add_sql)
    for what, run, floor in (
        ("open the archive", open_it, milliseconds(open_bare, 20)),
        ("add a remark with an entry", add, bare_add),
        ("precedent of a finding", precedent, replay(archive.path, statements_of(archive, precedent))),
    ):
        taken = milliseconds(run, 20)
        say(
            f"| {what} | {statistics.median(taken):.1f} | {of_hundred(taken, 0.95):.1f} | {statistics.median(floor):.1f} |\n"
        )
    with archive.all_or_nothing():
        archive.db.execute("DELETE FROM remark WHERE id LIKE 'speed %'")


def _replay_writing(path: Path, statements: Sequence[str]) -> list[float]:
    """Run the statements of a write by themselves, each time taken back before it would be there twice."""
    bare = sqlite3.connect(path, isolation_level=None)
    bare.execute("PRAGMA synchronous = NORMAL")
    bare.execute("PRAGMA foreign_keys = ON")
    bare.execute("DELETE FROM remark WHERE id LIKE 'speed %'")
    taken = []
    for _ in range(20):
        start = time.process_time()
        for sql in statements:
            bare.execute(sql)
        taken.append((time.process_time() - start) * 1000)
        bare.execute("DELETE FROM remark WHERE id LIKE 'speed %'")
    bare.close()
    return taken


def main() -> None:
    parser = argparse.ArgumentParser(description="Measure asking, opening and adding.")
    parser.add_argument("--jobs", type=int, nargs="+", default=[400, 4_000, 40_000])
    parser.add_argument("--keep", type=Path, help="Folder to keep the made archives in, and to find them again.")
    options = parser.parse_args()
    say = sys.stdout.write
    with tempfile.TemporaryDirectory() as temporary:
        for jobs in options.jobs:
            folder = (options.keep or Path(temporary)) / str(jobs)
            if not (folder / "archive.db").exists():
                folder.mkdir(parents=True, exist_ok=True)
                start = time.process_time()
                fill_archive(folder, make_jobs(SEED, jobs))
                say(f"Made in {time.process_time() - start:.0f} s.\n")
            with open_archive(open_shop(folder)) as archive:
                remarks, size = (
                    archive.db.execute("SELECT count(*) FROM remark").fetchone()[0],
                    archive.path.stat().st_size,
                )
                say(f"\n{remarks:,} remarks in {jobs:,} jobs, {size / 1e6:,.0f} MB\n\n")
                measure_questions(archive, say)
                measure_rest(archive, folder, say)
            sys.stdout.flush()
    say(f"\nWords: best first within the newest {MOST_SAID:,} matches.\n")


if __name__ == "__main__":
    main()
