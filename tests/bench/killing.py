"""Kills a bench at random moments while somebody speaks, and counts what was lost.

In: how many kills, recorded speech. Out: for each kill how much sound was not on disk, and which finished remarks are
missing after the next start. A remark counts as finished when it had been silent for the time that ends one.
"""

from __future__ import annotations

import random
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from notebook.audio.raw import find_left_sound
from tests.bench.virtual import RATE_HZ, BenchProgram, VirtualMicrophone, find_samples, read_wav, sounds_of

WRITING_S = 600.0
FINISHED_AFTER_S = 1.6
"""0.9 s of silence, what the sound server holds back, and one block."""
PIECES = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Kills:
    """What was lost."""

    kills: int
    finished: int
    """Remarks that had ended before a kill."""
    lost: int
    """Of these, not in the archive after the next start."""
    most_lost_s: float
    """The most sound heard before a kill and not on disk after it."""
    half_heard: int
    """Remarks broken off by a kill that were found again."""


def kill_benches(microphone: VirtualMicrophone, shop: Path, wavs: list[Path], kills: int, seed: int = 1) -> Kills:
    """Kill benches while sound files are played, then start one more and look at the archive."""
    chance = random.Random(seed)
    speech = [_middle(read_wav(wav)) for wav in wavs]
    finished: list[int] = []
    most_lost_s = 0.0
    for n in range(kills):
        bench = BenchProgram(microphone, shop, "7", "--quiet")
        bench.wait_for("StateChanged", lambda m: m["state"] == "listening")
        which = n % len(wavs)
        length_s = len(read_wav(wavs[which])) / RATE_HZ
        playing = microphone.start_playing(wavs[which])
        if n % 2:
            time.sleep(chance.uniform(0.3, length_s))
        else:
            playing.wait()
            time.sleep(chance.uniform(FINISHED_AFTER_S, FINISHED_AFTER_S + 3.0))
            finished.append(which)
        at = datetime.now(UTC)
        bench.kill()
        playing.wait()
        most_lost_s = max(most_lost_s, _lost_s(shop, at))
    bench = BenchProgram(microphone, shop, "7", "--quiet")
    bench.wait_for("BenchReady")
    until_s = time.monotonic() + WRITING_S
    while len(list(shop.glob("jobs/*/sound/live/*.raw"))) > 1 and time.monotonic() < until_s:
        time.sleep(0.5)  # what was left is being written down; its own sound is the one that stays
    bench.end()
    stored = sounds_of(shop)
    lost = 0
    for which in finished:
        found = next((n for n, sound in enumerate(stored) if _holds(sound, speech[which])), None)
        if found is None:
            lost += 1
        else:
            stored.pop(found)
    return Kills(kills=kills, finished=len(finished), lost=lost, most_lost_s=most_lost_s, half_heard=len(stored))


def _holds(sound: NDArray[np.int16], speech: NDArray[np.int16]) -> bool:
    """Tell whether most pieces of the speech stand in the sound, bit for bit; a busy sound server may drop one between."""
    pieces = np.array_split(speech, PIECES)
    return sum(find_samples(piece, sound) >= 0 for piece in pieces) > PIECES // 2


def _middle(samples: NDArray[np.int16]) -> NDArray[np.int16]:
    """Give the middle third of what is spoken: it lies inside a remark however its ends are cut."""
    return samples[len(samples) // 3 : 2 * len(samples) // 3]


def _lost_s(shop: Path, killed: datetime) -> float:
    """Give how much of the sound heard until the kill is on no disk."""
    ends = [
        (killed - left.place.anchor).total_seconds()
        - (left.place.first_sample + left.path.stat().st_size // 2) / RATE_HZ
        for live in shop.glob("jobs/*/sound/live")
        for left in find_left_sound(live)
    ]
    return min(ends) if ends else 0.0
