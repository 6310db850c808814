"""The whole way from remarks said on several jobs of one machine to how long its parts last."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest

from tests.conftest import Teardown

# One winch over four jobs; the clock in hours. Each job: number, reading, what was said.
WINCH = [
    ("1", "1000 h", ["New brake lining fitted today, the old one's scrapped.", "Pawl spring is fine, it'll go again."]),
    ("2", "1600 h", ["Brake lining is fine, that'll go again.", "Fitted a new pawl spring, the old one was broken."]),
    ("3", "2200 h", ["Brake lining is worn down to the rivets, fit a new one.", "Pawl spring's good, no cracks, it'll go again."]),
    ("4", "2900 h", ["Brake lining's good, it'll go again.", "Pawl spring is snapped, it has done 1250 hours."]),
]  # fmt: skip


@pytest.fixture
def shop(teardown: Teardown, write_remarks: Callable[..., Path]) -> Teardown:
    """Give the command line of a shop with four jobs on one winch."""
    for number, reading, said in WINCH:
        teardown(
            "new",
            number,
            "--machine",
            "winch",
            "--plate",
            "W-7",
            "--reading",
            reading,
            "--opened",
            f"2026-0{number}-01",
        )
        taken = teardown("add", number, write_remarks(*said, name=f"{number}.txt"))
        assert (taken.status, taken.err) == (0, "")
    return teardown


def lives(shop: Teardown, component: str) -> list[tuple[float, float | None]]:
    answer = shop("life", component, "--json")
    (group,) = answer.json["groups"]
    assert group["unit"] == "h"
    return sorted(((x["low"], x["high"]) for x in group["lives"]), key=lambda x: (x[0], x[1] or 1e9))


def test_a_lining_found_worn_failed_between_the_last_look_and_now(shop: Teardown) -> None:
    """Fitted at 1,000 h, good at 1,600, worn at 2,200: it lasted 600 to 1,200 h. The next is still good after 700."""
    assert lives(shop, "brake lining") == [(600.0, 1200.0), (700.0, None)]


def test_a_life_that_was_said_is_exact(shop: Teardown) -> None:
    """The spring fitted at 1,600 h is snapped at 2,900 h, and was said to have done 1,250."""
    assert (1250.0, 1250.0) in lives(shop, "pawl spring")


def test_the_jobs_behind_it_are_named(shop: Teardown) -> None:
    answer = shop("life", "brake lining")
    assert answer.status == 0
    assert [f"  {n}  winch  W-7" in answer.out for n in "1234"] == [True] * 4
    assert "too few to say" in answer.out


def test_a_part_nobody_fitted_has_no_life(shop: Teardown) -> None:
    answer = shop("life", "drum")
    assert answer.status == 1
    assert "Nothing is known of how long drum lasts" in answer.out


def test_the_curve_is_drawn(shop: Teardown, tmp_path: Path) -> None:
    svg, png = tmp_path / "life.svg", tmp_path / "life.png"
    shop("life", "brake lining", "--svg", str(svg), "--png", str(png))
    assert svg.read_text("utf-8").startswith("<svg")
    assert png.read_bytes().startswith(b"\x89PNG")


def test_a_measured_value_meets_the_data_sheet(
    shop: Teardown, teardown: Teardown, write_remarks: Callable[..., Path], tmp_path: Path
) -> None:
    """The winch's sheet says 3 mm at least; 3.4 mm leaves 0.4."""
    sheet = tmp_path / "shop" / "limits" / "winch.toml"
    sheet.parent.mkdir(exist_ok=True)
    sheet.write_text(
        'machine = "winch"\n\n[[limit]]\npart = "brake lining"\nquantity = "thickness"\nlow = 3.0\nnominal = 8\nunit = "mm"\nsource = "invented manual, page 4"\n',
        "utf-8",
    )
    taken = teardown("add", "4", write_remarks("Brake lining measures 3.4 mm thick.", name="more.txt"))
    assert taken.status == 0
    parts = shop("log", "4", "--json").json["parts"]
    (lining,) = [p for p in parts if p["component"] == "brake lining"]
    assert lining["verdicts"] == ["3.4 mm, limit 3 mm: 0.4 mm left (invented manual, page 4)"]
    assert Decimal("0.4") == Decimal("3.4") - Decimal("3.0")


