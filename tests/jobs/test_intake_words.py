"""Remarks in words: a bad line is named and the rest goes on; twice, in halves or cut off, the archive ends the same."""

from __future__ import annotations

import json
import os
import signal
import threading
import traceback
import warnings
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from notebook.archive.search import find_words
from notebook.archive.store import Archive
from notebook.errors import NotebookError
from notebook.reading.reader import reader_version
from tests.jobs.bench import HOSTILE, OPENED, Bench, copy_shop, is_one_line, open_bench, rows_of, write_lines

SAID = [
    "Guard's off, six M8 bolts, all free.",
    "Hub is cracked.",
    "Scratch that last one.",
    "Return spring is broken.",
    "This one's worn too.",
    "Shims are in bag four.",
    "Backlash is 0.45 mm, limit's 0.6.",
]


def line(text: str, **more: object) -> str:
    return json.dumps({"text": text, **more}, ensure_ascii=False)


def test_lines_become_remarks_in_order(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        intake = bench.take(
            write_lines(tmp_path / "said.txt", "\ufeffHub is cracked.  ", "", "   ", "\tDrum's off.\r", "Fine."),
            person="Maren",
        )
        log = bench.log()
    assert (intake.remarks, intake.known_remarks, intake.problems) == (3, 0, [])
    assert [(r.order, r.text, r.heard, r.at, r.seconds, r.person) for r in log.remarks] == [
        (1, "Hub is cracked.", "Hub is cracked.", None, None, "Maren"), (2, "Drum's off.", "Drum's off.", None, None, "Maren"),
        (3, "Fine.", "Fine.", None, None, "Maren"),
    ]  # fmt: skip
    assert [p.component for p in log.parts] == ["drum", "hub"]


def test_lines_with_times_stand_in_the_order_of_their_times(tmp_path: Path) -> None:
    rows = [
        line("Hub is cracked.", at="2026-03-04T12:00:00+02:00", seconds=2),
        line("Drum's off.", at="2026-03-04T09:59:59.5Z", seconds=1.25),
    ]
    with open_bench(tmp_path) as bench:
        bench.take(write_lines(tmp_path / "said.jsonl", *rows))
        first, second = bench.log().remarks
    assert (first.text, first.at, first.seconds) == (
        "Drum's off.",
        datetime(2026, 3, 4, 9, 59, 59, 500_000, tzinfo=UTC),
        1.25,
    )
    assert (second.text, second.order, second.seconds) == ("Hub is cracked.", 2, 2)


BAD = {
    "no JSON": "Hub is cracked.",
    "cut off": '{"text": "Hub',
    "a list": '["Hub is cracked."]',
    "a number": "7",
    "nothing": "null",
    "no text": '{"at": null}',
    "empty text": line("  "),
    "text of another kind": line("x").replace('"x"', "5"),
    "text that is null": '{"text": null}',
    "half a sign": '{"text": "Hub \\ud83d is cracked."}',
    "no zone": line("Hub.", at="2026-03-04T12:00:00"),
    "no time": line("Hub.", at="noon"),
    "a time of another kind": line("Hub.", at=5),
    "before all time": line("Hub.", at="0001-01-01T00:00:00+14:00"),
    "after all time": line("Hub.", at="9999-12-31T23:59:59-14:00"),
    "seconds of another kind": line("Hub.", seconds="long"),
    "seconds below nothing": line("Hub.", seconds=-1),
    "seconds without end": '{"text": "Hub.", "seconds": Infinity}',
    "seconds that are none": '{"text": "Hub.", "seconds": NaN}',
    "seconds too many": '{"text": "Hub.", "seconds": 1' + "0" * 400 + "}",
    "a long number": '{"text": "Hub.", "seconds": 1' + "0" * 5000 + "}",
    "deep": "[" * 100_000,
    "too long": line("hub " * 5_001),
}


@pytest.mark.parametrize("bad", BAD.values(), ids=BAD)
def test_a_bad_line_is_named_and_the_rest_goes_on(tmp_path: Path, bad: str) -> None:
    path = write_lines(tmp_path / "said.jsonl", line("Guard's off."), "", bad, line("Drum's off."))
    with open_bench(tmp_path) as bench:
        intake = bench.take(path)
        assert [r.text for r in bench.log().remarks] == ["Guard's off.", "Drum's off."]
    (problem,) = intake.problems
    assert problem.remedy
    assert problem.about == "said.jsonl line 3"
    assert "left" in problem.message
    assert is_one_line(str(problem))
    assert len(str(problem)) < 500


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_text_is_kept_as_said(tmp_path: Path, text: str) -> None:
    with open_bench(tmp_path) as bench:
        intake = bench.take(
            write_lines(tmp_path / "said.jsonl", line("Guard's off."), line(text), line("Hub is cracked."))
        )
        assert [r.text for r in bench.log().remarks] == ["Guard's off.", text.strip(), "Hub is cracked."]
        assert intake.problems == []


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("empty.txt", b"", "not one remark"),
        ("blank.txt", b"\n \n\t\n", "not one remark"),
        ("latin.txt", "Gehäuse".encode("latin-1"), "UTF-8"),
        ("binary.jsonl", bytes(range(256)), "UTF-8"),
        ("wide.txt", "Hub".encode("utf-16"), "UTF-8"),
        ("notes.doc", b"Hub is cracked.", "neither sound, photo nor remarks"),
        ("noending", b"Hub is cracked.", "neither sound, photo nor remarks"),
    ],
)
def test_a_bad_file_is_told_and_the_next_is_taken(tmp_path: Path, name: str, content: bytes, says: str) -> None:
    (tmp_path / name).write_bytes(content)
    with open_bench(tmp_path) as bench:
        intake = bench.take(tmp_path / name, write_lines(tmp_path / "good.txt", "Hub is cracked."))
        assert [r.text for r in bench.log().remarks] == ["Hub is cracked."]
    (problem,) = intake.problems
    assert problem.about == name
    assert says in problem.message
    assert problem.remedy


