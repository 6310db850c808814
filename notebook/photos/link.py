"""Which remark each picture shows, by what was said and when.

In: the photos and remarks of one job. Out: links, what is known of each camera's clock, and
problems. Never opens a picture, never touches a link made by hand.

First form: one constant offset a camera, then picture by picture in order of time.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import groupby

from notebook.errors import Problem
from notebook.nouns import HowLinked, Link, Photo, Remark
from notebook.photos.clock import (
    AFTER_CUE_US,
    EARLY_US,
    SECOND_US,
    ClockOffset,
    SpokenCue,
    fit_offset,
    length_us,
    list_cues,
    to_us,
)
from notebook.photos.when import FILE_TIME

BURST_US = 3 * SECOND_US
LOOK_BACK_US = 30 * SECOND_US
BEFORE_WORK_US = 30 * SECOND_US
AFTER_WORK_US = 600 * SECOND_US
"""Pictures this long before the first remark of a sitting, or after its last, are not of it."""

# How sure a link is: judged, not yet measured (first form).
SURE_CUE, SURE_CUE_AGAIN, SURE_LOOK_BACK, SURE_LOOK_BACK_SHARED = 0.95, 0.8, 0.85, 0.6
SURE_DURING, SURE_AFTER, SURE_BEFORE_WORK, LEAST_SURE = 0.8, 0.75, 0.3, 0.2
HALVES_IN_S = 60
CLOCK_NOT_SURE = 0.6
"""Every link of a camera whose clock is not sure is taken down by this."""


@dataclass(slots=True, kw_only=True)
class _Burst:
    """Pictures of one camera within seconds of each other; one or more."""

    at_us: int
    """Of the first picture, by the notebook's clock."""
    photos: list[Photo]
    trust: float
    links: dict[str, tuple[HowLinked, float]] = field(default_factory=dict)
    """How and how sure, by remark."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Said:
    """A remark with a time, in microseconds."""

    id: str
    sitting_id: str
    starts_us: int
    ends_us: int


def link_photos(
    photos: Sequence[Photo], remarks: Sequence[Remark]
) -> tuple[list[Link], list[ClockOffset], list[Problem]]:
    """Link each photo to the remarks it shows, as far as times and spoken cues tell.

    A photo is linked by a cue (to one remark, or more where a later cue looks back on it), else by
    time to the one remark being said or just said, else not at all. The links of a photo stand
    together, the surest first, photos in the order taken. A camera whose clock cannot be worked out
    is taken as right, and that is told. The same photos and remarks in any order give the same links.
    """
    timed = {photo.id: photo for photo in sorted(photos, key=lambda p: (p.id, p.name)) if photo.taken is not None}
    said = sorted(
        (
            _Said(id=r.id, sitting_id=r.sitting_id, starts_us=to_us(r.at), ends_us=to_us(r.at) + length_us(r))
            for r in remarks
            if r.at is not None
        ),
        key=lambda s: (s.starts_us, s.id),
    )
    cues = list_cues(remarks)
    bursts: list[_Burst] = []
    offsets: list[ClockOffset] = []
    for (camera, by_file_time), group in groupby(sorted(timed.values(), key=_clock_of), key=_clock_of):
        own = _cut_bursts(list(group))
        offset, offset_us = _judge_clock(camera, by_file_time, own, cues)
        offsets.append(offset)
        for burst in own:
            burst.at_us -= offset_us
            burst.trust = 1.0 if offset.sure else CLOCK_NOT_SURE
        bursts.extend(own)
    bursts.sort(key=lambda b: b.at_us)
    _link_by_cue(bursts, cues, said)
    _link_looking_back(bursts, cues)
    _link_by_time(bursts, said)
    return _list_links(bursts), offsets, _list_problems(photos, bursts, offsets, bool(said))


def _clock_of(photo: Photo) -> tuple[str, bool]:
    """A file's time of change is another clock than the camera's own."""
    return photo.camera, photo.taken_how == FILE_TIME


def _cut_bursts(photos: list[Photo]) -> list[_Burst]:
    """Put pictures together that follow each other within 3 s, by the camera's own clock."""
    bursts: list[_Burst] = []
    last_us = 0
    for at_us, _, photo in sorted((to_us(p.taken), p.id, p) for p in photos if p.taken is not None):
        if bursts and at_us - last_us <= BURST_US:
            bursts[-1].photos.append(photo)
        else:
            bursts.append(_Burst(at_us=at_us, photos=[photo], trust=1.0))
        last_us = at_us
    return bursts


