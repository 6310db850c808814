"""The photo cues that were spoken, and when: in a remark's own time, to the word.

In: remarks with their entries. Out: cues, in whole microseconds since 1970. Never looks at a picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from notebook.entries import PhotoCue
from notebook.nouns import Remark

SECOND_US = 1_000_000
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenCue:
    """A photo cue in a remark, with times in microseconds since 1970."""

    remark_id: str
    starts_us: int
    said_us: int
    """When the words of the cue were over, by their place in the remark."""
    ends_us: int
    """When the remark was over."""
    looks_back: bool
    """The picture had been taken already ("got a picture of that")."""


def to_us(moment: datetime) -> int:
    """Give microseconds since 1970, exactly; a time without zone is taken as UTC."""
    aware = moment if moment.tzinfo is not None else moment.replace(tzinfo=UTC)
    since = aware - _EPOCH
    return (since.days * 86400 + since.seconds) * SECOND_US + since.microseconds


def length_us(remark: Remark) -> int:
    """Give how long a remark was being said; 0 where that is not known."""
    seconds = remark.seconds
    return round(seconds * SECOND_US) if seconds is not None and 0 < seconds < 86400 else 0


def list_cues(remarks: Sequence[Remark]) -> list[SpokenCue]:
    """List the photo cues of the remarks that have a time, in the order said, as the entries give them."""
    cues = []
    for remark in remarks:
        if remark.at is None:
            continue
        starts, length = to_us(remark.at), length_us(remark)
        for entry in remark.entries:
            if isinstance(entry, PhotoCue) and not entry.struck:
                cues.append(
                    SpokenCue(
                        remark_id=remark.id,
                        starts_us=starts,
                        said_us=starts + _place_in_remark(entry, remark, length),
                        ends_us=starts + length,
                        looks_back=entry.which == "before",
                    )
                )
    return sorted(cues, key=lambda cue: (cue.said_us, cue.remark_id, cue.looks_back))


def _place_in_remark(entry: PhotoCue, remark: Remark, length: int) -> int:
    """Give how far into the remark the words of the cue end: by the word heard last in it, else letters stand for time."""
    letters = len(remark.tidied)
    end = entry.span[1]
    if not 0 < end <= letters:
        return length
    from_end = 0  # what was changed in tidying moves the place
    for (_, tidied_end), (_, said_end), _ in remark.changes:
        if tidied_end <= end:
            from_end = tidied_end - said_end
    spoken = len(remark.text[: max(0, end - from_end)].split())
    if remark.words and len(remark.words) == len(remark.text.split()) and 0 < spoken <= len(remark.words):
        place = round(remark.words[spoken - 1].end_s * SECOND_US)
        return min(max(0, place), length)
    return length * end // letters
