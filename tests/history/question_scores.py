"""Score the sixty questions, beside plain full-text search for the same words.

    python -m tests.history.question_scores [--misses]

In: the questions and their right jobs. Out: precision and recall of the jobs given, and how many counts were right; the
same for SQLite's own full-text index on every word of the question that asks for something (all of them, and where no
remark holds all of them, any), which is what asking would be without understanding.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from datetime import time as clock_time
from pathlib import Path

from notebook.archive.store import Archive
from notebook.history.ask import Answer, answer_question
from notebook.jobs.intake import take_in
from notebook.jobs.opening import open_archive, open_job
from notebook.shop import open_shop
from tests.conftest import ROOT, earlier_jobs
from tests.history.question_set import TODAY, Asked, asked_questions, made_jobs
from tests.speed.made_archive import fill_archive

_PLAIN_IDLE = frozenset(
    "which what when where who how many much often did do does was were is are has have had the a an of on in any all we i you us me to that them and or".split()
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scored:
    """One question with what was answered."""

    asked: Asked
    jobs: frozenset[str]
    is_count_right: bool | None
    understood: str
    notes: tuple[str, ...] = ()

    @property
    def precision(self) -> float:
        if not self.jobs:
            return 1.0
        return len(self.jobs & (self.asked.jobs | self.asked.optional)) / len(self.jobs)

    @property
    def recall(self) -> float:
        return len(self.jobs & self.asked.jobs) / len(self.asked.jobs) if self.asked.jobs else 1.0


def fill_demonstration(folder: Path) -> None:
    """Take the eight earlier jobs and the winch in, in the words that were truly said."""
    import json
    import tomllib

    session = ROOT / "demo_session"
    shop = open_shop(folder)
    winch = tomllib.loads((session / "job.toml").read_text("utf-8"))
    said = folder / "2041.txt"
    lines = (session / "truth" / "remarks.jsonl").read_text("utf-8").splitlines()
    said.write_text("".join(f"{json.loads(line)['text']}\n" for line in lines), "utf-8")
    with open_archive(shop) as archive:
        for job in [*earlier_jobs(), winch]:
            opened = datetime.combine(job["opened"], clock_time(9), UTC)
            stored = open_job(
                archive, shop, number=job["number"], machine=job["machine"], plate=job["plate"], reading=job["reading"] or None,
                owner_ref=job.get("owner_ref"), opened=opened,
            )  # fmt: skip
            file = said if job is winch else session / "earlier" / f"{job['number']}.txt"
            take_in(archive, shop, stored, [file], person=job["person"], progress=lambda *_: None)


def score(archive: Archive, over: str) -> list[Scored]:
    """Ask every question over an archive."""
    return [
        _score_one(asked, answer_question(archive, asked.question, now=TODAY[over])) for asked in asked_questions(over)
    ]


def _score_one(asked: Asked, answer: Answer) -> Scored:
    counts = [(answer.count, asked.count), (answer.of, asked.of)]
    wanted = [(got, right) for got, right in counts if right is not None]
    return Scored(
        asked=asked, jobs=frozenset(answer.jobs), is_count_right=all(g == r for g, r in wanted) if wanted else None,
        understood=answer.question.in_words(), notes=answer.notes,
    )  # fmt: skip


def score_plain(archive: Archive, over: str) -> list[Scored]:
    """Look every question up in the full-text index, as it is."""
    return [
        Scored(asked=a, jobs=frozenset(_plain_search(archive, a.question)), is_count_right=None, understood="")
        for a in asked_questions(over)
    ]


def _plain_search(archive: Archive, question: str) -> list[str]:
    words = ["".join(c for c in w if c.isalnum() or c in "'/-.") for w in question.lower().split()]
    quoted = ['"' + w.replace('"', "") + '"' for w in words if w and w not in _PLAIN_IDLE]
    sql = (
        "SELECT DISTINCT job.number FROM remark_words JOIN remark ON remark.n = remark_words.rowid JOIN job ON job.id = remark.job_id"
        " WHERE remark_words MATCH ?"
    )
    for joined in (" AND ".join(quoted), " OR ".join(quoted)):
        found = [n for (n,) in archive.db.execute(sql, [joined]).fetchall()]
        if found:
            return found
    return []


def totals(scored: Sequence[Scored]) -> tuple[float, float, int, int]:
    """Give mean precision and recall over the questions, and how many of the counts were right."""
    counted = [s.is_count_right for s in scored if s.is_count_right is not None]
    return (
        sum(s.precision for s in scored) / len(scored),
        sum(s.recall for s in scored) / len(scored),
        sum(counted),
        len(counted),
    )


FILL: dict[str, Callable[[Path], object]] = {
    "demonstration": fill_demonstration,
    "made": lambda folder: fill_archive(folder, made_jobs()),
}


def main() -> None:
    parser = argparse.ArgumentParser(description="Score the sixty questions.")
    parser.add_argument("--misses", action="store_true", help="Show what was answered wrongly.")
    shows_misses = parser.parse_args().misses
    say = sys.stdout.write
    ours: list[Scored] = []
    plain: list[Scored] = []
    with tempfile.TemporaryDirectory() as folder:
        for over, fill in FILL.items():
            shop = Path(folder) / over
            shop.mkdir()
            fill(shop)
            with open_archive(open_shop(shop)) as archive:
                ours += score(archive, over)
                plain += score_plain(archive, over)
    if shows_misses:
        for s in ours:
            if s.precision < 1 or s.recall < 1 or s.is_count_right is False:
                say(f"{s.asked.n} {s.asked.question}\n   as: {s.understood}\n   {' '.join(s.notes)}\n")
                extra, missing = s.jobs - s.asked.jobs - s.asked.optional, s.asked.jobs - s.jobs
                say(
                    f"   P {s.precision:.2f} R {s.recall:.2f} wrongly {sorted(extra)[:6]} missing {sorted(missing)[:6]}\n"
                )
    say("| questions | how | precision | recall | counts right |\n| --- | --- | --: | --: | --: |\n")
    for what, keep in (
        ("all 60", lambda _: True),
        ("30 over the demonstration", lambda s: s.asked.over == "demonstration"),
        ("30 over made jobs", lambda s: s.asked.over == "made"),
        ("30 in plain words", lambda s: s.asked.asked_by == "plain"),
        ("30 as other mechanics talk", lambda s: s.asked.asked_by != "plain"),
    ):
        for how, scored in (("asked", ours), ("plain FTS5", plain)):
            precision, recall, right, counted = totals([s for s in scored if keep(s)])
            say(f"| {what} | {how} | {precision:.2f} | {recall:.2f} | {f'{right} of {counted}' if counted else ''} |\n")


if __name__ == "__main__":
    main()