def _judge_clock(
    camera: str, by_file_time: bool, bursts: Sequence[_Burst], cues: Sequence[SpokenCue]
) -> tuple[ClockOffset, int]:
    fit = fit_offset([burst.at_us for burst in bursts], cues)
    sure = fit is not None and fit.sure
    if fit is None:
        why = "no spoken cue and picture could belong together" if cues else "no photo cue was said"
    else:
        odds = f"{math.exp(min(fit.ahead, 13.8)):.0f}"
        why = f"{fit.agreeing} of {len(cues)} spoken cues get their picture by it, {odds} to 1 against any other"
        why = why if sure else f"at best {why}"
    offset_us = fit.offset_us if fit is not None and sure else 0
    return ClockOffset(
        camera=camera,
        offset_s=offset_us / SECOND_US,
        sure=sure,
        agreeing=fit.agreeing if fit is not None else 0,
        cues=len(cues),
        pictures=sum(len(burst.photos) for burst in bursts),
        by_file_time=by_file_time,
        within_s=fit.within_us / SECOND_US if fit is not None and sure else 0.0,
        why=why,
    ), offset_us


def _link_by_cue(bursts: Sequence[_Burst], cues: Sequence[SpokenCue], said: Sequence[_Said]) -> None:
    """Give each cue for the next picture what was taken while its remark was said or right after."""
    asking = [cue for cue in cues if not cue.looks_back]
    starts = [s.starts_us for s in said]
    served: set[str] = set()
    for burst in bursts:
        at = burst.at_us
        open_cues = [c for c in asking if c.starts_us - EARLY_US <= at <= c.ends_us + AFTER_CUE_US]
        while open_cues:
            cue = open_cues.pop()
            is_due = at >= cue.said_us - EARLY_US
            if not is_due and any(c.remark_id not in served for c in open_cues):
                continue  # an earlier cue still waits, and this one is not said yet
            latest = bisect_right(starts, at) - 1
            moved_on = latest >= 0 and said[latest].id != cue.remark_id and said[latest].starts_us > cue.starts_us
            if cue.remark_id in served and moved_on:
                break  # a later picture is of what has been said since
            burst.links[cue.remark_id] = ("cue", SURE_CUE_AGAIN if cue.remark_id in served else SURE_CUE)
            served.add(cue.remark_id)
            break


def _link_looking_back(bursts: Sequence[_Burst], cues: Sequence[SpokenCue]) -> None:
    """Give each cue that looks back the picture before it, which may serve another remark as well."""
    times = [burst.at_us for burst in bursts]
    for cue in cues:
        place = bisect_right(times, cue.said_us) - 1
        if not cue.looks_back or place < 0 or times[place] < cue.starts_us - LOOK_BACK_US:
            continue
        links = bursts[place].links
        links.setdefault(cue.remark_id, ("cue", SURE_LOOK_BACK_SHARED if links else SURE_LOOK_BACK))


def _link_by_time(bursts: Sequence[_Burst], said: Sequence[_Said]) -> None:
    """Give what no cue claimed to the remark being said or just said, within the sitting."""
    starts = [s.starts_us for s in said]
    for burst in bursts:
        if burst.links:
            continue
        at = burst.at_us
        place = bisect_right(starts, at)
        before = said[place - 1] if place else None
        after = said[place] if place < len(said) else None
        same_sitting = before is not None and after is not None and before.sitting_id == after.sitting_id
        if before is not None and (same_sitting or at - before.ends_us <= AFTER_WORK_US):
            burst.links[before.id] = ("time", _trust_delay(at - before.ends_us))
        elif after is not None and after.starts_us - at <= BEFORE_WORK_US:
            burst.links[after.id] = ("time", SURE_BEFORE_WORK)


def _trust_delay(delay_us: int) -> float:
    if delay_us <= 0:
        return SURE_DURING
    return max(LEAST_SURE, SURE_AFTER * math.exp2(-delay_us / SECOND_US / HALVES_IN_S))


def _list_links(bursts: Sequence[_Burst]) -> list[Link]:
    links = []
    for burst in bursts:
        surest = sorted(burst.links.items(), key=lambda link: (-link[1][1], link[0]))
        for photo in burst.photos:
            for remark_id, (how, confidence) in surest:
                links.append(
                    Link(photo_id=photo.id, remark_id=remark_id, how=how, confidence=round(confidence * burst.trust, 3))
                )
    return links


def _list_problems(
    photos: Sequence[Photo], bursts: Sequence[_Burst], offsets: Sequence[ClockOffset], any_said: bool
) -> list[Problem]:
    problems = [
        Problem(
            about=photo.name,
            message=f"It has no time that can be believed ({photo.taken_how}); it is kept, and loose in the job.",
            remedy="Link it by hand.",
        )
        for photo in sorted(photos, key=lambda p: (p.name, p.id))
        if photo.taken is None
    ]
    for offset in offsets:
        loose = sum(
            len(b.photos)
            for b in bursts
            if not b.links and _clock_of(b.photos[0]) == (offset.camera, offset.by_file_time)
        )
        if not offset.sure and any_said:
            problems.append(
                Problem(
                    about=offset.camera,
                    message=f"How far its clock is off is not sure ({offset.why}); it was taken as right.",
                    remedy='Look over its links; next time say "photo" as you take pictures.',
                )
            )
        if loose:
            problems.append(
                Problem(
                    about=offset.camera,
                    message=f"{loose} of its {offset.pictures} pictures are from before or long after the work;"
                    " they are kept, and loose in the job.",
                    remedy="Link by hand those that belong to it.",
                )
            )
    return problems
