"""Tries a microphone: how loud it is, and what it hears.

In: the name of a microphone. Out: the loudest level, in words what that means, and two seconds of sound. Keeps nothing.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

LISTEN_S = 3.0
PLAY_S = 2.0
RATE_HZ = 16000
DEAD_DB, QUIET_DB, LOUD_DB = -75.0, -45.0, -3.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Tried:
    """What a microphone gave."""

    name: str
    loudest_db: float
    says: str
    works: bool
    samples: Any


def try_microphone(wanted: str | None, show: Callable[[float], object]) -> Tried:
    """Listen for three seconds, telling the level as it goes; raises NotebookError where there is no microphone."""
    import numpy as np

    from notebook.audio.level import speech_db
    from notebook.audio.microphone import NO_MICROPHONE, Microphone
    from notebook.errors import NotebookError

    microphone = Microphone(wanted)
    blocks: list[Any] = []
    loudest_db = -90.0
    try:
        while sum(map(len, blocks)) < LISTEN_S * RATE_HZ:
            block = microphone.read(1.0)
            if block is None:
                raise NotebookError("The microphone opens and gives no sound.", NO_MICROPHONE)
            blocks.append(block)
            db = speech_db(block)
            loudest_db = max(loudest_db, db)
            show(db)
    finally:
        microphone.close()
    samples = np.concatenate(blocks)[-int(PLAY_S * RATE_HZ) :]
    return Tried(
        name=microphone.name, loudest_db=loudest_db, says=say_level(loudest_db), works=loudest_db > DEAD_DB, samples=samples
    )  # fmt: skip


def say_level(db: float) -> str:
    """Say in words what a level means for the ear."""
    if db <= DEAD_DB:
        return "nothing at all is heard: it is muted, or it is not the one you speak into"
    if db < QUIET_DB:
        return f"very quiet ({db:.0f} dB): bring it nearer or turn it up"
    if db > LOUD_DB:
        return f"too loud ({db:.0f} dB): turn it down, or hold it further off"
    return f"good ({db:.0f} dB)"
