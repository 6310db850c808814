"""Walking the way back: what ticks a step, what is doubted, what is left in the bags."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from notebook.archive.walked import list_ticks, rebuild_sittings
from notebook.documents.bench_lines import message_line
from notebook.jobs import bench_messages as told
from notebook.jobs.rebuilding import load_rebuild
from tests.conftest import Teardown
from tests.walking import Walk

APART = (
    "Gear guard's off, six M8 hex bolts. Guard bolts are in bag one.",
    "Pinion's out, limit for the backlash is 0.6 mm.",
    "That's the end housing off. Four M10 cap screws hold the end housing, book gives 45 newton metres.",
    "Oil seal is out, it's hard. Replace the oil seal. Old oil seal is in tray two.",
    "Outboard bearing's out. Two shims behind the outboard bearing, shims are in bag four.",
)


@pytest.fixture
def job(teardown: Teardown, write_remarks: Callable[..., Path]) -> Teardown:
    assert teardown("new", "31", "--machine", "winch", "--reading", "1860 h").status == 0
    assert teardown("add", "31", write_remarks(*APART, name="apart.txt")).status == 0
    return teardown


@pytest.fixture
def walk(job: Teardown, tmp_path: Path) -> Walk:  # noqa: ARG001
    return Walk(tmp_path / "shop")


def test_it_begins_with_what_came_off_last_and_nothing_is_ticked(walk: Walk) -> None:
    shown = walk.last(told.StepShown)
    assert shown.number == 1
    assert "bearing (outboard)" in shown.title
    assert any("2 shims behind the outboard bearing" in line.lower() for line in shown.lines)
    assert set(walk.states) == {"open"}


def test_silence_going_on_and_remarks_tick_nothing(walk: Walk) -> None:
    walk.say("Next.")
    walk.say("Back.")
    walk.say("Bearing slides on well.")
    walk.say("Hmm.")
    assert set(walk.states) == {"open"}
    walk.say("Done.")
    assert walk.states[0] == "done"
    assert walk.states.count("done") == 1
    assert walk.last(told.StepShown).number == 2


def test_a_torque_far_from_the_sheet_is_a_doubt_and_no_refusal(walk: Walk) -> None:
    walk.go_to("end housing")
    walk.say("Torque set to 60 newton metres.")
    assert walk.last(told.StepSaid).doubts == ("60 N·m was said, the sheet has 45 N·m: 33 % over",)
    standing = next(s for s in walk.walk.state.standings if s.name == "end housing")
    assert (standing.state, standing.torque_set) == ("done", True)
    assert any("33 % over" in d for d in standing.doubts)


@pytest.mark.parametrize("said", ["Torque set to 45 newton metres.", "Done, 46 newton metres on all four.", "Torque set to 33 foot pounds."])  # fmt: skip
def test_a_torque_near_the_sheet_is_fine_whatever_its_unit(walk: Walk, said: str) -> None:
    """33 lbf·ft is 44.7 N·m (1 lbf·ft = 1.355 818 N·m, NIST SP 811)."""
    walk.go_to("end housing")
    walk.say(said)
    answered = walk.last(told.StepSaid)
    assert answered.doubts == ()
    assert answered.fine


def test_done_without_a_word_of_the_torque_is_doubted(walk: Walk) -> None:
    walk.go_to("end housing")
    walk.say("Done.")
    assert walk.last(told.StepSaid).doubts == ("end housing: nobody said that the torque is set (45 N·m)",)


def test_fewer_or_other_fasteners_than_came_off_are_doubted(walk: Walk) -> None:
    walk.go_to("gear guard")
    walk.say("Gear guard is on, five M8 bolts.")
    assert any("5 " in d and "6 came off" in d for d in walk.last(told.StepSaid).doubts)


def test_a_size_past_the_limit_said_at_strip_down_is_doubted(walk: Walk) -> None:
    walk.go_to("pinion")
    walk.say("Backlash is 0.8 mm now.")
    assert any("past it by 0.2 mm" in d for d in walk.last(told.StepSaid).doubts)


def test_parts_on_order_are_said_until_somebody_says_they_came(walk: Walk) -> None:
    summed = walk.last(told.RebuildSummed)
    assert summed.waiting == ("oil seal: nobody said that the new one is here (advised)",)
    walk.go_to("oil seal")
    walk.say("Skip: waiting for the seal.")
    assert (walk.states.count("skipped"), walk.states.count("done")) == (1, 0)
    walk.go_to("oil seal")
    walk.say("The new oil seal has come.")
    walk.say("Done.")
    assert walk.last(told.StepSaid).doubts == ()


def test_at_the_end_it_says_what_was_not_done_and_what_is_left(walk: Walk) -> None:
    for name in [s.name for s in walk.walk.state.standings]:
        walk.go_to(name)
        walk.say("Skip: no room." if name == "bearing (outboard)" else "Done.")
    summed = walk.last(told.RebuildSummed)
    assert len(summed.not_done) == 1
    assert "skipped: no room" in summed.not_done[0]
    assert "bag 4: shims" in summed.left
    assert any(line.startswith("tray 2") for line in summed.left)
    assert not any(line.startswith("bag 1") for line in summed.left)
    assert "not done:" in (message_line(summed) or "")


def test_not_done_after_all_opens_a_step_again(walk: Walk) -> None:
    walk.say("Done.")
    walk.walk.undo()
    assert set(walk.states) == {"open"}
    walk.say("Done.")
    walk.say("Not done yet.")
    assert set(walk.states) == {"open"}
    walk.say("Done.")
    walk.say("Back.")
    walk.say("Not done yet.")
    assert set(walk.states) == {"open"}


def test_what_is_said_is_a_remark_of_its_own_and_of_the_part_at_hand(walk: Walk) -> None:
    walk.go_to("end housing")
    walk.say("Done, 45 newton metres on all four.")
    log = walk.archive.load_log(walk.job)
    (remark,) = [r for r in log.remarks if r.sitting_id == "together"]
    (entry,) = remark.entries
    assert (getattr(entry, "component", None), entry.from_, remark.person) == ("end housing", None, "Idris")
    (tick,) = list_ticks(walk.archive, walk.job.id)
    assert (tick.state, tick.remark_id, tick.person) == ("done", remark.id, "Idris")


def test_the_sheet_stays_that_of_the_taking_apart(walk: Walk, job: Teardown) -> None:
    before = [s.name for s in load_rebuild(walk.archive, walk.shop, walk.job).standings]
    walk.go_to("end housing")
    walk.say("Torque set to 60 newton metres.")
    walk.say("Drum is off again.")
    after = load_rebuild(walk.archive, walk.shop, walk.job)
    assert [s.name for s in after.standings] == before
    assert rebuild_sittings(walk.archive, walk.job.id) == {"together"}
    shown = job("rebuild", "31", "--step", str(before.index("end housing") + 1)).out
    assert "45 N·m" in shown
    assert "torque: 60" not in shown


def test_ticks_stand_on_the_command_line_too(job: Teardown) -> None:
    answer = job("rebuild", "31", "--step", "1", "--done", "--json", "--person", "Idris").json
    assert answer["done"] == 1
    assert (
        job("rebuild", "31", "--step", "2", "--skip", "waiting for the seal").out.count("skipped: waiting for the seal")
        == 1
    )
    assert job("rebuild", "31", "--step", "1", "--open-again", "--json").json["done"] == 0
    for wrong in (("--step", "99", "--done"), ("--done",), ("--step", "1", "--done", "--torque-set"), ("--step", "0")):
        answer = job("rebuild", "31", *wrong)
        assert (answer.status, answer.err.count("\n")) == (2, 1)


def test_a_job_of_which_nothing_came_off_has_no_way_back(job: Teardown) -> None:
    job("new", "32", "--machine", "winch")
    answer = job("rebuild", "32", "--how-far")
    assert answer.status == 3
    assert "no way back" in answer.err
    assert job("bench", "32", "--rebuild", "--plain").status == 3
