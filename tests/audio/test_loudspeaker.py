"""Sound is played whole, by a real sound system, and a loudspeaker that is not there or goes away is told."""

from __future__ import annotations

from collections.abc import Generator
from types import TracebackType
from typing import Any, ClassVar, Self

import miniaudio
import numpy as np
import pytest

from notebook.audio import loudspeaker
from notebook.audio.loudspeaker import play_samples, real_backends
from notebook.errors import COULD_NOT, NotebookError

from .sounds import make_noise


class Device:
    """A playback device that asks for sound in uneven pieces, at once."""

    asks: ClassVar[list[int]] = [100, 1, 4000, 50000]
    played: ClassVar[list[bytes]] = []

    def __init__(self, **_: Any) -> None:
        self.played.clear()

    def start(self, stream: Generator[bytes, int, None]) -> None:
        for wanted in self.asks:
            piece = stream.send(wanted)
            assert len(piece) <= 2 * wanted
            self.played.append(piece)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, _kind: type[BaseException] | None, _error: BaseException | None, _trace: TracebackType | None
    ) -> None:
        return None


@pytest.fixture(autouse=True)
def _no_tail(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(loudspeaker, "_TAIL_S", 0)


def test_every_sample_is_played_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(miniaudio, "PlaybackDevice", Device)
    monkeypatch.setattr(Device, "asks", [100, 1, 4000, 50000, 100])
    sound = make_noise(1.0)
    play_samples(sound)
    assert b"".join(Device.played)[: len(sound) * 2] == sound.tobytes()
    assert not any(b"".join(Device.played)[len(sound) * 2 :])


def test_no_sound_system_is_one_that_plays_into_nothing() -> None:
    assert real_backends()
    assert miniaudio.Backend.NULL not in real_backends()


def test_the_null_device_takes_the_whole_sound(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(loudspeaker, "real_backends", lambda: [miniaudio.Backend.NULL])
    play_samples(make_noise(0.1))


@pytest.mark.parametrize("when", ["open", "start"])
def test_no_loudspeaker_is_told(monkeypatch: pytest.MonkeyPatch, when: str) -> None:
    def fail(*_: Any, **__: Any) -> None:
        raise miniaudio.MiniaudioError("failed to init device", -1)

    monkeypatch.setattr(miniaudio, "PlaybackDevice", Device)
    monkeypatch.setattr(Device, "__init__" if when == "open" else "start", fail)
    with pytest.raises(NotebookError, match="No loudspeaker") as told:
        play_samples(make_noise(0.1))
    assert told.value.exit_status == COULD_NOT
    assert "--to" in told.value.remedy


def test_a_loudspeaker_that_stops_asking_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(miniaudio, "PlaybackDevice", Device)
    monkeypatch.setattr(Device, "asks", [100])
    monkeypatch.setattr(loudspeaker, "LOST_AFTER_S", 0.05)
    with pytest.raises(NotebookError, match="stopped taking sound"):
        play_samples(np.zeros(16000, np.int16))