def test_a_sheet_written_after_the_job_counts_at_once(
    shop: Teardown, write_remarks: Callable[..., Path], tmp_path: Path
) -> None:
    shop("add", "4", write_remarks("Brake lining measures 3.4 mm thick.", name="more.txt"))
    assert "= 3.4 mm" not in shop("log", "4").out
    sheet = tmp_path / "shop" / "limits" / "winch.toml"
    sheet.parent.mkdir(exist_ok=True)
    sheet.write_text(
        '[[limit]]\npart = "brake lining"\nquantity = "thickness"\nlow = 3.0\nunit = "mm"\nsource = "page 4"\n\n'
        '[[limit]]\npart = "brake lining"\nquantity = "width"\nlow = 5\nunit = "bar"\nsource = "page 4"\n',
        "utf-8",
    )
    answer = shop("log", "4")
    assert "= 3.4 mm, limit 3 mm: 0.4 mm left (page 4)" in answer.out
    assert answer.err.startswith("winch.toml, line 12: width is not measured in bar.")


SPRINGS = [
    ("1", "1000 h", ["Fitted a new pawl spring today, the old one's scrapped."]),
    ("2", "1800 h", ["Pawl spring is snapped, it has done 700 hours. Fitted a new pawl spring."]),
    ("3", "2900 h", ["Pawl spring is snapped, it has done 900 hours. Fitted a new pawl spring."]),
    ("4", "3600 h", ["The pawl spring's snapped, it did 600 hours. Fitted a new pawl spring."]),
    ("5", "4500 h", ["Pawl spring's good, no cracks, it'll go again."]),
]  # fmt: skip
"""Three springs broke after 700, 900 and 600 hours, and the last is good after 900."""


def test_from_remarks_of_five_jobs_to_the_curve(
    teardown: Teardown, write_remarks: Callable[..., Path], tmp_path: Path
) -> None:
    """Kaplan-Meier by hand: one of four at 600 h, one of three at 700, one of two at 900: 0.75, 0.5, 0.25."""
    for number, reading, said in SPRINGS:
        teardown(
            "new",
            number,
            "--machine",
            "winch",
            "--plate",
            "W-7",
            "--reading",
            reading,
            "--opened",
            f"2026-0{number}-01",
        )
        taken = teardown("add", number, write_remarks(*said, name=f"{number}.txt"))
        assert (taken.status, taken.err) == (0, "")
    (group,) = teardown("life", "pawl spring", "--json").json["groups"]
    assert sorted((x["low"], x["high"]) for x in group["lives"] if x["high"]) == [
        (600.0, 600.0),
        (700.0, 700.0),
        (900.0, 900.0),
    ]
    assert (group["failed"], group["censored"]) == (3, 1)
    assert group["curve"]["method"] == "Kaplan-Meier"
    assert group["curve"]["times"] == [600.0, 700.0, 900.0]
    assert group["curve"]["good"] == pytest.approx([0.75, 0.5, 0.25])
    assert group["jobs"] == ["1", "2", "3", "4", "5"]
    assert group["weibull"] is None
    drawn = teardown("life", "pawl", "springs", "--svg", str(tmp_path / "life.svg"))
    assert "Kaplan-Meier: half gone by 700 hours" in drawn.out
    assert "too few for a fitted life" in drawn.out
    assert (tmp_path / "life.svg").read_text("utf-8").count("<polyline") == 3  # curve and band


def test_what_measures_past_its_limit_has_failed_and_slight_wear_has_not(
    teardown: Teardown, write_remarks: Callable[..., Path]
) -> None:
    said = {
        "1": ("1000 h", ["Fitted a new brake lining.", "Fitted a new clevis pin."]),
        "2": (
            "1700 h",
            ["Brake lining measures 2.5 mm thick, minimum 3 mm.", "Clevis pin is slightly worn, it'll go again."],
        ),
    }
    for number, (reading, remarks) in said.items():
        teardown("new", number, "--machine", "winch", "--plate", "W-7", "--reading", reading)
        teardown("add", number, write_remarks(*remarks, name=f"{number}.txt"))
    assert lives(teardown, "brake lining") == [(0.0, 700.0)]
    assert lives(teardown, "clevis pin") == [(700.0, None)]


def test_no_part_and_no_folder_are_told_in_a_line(shop: Teardown, tmp_path: Path) -> None:
    assert shop("life", " ").status == 2
    answer = shop("life", "brake lining", "--svg", str(tmp_path / "nowhere" / "x.svg"))
    assert answer.status == 3
    assert "The plot cannot be written to" in answer.err
    assert shop("life", "brake lining", "--machine", "lathe").status == 1
