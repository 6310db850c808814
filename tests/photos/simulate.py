"""Sessions at the bench, made from a seed: what was said, what was pictured, and which belongs to which.

In: a seed. Out: remarks and photos as the notebook would hold them, and the truth about both.
Written before the solver was read, from what a mechanic does and not from what can be solved.

What a session is made of: 10 to 80 remarks of one to 25 seconds, half a minute apart, with breaks and now and
then a night between; 5 to 120 pictures; a third of the photo cues has no picture (forgotten, or said in passing);
a third of the pictures has no cue; one cued picture in five was taken before its cue, and a quarter of those was
still announced by a plain "photo"; bursts; one camera or two, each with a clock of its own: up to 26 hours off,
some of whole seconds, some drifting up to five seconds a day. Every delay has a heavy tail. Delays are invented:
common practice (no source). `slowness` stretches the time it takes to get from the word to the shutter.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

import numpy as np

from notebook.entries import Entry, PhotoCue
from notebook.nouns import Photo, Remark, Word

START = datetime(2026, 3, 4, 8, 0, tzinfo=UTC)
DAY_S = 86_400.0
LONGEST_DELAY_S = 900.0
TALK = "the second gear on the lay shaft has two teeth chipped and the bush behind it is scored right round".split()


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One job as it would be stored, and what is true about it."""

    seed: int
    remarks: list[Remark]
    photos: list[Photo]
    remarks_of: dict[str, frozenset[str]]
    """By photo, the remarks it was taken for; none where it is of nothing, or of before the job."""
    cued: frozenset[str]
    """Photos that a cue speaks of."""
    cue_count: int
    pairs_by_camera: dict[str, int]
    """Cues that have a picture, by camera."""
    offset_s: dict[str, float]
    """By camera, how far its clock was ahead at the mean time of its pictures."""
    ahead_s: dict[str, float]
    """By photo, how far the clock of its camera was ahead when it was taken."""
    card_shown: dict[str, datetime]
    """By photo of the sync card, the time that the card showed."""
    true_time: dict[str, datetime]


@dataclass(slots=True, kw_only=True)
class _Camera:
    name: str
    ahead_s: float
    drift_a_day_s: float
    whole_seconds: bool


@dataclass(slots=True, kw_only=True)
class _Shot:
    at_s: float
    camera: _Camera
    remark_ids: set[str]
    cued: bool
    card: bool = False


@dataclass(slots=True, kw_only=True)
class _Bench:
    """The random source, the habits of this mechanic, and what has happened so far."""

    rng: np.random.Generator
    habit_s: float
    burst_share: float
    cameras: list[_Camera]
    remarks: list[Remark] = field(default_factory=list)
    shots: list[_Shot] = field(default_factory=list)
    now_s: float = 0.0
    shares_last: bool = False

    def chance(self, share: float) -> bool:
        return bool(self.rng.random() < share)

    def delay(self, median_s: float, spread: float, tail_share: float = 0.08) -> float:
        """Draw a delay: log-normal, and one in twelve stretched by a Pareto tail."""
        delay_s = median_s * float(np.exp(self.rng.normal(0.0, spread)))
        if self.chance(tail_share):
            delay_s *= 2.0 + float(self.rng.pareto(1.2))
        return min(delay_s, LONGEST_DELAY_S)

    def pick_camera(self) -> _Camera:
        return self.cameras[0] if len(self.cameras) == 1 or self.chance(0.65) else self.cameras[1]


def simulate_session(seed: int, *, card: bool = False, slowness: float = 1.0) -> Session:
    """Make one session; with `card`, every camera takes a picture of the sync card before it starts."""
    rng = np.random.default_rng([seed, 20260304])
    remark_count = int(rng.integers(10, 81))
    wanted = int(np.exp(rng.uniform(np.log(5), np.log(121))))
    burst_share = float(rng.uniform(0.05, 0.35))
    shot_count = max(5, min(round(wanted / (1.0 + 1.5 * burst_share)), int(0.9 * remark_count)))
    bench = _Bench(
        rng=rng,
        habit_s=4.0 * slowness * float(np.exp(rng.normal(0.0, 0.15))),
        burst_share=burst_share,
        cameras=[_make_camera(rng, name) for name in ("pocket phone", "bench camera")[: 1 + bool(rng.random() < 0.4)]],
    )
    plans = _plan_remarks(rng, remark_count, shot_count)
    _shoot_before(bench, card)
    night_before = int(rng.integers(5, remark_count)) if bench.chance(0.08) else -1
    for order, plan in enumerate(plans, start=1):
        _pass_time(bench, order == night_before)
        _say_and_shoot(bench, f"r{order}", order, plan)
    return _settle(seed, bench)


def _make_camera(rng: np.random.Generator, name: str) -> _Camera:
    """Make a clock: nearly right, in another zone, or simply anywhere within 26 hours."""
    way = rng.random()
    if way < 0.4:
        ahead_s = float(rng.normal(0.0, 300.0))
    elif way < 0.7:
        ahead_s = float(rng.integers(-24, 25)) * 1800.0 + float(rng.normal(0.0, 90.0))
    else:
        ahead_s = float(rng.uniform(-26 * 3600.0, 26 * 3600.0))
    return _Camera(
        name=name,
        ahead_s=ahead_s,
        drift_a_day_s=float(rng.uniform(-5.0, 5.0)),
        whole_seconds=bool(rng.random() < 0.5),
    )


