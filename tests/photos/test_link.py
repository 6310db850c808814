"""Each picture finds its remark, by cue or by time, whatever its camera's clock says."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from notebook.entries import Entry, PhotoCue, Storage
from notebook.nouns import Link, Photo, Remark
from notebook.photos.clock import ClockOffset, OffsetFit, fit_card, fit_offset
from notebook.photos.link import link_photos
from notebook.photos.spoken_cues import SpokenCue, list_cues, to_us
from notebook.photos.when import FILE_TIME

START = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)
CAMERA = "DateTimeOriginal, offset +00:00 as the picture says"


def remark(
    name: str, at_s: float | None, seconds: float | None = 4.0, cue: str | None = None, sitting: str = "s1"
) -> Remark:
    """Make a remark; a cue stands at its very end."""
    text = "brake band's off, lining's worn. Photo."
    entries = (PhotoCue(which=cue, span=(33, 38)),) if cue else ()
    at = None if at_s is None else START + timedelta(seconds=at_s)
    return Remark(
        id=name,
        sitting_id=sitting,
        order=1,
        at=at,
        seconds=seconds,
        heard=text,
        text=text,
        tidied=text,
        entries=entries,
    )


def photo(name: str, at_s: float | None, camera: str = "Acme Box 4", how: str = CAMERA) -> Photo:
    taken = None if at_s is None else START + timedelta(seconds=at_s)
    return Photo(
        id=name, name=f"{name}.jpg", sha256=name, taken=taken, taken_how=how, camera=camera,
        width_px=4, height_px=3, picture_format="JPEG",
    )  # fmt: skip


def pairs(links: Sequence[Link]) -> list[tuple[str, str, str]]:
    return [(link.photo_id, link.remark_id, link.how) for link in links]


def make_scene(seed: int, clock_s: float, cues: int = 14) -> tuple[list[Photo], list[Remark], dict[str, str]]:
    """Make a job by dice: what was said, pictures by a clock that far off, and which shows what."""
    dice = random.Random(seed)
    photos, remarks, truth = [], [], {}
    at = 0.0
    for n in range(cues * 3):
        at += dice.uniform(2, 25)
        seconds = dice.uniform(2, 6)
        name = f"r{n:02}"
        remarks.append(remark(name, at, seconds, "next" if n % 3 == 0 else None))
        at += seconds
        if n % 3 == 0 and dice.random() < 0.85:
            delay = min(dice.lognormvariate(1.0, 0.5), 9)
            for again in range(dice.choice([1, 1, 1, 2])):
                key = f"p{n:02}{again}"
                photos.append(photo(key, at + delay + 1.5 * again + clock_s))
                truth[key] = name
            at += delay + 2
    return photos, remarks, truth


def test_a_cue_claims_the_next_picture_and_time_the_rest() -> None:
    remarks = [remark("a", 0), remark("b", 10, cue="next"), remark("c", 60), remark("d", 100)]
    photos = [photo("p1", 6), photo("p2", 17), photo("p3", 62), photo("p4", 90)]
    links, _, _ = link_photos(photos, remarks)
    assert pairs(links) == [("p1", "a", "time"), ("p2", "b", "cue"), ("p3", "c", "time"), ("p4", "c", "time")]
    after, cued, during, late = (link.confidence for link in links)
    assert cued > during > after > late > 0


def test_a_picture_taken_during_the_remark_with_the_cue_is_its() -> None:
    links, _, _ = link_photos([photo("p", 12)], [remark("a", 0), remark("b", 10, cue="next")])
    assert pairs(links) == [("p", "b", "cue")]


def test_a_cue_waits_while_something_else_is_said() -> None:
    remarks = [remark("a", 0, 2, "next"), remark("b", 3, 2), remark("c", 40)]
    links, _, _ = link_photos([photo("p1", 6), photo("p2", 10.5)], remarks)
    assert pairs(links) == [("p1", "a", "cue"), ("p2", "b", "time")]


def test_two_cues_get_a_picture_each() -> None:
    remarks = [remark("a", 0, 2, "next"), remark("b", 8, 4, "next")]
    links, _, _ = link_photos([photo("p1", 9), photo("p2", 14)], remarks)
    assert pairs(links) == [("p1", "a", "cue"), ("p2", "b", "cue")]


def test_a_burst_stays_together() -> None:
    remarks = [remark("a", 0, 4, "next"), remark("b", 9.5)]
    photos = [photo("p1", 7), photo("p2", 9), photo("p3", 11.5), photo("other", 11.6, camera="B")]
    links, _, _ = link_photos(photos, remarks)
    assert pairs(links) == [("p1", "a", "cue"), ("p2", "a", "cue"), ("p3", "a", "cue"), ("other", "b", "time")]


def test_a_cue_that_looks_back_takes_the_picture_before() -> None:
    remarks = [remark("a", 0), remark("b", 20, cue="before")]
    links, _, _ = link_photos([photo("p1", 6), photo("p2", 17), photo("p3", 60)], remarks)
    assert pairs(links) == [("p1", "a", "time"), ("p2", "b", "cue"), ("p3", "b", "time")]


def test_a_cue_looks_back_no_further_than_half_a_minute() -> None:
    remarks = [remark("a", 0), remark("b", 40, cue="before")]
    links, _, _ = link_photos([photo("p1", 9), photo("p2", 11)], remarks)
    assert pairs(links) == [("p1", "a", "time"), ("p2", "a", "time")]
    links, _, _ = link_photos([photo("p", 31)], remarks)
    assert pairs(links) == [("p", "b", "cue")]


def test_one_picture_may_serve_two_remarks() -> None:
    remarks = [remark("a", 0, cue="next"), remark("b", 12, cue="before")]
    links, _, _ = link_photos([photo("p", 7)], remarks)
    assert pairs(links) == [("p", "a", "cue"), ("p", "b", "cue")]
    assert links[0].confidence > links[1].confidence


def test_a_struck_cue_is_none() -> None:
    struck = remark("b", 20, cue="before")
    struck = replace(struck, entries=tuple(e.with_changes(struck=True) for e in struck.entries))
    links, _, _ = link_photos([photo("p", 17)], [remark("a", 0), struck])
    assert pairs(links) == [("p", "a", "time")]


@pytest.mark.parametrize(
    ("at_s", "linked"),
    [
        *((-86_400, None), (-31, None), (-29, "a"), (0, "a"), (14, "b"), (14 + 599, "b"), (14 + 601, None)),
        *((50_000, None), (90_000 - 31, None), (90_000 - 29, "c"), (90_004 + 601, None)),
    ],
)
def test_pictures_from_outside_the_work_stay_loose(at_s: float, linked: str | None) -> None:
    """The second sitting is a day later: noon between the two is not work."""
    remarks = [remark("a", 0), remark("b", 10), remark("c", 90_000, sitting="s2")]
    links, _, problems = link_photos([photo("p", at_s)], remarks)
    assert [link.remark_id for link in links] == ([] if linked is None else [linked])
    assert any("loose" in problem.message for problem in problems) == (linked is None)


def test_a_picture_without_a_time_is_loose_and_told() -> None:
    links, _, problems = link_photos([photo("p", None, how="DateTimeOriginal says 0000")], [remark("a", 0)])
    assert links == []
    assert any(p.about == "p.jpg" and "0000" in p.message for p in problems)


def test_remarks_without_a_time_get_no_picture() -> None:
    links, offsets, _ = link_photos([photo("p", 5)], [remark("a", None, None, "next")])
    assert links == []
    assert not offsets[0].sure


@pytest.mark.parametrize("clock_s", [0, -220, 219.5, 3600, -7 * 3600 + 43.25, 25.9 * 3600])
@pytest.mark.parametrize("seed", range(4))
def test_a_clock_that_is_off_is_worked_out(seed: int, clock_s: float) -> None:
    photos, remarks, truth = make_scene(seed, clock_s)
    links, (offset,), problems = link_photos(photos, remarks)
    assert offset.sure
    assert abs(offset.offset_s - clock_s) <= offset.within_s <= 6
    assert {link.photo_id: link.remark_id for link in links} == truth
    assert all(link.how == "cue" for link in links)
    assert problems == []


def test_a_clock_further_off_than_any_zone_is_not_sure() -> None:
    photos, remarks, _ = make_scene(0, 27 * 3600)
    links, (offset,), _ = link_photos(photos, remarks)
    assert (links, offset.sure) == ([], False)


def test_cues_that_look_back_tell_the_clock_too() -> None:
    dice = random.Random(3)
    starts_s = [60.0 * n + dice.uniform(0, 40) for n in range(10)]
    remarks = [remark(f"r{n}", at, cue="before") for n, at in enumerate(starts_s)]
    photos = [photo(f"p{n}", at - dice.uniform(1.5, 5) + 700) for n, at in enumerate(starts_s)]
    links, (offset,), _ = link_photos(photos, remarks)
    assert offset.sure
    assert abs(offset.offset_s - 700) < 3
    assert pairs(links) == [(f"p{n}", f"r{n}", "cue") for n in range(10)]


def test_a_picture_may_wait_while_the_remark_goes_on() -> None:
    """As in "photo, and mind you, …": the cue is said first, the picture taken when all is said."""
    dice = random.Random(4)
    starts_s = [60.0 * n + dice.uniform(0, 35) for n in range(10)]
    lengths_s = [dice.uniform(5, 20) for _ in starts_s]
    remarks = [
        replace(remark(f"r{n}", at, length), entries=(PhotoCue(span=(0, 2)),))
        for n, (at, length) in enumerate(zip(starts_s, lengths_s, strict=True))
    ]
    ends_s = [at + length for at, length in zip(starts_s, lengths_s, strict=True)]
    photos = [photo(f"p{n}", at + dice.uniform(1.5, 5) - 300) for n, at in enumerate(ends_s)]
    _, (offset,), _ = link_photos(photos, remarks)
    assert offset.sure
    assert abs(offset.offset_s + 300) < 3


def test_cues_said_first_in_remarks_all_alike_are_not_sure() -> None:
    """Every picture 14 s after its cue, or right after its remark: nothing tells which."""
    starts_s = [60.0 * n + 7 * (n % 3) for n in range(10)]
    remarks = [replace(remark(f"r{n}", at, 14.0), entries=(PhotoCue(span=(0, 2)),)) for n, at in enumerate(starts_s)]
    _, (offset,), _ = link_photos([photo(f"p{n}", at + 17) for n, at in enumerate(starts_s)], remarks)
    assert not offset.sure


def test_two_cues_need_more_than_three_and_one_is_never_enough() -> None:
    fit = OffsetFit(offset_us=0, within_us=0, agreeing=3, ahead=3.0)
    assert fit.sure
    assert not replace(fit, ahead=1.0).sure
    assert not replace(fit, agreeing=2, ahead=2.2).sure
    assert replace(fit, agreeing=2, ahead=5.0).sure
    assert not replace(fit, agreeing=1, ahead=9.0).sure


def test_two_cameras_have_a_clock_each() -> None:
    first, remarks, truth = make_scene(1, -220)
    second = [replace(p, id="x" + p.id, camera="B", taken=p.taken + timedelta(hours=1)) for p in first if p.taken]
    links, offsets, _ = link_photos(first + second, remarks)
    assert [(o.camera, o.sure) for o in offsets] == [("Acme Box 4", True), ("B", True)]
    apart_s = offsets[1].offset_s - offsets[0].offset_s
    assert abs(apart_s - 3600) <= offsets[0].within_s + offsets[1].within_s < 10
    found = {link.photo_id: link.remark_id for link in links}
    true = truth | {"x" + k: v for k, v in truth.items()}
    assert sum(found.get(name) == remark_id for name, remark_id in true.items()) >= len(true) - 1


def test_file_times_are_a_clock_of_their_own() -> None:
    photos, remarks, _ = make_scene(1, -220)
    copied = photo("copied", 300, how=FILE_TIME)
    _, offsets, _ = link_photos([*photos, copied], remarks)
    assert [(o.by_file_time, o.sure, o.pictures) for o in offsets] == [
        (False, True, len(photos)),
        (True, False, 1),
    ]


def test_one_cue_is_not_sure_and_the_clock_is_taken_as_right() -> None:
    remarks = [remark("a", 0, cue="next"), remark("b", 100), remark("c", 237)]
    _, (offset,), problems = link_photos([photo("p1", 507), photo("p2", 607)], remarks)
    assert (offset.sure, offset.offset_s) == (False, 0.0)
    assert any("not sure" in p.message and p.remedy for p in problems)


def test_cues_like_a_clock_tick_are_not_sure() -> None:
    """Every 20 s a cue, every 20 s a picture, and three more at one end: it could be any of several."""
    remarks = [remark(f"r{n:02}", 20 * n, cue="next") for n in range(12)]
    photos = [photo(f"p{n:02}", 20 * n + 6.7) for n in range(3, 9)]
    _, (offset,), _ = link_photos(photos, remarks)
    assert not offset.sure


@pytest.mark.parametrize("seed", range(30))
def test_pictures_that_have_nothing_to_do_with_the_cues_are_not_sure(seed: int) -> None:
    _, remarks, _ = make_scene(seed, 0)
    dice = random.Random(seed)
    photos = [photo(f"p{n}", dice.uniform(-50_000, 50_000)) for n in range(12)]
    _, (offset,), _ = link_photos(photos, remarks)
    assert not offset.sure


def test_the_cue_is_where_its_words_are() -> None:
    early = remark("a", 0, 10.0, "next")
    early = replace(early, entries=(PhotoCue(which="next", span=(0, len(early.tidied) // 2)),))
    assert [cue.said_us - to_us(START) for cue in list_cues([early])] == [pytest.approx(5_000_000, abs=150_000)]
    without_span = replace(early, entries=(PhotoCue(),))
    assert [cue.said_us - to_us(START) for cue in list_cues([without_span])] == [10_000_000]


def test_no_cue_or_no_picture_fits_nothing() -> None:
    assert fit_offset([], list_cues([remark("a", 0, cue="next")])) is None
    assert fit_offset([to_us(START)], []) is None
    assert link_photos([], []) == ([], [], [])


@settings(max_examples=20, deadline=None)
@given(seed=st.integers(0, 10_000), shift_us=st.integers(-24 * 3600 * 10**6, 24 * 3600 * 10**6))
def test_moving_all_pictures_of_a_camera_changes_no_link(seed: int, shift_us: int) -> None:
    photos, remarks, _ = make_scene(seed, 0)
    moved = [replace(p, taken=p.taken + timedelta(microseconds=shift_us)) for p in photos if p.taken]
    links, (offset,), _ = link_photos(photos, remarks)
    moved_links, (moved_offset,), _ = link_photos(moved, remarks)
    assert moved_offset.sure == offset.sure
    if offset.sure:
        assert moved_links == links
        assert round((moved_offset.offset_s - offset.offset_s) * 1e6) == pytest.approx(shift_us, abs=1)


MOMENTS = st.one_of(
    st.none(),
    st.floats(-100_000, 200_000, allow_nan=False),
    st.integers(0, 300).map(float),
    st.sampled_from([-6e10, 2e11]),  # the years 124 and 8363
)
LENGTHS = st.one_of(st.none(), st.floats(), st.sampled_from([0.0, -3.0, math.nan, math.inf, 4.0]))
ENTRIES: st.SearchStrategy[tuple[Entry, ...]] = st.lists(
    st.one_of(
        st.builds(
            PhotoCue,
            which=st.sampled_from(["next", "before", "whatever"]),
            struck=st.booleans(),
            span=st.tuples(st.integers(-5, 60), st.integers(-5, 60)),
        ),
        st.just(Storage(place="bag 7")),
    ),
    max_size=3,
).map(tuple)


@st.composite
def jobs(draw: st.DrawFn) -> tuple[list[Photo], list[Remark]]:
    remarks = []
    for n in range(draw(st.integers(0, 12))):
        made = remark(f"r{n}", draw(MOMENTS), draw(LENGTHS), sitting=draw(st.sampled_from(["s1", "s2"])))
        tidied = draw(st.sampled_from([made.tidied, ""]))
        remarks.append(replace(made, entries=draw(ENTRIES), tidied=tidied))
    photos = [
        photo(f"p{n}", draw(MOMENTS), draw(st.sampled_from(["A", "B", ""])), draw(st.sampled_from([CAMERA, FILE_TIME])))
        for n in range(draw(st.integers(0, 15)))
    ]
    return photos, remarks


def check_links(photos: list[Photo], remarks: list[Remark], links: list[Link]) -> None:
    by_photo: dict[str, list[Link]] = {}
    for link in links:
        by_photo.setdefault(link.photo_id, []).append(link)
    timed = {p.id: p for p in photos if p.taken is not None}
    remark_by_id = {r.id: r for r in remarks}
    assert set(by_photo) <= set(timed)
    for own in by_photo.values():
        assert len({link.remark_id for link in own}) == len(own)
        assert [link.how for link in own] in (["time"], ["cue"] * len(own))
        assert sorted(own, key=lambda link: -link.confidence) == own
        for link in own:
            assert 0 < link.confidence <= 1
            assert remark_by_id[link.remark_id].at is not None
            cued = any(isinstance(e, PhotoCue) and not e.struck for e in remark_by_id[link.remark_id].entries)
            assert cued or link.how == "time"


def check_offsets(photos: list[Photo], offsets: list[ClockOffset]) -> None:
    assert sum(o.pictures for o in offsets) == sum(p.taken is not None for p in photos)
    assert all(o.why for o in offsets)
    assert all(abs(o.offset_s) <= 26 * 3600 + 6 and (o.sure or o.offset_s == 0) for o in offsets)


@settings(max_examples=80, deadline=None)
@given(job=jobs(), dice=st.randoms(use_true_random=False))
def test_any_job_is_linked_soundly_and_the_same_in_any_order(
    job: tuple[list[Photo], list[Remark]], dice: random.Random
) -> None:
    photos, remarks = job
    links, offsets, problems = link_photos(photos, remarks)
    check_links(photos, remarks, links)
    check_offsets(photos, offsets)
    told = {problem.about for problem in problems}
    assert told >= {p.name for p in photos if p.taken is None}
    dice.shuffle(photos)
    dice.shuffle(remarks)
    assert link_photos(photos, remarks) == (links, offsets, problems)
    assert link_photos(photos + photos, remarks)[0] == links


@settings(max_examples=40, deadline=None)
@given(job=jobs())
def test_pictures_within_three_seconds_share_their_links(job: tuple[list[Photo], list[Remark]]) -> None:
    photos, remarks = job
    links, _, _ = link_photos(photos, remarks)
    timed = sorted((p for p in photos if p.taken is not None), key=lambda p: (p.camera, p.taken_how, str(p.taken)))
    for one, two in pairwise(timed):
        assert one.taken is not None
        assert two.taken is not None
        near = abs(two.taken - one.taken) <= timedelta(seconds=3)
        if near and (one.camera, one.taken_how) == (two.camera, two.taken_how):
            shown = [sorted(pairs([k])[0][1:] for k in links if k.photo_id == p.id) for p in (one, two)]
            assert shown[0] == shown[1]


def drifting_day(drift_s_a_day: float, seed: int) -> tuple[list[int], list[SpokenCue]]:
    """Give the pictures of a day by a clock that drifts from the card on, each some seconds after its cue."""
    dice = random.Random(seed)
    hours = [h / 4 for h in range(1, 60)]
    said = [to_us(START + timedelta(hours=h)) for h in hours]
    cues = [
        SpokenCue(remark_id=str(h), starts_us=at - 2_000_000, said_us=at, ends_us=at, looks_back=False)
        for h, at in zip(hours, said, strict=True)
    ]
    drifted = [at + round(drift_s_a_day * h / 24 * 1e6) for h, at in zip(hours, said, strict=True)]
    return [at + round(dice.lognormvariate(1.1, 0.5) * 1e6) for at in drifted], cues


def test_hours_from_the_card_a_clock_may_have_drifted_and_the_claim_says_so() -> None:
    at = to_us(START)
    near, far = (fit_card([at], [at], [at + round(h * 3600e6)]) for h in (1, 24))
    assert near
    assert far
    assert near.within_us < 2_000_000
    assert far.within_us - near.within_us == 5_000_000


def test_what_was_said_tells_which_way_the_clock_drifted_since_the_card() -> None:
    at = to_us(START)
    found = []
    for drift in (-5.0, 5.0):
        for seed in range(8):
            shots, cues = drifting_day(drift, seed)
            fit = fit_card([at], [at], shots, cues, [(c.starts_us, c.ends_us) for c in cues])
            assert fit
            found.append(fit.drift_s_a_day)
    assert sum(found[8:]) / 8 - sum(found[:8]) / 8 > 2.5
