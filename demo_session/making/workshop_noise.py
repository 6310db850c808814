"""Synthetic workshop noise and a synthetic room, for the demonstration recording.

In: a length in samples and a generator of random numbers. Out: sound made from sines and random
numbers alone: compressor hum, hiss, impact wrench, clanks, a small radio (its talk is handed in),
and the answer of a room. No real workshop was recorded. Never speaks, never reads or writes a file.

Needs: Python package numpy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
from numpy.typing import NDArray

Sound = NDArray[np.float64]
"""Mono samples at RATE_HZ, full scale 1.0."""
RATE_HZ = 16000


def gain(level_db: float) -> float:
    """Give the factor for a level in dB."""
    return float(10 ** (level_db / 20))


def measure_rms(sound: Sound) -> float:
    """Measure the root mean square."""
    return float(np.sqrt(np.mean(sound * sound)) + 1e-12)


def make_room(under_db: float, numbers: np.random.Generator) -> Sound:
    """Make the answer of a room: the voice itself, then a tail of 0.35 s that lies `under_db` under it."""
    decay_s = 0.35
    length = int(decay_s * RATE_HZ)
    tail = numbers.standard_normal(length) * 10 ** (-3 * np.arange(length) / length)
    tail[: int(0.004 * RATE_HZ)] = 0
    tail *= gain(-under_db) / np.sqrt(np.sum(tail * tail))
    tail[0] = 1.0
    return tail


def convolve(sound: Sound, answer: Sound) -> Sound:
    """Convolve through the spectrum."""
    length = len(sound) + len(answer) - 1
    size = 1 << length.bit_length()
    return np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(answer, size), size)[:length]


def pass_band(sound: Sound, low_hz: float, high_hz: float) -> Sound:
    """Keep one band of the spectrum."""
    spectrum = np.fft.rfft(sound)
    f_hz = np.fft.rfftfreq(len(sound), 1 / RATE_HZ)
    spectrum[(f_hz < low_hz) | (f_hz > high_hz)] = 0
    return np.fft.irfft(spectrum, len(sound))


def make_compressor(length: int, numbers: np.random.Generator) -> Sound:
    """Make the hum of a compressor: mains harmonics that beat, and a rumble."""
    t_s = np.arange(length) / RATE_HZ
    tones = ((50, 1.0), (100, 0.9), (150, 0.4), (200, 0.5), (300, 0.3), (400, 0.2), (600, 0.12))
    hum = sum(a * np.sin(2 * np.pi * f_hz * t_s + numbers.uniform(0, 2 * np.pi)) for f_hz, a in tones)
    beat = 1 + 0.3 * np.sin(2 * np.pi * numbers.uniform(5, 11) * t_s)
    return np.asarray(hum * beat + pass_band(numbers.standard_normal(length), 80, 1500))


def make_hiss(length: int, numbers: np.random.Generator) -> Sound:
    """Make the hiss of air: noise that falls by 3 dB an octave."""
    spectrum = np.fft.rfft(numbers.standard_normal(length))
    f_hz = np.fft.rfftfreq(length, 1 / RATE_HZ)
    return np.fft.irfft(spectrum / np.sqrt(np.maximum(f_hz, 30)), length)


def make_burst(numbers: np.random.Generator) -> Sound:
    """Make one burst of an impact wrench, 0.4 to 1.2 s, root mean square 1."""
    t_s = np.arange(int(numbers.uniform(0.4, 1.2) * RATE_HZ)) / RATE_HZ
    blows = np.exp(-4 * ((t_s * numbers.uniform(18, 26)) % 1))
    whine = 0.2 * np.sin(2 * np.pi * numbers.uniform(300, 420) * t_s)
    burst = pass_band(numbers.standard_normal(len(t_s)), 700, 6500) * blows + whine
    return burst / measure_rms(burst)


def make_clank(numbers: np.random.Generator) -> Sound:
    """Make one clank of metal, half a second that dies away, root mean square 1."""
    t_s = np.arange(RATE_HZ // 2) / RATE_HZ
    clank = np.zeros(len(t_s))
    for f_hz in numbers.uniform(600, 6500, 7):
        clank += numbers.uniform(0.3, 1) * np.sin(2 * np.pi * f_hz * t_s) * np.exp(-t_s * numbers.uniform(8, 30))
    return clank / measure_rms(clank)


def strew_noises(
    length: int,
    make: Callable[[np.random.Generator], Sound],
    apart_s: tuple[float, float],
    numbers: np.random.Generator,
) -> Sound:
    """Strew single noises, some louder than others, with `apart_s` (least, most) of nothing between them."""
    strewn, at = np.zeros(length), int(numbers.uniform(1, apart_s[1]) * RATE_HZ)
    while at < length:
        noise = make(numbers)[: length - at] * numbers.uniform(0.6, 1.2)
        strewn[at : at + len(noise)] += noise
        at += len(noise) + int(numbers.uniform(*apart_s) * RATE_HZ)
    return strewn


def make_tune(numbers: np.random.Generator) -> Sound:
    """Make a plain tune of 24 notes of the pentatonic scale."""
    t_s = np.arange(int(0.3 * RATE_HZ)) / RATE_HZ
    notes_hz = 330 * 2 ** (numbers.choice([0, 2, 4, 7, 9, 12], 24) / 12)
    return np.concatenate(
        [sum(np.sin(2 * np.pi * k * f_hz * t_s) / k for k in (1, 2, 3)) * np.exp(-4 * t_s) for f_hz in notes_hz]
    )


def make_radio(length: int, talk: Iterable[Sound], numbers: np.random.Generator) -> Sound:
    """Make a small radio across the shop: talk and tunes in turn, root mean square 1."""
    parts: list[Sound] = []
    for spoken in talk:
        for piece in (spoken, make_tune(numbers)):
            parts += [piece / measure_rms(piece), np.zeros(int(0.5 * RATE_HZ))]
    radio = pass_band(np.resize(np.concatenate(parts), length), 250, 3600)
    return radio / measure_rms(radio)
