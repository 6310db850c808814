"""Says answers and plays tones, with the ear shut while it does.

In: words, tones, sound. Out: sound from the loudspeaker. Waits until nobody speaks. Never raises: a bench without a
loudspeaker goes on in writing.
"""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from typing import Any, Protocol

from notebook.errors import NotebookError

LONGEST_WAIT_S = 8.0


class Shuttable(Protocol):
    """An ear that can be shut while the notebook speaks."""

    voice_on: bool

    def shut(self) -> None:
        """Hear nothing."""

    def open(self, after_s: float = ...) -> None:
        """Hear again."""


class Speaker(threading.Thread):
    """A thread that plays one thing after the other."""

    def __init__(self, ear: Shuttable, *, tone: bool, aloud: bool, failed: Callable[[str], None]) -> None:
        super().__init__(name="speaker", daemon=True)
        self._ear = ear
        self.tone, self.aloud = tone, aloud
        self._failed = failed
        self._works = True
        self._asked: queue.SimpleQueue[Callable[[], Any] | None] = queue.SimpleQueue()

    def sound_tone(self, kind: str) -> None:
        """Play a short tone, where tones are wanted; a mechanic who speaks on is not disturbed by a late one."""
        if self.tone and self._works:
            from notebook.audio.aloud import make_tone

            self._asked.put(lambda: None if self._ear.voice_on else make_tone(kind))  # type: ignore[arg-type]

    def say(self, words: str) -> None:
        """Say words, where that is wanted and can be done."""
        if self.aloud and self._works:
            from notebook.audio.aloud import say_words

            self._asked.put(lambda: say_words(words))

    def play(self, samples: Any) -> None:
        """Play the sound of a remark."""
        self._works = True
        self._asked.put(lambda: samples)

    def stop(self) -> None:
        """Stop after what is being played."""
        self._asked.put(None)

    def run(self) -> None:
        """Play what is asked for until stopped."""
        while (asked := self._asked.get()) is not None:
            samples = asked()
            if samples is None or not self._works:
                continue
            until_s = time.monotonic() + LONGEST_WAIT_S
            while self._ear.voice_on and time.monotonic() < until_s:
                time.sleep(0.05)
            self._play(samples)

    def _play(self, samples: Any) -> None:
        from notebook.audio.loudspeaker import play_samples

        self._ear.shut()
        try:
            play_samples(samples)
        except NotebookError as error:
            self._works = False
            self._failed(error.message)
        finally:
            self._ear.open()
