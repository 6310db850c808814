"""A machine's own data sheet: what is right is used, what is wrong is named with its line."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.entries import Measurement
from notebook.log.verdicts import verdicts_of
from notebook.tables.limits import find_repeats, limits_of_machine, read_limits

GOOD = """machine = "skidding winch"

[[limit]]
part = "brake lining"
quantity = "thickness"
nominal = 8.0
low = 3.0
unit = "mm"
source = "invented manual, page 41"

[[limit]]
part = "ring gear"
quantity = "backlash"
high = 0.6
unit = "mm"
source = "invented manual, page 52"
"""


def row(**more: object) -> str:
    values = {"part": '"hub"', "quantity": '"run-out"', "high": "0.1", "unit": '"mm"', "source": '"page 1"', **more}
    return "[[limit]]\n" + "".join(f"{k} = {v}\n" for k, v in values.items() if v is not None)


def test_a_sheet_is_read_with_exact_figures_and_lines() -> None:
    limits, problems = read_limits(GOOD, "winch.toml")
    assert not problems
    assert [(x.part, x.low, x.high, x.line) for x in limits] == [
        ("brake lining", Decimal("3.0"), None, 3),
        ("ring gear", None, Decimal("0.6"), 11),
    ]


@pytest.mark.parametrize(
    ("bad", "line", "said"),
    [
        (row(unit='"furlong"'), 22, "'furlong' is no unit"), (row(unit='"bar"'), 22, "run-out is not measured in bar"),
        (row(low="0.2"), 24, "low 0.2 is above high 0.1"), (row(source=None), 18, "source is missing"),
        (row(part='""'), 19, "part is to be words"), (row(high='"much"'), 21, "high is no number"), (row(high=None), 18, "neither nominal nor low nor high"),
        (row(nominal="5"), 24, "nominal 5 is outside low and high"), (row(colour='"red"'), 24, "'colour' is not known"),
        (row(quantity='"runout"'), 20, "the nearest is 'run-out'"), (row(unit='"mm'), 22, "cannot be read"), (row(position="7"), 24, "position is to be words"),
    ],
)  # fmt: skip
def test_a_wrong_row_is_named_with_its_line_and_the_rest_is_used(bad: str, line: int, said: str) -> None:
    limits, (problem,) = read_limits(GOOD + "\n" + bad + "\n" + row(part='"drum"'), "winch.toml")
    assert [x.part for x in limits] == ["brake lining", "ring gear", "drum"]
    assert problem.about == f"winch.toml, line {line}"
    assert said in problem.message


def test_a_duplicate_is_named_with_the_line_it_repeats() -> None:
    _, (problem,) = read_limits(row() + row(), "hub.toml")
    assert problem.message == "the same part and quantity as line 1."
    assert problem.about == "hub.toml, line 7"


def test_a_duplicate_in_another_sheet_of_the_machine_is_named_too() -> None:
    first, second = (read_limits(row(), name)[0] for name in ("a.toml", "b.toml"))
    (problem,) = find_repeats([*first, *second])
    assert (problem.about, problem.message) == ("b.toml, line 1", "the same part and quantity as a.toml, line 1.")
    assert find_repeats([*first, *read_limits('plate = "W-7"\n' + row(), "b.toml")[0]]) == []


@pytest.mark.parametrize(
    ("head", "line", "said"),
    [('machin = "winch"', 1, "'machin' is not known"), ("\nmachine = winch", 2, "cannot be read"), ("machine = 7", 1, "machine is to be words")],
)  # fmt: skip
def test_a_sheet_that_does_not_say_which_machine_is_not_used_for_every_machine(head: str, line: int, said: str) -> None:
    limits, (problem,) = read_limits(head + "\n" + row(), "x.toml")
    assert limits == []
    assert problem.about == f"x.toml, line {line}"
    assert said in problem.message


@given(st.text(max_size=400))
def test_no_text_breaks_the_reading_of_a_sheet(text: str) -> None:
    limits, problems = read_limits(text, "x.toml")
    assert limits == [] or problems == [] or limits


def test_the_plate_comes_before_the_kind() -> None:
    own, _ = read_limits('plate = "W-7"\n' + row(high="0.2"), "own.toml")
    kind, _ = read_limits('machine = "winch"\n' + row(), "kind.toml")
    other, _ = read_limits('machine = "lathe"\n' + row(), "lathe.toml")
    found = limits_of_machine([*kind, *other, *own], "skidding winch", "w-7")
    assert [x.file for x in found] == ["own.toml", "kind.toml"]


@pytest.mark.parametrize(
    ("value", "unit", "words"),
    [
        ("7.2", "mm", "7.2 mm, limit 3 mm: 4.2 mm left (invented manual, page 41)"),
        ("3", "mm", "3 mm, limit 3 mm: at the limit (invented manual, page 41)"),
        ("2.5", "mm", "2.5 mm, limit 3 mm: past it by 0.5 mm (invented manual, page 41)"),
        # 3 mm is 0.11811 in (1 in is 25.4 mm exactly)
        ("0.1", "in", "0.1 in, limit 3 mm: past it by 0.01811 in (invented manual, page 41)"),
    ],
)
def test_a_measured_value_meets_its_limit(value: str, unit: str, words: str) -> None:
    limits, _ = read_limits(GOOD, "winch.toml")
    measured = Measurement(component="brake lining", quantity="thickness", value=Decimal(value), unit=unit)
    (verdict,) = verdicts_of([measured], limits)
    assert verdict.words == words


def test_a_limit_said_in_another_unit_is_met() -> None:
    measured = Measurement(component="ring", quantity="backlash", value=Decimal("0.45"), unit="mm")
    said = Measurement(component="ring", quantity="backlash", value=Decimal(20), unit="thou", role="limit")
    (verdict,) = verdicts_of([measured, said])
    assert verdict.words == "0.45 mm, limit 20 thou: 0.058 mm left"


@pytest.mark.parametrize(
    ("value", "words"),
    [("6", "6 thou, should be 5 to 8 thou: within"), ("12", "12 thou, should be 5 to 8 thou: past it by 4 thou")],
)
def test_a_range_that_was_said_is_met(value: str, words: str) -> None:
    measured = Measurement(component="shaft", quantity="end float", value=Decimal(value), unit="thou")
    said = Measurement(
        component="shaft", quantity="end float", low=Decimal(5), high=Decimal(8), unit="thou", role="nominal"
    )
    assert [v.words for v in verdicts_of([measured, said])] == [words]


def test_a_limit_that_was_said_comes_before_the_sheet() -> None:
    limits, _ = read_limits(GOOD, "winch.toml")
    measured = Measurement(component="brake lining", quantity="thickness", value=Decimal("7.2"), unit="mm")
    said = Measurement(component="brake lining", quantity="thickness", value=Decimal("6.5"), unit="mm", role="limit")
    (verdict,) = verdicts_of([measured, said], limits)
    assert verdict.words == "7.2 mm, limit 6.5 mm: 0.7 mm left"


def test_a_limit_of_another_kind_of_amount_says_nothing() -> None:
    limits, _ = read_limits(GOOD, "winch.toml")
    assert (
        verdicts_of(
            [Measurement(component="brake lining", quantity="thickness", value=Decimal(40), unit="N·m")], limits
        )
        == []
    )
