"""A mend is stored with what it replaced, wins at once, and stays through every rereading and every later remark."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from notebook.archive.search import find_findings
from notebook.entries import Finding
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError
from notebook.jobs.mending import add_entry, find_entry, find_remark, mend_entry, mend_text
from notebook.nouns import Log
from tests.jobs.bench import OPENED, Bench, is_one_line, open_bench, rows_of, try_it


def set_fields(bench: Bench, words: str, **changes: str) -> Log:
    return mend_entry(
        bench.archive, bench.job, bench.remark(words), None, action="set", changes=changes, person="Maren",
        now=OPENED, shop=bench.shop,
    )  # fmt: skip


def act(bench: Bench, words: str, action: str, entry_id: str | None = None) -> Log:
    return mend_entry(
        bench.archive,
        bench.job,
        bench.remark(words),
        entry_id,
        action=action,
        changes={},
        person=None,
        now=OPENED + timedelta(minutes=1),
        shop=bench.shop,
    )


def findings(log: Log) -> list[tuple[str | None, str, bool, bool]]:
    return [
        (e.component, e.condition, e.mended, e.struck) for r in log.remarks for e in r.entries if isinstance(e, Finding)
    ]


def test_a_field_that_was_set_stays(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
        log = set_fields(bench, "Hub", component="drum hub", condition="chipped")
        assert findings(log) == [("drum hub", "chipped", True, False)]
        assert sorted((m.field or "", m.old, m.new, m.person, m.conflict) for m in log.mends) == [
            ("component", '"hub"', '"drum hub"', "Maren", None), ("condition", '"cracked"', '"chipped"', "Maren", None),
        ]  # fmt: skip
        assert [p.component for p in log.parts] == ["drum hub"]
        before = rows_of(bench.shop.folder)
        assert findings(bench.reread()) == findings(log)
        assert rows_of(bench.shop.folder) == before
        assert findings(bench.say("Drum is worn.", name="more.txt")) == [*findings(log), ("drum", "worn", False, False)]
        hits = find_findings(bench.archive, names=["hub"], conditions=["chipped"], presences=["present"])
        assert [h.order for h in hits] == [1]


def test_words_that_were_put_right_are_read_and_what_was_heard_stays(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Paws off, chipped.", "Drum is worn.")
        log = mend_text(
            bench.archive,
            bench.job,
            bench.remark("Paws"),
            " Pawl is chipped. ",
            person=None,
            now=OPENED,
            shop=bench.shop,
        )
        assert (log.remarks[0].heard, log.remarks[0].text) == ("Paws off, chipped.", "Pawl is chipped.")
        assert findings(log)[0][:2] == ("pawl", "chipped")
        again = bench.reread()
        assert (again.remarks, again.mends) == (log.remarks, log.mends)


def test_words_that_were_put_right_leave_nothing_unsettled(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Two of the six shoes are cracked.")
        row = {
            "remark_id": bench.remark("Two").id,
            "text_start": 0,
            "text_end": 3,
            "what": 'heard "two", may have been "four"',
        }
        with bench.archive.all_or_nothing():
            bench.archive.db.table("unsettled").insert(row)
        assert [e.doubt for e in bench.reread().remarks[0].entries] == [row["what"]]
        for again in ("Four of the six shoes are cracked.", "Two of the six shoes are cracked."):
            said = bench.archive.load_log(bench.job).remarks[0]
            mend_text(bench.archive, bench.job, said, again, person=None, now=OPENED, shop=bench.shop)
            assert [e.doubt for e in bench.reread().remarks[0].entries] == [None]


def test_a_strike_takes_the_finding_out_of_every_answer(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
        assert findings(act(bench, "Hub", "strike")) == [("hub", "cracked", True, True)]
        assert findings(bench.reread()) == [("hub", "cracked", True, True)]
        assert bench.log().parts == ()
        assert find_findings(bench.archive, names=["hub"], conditions=["cracked"], presences=["present"]) == []


def test_a_strike_does_not_fall_on_what_is_said_after_the_words_were_put_right(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
        act(bench, "Hub", "strike")
        log = mend_text(
            bench.archive,
            bench.job,
            bench.log().remarks[0],
            "Drum is bent.",
            person=None,
            now=OPENED + timedelta(1),
            shop=bench.shop,
        )
        assert findings(log) == [("drum", "bent", False, False)]
        assert [bool(m.conflict) for m in log.mends] == [True, False]


def test_a_correction_that_was_misheard_can_be_struck(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        log = bench.say("Hub is cracked.", "Scratch that last one.")
        assert findings(log) == [("hub", "cracked", False, True)]
        assert findings(act(bench, "Scratch", "strike")) == [("hub", "cracked", False, False)]
        assert findings(bench.reread()) == [("hub", "cracked", False, False)]


def test_an_accepted_doubt_is_gone_and_stays_gone(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        log = bench.say("The other two are fine.")
        (entry,) = log.remarks[0].entries
        assert entry.doubt
        for after in (act(bench, "other two", "accept"), bench.reread()):
            assert [(e.doubt, e.mended) for e in after.remarks[0].entries] == [(None, True)]


def test_an_added_entry_stays(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Look at the state of that.")
        values = {"component": "hub", "condition": "cracked", "count": "1", "of": "2"}
        log = add_entry(
            bench.archive,
            bench.job,
            bench.log().remarks[0],
            "finding",
            values,
            person=None,
            now=OPENED,
            shop=bench.shop,
        )
        (entry,) = [e for e in log.remarks[0].entries if isinstance(e, Finding)]
        assert (entry.component, entry.condition, entry.count, entry.of, entry.mended) == ("hub", "cracked", 1, 2, True)
        assert bench.reread().remarks == log.remarks
        assert findings(act(bench, "Look", "strike", entry.id))[-1] == ("hub", "cracked", True, True)


def test_a_mend_that_no_longer_fits_is_kept_and_shown(tmp_path: Path) -> None:
    from notebook.documents.log_text import log_text

    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
        set_fields(bench, "Hub", condition="chipped")
        log = mend_text(
            bench.archive,
            bench.job,
            bench.remark("Hub"),
            "Nothing to see here.",
            person=None,
            now=OPENED + timedelta(1),
            shop=bench.shop,
        )
        assert findings(log) == []
        assert [m.conflict for m in log.mends] == ["no finding is read here any more", None]
        assert "mend of a finding: no finding is read here any more" in log_text(log)
        log = mend_text(
            bench.archive,
            bench.job,
            bench.remark("Nothing"),
            "Hub is cracked.",
            person=None,
            now=OPENED + timedelta(2),
            shop=bench.shop,
        )
        assert findings(log) == [("hub", "chipped", True, False)]
        assert [m.conflict for m in log.mends] == [None] * 3


@pytest.mark.parametrize(
    "changes",
    [
        {"presence": "maybe"},
        {"count": "9" * 30, "of": "many"},
        {"condition": "chipped", "count": "many"},
        {"condition": ""},
        {"nothing": "x"},
    ],
)
def test_a_mend_that_cannot_be_is_refused_and_nothing_of_it_is_kept(tmp_path: Path, changes: dict[str, str]) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
        before = rows_of(bench.shop.folder)
        with pytest.raises(NotebookError) as told:
            set_fields(bench, "Hub", **changes)
        assert told.value.exit_status == WRONG_USE
        assert rows_of(bench.shop.folder) == before
        bench.reread()
        assert rows_of(bench.shop.folder) == before


def test_a_very_large_number_does_not_lock_the_job(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
        told = try_it(lambda: set_fields(bench, "Hub", count="9" * 30))
        assert not isinstance(told, NotebookError) or told.exit_status == WRONG_USE
        assert len(bench.reread().remarks) == 1


def test_words_cannot_be_mended_to_nothing(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.")
        with pytest.raises(NotebookError) as told:
            mend_text(bench.archive, bench.job, bench.remark("Hub"), "  ", person=None, now=OPENED, shop=bench.shop)
        assert told.value.exit_status == WRONG_USE
        assert bench.log().mends == ()


def test_remarks_and_entries_are_found_by_what_the_log_shows(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        log = bench.say("Hub is cracked.", "Drum is worn and the seal is hard.")
        first, second = log.remarks
        for which in ("1", first.id, first.id[:8], "01"):
            assert find_remark(log, which) == first
        digits = replace(first, id="20260304-e89b-12d3-a456-426614174000")
        assert find_remark(replace(log, remarks=(digits, second)), "20260304") == digits
        assert find_entry(first, None) == first.entries[0]
        for entry in second.entries:
            assert entry.id is not None
            assert find_entry(second, entry.id) == find_entry(second, entry.id[:8]) == entry


@pytest.mark.parametrize(
    ("remark", "entry", "status"),
    [("3", None, NOTHING_FOUND), ("0", None, NOTHING_FOUND), ("-1", None, NOTHING_FOUND), ("x", None, NOTHING_FOUND), ("", None, NOTHING_FOUND), ("9" * 5000, None, NOTHING_FOUND), ("²", None, NOTHING_FOUND), ("\x1b[2J", None, NOTHING_FOUND), ("2", None, WRONG_USE), ("2", "ffffffff", NOTHING_FOUND), ("1", "", NOTHING_FOUND), ("1", "\x1b", NOTHING_FOUND)],
)  # fmt: skip
def test_what_is_not_in_the_log_is_told_in_one_line(
    tmp_path: Path, remark: str, entry: str | None, status: int
) -> None:
    with open_bench(tmp_path) as bench:
        log = bench.say("Hub is cracked.", "Drum is worn and the seal is hard.")
        with pytest.raises(NotebookError) as told:
            find_entry(find_remark(log, remark), entry)
        assert told.value.exit_status == status
        assert is_one_line(str(told.value))
