"""Plays sound through the loudspeaker, by miniaudio with named backends.

In: 16-bit mono samples at 16 kHz. Out: sound, or a NotebookError when there is no loudspeaker.
The backends are named, because with no sound library present miniaudio would open one that plays into nothing.
"""

from __future__ import annotations

import time
from collections.abc import Generator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from notebook.errors import NotebookError

RATE_HZ = 16000
_TAIL_S = 0.2


def real_backends() -> list[Any]:
    """Give the sound systems of this computer that make sound, none that plays into nothing."""
    import miniaudio

    names = ("WASAPI", "COREAUDIO", "PULSEAUDIO", "ALSA", "JACK", "SNDIO", "OSS")
    return [backend for name in names if (backend := getattr(miniaudio.Backend, name, None)) is not None]


def play_samples(samples: NDArray[np.int16]) -> None:
    """Play samples and wait until they have been heard."""
    import miniaudio

    done = [False]

    def feed() -> Generator[bytes, int, None]:
        wanted = yield b""
        at = 0
        while at < len(samples):
            piece = samples[at : at + wanted]
            at += len(piece)
            wanted = yield piece.tobytes()
        done[0] = True
        while True:
            wanted = yield bytes(2 * wanted)

    stream = feed()
    next(stream)
    try:
        device = miniaudio.PlaybackDevice(
            output_format=miniaudio.SampleFormat.SIGNED16, nchannels=1, sample_rate=RATE_HZ, backends=real_backends()
        )
    except miniaudio.MiniaudioError as error:
        raise NotebookError(
            f"No loudspeaker could be opened ({error}).", "Plug one in, or write the sound to a file with --to FILE."
        ) from error
    with device:
        device.start(stream)
        while not done[0]:
            time.sleep(0.05)
        time.sleep(_TAIL_S)
