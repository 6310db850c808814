"""A correction strikes what it undoes and nothing else; what was said stays in its own line."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from notebook.entries import Caution, Correction, Entry, Finding, Measurement, PhotoCue, Step, Tip
from notebook.log.strike import strike_corrected
from notebook.nouns import Remark

CRACKED = Finding(component="hub", condition="cracked")
WORN = Finding(component="drum", condition="worn")
OFF = Step(component="hub", action="removed")
LENGTH = Measurement(component="spring", quantity="length", value=Decimal(58), unit="mm")
LIMIT = Measurement(component="spring", quantity="length", value=Decimal(61), unit="mm", role="limit")
SCRATCH = Correction(scope="last remark")
VALUE = Correction(scope="value")


def remarks(*said: tuple[Entry, ...]) -> list[Remark]:
    return [
        Remark(id=f"r{n}", sitting_id="s", order=n, at=None, seconds=None, heard="", text="", entries=entries)
        for n, entries in enumerate(said, 1)
    ]


def struck(*said: tuple[Entry, ...]) -> list[list[bool]]:
    given = remarks(*said)
    after = strike_corrected(given)
    bare = [replace(r, entries=tuple(replace(e, struck=False) for e in r.entries)) for r in after]
    assert bare == [replace(r, entries=tuple(replace(e, struck=False) for e in r.entries)) for r in given]
    return [[e.struck for e in r.entries] for r in after]


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        pytest.param([(WORN,), (CRACKED, OFF), (SCRATCH,)], [[False], [True, True], [False]], id="the last remark, all of it"),
        pytest.param([(CRACKED,), (SCRATCH, WORN)], [[True], [False, False]], id="and the new fact stands"),
        pytest.param([(CRACKED,), (), (Tip(text="warm it"),), (SCRATCH,)], [[True], [], [False], [False]], id="over remarks without a fact"),
        pytest.param([(CRACKED, Caution(text="mind the spring"), PhotoCue()), (SCRATCH,)], [[True, False, False], [False]], id="cautions and photos stay"),
        pytest.param([(SCRATCH, CRACKED)], [[False, False]], id="nothing before it"),
        pytest.param([(LENGTH, LIMIT, CRACKED), (VALUE, LENGTH)], [[True, False, False], [False, False]], id="a value strikes its like only"),
        pytest.param([(LENGTH,), (VALUE,)], [[False], [False]], id="a value that gives no new one"),
        pytest.param([(CRACKED,), (WORN,), (SCRATCH,), (OFF,)], [[False], [True], [False], [False]], id="only one remark"),
        pytest.param([(CRACKED,), (replace(SCRATCH, struck=True),)], [[False], [True]], id="a correction that was itself struck"),
    ],
)  # fmt: skip
def test_what_is_struck(said: list[tuple[Entry, ...]], expected: list[list[bool]]) -> None:
    assert struck(*said) == expected


def test_striking_twice_is_striking_once() -> None:
    once = strike_corrected(remarks((CRACKED,), (SCRATCH, WORN)))
    assert strike_corrected(once) == once
