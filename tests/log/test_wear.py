"""How quickly a part wears, from two measurements and the running between them."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest

from notebook.entries import Disposition, Entry, Measurement, Mileage
from notebook.log.verdicts import verdicts_of
from notebook.log.wear import wear_of
from notebook.nouns import Job, Log, Machine
from notebook.tables.limits import read_limits
from tests.conftest import MORNING, make_remark

SHEET, _ = read_limits(
    '[[limit]]\npart = "lining"\nquantity = "thickness"\nlow = 3.0\nunit = "mm"\nsource = "page 4"\n', "x.toml"
)


def thick(value: str, unit: str = "mm") -> Measurement:
    return Measurement(component="lining", quantity="thickness", value=Decimal(value), unit=unit)


def log(number: str, hours: str, *entries: Entry) -> Log:
    job = Job(id=f"job-{number}", number=number, machine=Machine(id="winch", kind="winch", plate="W-7"), opened=MORNING)
    said = make_remark("said", Mileage(value=Decimal(hours), unit="h"), *entries, job=job)
    return Log(job=job, sittings=(), remarks=(said,), photos=(), links=(), parts=(), mends=(), recordings=())


def test_rate_uncertainty_and_running_left() -> None:
    """4.2 mm at 1,000 h and 3.4 mm at 1,600 h: 0.8 mm in 600 h; the uncertainty of each is 0.05 / sqrt 3 (GUM 4.3.7)."""
    old, new = log("1", "1000", thick("4.2")), log("2", "1600", thick("3.4"))
    (wear,) = wear_of(new, new.remarks, [old], str).values()
    assert wear.rate == pytest.approx(-0.8 / 600)
    assert wear.uncertainty == pytest.approx(math.sqrt(2 * 0.05**2 / 3) / 600)
    (verdict,) = verdicts_of([thick("3.4")], SHEET)
    left = wear.running_left(verdict)
    assert left is not None
    assert left[1] == pytest.approx(0.4 / (0.8 / 600))
    assert left[0] < 300 < left[2]
    assert wear.words(verdict) == "0.8 mm in 600 h, 1.33 (1.2 to 1.47) mm a 1,000 h; about 300 h left (272 to 334)"


def test_a_part_renewed_between_starts_anew() -> None:
    old, new = (
        log("1", "1000", thick("4.2"), Disposition(component="lining", action="replace")),
        log("2", "1600", thick("7.9")),
    )
    assert wear_of(new, new.remarks, [old], str) == {}


def test_only_the_running_between_counts_and_units_are_turned() -> None:
    old, new = log("1", "1000", thick("0.2", "in")), log("2", "2000", thick("4.08"))
    (wear,) = wear_of(new, new.remarks, [old], str).values()
    assert wear.rate == pytest.approx((4.08 - 5.08) / 1000)


def test_without_a_limit_no_running_left_is_claimed() -> None:
    old, new = log("1", "1000", thick("4.2")), log("2", "1600", thick("3.4"))
    (wear,) = wear_of(new, new.remarks, [old], str).values()
    assert wear.running_left(None) is None
    assert "left" not in wear.words(None)


def test_a_later_job_is_not_looked_at() -> None:
    old, new = log("1", "1000", thick("4.2")), log("2", "1600", thick("3.4"))
    assert wear_of(old, old.remarks, [new], str) == {}
