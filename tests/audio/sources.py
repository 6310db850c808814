"""Sources of sound for tests of the listener that need no sound server: silence, a sound, a microphone that is pulled.

In: samples. Out: a `SoundSource`. What is measured or claimed of the bench is taken through the virtual microphone; these
are for what can go wrong.
"""

from __future__ import annotations

import threading
import time

import numpy as np
from numpy.typing import NDArray

BLOCK_SAMPLES = 512
RATE_HZ = 16000


class PlayedSource:
    """Gives a sound in blocks, as fast as it is read or at its own pace, then silence or nothing."""

    name = "played"

    def __init__(self, samples: NDArray[np.int16], *, ends: str = "silence", paced: bool = False) -> None:
        self._samples, self._at = samples, 0
        self._ends, self._paced = ends, paced
        self.is_read = threading.Event()
        self.is_closed = False

    def read(self, wait_s: float) -> NDArray[np.int16] | None:
        if self._at >= len(self._samples):
            self.is_read.set()
            time.sleep(min(wait_s, 0.02))
            return np.zeros(BLOCK_SAMPLES, np.int16) if self._ends == "silence" else None
        if self._paced:
            time.sleep(BLOCK_SAMPLES / RATE_HZ)
        block = self._samples[self._at : self._at + BLOCK_SAMPLES]
        self._at += len(block)
        return block

    def close(self) -> None:
        self.is_closed = True
