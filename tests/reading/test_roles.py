"""What a figure is for. Source of the sentences: common speech of the trade (no source)."""

from __future__ import annotations

import pytest

from notebook.reading.reader import Reader


@pytest.mark.parametrize(
    ("said", "roles"),
    [
        ("The friction plate measures 7.2 mm, limit is 6.5.", ["measured", "limit"]),
        ("clutch plate's 3.1 mm", ["measured"]),
        ("plate's stamped 22 amps", ["nominal"]),
        ("the rating plate says 230 volts", ["nominal"]),
    ],
)
def test_a_plate_that_is_measured_is_no_plate_that_is_read(said: str, roles: list[str]) -> None:
    entries = [e.to_json() for e in Reader().read(said).entries]
    assert [e["role"] for e in entries if e["kind"] == "measurement"] == roles
