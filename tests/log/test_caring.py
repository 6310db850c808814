"""The usual cautions come up with a part, a tool, a fastener's state or a deed, each once, and never stand in the way."""

from __future__ import annotations

from pathlib import Path

import pytest

from notebook.documents.log_json import log_json
from notebook.documents.log_text import log_text
from notebook.entries import Entry, Fastener, Finding, Step, Tool
from notebook.jobs import bench_messages as told
from notebook.jobs.opening import open_archive, open_job
from notebook.jobs.sitting import BenchSitting
from notebook.log.caring import cautions_of
from notebook.shop import open_shop
from notebook.tables.cautions import DEFER, all_cautions
from tests.conftest import MORNING, make_log, make_remark


def operations(text: str, *entries: Entry) -> set[str]:
    return {c.operation for c in cautions_of([make_remark(text, *entries)])}


@pytest.mark.parametrize(
    ("text", "operation"),
    [
        ("Pressed the old bush out.", "pulling or pressing"),
        ("Gave it a bit of heat and it came.", "heat or sparks near fuel, oil or gas"),
        ("Blew the passages out with the airline.", "using an airline"),
        ("Jacked the back up to get at it.", "lifting and propping"),
        ("It had gone in cross-threaded.", "forcing a thread"),
        ("Split the cases on the bench.", "splitting cases"),
        ("Drained the petrol first.", "open fuel"),
    ],
)
def test_a_deed_that_can_hurt_is_known_by_how_it_is_spoken_of(text: str, operation: str) -> None:
    assert operation in operations(text)


@pytest.mark.parametrize(
    ("entry", "operation"),
    [
        (Fastener(component="cover", form="stud", state=("seized",)), "removing seized fasteners"),
        (Finding(component="head stud", condition="broken"), "removing seized fasteners"),
        (Fastener(component="cover", form="bolt", state=("threadlocked",)), "heating to break a bond"),
        (Tool(name="two-leg puller"), "pulling or pressing"),
        (Step(action="removed", component="brake shoe"), "any brake work"),
    ],
)
def test_a_part_a_tool_and_a_fastener_bring_theirs(entry: Entry, operation: str) -> None:
    assert operation in operations("said", entry)


def test_what_is_not_there_and_what_was_struck_brings_none() -> None:
    assert operations("no cracks", Finding(component="cover plate", condition="cracked", presence="absent")) == set()
    assert operations("said", Tool(name="puller", struck=True)) == set()


def test_a_value_past_its_limit_brings_its_own() -> None:
    past = cautions_of([make_remark("said")], ["2.5 mm, limit 3 mm: past it by 0.5 mm"])
    assert [c.operation for c in past] == ["part past its limit"]
    assert cautions_of([make_remark("said")], ["3.4 mm, limit 3 mm: 0.4 mm left"]) == ()


def test_the_log_shows_each_once_and_defers() -> None:
    log = make_log(*(make_remark("Pressed it out.", Tool(name="puller"), order=n) for n in (1, 2)))
    (caution,) = [c for c in all_cautions() if c.operation == "pulling or pressing"]
    text = log_text(log)
    assert text.count(caution.text) == 1
    assert DEFER in text
    assert "[medium confidence]" in text
    assert [c["text"] for c in log_json(log)["cautions"]] == [caution.text]


def test_the_bench_gives_the_gravest_once_and_asks_for_nothing(tmp_path: Path) -> None:
    shop = open_shop(tmp_path / "shop")
    with open_archive(shop) as archive:
        open_job(archive, shop, number="7", machine="winch", opened=MORNING)
    messages: list[told.Message] = []
    bench = BenchSitting(shop, "7", tell=messages.append)
    for _ in range(2):
        bench._warn(make_remark("Pressed it out.", Tool(name="puller")))
    (given,) = messages
    assert isinstance(given, told.CautionGiven)
    assert given.defer == DEFER
    bench._lock.release()