NAMES = ["it's.txt", '"q".txt', "a\nb.txt", "\x1b[31mred.txt", "-rf.txt", "--help.txt", "\u202etxt.exe.txt", "%s{0}.txt", "ü \U0001f527.txt", ".hidden.txt", "a;b|c&d.txt", "x" * 240 + ".txt"]  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_a_file_of_any_name_is_taken(tmp_path: Path, name: str) -> None:
    with open_bench(tmp_path) as bench:
        assert bench.take(write_lines(tmp_path / name, "Hub is cracked.")).remarks == 1
        (tmp_path / name).write_bytes(b"\xff")
        (problem,) = bench.take(tmp_path / name).problems
        assert is_one_line(str(problem))


@pytest.mark.parametrize(
    "name",
    [
        "gone.txt",
        "",
        ".",
        "a\0b.txt",
        "x" * 5000 + ".txt",
        "gone/../gone.txt",
        "a\nb\x1b[2J.txt",
        "good.txt/inside.txt",
        "\udcff.txt",
    ],
)
def test_a_file_that_is_not_there_is_told_and_the_next_is_taken(tmp_path: Path, name: str) -> None:
    good = write_lines(tmp_path / "good.txt", "Hub is cracked.")
    (tmp_path / "empty").mkdir()
    with open_bench(tmp_path) as bench:
        intake = bench.take(
            tmp_path / "empty" / ".." / name if name.startswith("good") else tmp_path / "empty" / name, good
        )
        assert intake.remarks == 1
    assert len(intake.problems) == (0 if name in ("", ".") else 1)
    for problem in intake.problems:
        assert is_one_line(str(problem))
        assert len(str(problem)) < 6000


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names here")
@pytest.mark.parametrize("name", ["pipe.txt", "pipe.wav", "pipe.jpg"])
def test_a_pipe_is_told_and_never_waited_for(tmp_path: Path, name: str) -> None:
    os.mkfifo(tmp_path / name)
    with open_bench(tmp_path) as bench:
        intake = bench.take(tmp_path / name)
        assert intake.remarks == intake.photos == 0
    assert [p.about for p in intake.problems] == [name]


