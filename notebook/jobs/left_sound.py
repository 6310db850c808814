"""Finds what a bench that was stopped in the middle left on disk: remarks not written down, and half of one.

In: the folder of live sound. Out: pieces to be written down, each with the same key it would have had.
Removes nothing before it is told that all is stored.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

RATE_HZ = 16000
CUT_SHORT = "cut short: the notebook was stopped while this was being said"


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftPiece:
    """One remark that was left."""

    key: str
    samples: Any
    at: datetime
    doubt: str | None


@dataclass(frozen=True, slots=True)
class Left:
    """The sound of one raw file that was left."""

    sound: Any

    @property
    def sitting_id(self) -> str:
        """The sitting it belongs to."""
        return str(self.sound.place.sitting_id)

    @property
    def person(self) -> str | None:
        """Who spoke."""
        person: str | None = self.sound.place.person
        return person

    def pieces(self) -> Iterator[LeftPiece]:
        """Give the remarks that had ended, cut as they were, then what was being said."""
        for first, samples in self.sound.waiting:
            yield self._piece(first, self.sound.read(first, samples), None)
        if self.sound.is_closed:
            return
        from notebook.audio.voice import RATE_HZ as HEARD_HZ
        from notebook.audio.voice import VoiceFilter

        rest = self.sound.read(self.sound.heard_to)
        voice = VoiceFilter()
        stretches = [(stretch, None) for stretch in voice.feed(rest)]
        was_on = voice.voice_on
        stretches += [(stretch, CUT_SHORT if was_on else None) for stretch in voice.finish()]  # type: ignore[misc]
        assert HEARD_HZ == RATE_HZ
        for stretch, doubt in stretches:
            samples = rest[stretch.first_sample : stretch.first_sample + stretch.samples]
            yield self._piece(self.sound.heard_to + stretch.first_sample, samples, doubt)

    def remove(self) -> None:
        """Let go of the raw sound; everything in it is stored."""
        from notebook.audio.raw import remove_raw

        remove_raw(self.sound.path)

    def _piece(self, first: int, samples: Any, doubt: str | None) -> LeftPiece:
        place = self.sound.place
        return LeftPiece(
            key=f"bench:{place.listening}:{first}", samples=samples, at=place.anchor + timedelta(seconds=first / RATE_HZ), doubt=doubt
        )  # fmt: skip


def find_left(folder: Path, sitting_now: str) -> list[Left]:
    """Give what earlier sittings left; what the present one is writing is not left."""
    from notebook.audio.raw import find_left_sound

    return [Left(sound) for sound in find_left_sound(folder) if sound.place.sitting_id != sitting_now]
