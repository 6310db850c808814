"""Level a remark for the ear: bring quiet speech up, hold sudden bangs down, never clip.

In: int16 samples of one remark. Out: float32 samples between -1 and 1.
Only what the ear is given is levelled; the sound that is kept is left as it was.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

FRAME_SAMPLES = 480
"""30 ms at 16 kHz."""
TARGET_RMS = 0.1
"""Of the louder frames, full scale being 1: -20 dB."""
MOST_GAIN = 100.0
"""40 dB: more would only bring up the hiss of the recorder itself."""
KNEE = 0.7
"""Above this a peak is bent, so that it stays below 1 whatever the gain."""


def level_sound(samples: NDArray[np.int16]) -> NDArray[np.float32]:
    """Give samples at an even level; silence stays silence.

    The level is taken from the louder fifth of 30 ms frames, so that neither the pauses nor one bang decide it.
    """
    sound = samples.astype(np.float32) / np.float32(32768.0)
    if not len(sound):
        return sound
    level = _speech_rms(sound)
    gain = min(MOST_GAIN, TARGET_RMS / level) if level > 0 else 1.0
    return _bend_peaks(sound * np.float32(gain))


def speech_db(samples: NDArray[np.int16]) -> float:
    """Give how loud the louder fifth of a remark is, in dB of full scale; -90 for silence."""
    level = _speech_rms(samples.astype(np.float32) / np.float32(32768.0)) if len(samples) else 0.0
    return 20 * float(np.log10(max(level, 10**-4.5)))


def _speech_rms(sound: NDArray[np.float32]) -> float:
    whole = len(sound) // FRAME_SAMPLES
    if whole < 2:
        return float(np.sqrt(np.mean(sound * sound)))
    frames = sound[: whole * FRAME_SAMPLES].reshape(whole, FRAME_SAMPLES)
    power = np.mean(frames * frames, axis=1)
    # A recorder that shuts off between words leaves pauses of nothing at all, which are no sound to measure.
    power = power[power > 0]
    return float(np.sqrt(np.percentile(power, 80))) if len(power) else 0.0


def _bend_peaks(sound: NDArray[np.float32]) -> NDArray[np.float32]:
    loud = np.abs(sound) > KNEE
    if loud.any():
        room = np.float32(1.0 - KNEE)
        over = (np.abs(sound[loud]) - np.float32(KNEE)) / room
        # x / (1 + x) leaves the knee at slope 1 and reaches 1 only at infinity.
        sound[loud] = np.sign(sound[loud]) * (
            np.float32(KNEE) + room * np.minimum(over / (1 + over), np.float32(0.999))
        )
    return sound
