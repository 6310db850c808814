"""Which remark each picture shows, by what was said and when.

In: the photos and remarks of one job. Out: links, what is known of each camera's clock, and
problems. Never opens a picture, never touches a link made by hand.

Each camera's clock is put right first, the surest camera first; then all pictures of the job are
aligned with all cues and remarks in one pass (`align.py`).
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from notebook.errors import Problem
from notebook.nouns import HowLinked, Link, Photo, Remark
from notebook.photos.align import Claims, Said, align_pictures
from notebook.photos.clock import ClockOffset, OffsetFit, fit_card, fit_offset
from notebook.photos.habits import COMMON_HABIT
from notebook.photos.spoken_cues import SECOND_US, SpokenCue, length_us, list_cues, to_us
from notebook.photos.when import ARRIVED, FILE_TIME

BURST_US = 3 * SECOND_US
ARRIVED_WITHIN_US = 10 * SECOND_US
BEFORE_WORK_US = 30 * SECOND_US
AFTER_WORK_US = 600 * SECOND_US
"""Pictures this long before the first remark of a sitting, or after the last before a break, are not of it."""
SHARED = 0.5
"""A second remark gets the picture too where it is likelier than not that it speaks of it."""
LEAST_SURE = 0.02
ANSWERED_ONCE = 0.75
"""A cue that has the picture of one camera is this much less likely to have one of another."""
CLOCK_NOT_SURE = 0.6
"""Every link of a camera whose clock is not sure is taken down by this."""


@dataclass(slots=True, kw_only=True)
class _Burst:
    """Pictures of one camera within seconds of each other; one or more."""

    at_us: int
    """Of the first picture, by the notebook's clock."""
    photos: list[Photo]
    trust: float
    habit: int = COMMON_HABIT
    links: dict[str, tuple[HowLinked, float]] = field(default_factory=dict)
    """How and how sure, by remark."""


def link_photos(
    photos: Sequence[Photo], remarks: Sequence[Remark]
) -> tuple[list[Link], list[ClockOffset], list[Problem]]:
    """Link each photo to the remarks it shows, as far as times, spoken cues and the sync card tell.

    A photo is linked by a cue (to one remark, or more where a later cue looks back on it), else by
    time to the one remark being said or just said, else not at all. The links of a photo stand
    together, the surest first, photos in the order taken. A camera whose clock cannot be worked out
    is taken as right, and that is told. The same photos and remarks in any order give the same links.
    """
    timed = {photo.id: photo for photo in sorted(photos, key=lambda p: (p.id, p.name)) if photo.taken is not None}
    said = sorted(
        (
            Said(id=r.id, sitting_id=r.sitting_id, starts_us=to_us(r.at), ends_us=to_us(r.at) + length_us(r))
            for r in {r.id: r for r in remarks}.values()
            if r.at is not None
        ),
        key=lambda s: (s.starts_us, s.id),
    )
    cues = list_cues(remarks)
    cameras = [
        (clock, _cut_bursts([p for p in group if p.card_shown is None]), cards)
        for clock, group, cards in _by_camera(timed.values())
    ]
    offsets: dict[tuple[str, bool], ClockOffset] = {}
    bursts: list[_Burst] = []
    answered = [0.0] * len(cues)
    for clock, own, cards in sorted(cameras, key=lambda camera: (not camera[2], -len(camera[1]), camera[0])):
        fit = _judge_clock(own, cards, cues, said, answered)
        sure = fit is not None and fit.sure
        offsets[clock] = _tell_clock(clock, own, cards, fit, cues)
        for burst in own:
            burst.trust = 1.0 if sure else CLOCK_NOT_SURE
            if fit is not None and sure:
                burst.at_us = fit.put_right(burst.at_us)
                burst.habit = fit.habit
        bursts.extend(own)
        bursts.sort(key=lambda b: (b.at_us, b.photos[0].id))
        if sure and len(cameras) > 1:
            answered = _count_answered(_align(bursts, cues, said), cues)
    _link_bursts(bursts, _align(bursts, cues, said), said)
    listed = [offsets[clock] for clock in sorted(offsets)]
    return _list_links(bursts), listed, _list_problems(photos, bursts, listed, bool(said))


def _by_camera(photos: Iterable[Photo]) -> list[tuple[tuple[str, bool], list[Photo], list[Photo]]]:
    """Give the clock, all pictures and the pictures of the card, of each camera."""
    found = []
    for clock, group in groupby(sorted(photos, key=_clock_of), key=_clock_of):
        own = list(group)
        found.append((clock, own, [photo for photo in own if photo.card_shown is not None]))
    return found


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
    bursts: Sequence[_Burst],
    cards: Sequence[Photo],
    cues: Sequence[SpokenCue],
    said: Sequence[Said],
    answered: Sequence[float],
) -> OffsetFit | None:
    """Read the clock off the sync card, else work it out from what was said; the notebook's own needs neither."""
    if bursts and all(photo.taken_how == ARRIVED for burst in bursts for photo in burst.photos):
        return OffsetFit(offset_us=0, within_us=ARRIVED_WITHIN_US, agreeing=0, ahead=math.inf, by_card=True)
    shown = [(to_us(p.taken), to_us(p.card_shown)) for p in cards if p.taken is not None and p.card_shown is not None]
    shots, stretches = [b.at_us for b in bursts], [(s.starts_us, s.ends_us) for s in said]
    if shown:
        return fit_card([taken for taken, _ in shown], [card for _, card in shown], shots, cues, stretches, answered)
    return fit_offset(shots, cues, stretches, answered)


