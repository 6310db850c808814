"""Speech is cut into remarks where it pauses, the same whatever the size of the blocks."""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from notebook.audio.hear import cut_stretches
from notebook.audio.voice import FRAME_SAMPLES, Stretch, VoiceFilter, find_deepest_pause, find_voice_model
from notebook.errors import NotebookError

from .sounds import RATE_HZ, Sound, demo_truth, make_tone, make_workshop, read_demo

FRAMES_A_SECOND = RATE_HZ / FRAME_SAMPLES


class Told:
    """A voice model that is told beforehand how likely each frame is."""

    def __init__(self, likely: Sequence[float]) -> None:
        self._likely = list(likely)

    def rate_frames(self, frames: NDArray[np.float32]) -> NDArray[np.float32]:
        taken, self._likely = self._likely[: len(frames)], self._likely[len(frames) :]
        return np.asarray(taken + [0.0] * (len(frames) - len(taken)), np.float32)


def frames_of(*parts: tuple[float, float]) -> list[float]:
    """Give likelihoods for parts of (seconds, likelihood)."""
    return [likely for seconds, likely in parts for _ in range(round(seconds * FRAMES_A_SECOND))]


def cut(likely: Sequence[float], sound: Sound | None = None, sizes: Sequence[int] = (8000,)) -> list[Stretch]:
    sound = np.zeros(len(likely) * FRAME_SAMPLES, np.int16) if sound is None else sound
    voice_filter = VoiceFilter(Told(likely))
    found: list[Stretch] = []
    at = n = 0
    while at < len(sound):
        found += voice_filter.feed(sound[at : at + sizes[n % len(sizes)]])
        at, n = at + sizes[n % len(sizes)], n + 1
    return [*found, *voice_filter.finish()]


def times_s(stretches: Sequence[Stretch]) -> list[tuple[float, float]]:
    return [(s.first_sample / RATE_HZ, (s.first_sample + s.samples) / RATE_HZ) for s in stretches]


def test_a_remark_begins_before_its_voice_and_ends_after_it() -> None:
    (found,) = times_s(cut(frames_of((2, 0), (3, 0.9), (2, 0))))
    assert found == pytest.approx((2 - 0.3, 5 + 0.3), abs=0.04)


def test_a_short_pause_does_not_end_a_remark_and_a_longer_one_does() -> None:
    assert len(cut(frames_of((1, 0), (1, 0.9), (0.8, 0), (1, 0.9), (2, 0)))) == 1
    assert len(cut(frames_of((1, 0), (1, 0.9), (1.0, 0), (1, 0.9), (2, 0)))) == 2


def test_one_frame_is_a_click_and_two_of_three_are_voice() -> None:
    assert cut([0] * 40 + [0.99] + [0] * 60) == []
    assert len(cut([0] * 40 + [0.6, 0.1, 0.6] + [0] * 60)) == 1


def test_a_voice_between_the_two_limits_goes_on_but_does_not_begin() -> None:
    assert cut(frames_of((1, 0), (3, 0.4), (2, 0))) == []
    (found,) = times_s(cut(frames_of((1, 0), (1, 0.9), (3, 0.4), (2, 0))))
    assert found[1] == pytest.approx(5.3, abs=0.04)


def test_speech_to_the_very_end_is_given_whole() -> None:
    sound = np.zeros(round(2.345 * RATE_HZ), np.int16)
    (found,) = cut([0.9] * 74, sound)
    assert (found.first_sample, found.samples) == (0, len(sound))


def test_a_filter_tells_what_a_recorder_must_keep() -> None:
    voice_filter = VoiceFilter(Told(frames_of((10, 0), (3, 0.9), (5, 0))))
    block = np.zeros(FRAME_SAMPLES, np.int16)
    for n in range(round(18 * FRAMES_A_SECOND)):
        kept_from = voice_filter.keep_from
        for found in voice_filter.feed(block):
            assert found.first_sample >= kept_from
        assert (n + 1) * FRAME_SAMPLES - voice_filter.keep_from < 5 * RATE_HZ
        at_s = n / FRAMES_A_SECOND
        if not 9.95 < at_s < 10.1 and not 13.8 < at_s < 14.0:
            assert voice_filter.voice_on == (10.1 <= at_s <= 13.8)


# --- remarks that are too long -------------------------------------------------------------------------


def test_a_long_remark_is_cut_at_its_deepest_pause() -> None:
    likely = frames_of((1, 0), (7, 0.9), (0.3, 0.5), (5, 0.9), (0.3, 0.1), (5, 0.9), (0.3, 0.3), (14, 0.9), (2, 0))
    first, second = cut(likely)
    assert first.cut
    assert not second.cut
    assert (first.first_sample + first.samples) / RATE_HZ == pytest.approx(1 + 7 + 0.3 + 5 + 0.15, abs=0.15)
    assert second.first_sample == first.first_sample + first.samples


def test_where_all_is_voice_the_quietest_place_is_cut() -> None:
    likely = frames_of((32, 0.95), (2, 0))
    sound = np.full(len(likely) * FRAME_SAMPLES, 8000, np.int16)
    sound[17 * RATE_HZ : round(17.3 * RATE_HZ)] = 200
    first = cut(likely, sound)[0]
    assert (first.first_sample + first.samples) / RATE_HZ == pytest.approx(17.15, abs=0.1)


