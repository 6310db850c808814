"""Pictures of made sessions find their remarks; the counts are those of fifty sessions, the whole is `make speed-photos`."""

from __future__ import annotations

from collections import Counter
from functools import cache

from tests.photos.measuring import by_notebook, by_plain_way, count_sessions, share
from tests.photos.simulate import simulate_session

SEEDS = range(100_000, 100_050)


@cache
def counted() -> Counter[str]:
    return count_sessions(SEEDS, by_notebook)


def test_clocks_are_found_and_never_off_by_more_than_claimed() -> None:
    counts = counted()
    assert share(counts, "clocks with enough within", "clocks with enough") >= 0.95
    assert share(counts, "clocks sure beyond claim", "clocks sure") <= 0.03
    assert counts["clocks with enough lost"] == 0


def test_pictures_find_their_remarks() -> None:
    counts = counted()
    assert share(counts, "cued right", "cued") >= 0.95
    assert share(counts, "photos right", "photos") >= 0.93


def test_with_a_sync_card_every_clock_is_known() -> None:
    counts = count_sessions(SEEDS[:15], by_notebook, card=True)
    assert counts["clocks sure"] == counts["clocks"]
    assert share(counts, "clocks sure beyond claim", "clocks sure") <= 0.1
    assert share(counts, "cued right", "cued") >= 0.97


def test_the_plain_way_does_not_do() -> None:
    """Were it nearly as good, none of this would be needed."""
    counts = count_sessions(SEEDS[:15], by_plain_way)
    assert share(counts, "cued right", "cued") < 0.5


def test_a_session_is_the_same_each_time_and_its_truth_is_whole() -> None:
    one, two = simulate_session(7, card=True), simulate_session(7, card=True)
    assert one == two
    assert set(one.remarks_of) | set(one.card_shown) == {photo.id for photo in one.photos}
    said = {remark.id for remark in one.remarks}
    assert all(true <= said for true in one.remarks_of.values())
    assert all(one.remarks_of[name] for name in one.cued)