def _tell_clock(
    clock: tuple[str, bool],
    bursts: Sequence[_Burst],
    cards: Sequence[Photo],
    fit: OffsetFit | None,
    cues: Sequence[SpokenCue],
) -> ClockOffset:
    if fit is None:
        why = "no spoken cue and picture could belong together" if cues else "no photo cue was said"
    elif fit.by_card and not cards:
        why = "sent as they were taken, timed by the notebook's own clock"
    elif cards:
        why = f"read off the sync card in {len(cards)} picture{'s' if len(cards) > 1 else ''}"
    else:
        odds = f"{math.exp(min(max(fit.ahead, 0.0), 13.8)):.0f}"
        why = f"{fit.agreeing} of {len(cues)} spoken cues get their picture by it, {odds} to 1 against any other"
        why = why if fit.sure else f"at best {why}"
    sure = fit is not None and fit.sure
    known = fit if sure else None
    return ClockOffset(
        camera=clock[0],
        offset_s=_offset_at_middle(known, bursts) if known is not None else 0.0,
        drift_s_a_day=known.drift_s_a_day if known is not None else 0.0,
        sure=sure,
        agreeing=fit.agreeing if fit is not None else 0,
        cues=len(cues),
        pictures=sum(len(burst.photos) for burst in bursts) + len(cards),
        cards=len(cards),
        by_file_time=clock[1],
        within_s=known.within_us / SECOND_US if known is not None else 0.0,
        why=why,
    )


def _offset_at_middle(fit: OffsetFit, bursts: Sequence[_Burst]) -> float:
    """Give the offset at the mean time of the pictures."""
    if not bursts or not fit.drift_s_a_day:
        return fit.offset_us / SECOND_US
    mean_us = sum(b.at_us for b in bursts) // len(bursts)
    return (mean_us - fit.put_right(mean_us)) / SECOND_US


def _align(bursts: Sequence[_Burst], cues: Sequence[SpokenCue], said: Sequence[Said]) -> list[Claims]:
    return align_pictures([b.at_us for b in bursts], [b.habit for b in bursts], cues, said)


def _count_answered(claims: Sequence[Claims], cues: Sequence[SpokenCue]) -> list[float]:
    """Give how likely each cue has its picture already."""
    by_remark: dict[str, float] = {}
    for claim in (claim for each in claims for claim in each.own if claim.by_cue):
        by_remark[claim.remark_id] = by_remark.get(claim.remark_id, 0.0) + claim.share
    return [min(ANSWERED_ONCE, by_remark.get(cue.remark_id, 0.0)) for cue in cues]


def _link_bursts(bursts: Sequence[_Burst], claims: Sequence[Claims], said: Sequence[Said]) -> None:
    """Give each burst the remark that claims it most, and remarks that share it; none outside of the work."""
    starts = [s.starts_us for s in said]
    for burst, claim in zip(bursts, claims, strict=True):
        place = bisect_right(starts, burst.at_us)
        before = said[place - 1] if place else None
        after = said[place] if place < len(said) else None
        during = before is not None and burst.at_us - before.ends_us <= AFTER_WORK_US
        begins = after is not None and after.starts_us - burst.at_us <= BEFORE_WORK_US
        if not during and not begins:
            continue
        own = claim.own[0] if claim.own else None
        if own is None:
            nearest = before if during else after
            assert nearest is not None
            burst.links[nearest.id] = ("time", LEAST_SURE)
            continue
        burst.links[own.remark_id] = ("cue" if own.by_cue else "time", own.share)
        for other in claim.also:
            if own.by_cue and other.share > SHARED and other.remark_id not in burst.links:
                burst.links[other.remark_id] = ("cue", min(other.share, own.share))


def _list_links(bursts: Sequence[_Burst]) -> list[Link]:
    links = []
    for burst in bursts:
        surest = sorted(burst.links.items(), key=lambda link: (-link[1][1], link[0]))
        for photo in burst.photos:
            for remark_id, (how, confidence) in surest:
                links.append(
                    Link(
                        photo_id=photo.id,
                        remark_id=remark_id,
                        how=how,
                        confidence=max(LEAST_SURE, round(min(confidence, 0.99) * burst.trust, 3)),
                    )
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
                    remedy="Picture the sync card with it (teardown sync-card) and add that; until then look over its links.",
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