def test_no_remark_is_cut_before_five_seconds() -> None:
    likely = frames_of((3, 0.9), (0.5, 0.0), (30, 0.9), (2, 0))
    assert cut(likely)[0].samples >= 5 * RATE_HZ


def test_ten_minutes_without_a_pause_is_cut_all_through() -> None:
    found = cut([0.9] * round(600 * FRAMES_A_SECOND))
    assert all(5 * RATE_HZ <= s.samples <= 25 * RATE_HZ for s in found[:-1])
    assert sum(s.samples for s in found) == round(600 * FRAMES_A_SECOND) * FRAME_SAMPLES
    assert all(b.first_sample == a.first_sample + a.samples for a, b in pairwise(found))


def test_a_long_remark_that_was_just_over_ends_there() -> None:
    # The pause in which it is cut is also the one in which it ended; nothing is left over.
    likely = frames_of((24.8, 0.9), (3, 0))
    whole = cut(likely)
    assert len(whole) == 1
    assert not whole[0].cut
    for sizes in ((FRAME_SAMPLES,), (1000,), (len(likely) * FRAME_SAMPLES,)):
        assert cut(likely, sizes=sizes) == whole


def test_the_deepest_pause_is_least_like_voice_then_quietest() -> None:
    likely = [1.0] * 100
    loud = [0.5] * 100
    likely[30:35] = likely[60:65] = [0.0] * 5
    loud[60:65] = [0.01] * 5
    assert find_deepest_pause(likely, loud, 10) == 62
    assert find_deepest_pause(likely, loud, 61) == 63


@settings(deadline=None, max_examples=40)
@given(
    st.lists(st.tuples(st.floats(0.05, 9), st.sampled_from([0.0, 0.3, 0.4, 0.6, 0.95])), min_size=1, max_size=12),
    st.lists(st.integers(40, 9000), min_size=1, max_size=5).filter(lambda sizes: sum(sizes) > 300),
)
def test_blocks_of_any_size_give_the_same(parts: list[tuple[float, float]], sizes: list[int]) -> None:
    likely = frames_of(*parts)
    sound = np.zeros(max(0, len(likely) * FRAME_SAMPLES - 100), np.int16)
    found = cut(likely, sound, sizes)
    assert found == cut(likely, sound, [max(1, len(sound))])
    assert all(a.first_sample + a.samples <= b.first_sample for a, b in pairwise(found))
    assert all(0 < s.samples <= 25 * RATE_HZ + FRAME_SAMPLES for s in found)  # 25 s end within a frame
    assert not found or found[-1].first_sample + found[-1].samples <= len(sound)


# --- the voice model itself ----------------------------------------------------------------------------


def hear_stretches(sound: Sound, sizes: Sequence[int] = (8000,)) -> list[Stretch]:
    voice_filter = VoiceFilter()
    found: list[Stretch] = []
    at = n = 0
    while at < len(sound):
        found += voice_filter.feed(sound[at : at + sizes[n % len(sizes)]])
        at, n = at + sizes[n % len(sizes)], n + 1
    return [*found, *voice_filter.finish()]


def test_two_tones_are_no_speech() -> None:
    assert hear_stretches(make_tone(6, 440, level=0.3) + make_tone(6, 1000, level=0.3)) == []


def test_a_workshop_where_nobody_speaks_is_no_speech() -> None:
    assert hear_stretches(make_workshop(30)) == []


def test_the_demonstration_has_its_38_remarks_where_they_were_said() -> None:
    found = hear_stretches(read_demo())
    truth = demo_truth()
    assert len(found) == len(truth) == 38
    for (start_s, end_s), said in zip(times_s(found), truth, strict=True):
        assert start_s == pytest.approx(said["start_s"], abs=0.35), said["text"]
        assert end_s == pytest.approx(said["end_s"] + 0.3, abs=0.35), said["text"]
        assert start_s < said["start_s"]
        assert end_s > said["end_s"]


def test_real_speech_in_odd_blocks_gives_the_same_stretches() -> None:
    sound = read_demo()[: 40 * RATE_HZ]
    whole = hear_stretches(sound, (len(sound),))
    assert len(whole) == 5
    assert hear_stretches(sound, (1, 511, 512, 513, 7777, 16001)) == whole
    assert hear_stretches(sound, (480,)) == whole


def test_stretches_carry_their_own_sound() -> None:
    sound = read_demo()[: 25 * RATE_HZ]
    for first, samples in cut_stretches(iter(np.array_split(sound, 77))):
        assert np.array_equal(samples, sound[first : first + len(samples)])


def test_the_voice_model_is_found_by_pattern(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert find_voice_model().name.startswith("silero")

    class Elsewhere:
        origin = str(tmp_path / "__init__.py")

    monkeypatch.setattr(importlib.util, "find_spec", lambda _name: Elsewhere)
    with pytest.raises(NotebookError, match="voice model"):
        find_voice_model()
    (tmp_path / "assets").mkdir()
    (tmp_path / "assets" / "silero_vad_v99.onnx").touch()
    assert find_voice_model().name == "silero_vad_v99.onnx"
