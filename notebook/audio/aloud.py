"""Words and tones for the loudspeaker: the system's espeak-ng where it is there, and short sine tones.

In: words, or the kind of tone. Out: int16 samples, mono, 16 kHz; None where the words cannot be said.
Never plays anything itself.
"""

from __future__ import annotations

import io
import shutil
import subprocess
import wave
from typing import Literal

import numpy as np
from numpy.typing import NDArray

RATE_HZ = 16000
TONE_S = 0.12
LONGEST_WAIT_S = 10.0
LONGEST_SAID = 400
Tone = Literal["done", "asked", "lost"]
_TONES_HZ: dict[Tone, tuple[float, ...]] = {"done": (880.0,), "asked": (660.0, 880.0), "lost": (440.0, 330.0, 220.0)}


def can_speak() -> bool:
    """Tell whether the system can say words."""
    return shutil.which("espeak-ng") is not None


def say_words(words: str) -> NDArray[np.int16] | None:
    """Give words as sound; None where espeak-ng is not there or fails."""
    if not words.strip() or not can_speak():
        return None
    try:
        done = subprocess.run(
            ["espeak-ng", "-v", "en-gb", "-s", "155", "--stdin", "--stdout"],
            input=words[:LONGEST_SAID].encode("utf-8", "replace"),
            capture_output=True,
            timeout=LONGEST_WAIT_S,
            check=True,
        )
        # Written to a pipe, its header cannot know the length.
        with wave.open(io.BytesIO(done.stdout)) as sound:
            rate_hz = sound.getframerate()
            samples = np.frombuffer(done.stdout[44:], "<i2")
    except (OSError, subprocess.SubprocessError, wave.Error, EOFError, ValueError):
        return None
    return _at_our_rate(samples, rate_hz)


def make_tone(kind: Tone) -> NDArray[np.int16]:
    """Give a short tone, soft at both ends."""
    t_s = np.arange(round(TONE_S * RATE_HZ)) / RATE_HZ
    edge = np.minimum(1.0, np.minimum(t_s, TONE_S - t_s) / 0.01)
    parts = [0.25 * edge * np.sin(2 * np.pi * tone_hz * t_s) for tone_hz in _TONES_HZ[kind]]
    return np.round(np.concatenate(parts) * 32767).astype(np.int16)


def _at_our_rate(samples: NDArray[np.int16], rate_hz: int) -> NDArray[np.int16]:
    if rate_hz == RATE_HZ or not len(samples):
        return samples.astype(np.int16)
    at = np.arange(int(len(samples) * RATE_HZ / rate_hz)) * rate_hz / RATE_HZ
    return np.interp(at, np.arange(len(samples)), samples).astype(np.int16)
