"""When a recording began is read from its tags, else its name, else its time of change."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.audio.began import work_out_began

BEGAN = datetime(2026, 3, 4, 9, 12, tzinfo=UTC)
CHANGED = datetime(2026, 3, 4, 9, 20, 30, tzinfo=UTC)

IN_TAGS = [
    ({"creation_time": "2026-03-04T09:12:00.000000Z"}, "as MP4 and Matroska boxes give it"),
    ({"CREATION_TIME": " 2026-03-04 09:12:00Z "}, "capitals and blanks"),
    ({"date": "2026-03-04T10:12:00+01:00"}, "with a zone"),
    ({"date": "2026-03-04T10:12+0100"}, "zone without a colon, no seconds"),
    ({"TDRC": "2026-03-04T09:12:00"}, "ID3 recording time; no zone, so the one handed in"),
    ({"ICRD": "2026-03-04", "ITIM": "09:12:00"}, "RIFF day and time apart"),
    ({"date": "2026-03-04", "creation_time": "09:12:00"}, "broadcast WAV day and time apart"),
    ({"date": "2026:03:04", "creation_time": "09-12-00"}, "the separators some recorders write"),
    (
        {"com.example.creationdate": "2026-03-04T10:12:00+0100", "creation_time": "2026-03-04T09:20:00Z"},
        "a telephone's creation date goes before a creation time that is the end",
    ),
]
NOT_IN_TAGS = [
    ({"creation_time": "1970-01-01T00:00:00Z"}, "a recorder whose clock was never set"),
    ({"creation_time": "1904-01-01T00:00:00Z"}, "an MP4 without a time"),
    ({"date": "2026"}, "a year is no moment"),
    ({"date": "2026-03-04"}, "nor is a day"),
    ({"creation_time": "2026-13-04T09:12:00Z"}, "no such month"),
    ({"creation_time": "2026-03-04T09:12:00Z and more"}, "not the whole of it"),
    ({"title": "2026-03-04T09:12:00Z"}, "another tag"),
    ({}, "nothing"),
]
IN_NAMES = [
    "REC_20260304_091200.wav", "20260304-0912.m4a", "2026-03-04 09.12.00.m4a", "winch 2026-03-04T09:12:00Z.ogg",
    "2026_03_04_09_12_00.flac", "20260304T091200.opus", "20260304091200.amr", "Recording 2026-03-04 at 09.12.mp3", "a-2026.03.04-09h12.wav",
]  # fmt: skip
NOT_IN_NAMES = [
    "winch-2026-03-04.ogg", "call 00442026030409120000.wav", "18990304_091200.wav", "20261304_091200.wav",
    "20260304_251200.wav", "job 20260304.wav", "",
]  # fmt: skip


@pytest.mark.parametrize(("tags", "why"), IN_TAGS)
def test_the_file_says_when(tags: dict[str, str], why: str) -> None:
    assert work_out_began(tags, "REC_20200101_000000.wav", CHANGED, 10.0, UTC) == (BEGAN, "in the file"), why


@pytest.mark.parametrize(("tags", "why"), NOT_IN_TAGS)
def test_what_is_no_moment_is_passed_over(tags: dict[str, str], why: str) -> None:
    assert work_out_began(tags, "a.wav", None, None, UTC) == (None, "not known"), why


@pytest.mark.parametrize("name", IN_NAMES)
def test_the_name_says_when(name: str) -> None:
    assert work_out_began({}, name, CHANGED, 10.0, UTC) == (BEGAN, "in its name")


@pytest.mark.parametrize("name", NOT_IN_NAMES)
def test_a_name_without_a_moment_leaves_the_time_of_change(name: str) -> None:
    began, how = work_out_began({}, name, CHANGED, 510.0, UTC)
    assert began == BEGAN
    assert "time of change" in how


def test_a_time_without_a_zone_is_in_the_zone_handed_in() -> None:
    began, _ = work_out_began({}, "REC_20260704_091200.wav", None, None, ZoneInfo("Europe/London"))
    assert began == datetime(2026, 7, 4, 8, 12, tzinfo=UTC)


def test_every_time_given_is_in_utc() -> None:
    changed = CHANGED.astimezone(timezone(timedelta(hours=5)))
    for began, _ in (
        work_out_began({"date": "2026-03-04T14:12:00+05:00"}, "", None, None),
        work_out_began({}, "20260304T141200+05:00.wav", None, None),
        work_out_began({}, "", changed, 510.0),
    ):
        assert began is not None
        assert (began, began.tzinfo) == (BEGAN, UTC)


@pytest.mark.parametrize("length_s", [1e18, -1e18, float("inf"), float("nan")])
def test_a_length_out_of_reason_leaves_the_time_unknown(length_s: float) -> None:
    assert work_out_began({}, "a.wav", CHANGED, length_s) == (None, "not known")


@given(
    st.dictionaries(st.sampled_from(["date", "creation_time", "icrd", "itim", "x.creationdate"]), st.text(max_size=30)),
    st.text(max_size=40),
)
def test_no_tag_and_no_name_raises(tags: dict[str, str], name: str) -> None:
    began, how = work_out_began(tags, name, None, None)
    assert (began is None) == (how == "not known")


@given(st.integers(0, 109 * 365 * 24 * 3600))
def test_any_moment_written_in_a_name_is_read_back(after_s: int) -> None:
    moment = datetime(1990, 1, 2, tzinfo=UTC) + timedelta(seconds=after_s)
    for layout in ("%Y%m%d_%H%M%S", "%Y-%m-%d %H.%M.%S", "%Y-%m-%dT%H:%M:%SZ"):
        began, _ = work_out_began({}, f"rec {moment:{layout}}.wav", None, None, UTC)
        assert began == moment
