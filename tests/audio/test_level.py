"""Quiet speech is brought up, bangs are held down, nothing clips, silence stays silence."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from hypothesis.extra import numpy as st_numpy
from numpy.typing import NDArray

from notebook.audio.level import TARGET_RMS, level_sound

from .sounds import Sound, make_tone


def rms(sound: NDArray[np.float32]) -> float:
    return float(np.sqrt(np.mean(sound.astype(float) ** 2)))


@pytest.mark.parametrize("level", [0.003, 0.01, 0.05, 0.2, 0.9])
def test_any_loudness_comes_to_the_same_level(level: float) -> None:
    assert rms(level_sound(make_tone(2.0, level=level))) == pytest.approx(TARGET_RMS, rel=0.05)


def test_a_hiss_of_the_recorder_is_not_brought_up_to_speech() -> None:
    hiss = np.random.default_rng(1).integers(-1, 2, 16000).astype(np.int16)
    assert rms(level_sound(hiss)) < 0.05


def test_pauses_do_not_decide_the_level() -> None:
    speech = make_tone(1.0, level=0.02)
    paused = np.concatenate([speech, np.zeros(32000, np.int16)])
    assert rms(level_sound(paused)[:16000]) == pytest.approx(TARGET_RMS, rel=0.1)


def test_a_short_word_between_pauses_of_nothing_is_brought_up() -> None:
    gated = np.concatenate([np.zeros(8000, np.int16), make_tone(0.12, level=0.01), np.zeros(8000, np.int16)])
    assert rms(level_sound(gated)[8000:9920]) == pytest.approx(TARGET_RMS, rel=0.2)


def test_one_bang_does_not_hold_the_speech_down() -> None:
    speech = make_tone(2.0, level=0.01)
    speech[16000:16160] = 32767
    levelled = level_sound(speech)
    assert rms(levelled[:8000]) == pytest.approx(TARGET_RMS, rel=0.1)
    assert 0.7 < levelled[16050] < 1.0


def test_what_was_louder_stays_louder() -> None:
    ramp = np.linspace(-32768, 32767, 16000).astype(np.int16)
    assert (np.diff(level_sound(ramp)) >= 0).all()


def test_the_sound_that_was_given_is_left_as_it_was() -> None:
    tone = make_tone(0.5, level=0.9)
    before = tone.copy()
    level_sound(tone)
    assert np.array_equal(tone, before)


def test_silence_stays_silence() -> None:
    assert not level_sound(np.zeros(16000, np.int16)).any()
    assert len(level_sound(np.zeros(0, np.int16))) == 0


@example(np.concatenate([np.zeros(16000, np.int16), np.array([-32768, 32767], np.int16)]))
@given(st_numpy.arrays(np.int16, st.integers(0, 3000)))
def test_nothing_ever_clips(sound: Sound) -> None:
    levelled = level_sound(sound)
    assert levelled.dtype == np.float32
    assert len(levelled) == len(sound)
    assert np.isfinite(levelled).all()
    assert (np.abs(levelled) < 1.0).all()
