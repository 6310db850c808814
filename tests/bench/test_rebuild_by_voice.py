"""The way back walked by voice: said into a virtual microphone, ticked in the archive."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from notebook.audio.aloud import can_speak, say_words
from tests.bench.conftest import Begin
from tests.bench.virtual import RATE_HZ, ROOT, VirtualMicrophone, log_of, write_wav

APART = (
    "Gear guard's off, six M8 hex bolts.\n"
    "Pinion's out.\n"
    "That's the end housing off. Four M10 cap screws hold the end housing, book gives 45 newton metres.\n"
    "Drum is out.\n"
)


def teardown(shop: Path, *arguments: str) -> str:
    return subprocess.run(
        [sys.executable, "-m", "notebook", *arguments, "--shop", str(shop)],
        env={**os.environ, "PYTHONPATH": str(ROOT)}, check=True, capture_output=True, text=True,
    ).stdout  # fmt: skip


def test_a_rebuild_is_walked_by_voice(
    begin: Begin, sound_server: VirtualMicrophone, shop: Path, tmp_path: Path
) -> None:
    if not can_speak():
        pytest.skip("no espeak-ng")
    (tmp_path / "apart.txt").write_text(APART)
    teardown(shop, "add", "7", str(tmp_path / "apart.txt"))
    bench = begin("--rebuild", "--person", "Idris")

    def say(words: str) -> int:
        at = len(bench.messages)
        speech = say_words(words)
        assert speech is not None
        # The silence that ends a remark is played too, so that two said one after the other stay two.
        quiet = np.zeros(int(1.5 * RATE_HZ), np.int16)
        sound_server.play(write_wav(tmp_path / "said.wav", np.concatenate([speech, quiet])))
        return at

    def shown(number: int, after: int) -> dict[str, Any]:
        return bench.wait_for("StepShown", lambda m: m["number"] == number, after=after)

    assert shown(1, 0)["title"] == "Fit the drum"
    shown(2, say("Next step."))  # goes on, and ticks nothing
    at = say("Torque set.")
    ticked = bench.wait_for("StepSaid", after=at)
    assert (ticked["state"], ticked["number"], ticked["doubts"]) == ("torque set", 2, [])
    shown(3, at)
    at = say("Skip, waiting for the pinion.")
    assert bench.wait_for("StepSaid", after=at)["state"] == "skipped"
    at = say("What's left?")
    summed = bench.wait_for("RebuildSummed", after=at)
    assert (summed["done"], summed["of"]) == (1, 4)
    assert bench.end() == 0

    far: dict[str, Any] = json.loads(teardown(shop, "rebuild", "7", "--how-far", "--json"))
    assert far["not_done"][0] == "1  Fit the drum"  # the silence meanwhile ticked nothing
    assert far["not_done"][1].startswith("3  Fit the pinion (skipped: waiting for")
    said = [r["text"] for r in log_of(shop)["remarks"] if r["at"] is not None]
    assert len(said) == 2  # going on and asking are words to the bench
    assert list(shop.glob("jobs/*/sound/*.flac"))
