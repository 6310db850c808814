"""Counts how often pictures find their remarks on made sessions, by the notebook and by the plain way.

In: seeds. Out: counts. The plain way takes each camera's clock as right and each picture's nearest remark in time.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import timedelta

from notebook.nouns import Photo, Remark
from notebook.photos.link import link_photos
from tests.photos.simulate import Session, simulate_session

WITHIN_S = 2.0
ENOUGH_CUES, MANY_CUES = 6, 10
Answers = dict[str, frozenset[str]]
Way = Callable[[Session], tuple[Answers, dict[str, tuple[float, float, bool]]]]
"""Gives the remarks of each photo, and of each camera offset, claim (seconds) and whether it is sure."""


def by_notebook(session: Session) -> tuple[Answers, dict[str, tuple[float, float, bool]]]:
    """Link as the notebook does."""
    photos = [replace(p, card_shown=session.card_shown.get(p.id)) for p in session.photos]
    links, offsets, _ = link_photos(photos, session.remarks)
    answers: dict[str, set[str]] = {}
    for link in links:
        answers.setdefault(link.photo_id, set()).add(link.remark_id)
    clocks = {o.camera: (o.offset_s, o.within_s, o.sure) for o in offsets}
    return {photo: frozenset(found) for photo, found in answers.items()}, clocks


def by_plain_way(session: Session) -> tuple[Answers, dict[str, tuple[float, float, bool]]]:
    """Take every clock as right, and of each picture the remark nearest in time."""
    answers = {p.id: frozenset({_nearest(p, session.remarks)}) for p in session.photos if p.taken}
    return answers, dict.fromkeys(session.offset_s, (0.0, 0.0, True))


def by_plain_way_clock_put_right(session: Session) -> tuple[Answers, dict[str, tuple[float, float, bool]]]:
    """Take the true offset as known, and of each picture the remark nearest in time."""
    photos = [replace(p, taken=p.taken - timedelta(seconds=session.ahead_s[p.id])) for p in session.photos if p.taken]
    answers = {p.id: frozenset({_nearest(p, session.remarks)}) for p in photos}
    return answers, {camera: (offset, 0.0, True) for camera, offset in session.offset_s.items()}


def _nearest(photo: Photo, remarks: Sequence[Remark]) -> str:
    def apart_s(remark: Remark) -> float:
        assert photo.taken is not None
        assert remark.at is not None
        begun_s = (photo.taken - remark.at).total_seconds()
        return max(-begun_s, begun_s - (remark.seconds or 0.0), 0.0)

    return min(remarks, key=apart_s).id


def is_right(found: frozenset[str], true: frozenset[str]) -> bool:
    """Tell whether a picture is where it belongs: on a remark it shows and on no other, or loose."""
    return found <= true and bool(found) == bool(true)


def count_sessions(seeds: Iterable[int], way: Way, *, card: bool = False, slowness: float = 1.0) -> Counter[str]:
    """Count over sessions what is right."""
    counts: Counter[str] = Counter()
    for seed in seeds:
        session = simulate_session(seed, card=card, slowness=slowness)
        found, clocks = way(session)
        counts["sessions"] += 1
        for photo_id, true in session.remarks_of.items():
            right = is_right(found.get(photo_id, frozenset()), true)
            counts["photos"] += 1
            counts["photos right"] += right
            if photo_id in session.cued:
                counts["cued"] += 1
                counts["cued right"] += right
        for camera, true_s in session.offset_s.items():
            offset_s, within_s, sure = clocks[camera]
            off_s = abs(offset_s - true_s)
            enough = session.pairs_by_camera.get(camera, 0) >= ENOUGH_CUES
            counts["clocks"] += 1
            counts["clocks sure"] += sure
            counts["clocks sure beyond claim"] += sure and off_s > within_s
            counts["clocks with enough"] += enough
            counts["clocks with enough sure"] += enough and sure
            counts["clocks with enough within"] += enough and sure and off_s <= WITHIN_S
            many = session.pairs_by_camera.get(camera, 0) >= MANY_CUES
            counts["clocks with many"] += many
            counts["clocks with many within"] += many and sure and off_s <= WITHIN_S
            counts["clocks with enough lost"] += enough and sure and off_s > 30.0
    return counts


def share(counts: Counter[str], part: str, of: str) -> float:
    """Give a share; 1 of nothing."""
    return counts[part] / counts[of] if counts[of] else 1.0
