"""A sound file is heard remark by remark, in order; what is known is not heard again."""

from __future__ import annotations

from pathlib import Path
from typing import Any, cast

import numpy as np
import pytest
from numpy.typing import NDArray

from notebook.audio import hear
from notebook.audio.ear import Ear
from notebook.audio.hear import HeardRemark, Hearing, hear_sound, read_stretch
from notebook.errors import COULD_NOT, NOTHING_FOUND, NotebookError
from notebook.nouns import Transcript

from .sounds import RATE_HZ, demo_truth, make_noise, make_workshop, read_demo, write_sound, write_wav


class CountingEar:
    """An ear that answers with the number of the remark."""

    def __init__(self) -> None:
        self.heard: list[tuple[NDArray[np.float32], str]] = []

    def hear(self, samples: NDArray[np.float32], prompt: str = "", *, choose: Any = None) -> Transcript:  # noqa: ARG002
        self.heard.append((samples, prompt))
        text = f"remark {len(self.heard)}"
        return Transcript(heard=text, text=text, words=(), prompt=prompt, model="none", model_sha256="")


@pytest.fixture(scope="module", name="piece")
def _piece(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the first 22 s of the demonstration: three remarks."""
    return write_sound(tmp_path_factory.mktemp("piece") / "a.flac", read_demo()[: 22 * RATE_HZ], "flac")


@pytest.fixture(scope="module", name="plain")
def _plain(piece: Path) -> Plain:
    """Hear it once, with a prompt that says how many remarks came before."""
    ear = CountingEar()
    return (*hear_all(piece, ear, make_prompt=lambda: f"after {len(ear.heard)}"), ear)


Plain = tuple[list[HeardRemark], Hearing, CountingEar]


def hear_all(path: Path, ear: CountingEar, **named: Any) -> tuple[list[HeardRemark], Hearing]:
    with hear_sound(path, cast("Ear", ear), named.pop("make_prompt", lambda: ""), **named) as hearing:
        return list(hearing), hearing


def test_remarks_come_in_order_with_their_own_sound(plain: Plain) -> None:
    remarks, hearing, _ = plain
    assert [r.transcript.text for r in remarks if r.transcript] == [f"remark {n}" for n in (1, 2, 3)]
    for remark, said in zip(remarks, demo_truth(), strict=False):
        assert remark.start_s == pytest.approx(said["start_s"], abs=0.35)
        assert remark.end_s == pytest.approx(said["end_s"] + 0.3, abs=0.35)
        sound = read_demo()[remark.first_sample : remark.first_sample + remark.sample_count]
        assert np.array_equal(remark.samples, sound)
    assert hearing.sample_count == 22 * RATE_HZ
    assert (hearing.name, hearing.rate_hz, hearing.length_s) == ("a.flac", RATE_HZ, 22.0)
    assert not hearing.problems


def test_the_ear_is_given_levelled_sound(plain: Plain) -> None:
    for samples, _ in plain[2].heard:
        assert samples.dtype == np.float32
        assert 0.03 < float(np.sqrt(np.mean(samples**2))) < 0.2
        assert float(np.abs(samples).max()) < 1


def test_the_prompt_is_made_afresh_for_each_remark(plain: Plain) -> None:
    remarks, _, ear = plain
    assert [prompt for _, prompt in ear.heard] == ["after 0", "after 1", "after 2"]
    assert [r.transcript.prompt for r in remarks if r.transcript] == [prompt for _, prompt in ear.heard]


def test_what_is_known_is_given_and_not_heard_again(piece: Path, plain: Plain) -> None:
    everything = plain[0]
    known = {everything[0].first_sample, everything[2].first_sample}
    ear = CountingEar()
    again, _ = hear_all(piece, ear, is_known=lambda first: first in known)
    assert [r.first_sample for r in again] == [r.first_sample for r in everything]
    assert [r.transcript is None for r in again] == [True, False, True]
    assert len(ear.heard) == 1


def test_a_remark_is_heard_only_when_it_is_asked_for(piece: Path) -> None:
    ear = CountingEar()
    with hear_sound(piece, cast("Ear", ear), lambda: "") as hearing:
        remarks = iter(hearing)
        next(remarks)
        assert len(ear.heard) == 1


def test_the_same_sound_in_another_coding_has_its_remarks_in_the_same_places(tmp_path: Path, plain: Plain) -> None:
    coded, _ = hear_all(write_sound(tmp_path / "a.mp3", read_demo()[: 22 * RATE_HZ], "libmp3lame"), CountingEar())
    assert [r.start_s for r in coded] == pytest.approx([r.start_s for r in plain[0]], abs=0.2)


def test_a_file_cut_off_gives_its_remarks_and_a_problem(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", read_demo()[: 30 * RATE_HZ])
    path.write_bytes(path.read_bytes()[: 44 + 2 * 16 * RATE_HZ])
    remarks, hearing = hear_all(path, CountingEar())
    assert len(remarks) == 2
    assert hearing.sample_count == 16 * RATE_HZ
    (problem,) = hearing.problems
    assert problem.about == "a.wav"
    assert "16.0 s of 30.0 s" in problem.message
    assert problem.remedy


def test_a_workshop_where_nobody_speaks_gives_nothing_to_hear(tmp_path: Path) -> None:
    ear = CountingEar()
    remarks, _ = hear_all(write_wav(tmp_path / "a.wav", make_workshop(20)), ear)
    assert remarks == []
    assert ear.heard == []


def test_what_is_not_sound_is_told(tmp_path: Path) -> None:
    (tmp_path / "a.wav").write_text("no sound", "utf-8")
    with pytest.raises(NotebookError) as told:
        hear_all(tmp_path / "a.wav", CountingEar())
    assert told.value.exit_status == COULD_NOT


def test_no_more_than_the_last_remark_is_held(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    most = 0
    real = hear.KeptSound.add

    def add(kept: hear.KeptSound, block: NDArray[np.int16]) -> None:
        nonlocal most
        real(kept, block)
        most = max(most, sum(map(len, kept._blocks)))

    monkeypatch.setattr(hear.KeptSound, "add", add)
    silence = make_noise(30.0, level=0.001)
    sound = np.concatenate([silence, read_demo()[: 10 * RATE_HZ], silence])
    remarks, _ = hear_all(write_wav(tmp_path / "a.wav", sound), CountingEar())
    assert len(remarks) == 1
    assert most < 8 * RATE_HZ


# --- one stretch again ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("first", "count"), [(0, 8000), (7999, 2), (123_457, 33_333)])
def test_a_stretch_is_read_back_to_the_sample(tmp_path: Path, first: int, count: int) -> None:
    noise = make_noise(10.0)
    path = write_sound(tmp_path / "a.flac", noise, "flac")
    assert np.array_equal(read_stretch(path, first, count), noise[first : first + count])


def test_a_stretch_is_the_one_that_was_heard(piece: Path, plain: Plain) -> None:
    remark = plain[0][1]
    assert np.array_equal(read_stretch(piece, remark.first_sample, remark.sample_count), remark.samples)


def test_a_stretch_past_the_end_is_told(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(1.0))
    assert len(read_stretch(path, 8000, 16000)) == 8000
    with pytest.raises(NotebookError, match="ends before") as told:
        read_stretch(path, 20000, 100)
    assert told.value.exit_status == NOTHING_FOUND
    with pytest.raises(NotebookError):
        read_stretch(tmp_path / "gone.wav", 0, 10)