def test_a_folder_is_gone_through_and_hidden_files_are_left(tmp_path: Path) -> None:
    folder = tmp_path / "in"
    (folder / "deep" / ".hidden").mkdir(parents=True)
    for n, name in enumerate(["b.txt", "a.txt", "deep/c.TXT", ".hidden.txt", "deep/.hidden/d.txt", "note.doc"]):
        write_lines(folder / name, f"Hub {n} is cracked.")
    with open_bench(tmp_path) as bench:
        intake = bench.take(folder)
        assert [r.text[4] for r in bench.log().remarks] == ["1", "0", "2"]
    assert intake.problems == []


def test_a_very_long_remark_is_kept_whole(tmp_path: Path) -> None:
    text = "and the hub is cracked " * 400
    with open_bench(tmp_path) as bench:
        bench.take(write_lines(tmp_path / "said.txt", text, "Drum's off."))
        assert [r.text for r in bench.log().remarks] == [text.strip(), "Drum's off."]


def test_a_line_that_is_no_remark_by_its_length_is_named(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        intake = bench.take(write_lines(tmp_path / "said.txt", "x" * 20_001, "Drum's off."))
        assert [r.text for r in bench.log().remarks] == ["Drum's off."]
    assert [p.about for p in intake.problems] == ["said.txt line 1"]


def test_a_file_too_long_is_left(tmp_path: Path) -> None:
    with (tmp_path / "long.txt").open("wb") as file:
        file.truncate(50_000_001)
    with open_bench(tmp_path) as bench:
        (problem,) = bench.take(tmp_path / "long.txt").problems
    assert "too long" in problem.message


def test_taking_in_twice_changes_nothing(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        path = write_lines(tmp_path / "said.txt", *SAID)
        bench.take(path, person="Maren")
        before = rows_of(bench.shop.folder)
        (tmp_path / "copy.txt").write_bytes(path.read_bytes())
        for again in (path, tmp_path / "copy.txt"):
            intake = bench.take(again)
            assert (intake.remarks, intake.known_remarks, intake.problems) == (0, len(SAID), [])
            assert rows_of(bench.shop.folder) == before


def test_two_sittings_follow_each_other(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Hub is cracked.", "Guard's off.", name="morning.txt", person="Maren")
        log = bench.say("It's worn too.", "Drum's off.", name="evening.txt", person="Tove")
    assert [(s.person, s.started) for s in log.sittings] == [("Maren", OPENED), ("Tove", OPENED)] or {
        s.person for s in log.sittings
    } == {"Maren", "Tove"}
    assert [(r.order, r.person) for r in log.remarks] == [(1, "Maren"), (2, "Maren"), (3, "Tove"), (4, "Tove")]
    assert [(p.component, p.order) for p in log.parts if p.order] == [("guard", 1), ("drum", 2)]
    carried = [e for e in log.remarks[2].entries if getattr(e, "component", None) is not None]
    assert carried == []


def test_a_sitting_that_is_taken_in_later_but_was_earlier_stands_first(tmp_path: Path) -> None:
    def at(hour: int) -> str:
        return (OPENED + timedelta(hours=hour)).isoformat()

    with open_bench(tmp_path) as bench:
        bench.take(write_lines(tmp_path / "late.jsonl", line("Drum's off.", at=at(5))))
        bench.take(write_lines(tmp_path / "early.jsonl", line("Guard's off.", at=at(1))))
        log = bench.log()
    assert [r.text for r in log.remarks] == ["Guard's off.", "Drum's off."]
    assert [(p.component, p.order) for p in log.parts] == [("guard", 1), ("drum", 2)]


# --- cut off and run again --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, list[str]]:
    """Give a fresh shop, a file of remarks, and the rows that the shop has when all of it was taken in at once."""
    folder = tmp_path_factory.mktemp("whole")
    with open_bench(folder):
        pass
    fresh = copy_shop(folder / "shop", folder / "fresh")
    path = write_lines(
        folder / "said.jsonl", *(line(text) for text in SAID[:4]), "bad", *(line(text) for text in SAID[4:])
    )
    with open_bench(folder) as bench:
        bench.take(path)
        rows = rows_of(bench.shop.folder)
    return fresh, path, rows


def finish(folder: Path, path: Path) -> list[str]:
    with open_bench(folder) as bench:
        bench.take(path)
        assert len(bench.log().remarks) == len(SAID)
        return rows_of(bench.shop.folder)


@pytest.mark.parametrize("call", ["add_sitting", "add_remark", "replace_derived", "replace_links"])
@pytest.mark.parametrize("when", ["before", "after"])
@pytest.mark.parametrize("count", [1, 4])
def test_stopped_anywhere_and_run_again_is_as_if_never_stopped(
    tmp_path: Path,
    whole: tuple[Path, Path, list[str]],
    call: str,
    when: str,
    count: int,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    fresh, path, rows = whole
    copy_shop(fresh, tmp_path / "shop")
    done = getattr(Archive, call)
    calls = 0

    def stop(*given: object, **named: object) -> object:
        nonlocal calls
        calls += 1
        if calls == count and when == "before":
            raise KeyboardInterrupt
        got = done(*given, **named)
        if calls == count:
            raise KeyboardInterrupt
        return got

    with monkeypatch.context() as patched, open_bench(tmp_path) as bench:
        patched.setattr(Archive, call, stop)
        if count == 1 or call == "add_remark":
            with pytest.raises(KeyboardInterrupt):
                bench.take(path)
            assert all(r.tidied for r in bench.log().remarks)
        else:
            bench.take(path)
    assert finish(tmp_path, path) == rows


needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="a process cannot be split here")


def fork(run: Callable[[], None]) -> int:
    """Run something in another process that knows all this one has loaded; give its number."""
    reader_version()
    with warnings.catch_warnings():
        warnings.simplefilter(
            "ignore", DeprecationWarning
        )  # Python warns of threads; the libraries here have none running
        child = os.fork()
    if child:
        return child
    try:
        run()
    except BaseException:
        traceback.print_exc()
        os._exit(70)
    os._exit(0)


@needs_fork
@pytest.mark.parametrize(("table", "count", "stored"), [("entry", 4, 3), ("part", 2, len(SAID)), ("remark", 5, 4)])
def test_killed_in_the_middle_of_writing_and_run_again_is_as_if_never_stopped(
    tmp_path: Path, whole: tuple[Path, Path, list[str]], table: str, count: int, stored: int
) -> None:
    fresh, path, rows = whole
    copy_shop(fresh, tmp_path / "shop")

    def take_and_die() -> None:
        with open_bench(tmp_path) as bench:
            left = count

            def count_down() -> int:
                nonlocal left
                left -= 1
                if not left:
                    os.kill(os.getpid(), signal.SIGKILL)
                return 0

            bench.archive.db.conn.create_function("count_down", 0, count_down)
            bench.archive.db.execute(
                f"CREATE TEMP TRIGGER die AFTER INSERT ON main.{table} BEGIN SELECT count_down(); END"
            )
            bench.take(path)

    _, status = os.waitpid(fork(take_and_die), 0)
    assert os.waitstatus_to_exitcode(status) == -signal.SIGKILL
    with open_bench(tmp_path) as bench:
        remarks = bench.log().remarks
        assert [r.text for r in remarks] == SAID[: len(remarks)]
        assert 0 < len(remarks) <= stored
        for n, remark in enumerate(remarks):
            assert n + 1 in [h.order for h in find_words(bench.archive, remark.text.split()[:1])]
    assert finish(tmp_path, path) == rows


def test_a_full_disk_stops_the_taking_in_and_making_room_lets_it_go_on(
    tmp_path: Path, whole: tuple[Path, Path, list[str]]
) -> None:
    said = [f"Bolt {n} of the hub is loose and the drum is worn." for n in range(60)]
    path = write_lines(tmp_path / "long.txt", *said)
    for name in ("whole", "halved"):
        copy_shop(whole[0], tmp_path / name / "shop")
    with open_bench(tmp_path / "whole") as bench:
        bench.take(path)
    with open_bench(tmp_path / "halved") as bench:
        pages = next(bench.archive.db.query("PRAGMA page_count"))["page_count"]
        bench.archive.db.execute(f"PRAGMA max_page_count = {pages + 10}")
        with pytest.raises(NotebookError, match="disk is full"):
            bench.take(path)
        stored = [r.text for r in bench.log().remarks]
        assert stored == said[: len(stored)]
        assert 0 < len(stored) < len(said)
    with open_bench(tmp_path / "halved") as bench:
        bench.take(path)
    assert rows_of(tmp_path / "halved" / "shop") == rows_of(tmp_path / "whole" / "shop")


# --- two at once ------------------------------------------------------------------------------------------


@needs_fork
def test_two_processes_add_to_one_job_at_once(tmp_path: Path) -> None:
    with open_bench(tmp_path):
        pass
    own = [
        [
            write_lines(tmp_path / f"{who}{n}.txt", *(f"Hub {who}{n}{i} is cracked." for i in range(12)))
            for n in range(3)
        ]
        for who in "ab"
    ]
    shared = write_lines(tmp_path / "shared.txt", *(f"Drum {i} is worn." for i in range(40)))
    start, go = os.pipe()

    def take(files: list[Path], number: int) -> None:
        os.close(go)
        with open_bench(tmp_path) as bench:
            os.read(start, 1)  # ends when the other side is closed
            intake = bench.take(*files)
        counts = [intake.remarks, intake.known_remarks, *map(str, intake.problems)]
        (tmp_path / f"counts {number}").write_text(json.dumps(counts), "utf-8")

    children = [fork(partial(take, [shared, *files], n)) for n, files in enumerate(own)]
    os.close(start)
    os.close(go)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0, 0]
    counts = [json.loads((tmp_path / f"counts {n}").read_text("utf-8")) for n in range(2)]
    assert all(len(count) == 2 for count in counts), counts
    assert [sum(c) for c in zip(*counts, strict=True)] == [72 + 40, 40]
    with open_bench(tmp_path) as bench:
        log = bench.log()
        assert len(log.remarks) == 72 + 40
        assert [r.order for r in log.remarks] == list(range(1, 113))
        assert all(r.entries for r in log.remarks)
        before = rows_of(bench.shop.folder)
        bench.reread()
        assert rows_of(bench.shop.folder) == before


def test_an_archive_that_is_made_by_several_at_once_is_made_once(tmp_path: Path) -> None:
    gate = threading.Barrier(6)

    def make(number: int) -> str:
        gate.wait()
        with open_bench(tmp_path, number=str(number)) as bench:
            return bench.job.number

    with ThreadPoolExecutor(6) as workers:
        assert list(workers.map(make, range(6))) == [str(n) for n in range(6)]
    with open_bench(tmp_path, number="0") as bench:
        assert {j.number for j in bench.archive.all_jobs()} == {str(n) for n in range(6)}


# --- anything at all --------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def one_bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    from notebook.jobs.opening import open_archive

    with open_bench(tmp_path_factory.mktemp("any")) as opened:
        shop, job = opened.shop, opened.job
    return Bench(shop=shop, archive=open_archive(shop), job=job)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(st.text(st.characters(exclude_categories=["Cs"]), max_size=40), min_size=1, max_size=4))
@example(["\u00b2", "1" * 5000 + " mm"])
def test_whatever_is_said_is_kept_whole(one_bench: Bench, said: list[str]) -> None:
    one_bench.archive.db.execute("DELETE FROM remark")
    one_bench.archive.db.conn.commit()
    intake = one_bench.take(write_lines(one_bench.shop.folder / "any.jsonl", *(line(text) for text in said)))
    kept = [text.strip() for text in said if text.strip()]
    assert [r.text for r in one_bench.log().remarks] == kept
    assert len(intake.problems) == len(said) - len(kept)
