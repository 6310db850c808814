"""Doubts: rare and right. What is wrong is told with what fits; what is real is never doubted."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.tables.checks import doubt_driver, doubt_thread
from notebook.tables.keys import all_keys
from notebook.tables.spanners import all_hexagons
from notebook.tables.thread_table import all_threads

THREAD_DOUBTS = {
    "3/7 BSF": "no 3/7 BSF in BS 84; 3/8 BSF is 20 tpi",
    "1 3/7 BSF": "no 1 3/7 BSF in BS 84; 1 3/8 BSF is 8 tpi",
    "M13": "no M13; M12 or M14, or an M8 with a 13 mm head",
    "M17": "M17 comes only as fine thread (1.5 or 1 mm); M16 or M18, or an M10 with a 17 mm head",
    "M15": "M15 comes only as fine thread (1.5 or 1 mm); M14 or M16",
    "M19": "M19 is not a standard ISO size; M18 or M20, or an M12 with a 19 mm head",
    "M21": "M21 is not a standard ISO size; M20 or M22, or an M14 with a 21 mm head",
    "M2.6": "M2.6 is not a standard ISO size; M2.5 or M3",
    "M5x0.9": "M5x0.9 is not a standard ISO size; M5 is 0.8 or 0.5 mm",
    "M8x1.5": "no M8x1.5 in ISO 261; M8 is 1.25, 1 or 0.75 mm",
    "M13x1.5": "no M13x1.5 in ISO 261; M12x1.5 or M14x1.5",
    "M23": "no M23; M22 or M24",
    "M20x1.25": "no M20x1.25 in ISO 261; M20 is 2.5, 2, 1.5 or 1 mm",
    "5/16-18 UNF": "5/16 UNF is 24 tpi; 18 tpi is 5/16 UNC",
    "5/16 UNF 18 tpi": "5/16 UNF is 24 tpi; 18 tpi is 5/16 UNC",
    "#10-24 UNF": "#10 UNF is 32 tpi; 24 tpi is #10 UNC",
    "1/4 BSF 20 tpi": "1/4 BSF is 26 tpi; 20 tpi is 1/4 BSW",
    "3/8 BSF 24 tpi": "3/8 BSF is 20 tpi; 24 tpi is 3/8 UNF",
    "1/2 BSF 17 tpi": "1/2 BSF is 16 tpi, not 17",
    "3 1/8 in, 20 tpi": "no 3 1/8 in thread of 20 tpi; 3/8 BSF is 20 tpi",
    "1/2 in 17 tpi": "no 1/2 in thread of 17 tpi; 1/2 in is 12 (BSW), 13 (UNC), 16 (BSF), 20 (UNF, cycle), 26 (cycle)"
    " or 28 (UNEF)",
    "11/16 UNC": "no 11/16 UNC in ASME B1.1; 5/8 UNC is 11 tpi, 3/4 UNC is 10 tpi",
    "1/16 BSF": "no 1/16 BSF in BS 84; 3/16 BSF is 32 tpi",
    "3/16 BSP": "no 3/16 BSP in ISO 228-1; G 1/8 is 28 tpi, G 1/4 is 19 tpi",
    "1/8 BSP 27 tpi": "1/8 BSP is 28 tpi; 27 tpi is 1/8 NPT",
    "30 BA": "no 30 BA in BS 93; the smallest is 25 BA",
    "3/7 cycle": "no 3/7 cycle in BS 811; 3/8 cycle is 26 tpi",
    "3/7 in": "no 3/7 in thread; the nearest size is 3/8 in",
}
REAL_THREADS = [
    "M8x30", "M12x1.75x40", "M10 fine", "M25", "M32", "M26x1.5", "M30x3", "M80x2", "M0.6",
    "1-14 UNF", "1/4-20", "quarter twenty", "5/16-18", "1/2-16 UN", "1 1/16-8 UN", "1/2-18 UNS", "#14-20", "#10-36",
    "1/4 BSW 26 tpi", "1/2 26 tpi", "1/4 40 tpi", "3/16-40 ME", "13/16 BSW", "5/32 BSW", "7 BSW",
    "7/8 cycle", "26 tpi cycle", "1/8 BSPT", "1/2 NPT", "5/16", "half inch", "stud", "left hand", "", "17 BA",
]  # fmt: skip
DRIVER_DOUBTS = {
    ("M8", "nut", "17 mm spanner"): "M8 nut takes 13 mm; 17 mm is M10",
    ("M8", "nuts", "17 mm socket"): "M8 nut takes 13 mm; 17 mm is M10",
    ("M10", "bolt", "19 mm socket"): "M10 bolt takes 16 or 17 mm; 19 mm is M12",
    ("M12", "hexagon bolt", "13 mm"): "M12 hexagon bolt takes 18 or 19 mm; 13 mm is M8",
    ("M7", "nut", "13 mm socket"): "M7 nut takes 11 mm; 13 mm is M8",
    ("M8", "bolt", "3/4 AF socket"): "M8 bolt takes 13 mm; 3/4 AF is 1/2 UNC",
    ("3/8 BSF", "nut", "5/8 BS spanner"): "3/8 BSF nut takes 3/8 BS, which is 5/16 W; 5/8 BS is 5/8 BSF",
    ("5/16 UNC", "bolt", "3/4 in socket"): "5/16 UNC bolt takes 1/2 AF; 3/4 in is 1/2 UNC",
    ("2 BA", "nut", "4 BA spanner"): "2 BA nut takes 2 BA, not 4 BA",
    ("M6", "cap screw", "6 mm hex key"): "M6 cap screw takes a 5 mm key; 6 mm is M8",
    ("M10", "cap screw", "6 mm hex key"): "M10 cap screw takes an 8 mm key; 6 mm is M8",
    ("M6", "countersunk socket screw", "5 mm hex key"): "M6 countersunk socket screw takes a 4 mm key; 5 mm is M8",
    ("M6", "grub screw", "5 mm hex key"): "M6 grub screw takes a 3 mm key; 5 mm is M10",
    ("M6", "socket screw", "6 mm hex key"): "M6 socket screw takes a 5 or 4 mm key; 6 mm is M8",
    ("1/4 UNC", "cap screw", "1/4 in hex key"): "1/4 UNC cap screw takes a 3/16 in key; 1/4 in is a 5/16 in screw",
    ("M6", "cap screw", "5.5 mm hex key"): "M6 cap screw takes a 5 mm key, not 5.5 mm",
    (None, None, "3/7 AF spanner"): "no 3/7 AF spanner; the nearest is 3/8",
}
REAL_DRIVERS = [
    ("M10", "bolt", "16 mm socket"), ("M10", "bolt", "17 mm socket"), ("M10", "bolt", "14 mm socket"),
    ("M8", "bolt", "12 mm socket"), ("M8", "bolt", "10 mm socket"), ("M8", "flange bolt", "10 mm socket"),
    ("M10", "flange nut", "15 mm socket"), ("M8", "flange bolt", "17 mm socket"), ("M6", "bolt", "8 mm socket"),
    ("M12", "bolt", "22 mm"), ("M6", "bolt", "11 mm"), ("M8", "bolt", "14 mm"),
    ("M12", "bolt", "24 mm"), ("M6", "nut", "12 mm"), ("M8", "bolt", "15 mm"),  # nothing known, but not far enough off
    ("M12x1.5", "wheel nut", "21 mm socket"), ("M12x1.5", "nut", "24 mm socket"), ("M20", "nut", "36 mm socket"),
    ("M14", "drain plug", "13 mm spanner"), ("M10x1", "union", "11 mm spanner"), ("M18x1.5", "sensor", "22 mm"),
    ("M8", "stud", "17 mm"), ("M8", None, "17 mm"), (None, "nut", "17 mm"), ("M8", "nut", None),
    ("M8", "bolt", "1/4 W spanner"), ("M8", "nut", "1/2 AF"), ("1/4 BSF", "bolt", "11 mm spanner"),
    ("1/4 BSF", "bolt", "1/4 Whitworth spanner"), ("1/4 BSF", "bolt", "1/4 BSF spanner"),
    ("1/4 BSW", "bolt", "1/4 W spanner"), ("1/4 BSW", "bolt", "1/4 BS spanner"), ("3/8 BSF", "nut", "5/16 W"),
    ("1/2 BSW", "nut", "1/2 in spanner"), ("5/16-18 UNC", "bolt", "1/2 in socket"), ("7/16 UNF", "nut", "11/16 AF"),
    ("M6", "cap screw", "4 mm hex key"), ("M6", "cap screw", "3/16 in hex key"), ("M6", "cap screw", "10 mm spanner"),
    ("1/4-20 UNC", "socket head cap screw", "5 mm hex key"), ("3/8 BSF", "cap screw", "8 mm hex key"),
    ("M8", "bolt", "7 mm hex key"), ("M6", "countersunk screw", "T30 star key"), ("M6", "nut", "1/2 in drive"),
    ("G 1/8", "union", "14 mm spanner"), ("M99", "nut", "17 mm spanner"), ("rubbish", "nut", "17 mm spanner"),
]  # fmt: skip


@pytest.mark.parametrize(("thread", "doubt"), THREAD_DOUBTS.items())
def test_a_thread_there_is_not_is_doubted_with_the_nearest(thread: str, doubt: str) -> None:
    assert doubt_thread(thread) == doubt


@pytest.mark.parametrize("thread", REAL_THREADS)
def test_a_real_or_unknown_thread_is_not_doubted(thread: str) -> None:
    assert doubt_thread(thread) is None


def test_no_listed_thread_is_doubted() -> None:
    for thread in all_threads():
        doubt = doubt_thread(thread.name)
        assert (doubt is not None) == thread.is_special, thread.name
        assert doubt is None or "is not a standard ISO size" in doubt


@pytest.mark.parametrize(("said", "doubt"), DRIVER_DOUBTS.items())
def test_a_driver_that_does_not_fit_is_doubted(said: tuple[str | None, str | None, str], doubt: str) -> None:
    assert doubt_driver(*said) == doubt


@pytest.mark.parametrize("said", REAL_DRIVERS)
def test_a_real_or_unknown_driver_is_not_doubted(said: tuple[str | None, str | None, str | None]) -> None:
    assert doubt_driver(*said) is None


def test_no_hexagon_of_the_tables_is_doubted_on_its_own_thread() -> None:
    for hexagon in all_hexagons():
        for thread in hexagon.threads:
            for form in ("bolt", "nut", "hexagon bolt", "flange bolt"):
                for marking in hexagon.marked.split(" = "):
                    driver = f"{marking} mm spanner" if hexagon.system.startswith("metric") else f"{marking} spanner"
                    assert doubt_driver(thread, form, driver) is None, (thread, form, driver)


def test_no_key_of_the_tables_is_doubted_in_its_own_screw() -> None:
    for key in all_keys():
        thread = key.thread if key.thread.startswith("M") else f"{key.thread} UNF"
        assert doubt_driver(thread, key.form, f"{key.size} hex key") is None, key


PIECES = (
    "M6 M8 M13 3/8 BSF 1/4-20 UNC 2 BA 1/8 G nut bolt cap screw grub 17 mm spanner 1/2 AF BS W socket key hex 0/0 3/7 #"
    " 6 tpi in 99999999999"
)
SAID = st.one_of(st.text(max_size=15), st.lists(st.sampled_from(PIECES.split()), max_size=5).map(" ".join))


@given(SAID, SAID, SAID)
def test_no_words_break_the_checks(thread: str, form: str, driver: str) -> None:
    for doubt in (doubt_thread(thread), doubt_driver(thread, form, driver)):
        assert doubt is None or ("\n" not in doubt and 10 < len(doubt) < 300)
