"""When a picture was taken, as far as it says.

In: EXIF values by tag number, the text and change time of a PNG, the file's time of change,
the zone of the job. Out: a moment in UTC or None, and in words how that is known.
Never opens a file, never asks a clock, never puts a camera's clock right.

Tag numbers are those of EXIF 2.32 (CIPA DC-008-2019), 4.6.4 and 4.6.5.
"""

from __future__ import annotations

import email.utils
import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo
from zoneinfo import ZoneInfo

from notebook.errors import WRONG_USE, NotebookError, one_line

FILE_TIME = "time of change of the file"
"""`how` of a moment that is the file's and not the camera's."""

ARRIVED = "time it came from the phone, by the notebook's clock"
"""`how` of a moment of a picture that was sent as it was taken and says none itself."""

EXIF_CLOCKS = (
    ("DateTimeOriginal", 0x9003, 0x9291, 0x9011),
    ("DateTimeDigitized", 0x9004, 0x9292, 0x9012),
    ("DateTime", 0x0132, 0x9290, 0x9010),
)
"""Name, tag of the time, of its sub-seconds, of its offset; the first that is there is believed."""

EARLIEST_YEAR, LATEST_YEAR = 2000, 2089
"""A year outside is a clock never set or a broken file: common practice (no source)."""
AHEAD_OF_NOW = timedelta(hours=48)
"""A clock in a wrong zone is up to 26 h ahead; more than this is no time at all."""

_WALL = re.compile(r"(\d{4})[:/-](\d{1,2})[:/-](\d{1,2})[ T](\d{1,2}):(\d{2})(?::(\d{2}))?(?:\.(\d+))?")
_OFFSET = re.compile(r"([+-])(\d{2}):?(\d{2})")
_LARGEST_OFFSET = timedelta(hours=14)


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """When, in UTC with microseconds, and how that is known; None where it cannot be believed."""

    taken: datetime | None
    how: str


def read_zone(zone: str) -> tzinfo:
    """Find the zone by its name (`Europe/London`); raise NotebookError for a name that is none."""
    if zone.upper() == "UTC":
        return UTC
    try:
        return ZoneInfo(zone)
    except (KeyError, ValueError, OSError) as why:  # a folder of zones, such as "Europe", is an OSError
        raise NotebookError(
            f"There is no time zone {one_line(zone)!r}; nothing was taken in.",
            'Name it as in "Europe/London", or "UTC".',
            WRONG_USE,
        ) from why


def read_moment(
    tags: Mapping[int, object],
    text: Mapping[str, str],
    png_changed: datetime | None,
    file_changed: datetime | None,
    zone: tzinfo,
    now: datetime | None = None,
) -> Moment:
    """Give the best moment there is: EXIF, then PNG text, then PNG change time, then the file's.

    `tags` are EXIF values by number, `text` the text chunks of a PNG. The first that is written
    down decides: when it cannot be true there is no moment, and nothing weaker is put in its place.
    """
    moment = (
        _read_exif(tags, zone)
        or _read_png_text(text, zone)
        or (Moment(taken=png_changed, how="PNG tIME, which is in UTC") if png_changed else None)
        or Moment(taken=file_changed, how=FILE_TIME)
    )
    if moment.taken is None and moment.how != FILE_TIME:
        return moment
    if moment.taken is None or not _is_believable(moment.taken, now):
        said = "nothing that is a date" if moment.taken is None else f"{moment.taken:%Y-%m-%d %H:%M:%S} UTC"
        return Moment(taken=None, how=f"{moment.how} says {said}, which cannot be true")
    return moment


def from_phone(now: datetime) -> Moment:
    """Give the moment of a picture that came straight from a phone and says none itself."""
    return Moment(taken=now, how=ARRIVED)


def read_text(value: object) -> str:
    """Give an EXIF text up to its end mark, on one line; "" for what is no text."""
    if isinstance(value, bytes):
        value = value.decode("latin-1")
    if not isinstance(value, str):
        return ""
    value = value.split("\0", 1)[0]
    with suppress(UnicodeError):  # the standard says ASCII, cameras write UTF-8
        value = value.encode("latin-1").decode("utf-8")
    return " ".join(one_line(value).split())


def _read_exif(tags: Mapping[int, object], zone: tzinfo) -> Moment | None:
    for name, time_tag, fraction_tag, offset_tag in EXIF_CLOCKS:
        said = read_text(tags.get(time_tag))
        if not said.strip(": "):  # "    :  :     :  :  " is the standard's way of saying unknown
            continue
        wall = _read_wall(said)
        if wall is None:
            return Moment(taken=None, how=f"{name} says {said[:40]}, which cannot be true")
        fraction = re.match(r"\d+", read_text(tags.get(fraction_tag)))
        if fraction:
            wall = wall.replace(microsecond=int(fraction[0][:6].ljust(6, "0")))
        return _place_wall(wall, name, read_text(tags.get(offset_tag)), zone)
    return None


def _read_png_text(text: Mapping[str, str], zone: tzinfo) -> Moment | None:
    said = next((v for k, v in text.items() if k.casefold() == "creation time"), "").strip()[:60]
    if not said:
        return None
    name = "PNG text Creation Time"
    moment = None
    for read in (datetime.fromisoformat, email.utils.parsedate_to_datetime, _read_wall):
        try:
            moment = read(said)
        except (ValueError, OverflowError):
            continue
        if moment is not None:
            break
    if moment is None:
        return Moment(taken=None, how=f"{name} says {one_line(said)[:40]}, which cannot be true")
    offset = f"{moment:%z}"[:5]
    return _place_wall(moment.replace(tzinfo=None), name, offset, zone)


def _read_wall(said: str) -> datetime | None:
    found = _WALL.match(said)
    if found is None:
        return None
    year, month, day, hour, minute, second = (int(n or 0) for n in found.groups()[:6])
    try:
        return datetime(year, month, day, hour, minute, second, int((found[7] or "")[:6].ljust(6, "0")))  # noqa: DTZ001
    except ValueError:
        return None


def _place_wall(wall: datetime, name: str, offset: str, zone: tzinfo) -> Moment:
    """Turn a clock face into a moment: by its own offset when it has one, else by the job's zone."""
    if not EARLIEST_YEAR - 1 <= wall.year <= LATEST_YEAR + 1:
        return Moment(taken=None, how=f"{name} says {wall:%Y-%m-%d %H:%M:%S}, which cannot be true")
    own = _read_offset(offset)
    if own is not None:
        return Moment(
            taken=wall.replace(tzinfo=own).astimezone(UTC), how=f"{name}, offset {offset} as the picture says"
        )
    how = f"{name}, zone {zone} assumed"
    first, second = wall.replace(tzinfo=zone, fold=0), wall.replace(tzinfo=zone, fold=1)
    if first.utcoffset() != second.utcoffset():
        how += ", at an hour when its clocks change"
    return Moment(taken=first.astimezone(UTC), how=how)


def _read_offset(said: str) -> tzinfo | None:
    if said == "Z":
        return UTC
    found = _OFFSET.fullmatch(said)
    if found is None or int(found[3]) > 59:
        return None
    ahead = timedelta(hours=int(found[2]), minutes=int(found[3]))
    if ahead > _LARGEST_OFFSET:
        return None
    return timezone(ahead if found[1] == "+" else -ahead)


def _is_believable(moment: datetime, now: datetime | None) -> bool:
    if not EARLIEST_YEAR <= moment.year <= LATEST_YEAR:
        return False
    return now is None or moment <= now + AHEAD_OF_NOW
