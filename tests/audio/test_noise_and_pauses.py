"""Noise stores nothing, and speech is cut at pauses of a known length: synthetic voices, and recorded people where had."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from notebook.audio import voice
from notebook.audio.hear import cut_stretches, hear_sound
from tests.measure_speech import read_human_speech

from .sounds import RATE_HZ, Sound, demo_truth, need_ear, read_demo, write_wav

SECONDS = 8


def white(numbers: np.random.Generator) -> Sound:
    return _at_level(numbers.standard_normal(SECONDS * RATE_HZ))


def pink(numbers: np.random.Generator) -> Sound:
    """Give noise whose power falls by 3 dB an octave."""
    spectrum = np.fft.rfft(numbers.standard_normal(SECONDS * RATE_HZ))
    return _at_level(np.fft.irfft(spectrum / np.sqrt(np.arange(1, len(spectrum) + 1))))


def hum(numbers: np.random.Generator) -> Sound:
    """Give the hum of a 50 Hz motor with its harmonics, rising and falling."""
    t_s = np.arange(SECONDS * RATE_HZ) / RATE_HZ
    tones = sum(np.sin(2 * np.pi * 50 * n * t_s + numbers.uniform(0, 6)) / n for n in range(1, 13))
    return _at_level(tones * (1 + 0.3 * np.sin(2 * np.pi * 7 * t_s)))


def hammer(numbers: np.random.Generator) -> Sound:
    """Give hammer blows that ring, about two a second, over a little hiss."""
    sound = 0.003 * numbers.standard_normal(SECONDS * RATE_HZ)
    t_s = np.arange(RATE_HZ // 2) / RATE_HZ
    for beat in range(12):
        at_s = 0.4 + 0.55 * beat + numbers.uniform(-0.1, 0.1)
        rings = sum(np.sin(2 * np.pi * f_hz * t_s) * np.exp(-t_s * 20) for f_hz in numbers.uniform(600, 6500, 7))
        sound[int(at_s * RATE_HZ) :][: len(t_s)] += rings + numbers.standard_normal(len(t_s)) * np.exp(-t_s * 200)
    return _at_level(sound)


def _at_level(sound: NDArray[np.float64]) -> Sound:
    return np.asarray(np.round(sound / np.abs(sound).max() * 0.5 * 32767), np.int16)


NOISES = [white, pink, hum, hammer]


@pytest.mark.speech
@pytest.mark.parametrize("make", NOISES)
@pytest.mark.parametrize("with_filter", [True, False], ids=["voice filter", "no voice filter"])
def test_noise_gives_no_remark(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, make: Callable[[np.random.Generator], Sound], with_filter: bool
) -> None:
    ear = need_ear()
    if not with_filter:
        # Every stretch of noise goes to the ear, and its judge alone stands between it and the archive.
        monkeypatch.setattr(voice, "ON", 0.0)
        monkeypatch.setattr(voice, "OFF", 0.0)
    path = write_wav(tmp_path / "noise.wav", make(np.random.default_rng(3)))
    with hear_sound(path, ear, lambda: "Skidding winch. pawl, brake band, pinion.") as hearing:
        heard = [remark.transcript for remark in hearing if remark.transcript]
    assert len(heard) == (0 if with_filter else 1)
    assert [transcript.text for transcript in heard if transcript.text] == []


def lay_out(pieces: Sequence[Sound], pauses_s: Sequence[float]) -> tuple[Sound, list[tuple[float, float]]]:
    """Lay pieces one after another with pauses of nothing but a faint hiss; give where each lies, in seconds."""
    numbers = np.random.default_rng(4)
    parts: list[Sound] = []
    places: list[tuple[float, float]] = []
    at = 0
    for pause_s, piece in zip(pauses_s, [*pieces, np.zeros(0, np.int16)], strict=True):
        parts += [numbers.integers(-3, 4, round(pause_s * RATE_HZ)).astype(np.int16), piece]
        at += len(parts[-2])
        places.append((at / RATE_HZ, (at + len(piece)) / RATE_HZ))
        at += len(piece)
    return np.concatenate(parts), places[:-1]


def check_cuts(pieces: Sequence[Sound]) -> None:
    """Check that 0.4 s is a breath and 1.5 s an end, whatever else is the same."""
    sound, places = lay_out(pieces, [2.0, *([1.5] * (len(pieces) - 1)), 2.0])
    found = [(first, first + len(samples)) for first, samples in cut_stretches(iter([sound]))]
    assert len(found) == len(pieces)
    for (first, after), (start_s, end_s) in zip(found, places, strict=True):
        assert start_s - 0.5 < first / RATE_HZ < start_s + 0.5
        assert end_s - 0.5 < after / RATE_HZ < end_s + 0.5
    assert all(a[1] <= b[0] for a, b in pairwise(found))
    together, _ = lay_out(pieces, [2.0, *([0.4] * (len(pieces) - 1)), 2.0])
    assert len(list(cut_stretches(iter([together])))) == 1


def test_a_synthetic_voice_is_cut_at_long_pauses_and_not_at_short_ones() -> None:
    said = demo_truth()[1:5]
    check_cuts([read_demo()[round(s["start_s"] * RATE_HZ) : round(s["end_s"] * RATE_HZ)] for s in said])


def test_recorded_people_are_cut_at_long_pauses_and_not_at_short_ones() -> None:
    spoken = [sentence for sentence in read_human_speech() if sentence.name.startswith("sense")][1:]
    if not spoken:
        pytest.skip("no recorded human speech: Debian's pocketsphinx-testdata is not installed (see .ci/run)")
    check_cuts([np.frombuffer(sentence.samples, "<i2") for sentence in spoken])
