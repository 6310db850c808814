"""What `teardown life` prints, from invented lives of one winch's linings."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from notebook.documents.life_text import _ticks, life_json, life_svg, life_text
from notebook.nouns import Job, Machine
from notebook.tables.life import Life, Lives, life_statistics

LIVES: tuple[Life, ...] = (
    (900.0, 1400.0), (1100.0, 1250.0), (700.0, None), (1500.0, 1900.0), (1000.0, 1600.0), (1800.0, None), (600.0, 1150.0), (1300.0, 1300.0),
)  # fmt: skip
JOBS = tuple(
    Job(id=f"job-{n}", number=str(1100 + n), machine=Machine(id="m", kind="winch", plate="W-7"), opened=datetime(2020 + n, 3, 4, tzinfo=UTC))
    for n in range(3)
)  # fmt: skip


def lives(*of: Life) -> Lives:
    return Lives(component="brake lining", unit="h", fittings=(), lives=of, statistics=life_statistics(of), jobs=JOBS)


def told() -> str:
    return life_text(lives(*LIVES))


def test_the_words_say_counts_median_and_what_nine_in_ten_outlast() -> None:
    said = told()
    assert said.startswith("brake lining: 8 fitted, 6 failed, 2 still good or changed without a fault (hours)")
    assert "Weibull, shape" in said
    assert "over 700 hours" in said
    assert "900 to 1,400 hours" in said
    assert "1102  winch  W-7  2022-03-04" in said


def test_the_plot_begins_at_one_and_falls() -> None:
    rows = [line for line in told().splitlines() if " |" in line]
    assert rows[0].lstrip().startswith("1.0 |#")
    assert all(len(line) <= 72 for line in rows)
    assert "#" in rows[-5] + rows[-4] + rows[-3] + rows[-2] + rows[-1]


def test_too_few_are_said_to_be_too_few_everywhere() -> None:
    few = lives((100.0, None), (200.0, 300.0))
    assert "too few to say" in life_text(few)
    assert "too few to say" in life_svg(few)
    assert life_json(few)["curve"] is None


def test_a_name_never_becomes_markup() -> None:
    odd = Lives(component="<b>&", unit="h", fittings=(), lives=LIVES, statistics=life_statistics(LIVES), jobs=())
    assert "<b>" not in life_svg(odd)


@pytest.mark.parametrize("end", [0.5, 1.0, 8.1, 9.9, 99.0, 1940.0, 10000.0, 330000.0])
def test_the_foot_of_the_plot_has_a_handful_of_round_times(end: float) -> None:
    ticks = _ticks(end)
    assert 4 <= len(ticks) <= 9
    assert ticks[0] == 0
    assert ticks[-1] <= end
