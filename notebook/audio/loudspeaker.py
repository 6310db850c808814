"""Play sound through the loudspeaker, by miniaudio with named backends.

In: 16-bit mono samples at 16 kHz. Out: sound, or a NotebookError when there is no loudspeaker or it went away.
The backends are named, because with no sound library present miniaudio would open one that plays into nothing.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Generator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from notebook.errors import NotebookError

RATE_HZ = 16000
LOST_AFTER_S = 2.0
"""A loudspeaker that asks for no sound this long is gone; a pulled one tells nobody."""
_TAIL_S = 0.6
"""Three buffers of 200 ms: what the device has taken and not yet played."""


def real_backends() -> list[Any]:
    """Give the sound systems of this computer that make sound, none that plays into nothing."""
    import miniaudio

    names = ("WASAPI", "COREAUDIO", "PULSEAUDIO", "ALSA", "JACK", "SNDIO", "OSS")
    return [backend for name in names if (backend := getattr(miniaudio.Backend, name, None)) is not None]


def play_samples(samples: NDArray[np.int16]) -> None:
    """Play samples and wait until they have been heard; raise NotebookError when there is nothing to hear them by."""
    import miniaudio

    asked, done = threading.Event(), threading.Event()

    def feed() -> Generator[bytes, int, None]:
        wanted = yield b""
        at = 0
        while at < len(samples):
            asked.set()
            piece = samples[at : at + wanted]
            at += len(piece)
            wanted = yield piece.tobytes()
        done.set()
        asked.set()
        while True:
            wanted = yield bytes(2 * wanted)

    stream = feed()
    next(stream)
    try:
        with miniaudio.PlaybackDevice(
            output_format=miniaudio.SampleFormat.SIGNED16, nchannels=1, sample_rate=RATE_HZ, backends=real_backends()
        ) as device:
            device.start(stream)
            while not done.is_set():
                if not asked.wait(LOST_AFTER_S):
                    raise NotebookError(
                        "The loudspeaker stopped taking sound.",
                        "Plug it in again, or write the sound to a file with --to FILE.",
                    )
                asked.clear()
            time.sleep(_TAIL_S)
    except miniaudio.MiniaudioError as error:
        raise NotebookError(
            f"No loudspeaker could be opened ({error}).", "Plug one in, or write the sound to a file with --to FILE."
        ) from error
