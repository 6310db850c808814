"""The ear gives words with times and probabilities, from a folder, with no connection to anywhere."""

from __future__ import annotations

import shutil
import socket
from dataclasses import replace
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from notebook.audio.ear import CIRCLES, Ear
from notebook.audio.level import level_sound
from notebook.audio.weights import find_model
from notebook.errors import WRONG_USE, NotebookError
from notebook.nouns import Transcript

from .sounds import RATE_HZ, demo_truth, make_workshop, need_ear, read_demo

pytestmark = pytest.mark.speech

PAWL = "Skidding winch. ratchet wheel, pawl's off, pawl."


def demo_remark(n: int) -> tuple[NDArray[np.float32], str]:
    """Give the levelled sound of a remark of the demonstration, 0.3 s before and after, and what was said."""
    said = demo_truth()[n - 1]
    first, last = (round(s * RATE_HZ) for s in (said["start_s"] - 0.3, said["end_s"] + 0.3))
    return level_sound(read_demo()[first:last]), str(said["text"])


def words_of(text: str) -> list[str]:
    return "".join(c if c.isalnum() else " " for c in text.lower().replace("'", "")).split()


@cache
def hear_remark(n: int, prompt: str = "") -> Transcript:
    return need_ear().hear(demo_remark(n)[0], prompt)


@pytest.fixture(name="ear")
def _ear() -> Ear:
    return need_ear()


def test_a_remark_of_the_demonstration_is_heard() -> None:
    heard, said = hear_remark(23), demo_remark(23)[1]
    assert len(set(words_of(said)) - set(words_of(heard.text))) <= 2, heard.text
    assert heard.text == heard.heard == heard.hypotheses[0]
    assert heard.doubt is None
    assert heard.model == "whisper-base"
    assert len(heard.model_sha256) == 64


def test_words_have_times_inside_the_remark_and_probabilities() -> None:
    heard, (sound, _) = hear_remark(23), demo_remark(23)
    assert words_of(" ".join(word.text for word in heard.words)) == words_of(heard.text)
    for word in heard.words:
        assert 0 <= word.start_s <= word.end_s <= len(sound) / RATE_HZ
        assert 0 <= word.probability <= 1
    assert all(a.start_s <= b.start_s for a, b in pairwise(heard.words))
    assert heard.words[-1].end_s > 2.0
    assert max(word.probability for word in heard.words) > 0.8


def test_the_prompt_stands_in_the_transcript_and_steers_the_words() -> None:
    heard = hear_remark(18, PAWL)
    assert (hear_remark(18).prompt, heard.prompt) == ("", PAWL)
    assert "pawl" in heard.text.lower()
    assert "pawl" not in hear_remark(18).text.lower()


def test_the_same_sound_gives_the_same_words(ear: Ear) -> None:
    assert ear.hear(demo_remark(18)[0], PAWL) == hear_remark(18, PAWL)


def test_a_longer_remark_than_30_s_is_refused(ear: Ear) -> None:
    with pytest.raises(NotebookError, match="too long") as told:
        ear.hear(np.zeros(30 * RATE_HZ + 1, np.float32))
    assert told.value.exit_status == WRONG_USE


def test_no_sound_gives_no_words(ear: Ear) -> None:
    heard = ear.hear(np.zeros(0, np.float32))
    assert heard.text == ""
    assert heard.words == ()


def test_noise_gives_no_words_and_says_why(ear: Ear) -> None:
    heard = ear.hear(level_sound(make_workshop(4.0)), "Skidding winch. pawl, brake band, pinion.")
    assert heard.text == ""
    assert heard.words == ()
    assert heard.heard
    assert heard.doubt


def test_a_remark_longer_than_the_short_window_is_heard_to_its_end(ear: Ear) -> None:
    sound = level_sound(read_demo()[round(46.8 * RATE_HZ) : round(63.2 * RATE_HZ)])
    heard = ear.hear(sound)
    assert {"dot", "intermediate", "backlash", "nothing", "again"} <= set(words_of(heard.text)), heard.text
    assert heard.words[-1].end_s > 14.5


def test_more_prompt_than_there_is_room_for_keeps_its_end(ear: Ear) -> None:
    sound, _ = demo_remark(18)
    long = "of nothing at all, " * 200 + PAWL
    assert "pawl" in ear.hear(sound, long).text.lower()


def test_marks_of_the_model_written_in_a_prompt_are_left_out(ear: Ear) -> None:
    for mark in ("<|endoftext|>", "<|startoftranscript|>", "<|notimestamps|>"):
        assert ear._encode_words(f"photo{mark}") == ear._encode_words("photo")


def test_tokens_are_counted_as_the_model_counts(ear: Ear) -> None:
    assert ear.count_tokens("") == ear.count_tokens(" \n") == 0
    assert ear.count_tokens("photo") == 1
    assert ear.count_tokens("photo " * 300) == 300


def test_a_text_that_goes_round_in_circles_is_heard_again_without_what_may_have_caused_it(
    ear: Ear, monkeypatch: pytest.MonkeyPatch
) -> None:
    sound, _ = demo_remark(33)
    plain = ear._listen(sound, "")
    asked: list[tuple[str, bool]] = []

    def listen(_sound: Any, prompt: str, *, slashes: bool = True) -> Any:
        asked.append((prompt, slashes))
        circling = replace(
            plain, hypotheses=("the drum " * 20,), no_speech=0.0, mean_log=-0.1, squeezed=CIRCLES + 3, prompt=prompt
        )
        return plain if prompt == "" else circling

    monkeypatch.setattr(ear, "_listen", listen)
    assert ear.hear(sound, "drum").text == plain.hypotheses[0]
    assert asked[0] == ("drum", True)
    assert asked[-1][0] == ""


def test_no_connection_is_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    folder = need_ear().folder

    def refuse(*_: Any, **__: Any) -> None:
        raise AssertionError("a connection was opened")

    for name in ("connect", "connect_ex", "sendto", "bind"):
        monkeypatch.setattr(socket.socket, name, refuse)
    for name in ("create_connection", "getaddrinfo", "gethostbyname"):
        monkeypatch.setattr(socket, name, refuse)
    ear = Ear(folder, threads=2)
    assert ear.hear(demo_remark(33)[0]).text


@pytest.mark.parametrize("spoilt", ["model.bin", "tokenizer.json"])
def test_a_folder_of_spoilt_files_is_told_in_one_line(tmp_path: Path, spoilt: str) -> None:
    need_ear()
    folder = find_model("whisper-base")
    brought = tmp_path / "brought"
    brought.mkdir()
    for path in folder.iterdir():
        if path.name == "model.bin" and spoilt != path.name:
            (brought / path.name).symlink_to(path)
        elif path.name != "checked.json":
            shutil.copy(path, brought / path.name)
    (brought / spoilt).write_bytes(b"{ spoilt")
    with pytest.raises(NotebookError, match="cannot be loaded") as told:
        Ear(brought, threads=1)
    assert str(told.value).isprintable()
