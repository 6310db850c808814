"""Work out when a recording began, and by what.

In: the tags of a sound file, its name, its time of change, its length. Out: an aware time in UTC and how it is known.
Never opens a file and never reaches for a clock.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from datetime import UTC, datetime, timedelta, tzinfo

IN_THE_FILE = "in the file"
IN_ITS_NAME = "in its name"
BY_ITS_CHANGE = "by its time of change, less its length"
NOT_KNOWN = "not known"

FIRST_YEAR = 1990
"""Recorders with no clock set write 1904 or 1970."""
LAST_YEAR = 2100

_WHOLE_TAGS = ("creation_time", "date_recorded", "tdrc", "date", "tden", "icrd")
_SPLIT_TAGS = (("date", "creation_time"), ("icrd", "itim"))
"""Broadcast WAV keeps the day and the time apart (EBU Tech 3285, OriginationDate and OriginationTime)."""

_MOMENT = re.compile(
    r"(?P<year>\d{4})-(?P<month>\d\d)-(?P<day>\d\d)[T ](?P<hour>\d\d):(?P<minute>\d\d)(?::(?P<second>\d\d))?"
    r"(?:[.,]\d+)?\s*(?P<zone>Z|[+-]\d\d:?\d\d)?"
)
_NAME_MOMENT = re.compile(
    r"(?<!\d)(?P<year>(?:19|20)\d\d)(?P<s>[-_.]?)(?P<month>\d\d)(?P=s)(?P<day>\d\d)"
    r"(?:T|[-_. ]+(?:at )?)?"
    r"(?P<hour>\d\d)(?P<t>[-_.:h]?)(?P<minute>\d\d)(?:(?P=t)(?P<second>\d\d))?(?P<zone>Z|[+-]\d\d:\d\d)?(?!\d)"
)


def work_out_began(
    tags: Mapping[str, str],
    name: str,
    changed: datetime | None,
    length_s: float | None,
    zone: tzinfo | None = None,
) -> tuple[datetime | None, str]:
    """Give when a recording began, in UTC, and where that is from: the file, else its name, else its time of change.

    `zone` is that of times that name none; None is the zone of this computer.
    """
    for text in _tag_moments({key.lower(): value.strip() for key, value in tags.items()}):
        found = _read_moment(_MOMENT.fullmatch(text), zone)
        if found is not None:
            return found, IN_THE_FILE
    for match in _NAME_MOMENT.finditer(name):
        found = _read_moment(match, zone)
        if found is not None:
            return found, IN_ITS_NAME
    if changed is not None and length_s is not None:
        # A broken header may name a length of thousands of years.
        with suppress(OverflowError, ValueError):
            return changed.astimezone(UTC) - timedelta(seconds=length_s), BY_ITS_CHANGE
    return None, NOT_KNOWN


def _tag_moments(tags: Mapping[str, str]) -> Iterator[str]:
    # Telephones write a `…creationdate` with its zone beside a `creation_time` that may be the end of the recording.
    for key, value in tags.items():
        if key.endswith("creationdate"):
            yield value
    for key in _WHOLE_TAGS:
        if key in tags:
            yield tags[key]
    for day, time in _SPLIT_TAGS:
        if day in tags and time in tags:
            yield f"{tags[day].replace(':', '-')} {tags[time].replace('-', ':')}"


def _read_moment(match: re.Match[str] | None, zone: tzinfo | None) -> datetime | None:
    if match is None or not FIRST_YEAR <= int(match["year"]) <= LAST_YEAR:
        return None
    whole = [int(match[part]) for part in ("year", "month", "day", "hour", "minute")]
    try:
        moment = datetime(*whole, int(match["second"] or 0))  # type: ignore[call-arg, arg-type, misc, unused-ignore]  # noqa: DTZ001
        if match["zone"]:
            spelled = match["zone"].replace("Z", "+00:00")
            zone = datetime.fromisoformat(f"2000-01-01T00:00:00{spelled}").tzinfo
        moment = moment.replace(tzinfo=zone) if zone is not None else moment.astimezone()
        return moment.astimezone(UTC)
    except (ValueError, OverflowError):
        return None
