"""A remark is stored whole or not at all, and comes back as it went in."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import fields, replace
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from notebook.archive.store import Archive
from notebook.entries import KINDS, Decided, Entry, Finding, Measurement, Step
from notebook.errors import COULD_NOT, NotebookError
from notebook.nouns import Job, Machine, Mend, Part, Remark, Sitting, Transcript, Word
from tests.jobs.bench import HOSTILE, OPENED, rows_of

JOB = Job(id="job-1", number="2041", machine=Machine(id="machine-1", kind="winch"), opened=OPENED)
SITTING = Sitting(id="sitting-1", job_id="job-1", person="Maren", started=OPENED)
TRANSCRIPT = Transcript(
    heard="hub is cracked", text="Hub is cracked.", words=(), prompt="winch", model="m", model_sha256="0"
)


@pytest.fixture
def archive(tmp_path: Path) -> Iterator[Archive]:
    with open_archive(tmp_path) as opened:
        yield opened


def open_archive(folder: Path) -> Archive:
    """Open an archive with one job and one sitting."""
    archive = Archive(folder, lambda name: (name, *name.split()[-1:]))
    if not archive.find_jobs(JOB.id):
        archive.add_job(JOB)
        archive.add_sitting(SITTING)
    return archive


def make_remark(
    name: str = "r1", text: str = "Hub is cracked.", *, order: int = 1, entries: tuple[Entry, ...] = ()
) -> Remark:
    words = tuple(Word(text=w, start_s=n / 4, end_s=n / 4 + 0.2, probability=0.5) for n, w in enumerate(text.split()))
    named = tuple(replace(e, id=f"{name}-e{n}") for n, e in enumerate(entries))
    return Remark(
        id=name, sitting_id=SITTING.id, order=order, at=None, seconds=1.25, heard=text.lower(), text=text, tidied=text, words=words, entries=named,
        changes=(((0, 3), (0, 3), "number"),),
    )  # fmt: skip


CRACKED = Finding(component="drive hub", condition="cracked", confidence=0.9, span=(0, 14))
OFF = Step(component="drive hub", action="removed", span=(0, 3))


@pytest.mark.parametrize("table", ["remark", "transcript", "word", "entry", "finding", "step", "told"])
def test_a_remark_that_fails_in_the_middle_leaves_nothing(tmp_path: Path, archive: Archive, table: str) -> None:
    archive.add_remark(JOB.id, make_remark("r0", entries=(CRACKED,)), source_key="f:0")
    before = rows_of(tmp_path)
    archive.db.execute(f"CREATE TEMP TRIGGER stop AFTER INSERT ON main.{table} BEGIN SELECT RAISE(ABORT, 'stop'); END")
    remark = make_remark(entries=(CRACKED, OFF))
    with pytest.raises(NotebookError) as told:
        archive.add_remark(JOB.id, remark, source_key="f:1", transcript=TRANSCRIPT)
    assert told.value.exit_status == COULD_NOT
    assert "safe" in told.value.message
    assert rows_of(tmp_path) == before
    archive.db.execute("DROP TRIGGER stop")
    archive.add_remark(JOB.id, remark, source_key="f:1", transcript=TRANSCRIPT)
    assert [r.id for r in archive.load_log(JOB).remarks] == ["r0", "r1"]
    assert archive.load_log(JOB).remarks[1].entries == remark.entries


def test_a_fault_outside_the_archive_leaves_nothing_either(tmp_path: Path) -> None:
    def fail(_: str) -> tuple[str, ...]:
        raise KeyboardInterrupt

    open_archive(tmp_path).close()
    before = rows_of(tmp_path)
    with Archive(tmp_path, fail) as archive, pytest.raises(KeyboardInterrupt):
        archive.add_remark(JOB.id, make_remark(entries=(CRACKED,)), source_key="f:1")
    assert rows_of(tmp_path) == before


def test_the_same_remark_twice_changes_nothing(tmp_path: Path, archive: Archive) -> None:
    archive.add_remark(JOB.id, make_remark(entries=(CRACKED, OFF)), source_key="f:1", transcript=TRANSCRIPT)
    before = rows_of(tmp_path)
    archive.add_remark(JOB.id, make_remark(entries=(CRACKED, OFF)), source_key="f:1", transcript=TRANSCRIPT)
    archive.add_remark(JOB.id, make_remark(text="Read otherwise.", entries=(OFF,)), source_key="f:1")
    assert rows_of(tmp_path) == before


def test_derived_rows_are_replaced_whole_or_stay(tmp_path: Path, archive: Archive) -> None:
    remark = make_remark(entries=(CRACKED,))
    archive.add_remark(JOB.id, remark, source_key="f:1")
    part = Part(id="p1", component="drive hub", order=1, entry_ids=("r1-e0",))
    archive.replace_derived(JOB.id, [remark], [part], {"r1-e0": "p1"}, [], "v1")
    before = rows_of(tmp_path)
    later = make_remark(text="Hub is sound.", entries=(OFF, replace(CRACKED, condition="sound")))
    archive.db.execute("CREATE TEMP TRIGGER stop AFTER INSERT ON main.finding BEGIN SELECT RAISE(ABORT, 'stop'); END")
    with pytest.raises(NotebookError):
        archive.replace_derived(JOB.id, [later], [part], {"r1-e0": "p1"}, [], "v2")
    assert rows_of(tmp_path) == before
    archive.db.execute("DROP TRIGGER stop")
    archive.replace_derived(JOB.id, [later], [part], {"r1-e0": "p1"}, [], "v2")
    log = archive.load_log(JOB)
    assert log.remarks[0].entries == later.entries
    assert log.parts == (part,)
    assert (archive.needs_reading(JOB.id, "v1"), archive.needs_reading(JOB.id, "v2")) == (True, False)


# --- there and back ---------------------------------------------------------------------------------------

_TEXTS = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
_AMOUNTS = st.decimals(-(10**9), 10**9, places=4, allow_nan=False).map(lambda d: d.normalize() + 0)
_FIELDS: dict[str, st.SearchStrategy[Any]] = {
    "span": st.tuples(st.integers(0, 99), st.integers(0, 99)),
    "confidence": st.integers(0, 1000).map(lambda n: n / 1000),
    "presence": st.sampled_from(["present", "absent", "possible"]),
    "state": st.lists(_TEXTS, max_size=3).map(tuple),
    "contents": st.lists(_TEXTS, max_size=3).map(tuple),
    "count": st.none() | st.integers(0, 10**6),
    "id": st.none(),
    **{name: st.none() | _AMOUNTS for name in ("value", "low", "high", "si", "length")},
    **{name: st.none() | st.booleans() for name in ("about", "heat", "done", "settles")},
    **{name: st.booleans() for name in ("struck", "mended")},
}
_NEEDED = {"condition", "action", "text", "name", "place", "scope", "role", "which"}


@st.composite
def entries_of_any_kind(draw: st.DrawFn) -> Entry:
    kind = draw(st.sampled_from(sorted(KINDS.values(), key=lambda k: k.kind)))
    values = {}
    for field in fields(kind):
        strategy = _FIELDS.get(field.name, _TEXTS if field.name in _NEEDED else st.none() | _TEXTS)
        if kind is Finding and field.name == "of":
            strategy = _FIELDS["count"]
        if kind is Decided and field.name == "state":
            strategy = _TEXTS
        values[field.name] = draw(strategy)
    return kind(**values)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(entries=st.lists(entries_of_any_kind(), max_size=6), text=st.text(st.characters(exclude_categories=["Cs"])))
def test_a_remark_comes_back_as_it_went_in(archive: Archive, entries: list[Entry], text: str) -> None:
    remark = make_remark(text=text, entries=tuple(entries))
    archive.add_remark(JOB.id, remark, source_key="f:1")
    try:
        assert archive.load_log(JOB).remarks == (remark,)
    finally:
        archive.db.execute("DELETE FROM remark")
        archive.db.conn.commit()


def test_every_kind_of_entry_is_tried() -> None:
    """The property above draws from the kinds themselves; none may lack a table."""
    assert len(KINDS) == 15


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_text_comes_back_as_it_went_in(archive: Archive, text: str) -> None:
    finding = Finding(component=text, position=text, condition=text, doubt=text)
    archive.add_remark(JOB.id, make_remark(text=text, entries=(finding,)), source_key=text)
    (remark,) = archive.load_log(JOB).remarks
    assert (remark.text, remark.entries[0].to_json()) == (text, replace(finding, id="r1-e0").to_json())
    assert archive.has_remark(JOB.id, text)


def test_times_come_back_in_utc_to_the_microsecond(archive: Archive) -> None:
    at = datetime(2026, 3, 29, 2, 30, 0, 7, tzinfo=timezone(timedelta(hours=5, minutes=45)))
    archive.add_remark(JOB.id, replace(make_remark(), at=at), source_key="f:1")
    (remark,) = archive.load_log(JOB).remarks
    assert remark.at == at
    assert remark.at is not None
    assert remark.at.tzinfo == UTC


def test_an_amount_lies_exact_in_its_column_with_the_si_value_beside_it(archive: Archive) -> None:
    amount = Measurement(component="drum", quantity="diameter", value=Decimal("25.4"), unit="mm")
    archive.add_remark(JOB.id, make_remark(entries=(amount,)), source_key="f:1")
    row = next(archive.db.query("SELECT value, unit, si FROM measurement"))
    assert row == {"value": "25.4", "unit": "mm", "si": 0.0254}


def test_a_machine_of_one_plate_is_one_machine(archive: Archive) -> None:
    for number in ("1", "2"):
        machine = Machine(id=f"machine of {number}", kind="mixer", plate="MX-3")
        archive.add_job(Job(id=f"job of {number}", number=number, machine=machine, opened=OPENED))
    first, second = archive.find_jobs("1")[0], archive.find_jobs("2")[0]
    assert first.machine == second.machine == archive.machine_with_plate("MX-3")


def test_a_mend_of_a_remark_that_is_not_there_is_refused(tmp_path: Path, archive: Archive) -> None:
    before = rows_of(tmp_path)
    mend = Mend(id="m", remark_id="none", kind=None, entry_id=None, action="text", new="x", made=OPENED)
    with pytest.raises(NotebookError):
        archive.add_mend(JOB.id, mend)
    assert rows_of(tmp_path) == before


# --- a full disk ------------------------------------------------------------------------------------------


def test_a_full_disk_is_one_clear_line_and_what_was_stored_stays(tmp_path: Path, archive: Archive) -> None:
    pages = next(archive.db.query("PRAGMA page_count"))["page_count"]
    archive.db.execute(f"PRAGMA max_page_count = {pages + 6}")
    stored: list[str] = []

    def fill() -> None:
        for n in range(500):
            remark = make_remark(f"r{n}", "Hub is cracked. " * 20, order=n + 1, entries=(CRACKED,))
            archive.add_remark(JOB.id, remark, source_key=f"f:{n}")
            stored.append(remark.id)

    with pytest.raises(NotebookError) as told:
        fill()
    assert "disk is full" in told.value.message
    assert "safe" in told.value.message
    assert (told.value.exit_status, bool(told.value.remedy)) == (COULD_NOT, True)
    assert 0 < len(stored) < 499
    log = archive.load_log(JOB)
    assert [r.id for r in log.remarks] == stored
    assert all(len(r.entries) == 1 and len(r.words) == 60 for r in log.remarks)
    archive.db.execute(f"PRAGMA max_page_count = {pages + 600}")
    last = f"r{len(stored)}"
    archive.add_remark(JOB.id, make_remark(last, order=len(stored) + 1), source_key=last)
    assert archive.load_log(JOB).remarks[-1].id == last
    with sqlite3.connect(tmp_path / "archive.db") as connection:
        assert connection.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    connection.close()
