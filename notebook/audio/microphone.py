"""The microphone: blocks of sound as they are heard, by miniaudio with named backends.

In: the name of a microphone, or none. Out: blocks of int16 samples, mono, 16 kHz, about 32 ms each.
Keeps nothing and cuts nothing. A pulled microphone or a dead sound server tells nobody: blocks just stop, so whoever
reads must take a wait without a block for a lost microphone, close it and open it again.
"""

from __future__ import annotations

import queue
from collections.abc import Generator, Sequence
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

from notebook.audio.loudspeaker import real_backends
from notebook.errors import NOTHING_FOUND, NotebookError, one_line

RATE_HZ = 16000
BLOCK_MS = 64
NO_MICROPHONE = "Plug a microphone or headset in, and see which there are with: teardown doctor --microphone"


class SoundSource(Protocol):
    """Gives sound as it is heard."""

    name: str

    def read(self, wait_s: float) -> NDArray[np.int16] | None:
        """Give the next block; None where none came in that time."""

    def close(self) -> None:
        """Let go of the device."""


class Microphone:
    """An open microphone; blocks wait in memory until they are read, so a slow disk loses none."""

    def __init__(self, wanted: str | None = None) -> None:
        """Open the microphone whose name holds `wanted`, else the usual one; raise NotebookError when there is none."""
        import miniaudio

        self._blocks: queue.SimpleQueue[bytes] = queue.SimpleQueue()
        try:
            devices = miniaudio.Devices(real_backends())
            found = choose_microphone(devices.get_captures(), wanted)
            self.name = one_line(found["name"]) if found else "the usual microphone"
            self._device: Any = miniaudio.CaptureDevice(
                input_format=miniaudio.SampleFormat.SIGNED16,
                nchannels=1,
                sample_rate=RATE_HZ,
                buffersize_msec=BLOCK_MS,
                device_id=found["id"] if found else None,
                backends=real_backends(),
                app_name="teardown notebook",
            )
            taking = self._take()
            next(taking)
            self._device.start(taking)
        except miniaudio.MiniaudioError as error:
            raise NotebookError(f"No microphone could be opened ({error}).", NO_MICROPHONE) from error

    def read(self, wait_s: float) -> NDArray[np.int16] | None:
        """Give the next block; None where none came in that time."""
        try:
            return np.frombuffer(self._blocks.get(timeout=wait_s), np.int16)
        except queue.Empty:
            return None

    def close(self) -> None:
        """Let go of the device."""
        self._device.close()

    def _take(self) -> Generator[None, bytearray, None]:
        # Called from the sound library's own thread: hand the block on and do nothing else.
        while True:
            block = yield
            self._blocks.put(bytes(block))


def list_microphones() -> list[str]:
    """Give the names of the microphones there are, the usual one first; none where there is no sound system."""
    import miniaudio

    try:
        found = miniaudio.Devices(real_backends()).get_captures()
    except miniaudio.MiniaudioError:
        return []
    return [one_line(device["name"]) for device in sorted(found, key=_is_loopback)]


def choose_microphone(found: Sequence[dict[str, Any]], wanted: str | None) -> dict[str, Any] | None:
    """Give the microphone whose name holds the wanted words; None for the usual one of the sound system."""
    if not found:
        raise NotebookError("There is no microphone.", NO_MICROPHONE)
    if not wanted:
        return None
    for device in found:
        if wanted.casefold() in device["name"].casefold():
            return device
    names = "; ".join(one_line(device["name"]) for device in found)
    raise NotebookError(
        f"There is no microphone named like '{one_line(wanted)}'.", f"There are: {names}.", NOTHING_FOUND
    )


def _is_loopback(device: dict[str, Any]) -> bool:
    return "monitor" in device["name"].casefold()