def _plan_remarks(rng: np.random.Generator, remark_count: int, shot_count: int) -> list[list[str]]:
    """Deal out to the remarks what happens at each: a cue with or without its picture, plain pictures."""
    cued = round(shot_count * 2 / 3)
    early = round(cued / 5)
    said_back = round(early * 3 / 4)
    kinds = ["back"] * said_back + ["early"] * (early - said_back) + ["next"] * (cued - early)
    kinds += ["forgotten"] * round(cued / 2)
    plans: list[list[str]] = [[] for _ in range(remark_count)]
    for place, kind in zip(rng.permutation(remark_count), kinds, strict=False):
        plans[int(place)].append(kind)
    for place in rng.integers(0, remark_count, shot_count - cued):
        plans[int(place)].append("plain")
    return plans


def _shoot_before(bench: _Bench, card: bool) -> None:
    """Take what was on the camera already, and the sync card."""
    if bench.chance(0.4):
        for _ in range(int(bench.rng.integers(1, 5))):
            before_s = float(np.exp(bench.rng.uniform(np.log(900.0), np.log(20 * 3600.0))))
            bench.shots.append(_Shot(at_s=-before_s, camera=bench.pick_camera(), remark_ids=set(), cued=False))
    if card:
        for camera in bench.cameras:
            at_s = -float(bench.rng.uniform(5.0, 90.0))
            bench.shots.append(_Shot(at_s=at_s, camera=camera, remark_ids=set(), cued=False, card=True))


def _pass_time(bench: _Bench, night: bool) -> None:
    """Let the work go on until the next remark; in a long break now and then a picture of nothing is taken."""
    gap_s = max(1.2, bench.delay(28.0, 0.9, 0.05))
    if night:
        gap_s = float(bench.rng.uniform(12.0, 16.0)) * 3600.0
    elif bench.chance(0.03):
        gap_s = float(bench.rng.uniform(900.0, 3600.0))
    if gap_s > 1800.0 and bench.chance(0.3):
        at_s = bench.now_s + float(bench.rng.uniform(0.4, 0.6)) * gap_s
        bench.shots.append(_Shot(at_s=at_s, camera=bench.pick_camera(), remark_ids=set(), cued=False))
    bench.now_s += gap_s


def _say_and_shoot(bench: _Bench, remark_id: str, order: int, plan: Iterable[str]) -> None:
    """Say one remark and take its pictures; the next is mostly said once the camera is down again."""
    kinds = list(plan)
    length_s = float(np.clip(np.exp(bench.rng.normal(np.log(4.0), 0.6)), 1.0, 25.0))
    cue_kind = next((kind for kind in kinds if kind != "plain"), None)
    words, cue = _speak(bench, length_s, cue_kind)
    said_at_s = next((word.end_s for word in words if cue and word.text.endswith(("photo", "that"))), length_s)
    new: list[_Shot] = []
    if cue_kind == "back":
        shot_s = bench.now_s
        lead_s = bench.delay(5.0, 0.6)
        bench.now_s += max(0.0, lead_s - said_at_s)
        new.append(_Shot(at_s=shot_s, camera=bench.pick_camera(), remark_ids={remark_id}, cued=True))
    elif cue_kind == "early":
        at_s = bench.now_s + said_at_s - min(bench.delay(3.0, 0.5), said_at_s + 5.0)
        new.append(_Shot(at_s=at_s, camera=bench.pick_camera(), remark_ids={remark_id}, cued=True))
    elif cue_kind == "next":
        at_s = bench.now_s + said_at_s + bench.delay(bench.habit_s, 0.5)
        new.append(_Shot(at_s=at_s, camera=bench.pick_camera(), remark_ids={remark_id}, cued=True))
    for kind in kinds:
        if kind == "plain":
            during = bench.chance(0.3)
            after_s = float(bench.rng.uniform(0.0, length_s)) if during else length_s + bench.delay(6.0, 0.7)
            new.append(
                _Shot(at_s=bench.now_s + after_s, camera=bench.pick_camera(), remark_ids={remark_id}, cued=False)
            )
    started_s = bench.now_s
    bench.remarks.append(_make_remark(remark_id, order, started_s, length_s, words, cue))
    bench.shots.extend(new)
    bench.now_s += length_s
    last_s = max((shot.at_s for shot in new), default=0.0)
    if last_s > bench.now_s and bench.chance(0.9 if last_s - bench.now_s < 30.0 else 0.5):
        bench.now_s = last_s
    if cue_kind == "next" and bench.chance(0.06):
        bench.shares_last = True
    elif bench.shares_last and cue_kind is None and not kinds:
        bench.shares_last = False
        _share_last(bench, remark_id)


