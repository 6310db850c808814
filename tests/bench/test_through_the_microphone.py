"""Sound played into a virtual microphone comes out as remarks in the archive.

Recorded human speech: Debian's `pocketsphinx-testdata` (BSD-2), files read aloud with their transcripts beside them.
"""

from __future__ import annotations

import re
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest

from notebook.audio.aloud import can_speak, say_words
from tests.audio.sounds import make_noise, read_demo
from tests.bench.conftest import Begin
from tests.bench.virtual import (
    RATE_HZ,
    VirtualMicrophone,
    find_samples,
    log_of,
    read_wav,
    sounds_of,
    write_wav,
)

RECORD = """
import sys
import numpy as np
from notebook.audio.microphone import Microphone
microphone = Microphone()
print("open", flush=True)
blocks = []
while sum(map(len, blocks)) < int(sys.argv[2]):
    block = microphone.read(2.0)
    assert block is not None
    blocks.append(block)
microphone.close()
np.concatenate(blocks).tofile(sys.argv[1])
"""


def test_the_microphone_gives_the_very_samples_that_were_played(
    sound_server: VirtualMicrophone, tmp_path: Path
) -> None:
    played = make_noise(1.5)
    wav = write_wav(tmp_path / "noise.wav", played)
    with subprocess.Popen(
        [sys.executable, "-c", RECORD, str(tmp_path / "heard.raw"), str(4 * RATE_HZ)], env=sound_server.environment, stdout=subprocess.PIPE,
    ) as recording:  # fmt: skip
        assert recording.stdout is not None
        assert recording.stdout.readline() == b"open\n"
        sound_server.play(wav)
        assert recording.wait(30) == 0
    heard = np.fromfile(tmp_path / "heard.raw", np.int16)
    assert find_samples(played, heard) >= 0


def test_human_speech_goes_the_whole_way(
    begin: Begin, sound_server: VirtualMicrophone, shop: Path, human: Path, tmp_path: Path
) -> None:
    said = write_wav(tmp_path / "go.wav", np.fromfile(human / "goforward.raw", np.int16))
    bench = begin("--person", "Maren")
    sound_server.play(said)
    stored = bench.wait_for("RemarkStored")
    first = bench.wait_for("FirstLineHeard")
    assert bench.end() == 0
    assert re.fullmatch(r"go forward (10|ten) met(er|re)s\W*", stored["remark"]["text"].lower())
    assert first["key"] == stored["key"]
    (remark,) = log_of(shop)["remarks"]
    assert remark["text"] == stored["remark"]["text"]
    assert remark["at"] is not None
    (sound,) = sounds_of(shop)
    # Bit for bit: what is kept lies in what was played, with silence around it.
    spoken = sound[np.flatnonzero(sound)[0] : np.flatnonzero(sound)[-1] + 1]
    assert find_samples(spoken, read_wav(said)) >= 0
    assert list(shop.glob("jobs/*/sound/live/*.raw")) == []


def test_words_to_the_bench_are_no_remarks_and_asleep_nothing_is_stored(
    begin: Begin, sound_server: VirtualMicrophone, shop: Path, tmp_path: Path
) -> None:
    if not can_speak():
        pytest.skip("no espeak-ng")
    bench = begin()

    def say(words: str) -> None:
        speech = say_words(words)
        assert speech is not None
        # The silence that ends a remark is played too, so that two said one after the other stay two.
        quiet = np.zeros(int(1.5 * RATE_HZ), np.int16)
        sound_server.play(write_wav(tmp_path / "said.wav", np.concatenate([speech, quiet])))

    say("What's left?")
    answer = bench.wait_for("AnswerGiven")
    assert answer["asked"] == "what is left"
    say("Stop listening.")
    bench.wait_for("StateChanged", lambda m: m["state"] == "asleep")
    at = len(bench.messages)
    say("The drum is cracked.")
    say("Start listening.")
    bench.wait_for("StateChanged", lambda m: m["state"] == "listening", after=at)
    assert not [m for m in bench.messages if m["what"] == "RemarkStored"]
    assert bench.end() == 0
    log = log_of(shop)
    assert log["remarks"] == []
    assert len(log["sittings"]) == 1
    assert list(shop.glob("jobs/*/sound/*.flac")) == []


def test_the_ear_is_shut_while_the_notebook_speaks(
    begin: Begin, sound_server: VirtualMicrophone, shop: Path, tmp_path: Path
) -> None:
    # The loudspeaker of this sound server is its microphone: whatever the notebook says would be heard.
    if not can_speak():
        pytest.skip("no espeak-ng")
    bench = begin(quiet=False)
    speech = say_words("Read that back.")
    assert speech is not None
    sound_server.play(write_wav(tmp_path / "said.wav", speech))
    bench.wait_for("AnswerGiven")
    time.sleep(6.0)  # for what it says aloud, and what an open ear would make of it
    assert bench.end() == 0
    heard = [m for m in bench.messages if m["what"] in ("RemarkStored", "RemarkErased")]
    assert [m["what"] for m in heard] == ["RemarkErased"]
    assert log_of(shop)["remarks"] == []


def test_a_dead_sound_server_is_told_and_listening_goes_on_by_itself(
    begin: Begin, sound_server: VirtualMicrophone, shop: Path, tmp_path: Path
) -> None:
    wav = write_wav(tmp_path / "said.wav", read_demo()[1 * RATE_HZ : 14 * RATE_HZ])
    bench = begin()
    at = len(bench.messages)
    sound_server.stop()
    lost = bench.wait_for("StateChanged", lambda m: m["state"] == "lost", after=at)
    assert "microphone" in lost["says"].lower()
    sound_server.start()
    bench.wait_for("OutageNoted")
    sound_server.play(wav)
    bench.wait_for("RemarkStored")
    assert bench.end() == 0
    text = subprocess.run(
        [sys.executable, "-m", "notebook", "log", "7", "--shop", str(shop)], env=sound_server.environment, capture_output=True, text=True, check=True
    ).stdout  # fmt: skip
    assert "While nothing could be heard" in text
