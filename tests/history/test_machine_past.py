"""One machine over its jobs: the chain of its parts, how jobs turned out, and what precedent then says."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from notebook.entries import Disposition, Finding
from notebook.history.precedent import find_precedent
from notebook.jobs.opening import open_archive
from notebook.log.fittings import follow_parts
from notebook.nouns import Decision, Job, Machine
from notebook.shop import open_shop
from tests.conftest import MORNING, Teardown, make_log, make_remark, run_teardown

JOBS = [
    ("1", "1000 h", ["New bearing fitted in the drive side.", "Brake lining is glazed.", "New brake lining fitted."]),
    ("2", "1600 h", ["Drive side bearing is good, it'll go again.", "Brake lining is fine, it'll go again."]),
    ("3", "2200 h", ["Drive side bearing is pitted, new bearing fitted in the drive side.", "Brake lining is glazed again, new brake lining fitted."]),
]  # fmt: skip


def take_in(teardown: Teardown, write_remarks: Callable[..., Path], number: str, reading: str, plate: str, *said: str, month: int = 1) -> None:  # fmt: skip
    opened = teardown(
        "new", number, "--machine", "winch", "--plate", plate, "--reading", reading, "--opened", f"2025-{month:02}-01"
    )
    assert opened.status == 0
    taken = teardown("add", number, write_remarks(*said, name=f"{number}.txt"), "--person", "Maren")
    assert (taken.status, taken.err) == (0, "")


@pytest.fixture
def winch(teardown: Teardown, write_remarks: Callable[..., Path]) -> Teardown:
    for month, (number, reading, said) in enumerate(JOBS, 1):
        take_in(teardown, write_remarks, number, reading, "W-7", *said, month=month)
    return teardown


def fittings(winch: Teardown, component: str, position: str | None = None) -> list[tuple[object, ...]]:
    told = winch("log", "--machine", "W-7", "--json").json["fittings"]
    own = [f for f in told if f["component"] == component and f["position"] == position]
    return [(f["fitted"], f["fitted_job"], f["ended"], f["ended_job"], f["ended_why"]) for f in own]


def test_a_part_in_a_position_from_a_reading_to_a_reading(winch: Teardown) -> None:
    """Fitted at 1,000 h, good at 1,600 h, pitted and replaced at 2,200 h; the new one is in since."""
    assert sorted(fittings(winch, "bearing", "drive side"), key=str) == [
        (1000, "1", 2200, "3", "failed"),
        (2200, "3", None, None, "in"),
    ]


def test_the_whole_history_is_written_job_by_job_and_part_by_part(winch: Teardown) -> None:
    answer = winch("log", "--machine", "w7")
    assert answer.status == 0
    told = answer.out.splitlines()
    assert told[0] == "winch | W-7 | 3 jobs"
    assert [line.split("  ")[1] for line in told if "  job " in line] == ["job 1", "job 2", "job 3"]
    at = told.index("  bearing (drive side)")
    assert told[at + 1 : at + 3] == [
        "    1,000 h (job 1) to 2,200 h (job 3): failed, lasted 600 to 1,200 h",
        "    2,200 h (job 3) to now: in",
    ]


def test_what_came_back_between_two_jobs_ends_a_fitting_there(winch: Teardown) -> None:
    """The lining fitted at 2,200 h came back at 2,500 h: it lasted no longer than 300 h."""
    told = winch("outcome", "3", "came back at 2500 hours, brake lining glazed again")
    assert told.out.splitlines()[1].endswith("came back at 2500 hours (300 h after): brake lining glazed")
    assert (2200, "3", 2500, "3", "failed") in fittings(winch, "brake lining")
    assert "over 300" not in winch("life", "brake lining").out
    assert "came back at 2500 hours (300 h after)" in winch("log", "--machine", "W-7").out


def test_what_came_back_is_put_right_on_the_job_at_the_same_reading(
    winch: Teardown, write_remarks: Callable[..., Path]
) -> None:
    winch("outcome", "3", "came back at 2500 hours, brake lining glazed")
    take_in(winch, write_remarks, "4", "2500 h", "W-7", "Brake lining is glazed, new brake lining fitted.", month=4)
    assert (2200, "3", 2500, "3", "failed") in fittings(winch, "brake lining")
    assert (2500, "4", None, None, "in") in fittings(winch, "brake lining")


def test_what_the_owner_declined_was_not_replaced() -> None:
    """The old pin went back in at 1,500 h and sheared at 1,900 h: one pin, not two."""
    said = [
        ("1000", Disposition(component="clevis pin", action="replace", done=True)),
        ("1500", Disposition(component="clevis pin", action="replace")),
        ("1900", Finding(component="clevis pin", condition="sheared")),
    ]
    declined = Decision(
        id="d", entry_id=None, component="clevis pin", position=None, action="replace", state="declined", person="owner", made=MORNING
    )  # fmt: skip
    logs = []
    for n, (reading, entry) in enumerate(said):
        job = Job(id=f"j{n}", number=str(n), machine=Machine(id="m", kind="winch"), reading=f"{reading} h", opened=MORNING + timedelta(days=n))  # fmt: skip
        logs.append(make_log(make_remark("said", entry, job=job), job=job, decisions=(declined,) if n == 1 else ()))
    chain = [
        (str(f.fitted), str(f.ended), f.ended_why)
        for f in follow_parts(logs, str, lambda condition: condition == "sheared")
    ]
    assert chain == [("1000", "1900", "failed")]


def test_how_earlier_decisions_turned_out(
    teardown: Teardown, write_remarks: Callable[..., Path], tmp_path: Path
) -> None:
    """Four winches had their shoes relined; one came back after 300 h, one ran 1,400 h more, of two nobody told."""
    for n in range(1, 5):
        take_in(
            teardown, write_remarks, str(n), "1000 h", f"B-{n}", "Brake shoes are glazed.", "Shoes relined.", month=n
        )
    assert teardown("outcome", "2", "came back at 1300 hours, brake shoe glazed again").status == 0
    assert teardown("outcome", "3", "--ran", "--reading", "2400 h").status == 0
    with open_archive(open_shop(tmp_path / "shop")) as archive:
        found = find_precedent(archive, "brake shoe", "glazed")
        assert found is not None
        assert found.outcome_lines() == [
            "brake shoe relined 4 times: one came back at 300 h, one ran to 1,400 h, 2 not told"
        ]
        assert "1 came back, 3 not back since" in found.lines()[-2]


def test_a_machine_that_came_again_with_the_same_fault_came_back(winch: Teardown, tmp_path: Path) -> None:
    with open_archive(open_shop(tmp_path / "shop")) as archive:
        found = find_precedent(archive, "bearing", "pitted")
        assert found is not None
        assert found.outcome_lines() == []
    winch("outcome", "3", "--ran", "--reading", "2300 h")
    with open_archive(open_shop(tmp_path / "shop")) as archive:
        found = find_precedent(archive, "bearing", "pitted")
        assert found is not None
        assert found.outcome_lines() == ["bearing replaced once: one ran to 100 h"]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("outcome", "1", "hmm"), "Did it run, or did it come back?"),
        (("outcome", "1", "--ran", "--came-back"), "not both"),
        (("outcome", "1", "--ran", "--reading", "a while"), "is no reading"),
        (("outcome", "99", "--ran"), "There is no job 99"),
        (("log", "--machine", "W-9"), "No machine has the plate W-9"),
        (("log",), "Which job, or which machine?"),
        (("log", "1", "--machine", "W-7"), "Which job, or which machine?"),
    ],
)
def test_what_cannot_be_is_told_in_a_line(winch: Teardown, arguments: tuple[str, ...], says: str) -> None:
    answer = winch(*arguments)
    assert answer.status in (1, 2)
    assert says in answer.err
    assert answer.err.count("\n") == 1


def test_an_outcome_told_twice_is_one(winch: Teardown) -> None:
    for _ in range(2):
        answer = winch("outcome", "3", "came back at 2500 hours, brake lining glazed", "--json")
    assert len(answer.json["outcomes"]) == 1
    assert answer.json["outcomes"][0]["ran"] == 300
    assert winch("outcome", "2").status == 1
    for reading in ("2000 h", "900 miles"):  # backward, and in another unit: no running is claimed
        assert winch("outcome", "3", "--ran", "--reading", reading, "--json").json["outcomes"][-1]["ran"] is None


def test_a_share_carries_outcomes_and_steps(winch: Teardown, tmp_path: Path) -> None:
    from notebook.archive.walked import list_outcomes
    from notebook.jobs.opening import find_job

    winch("outcome", "3", "--ran", "--reading", "2300 h")
    zipped = tmp_path / "jobs.zip"
    assert winch("share", "export", zipped, "3").status == 0
    assert run_teardown("share", "import", zipped, shop=tmp_path / "other").status == 0
    with open_archive(open_shop(tmp_path / "other")) as archive:
        assert [o.reading for o in list_outcomes(archive, find_job(archive, "3").id)] == ["2300 h"]