def _share_last(bench: _Bench, remark_id: str) -> None:
    """Let a remark without a picture say "got a picture of that" of the last cued one, if that is just past."""
    last = max((shot for shot in bench.shots if shot.cued), key=lambda shot: shot.at_s)
    remark = bench.remarks[-1]
    started_s = (remark.at - START).total_seconds() if remark.at else 0.0
    if 0.0 < started_s - last.at_s < 60.0 and max(shot.at_s for shot in bench.shots) == last.at_s:
        last.remark_ids.add(remark_id)
        words, cue = _speak(bench, remark.seconds or 4.0, "back")
        bench.remarks[-1] = _make_remark(remark_id, remark.order, started_s, remark.seconds or 4.0, words, cue)


def _speak(bench: _Bench, length_s: float, cue_kind: str | None) -> tuple[list[Word], tuple[int, int] | None]:
    """Spread words over the remark; give them, and [start, end] of the cue's words in the text."""
    count = max(1, round(length_s * 2.2))
    start = int(bench.rng.integers(0, len(TALK)))
    said = [TALK[(start + k) % len(TALK)] for k in range(count)]
    span = None
    if cue_kind:
        phrase = ["got", "picture", "of", "that"] if cue_kind == "back" else ["photo"]
        place = len(said) if bench.chance(0.6) else int(bench.rng.integers(0, len(said) + 1))
        said = said[:place] + phrase + said[place:]
        before = " ".join(said[:place])
        begins = len(before) + bool(before)
        span = (begins, begins + len(" ".join(phrase)))
    edges = np.concatenate([[0.0], np.cumsum(bench.rng.uniform(0.6, 1.4, len(said)))])
    edges *= length_s / edges[-1]
    words = [
        Word(text=word, start_s=float(edges[k]), end_s=float(edges[k + 1]), probability=0.9)
        for k, word in enumerate(said)
    ]
    return words, span


def _make_remark(
    remark_id: str, order: int, at_s: float, length_s: float, words: list[Word], cue: tuple[int, int] | None
) -> Remark:
    text = " ".join(word.text for word in words)
    entries: tuple[Entry, ...] = ()
    if cue:
        entries = (PhotoCue(span=cue, which="before" if text[slice(*cue)].startswith("got") else "next"),)
    return Remark(
        id=remark_id,
        sitting_id="s1",
        order=order,
        at=START + timedelta(seconds=at_s),
        seconds=length_s,
        heard=text,
        text=text,
        tidied=text,
        words=tuple(words),
        entries=entries,
    )


def _settle(seed: int, bench: _Bench) -> Session:
    """Turn shots into photos, with bursts, by the clock of each camera."""
    photos: list[Photo] = []
    remarks_of: dict[str, frozenset[str]] = {}
    ahead_s: dict[str, float] = {}
    true_time: dict[str, datetime] = {}
    shown: dict[str, datetime] = {}
    cued: set[str] = set()
    pairs: dict[str, int] = {}
    for shot in bench.shots:
        count = int(bench.rng.integers(2, 5)) if bench.chance(bench.burst_share) and not shot.card else 1
        pairs[shot.camera.name] = pairs.get(shot.camera.name, 0) + shot.cued
        at_s = shot.at_s
        for _ in range(count):
            photo_id = f"p{len(photos) + 1}"
            ahead = shot.camera.ahead_s + shot.camera.drift_a_day_s * at_s / DAY_S
            by_camera_s = at_s + ahead
            if shot.camera.whole_seconds:
                by_camera_s = float(np.floor(by_camera_s))
            photos.append(_make_photo(photo_id, shot.camera.name, START + timedelta(seconds=by_camera_s)))
            true_time[photo_id] = START + timedelta(seconds=at_s)
            ahead_s[photo_id] = ahead
            if shot.card:
                shown[photo_id] = START + timedelta(seconds=float(np.floor(at_s - bench.rng.uniform(0.0, 0.2))))
            else:
                remarks_of[photo_id] = frozenset(shot.remark_ids)
            if shot.cued:
                cued.add(photo_id)
            at_s += min(float(np.exp(bench.rng.normal(0.0, 0.5))), 6.0)
    offset_s = {
        camera.name: float(np.mean([ahead_s[photo.id] for photo in photos if photo.camera == camera.name]))
        for camera in bench.cameras
        if any(photo.camera == camera.name for photo in photos)
    }
    photos = [photos[int(n)] for n in bench.rng.permutation(len(photos))]
    cue_count = sum(isinstance(entry, PhotoCue) for remark in bench.remarks for entry in remark.entries)
    return Session(
        seed=seed,
        remarks=bench.remarks,
        photos=photos,
        remarks_of=remarks_of,
        cued=frozenset(cued),
        cue_count=cue_count,
        pairs_by_camera=pairs,
        offset_s=offset_s,
        ahead_s=ahead_s,
        card_shown=shown,
        true_time=true_time,
    )


def _make_photo(photo_id: str, camera: str, taken: datetime) -> Photo:
    return Photo(
        id=photo_id,
        name=f"{photo_id}.jpg",
        sha256=photo_id,
        taken=taken,
        taken_how="camera clock, zone not said",
        camera=camera,
        width_px=4000,
        height_px=3000,
        picture_format="JPEG",
    )
