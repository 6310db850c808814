"""Sound is taken in remark by remark; stopped, run again or run twice, the archive ends the same."""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any, NoReturn, cast

import numpy as np
import pytest
from numpy.typing import NDArray

from notebook.archive.store import Archive
from notebook.audio.ear import Ear
from notebook.audio.hear import cut_stretches, read_stretch
from notebook.audio.level import level_sound
from notebook.errors import NotebookError
from notebook.jobs.intake import Intake, no_progress, take_in
from notebook.nouns import Transcript, Word
from tests.audio.sounds import (
    RATE_HZ,
    demo_truth,
    make_workshop,
    need_ear,
    read_demo,
    write_sound,
    write_wav,
)
from tests.jobs.bench import Bench, copy_shop, open_bench, rows_of

BEGAN = datetime(2026, 3, 4, 9, 12, tzinfo=UTC)
PIECE_S = 58
"""The first eight remarks of the demonstration."""


def first_minute(folder: Path, name: str = "winch.flac") -> Path:
    tags = {"creation_time": "2026-03-04T09:12:00Z"}
    return write_sound(folder / name, read_demo()[: PIECE_S * RATE_HZ], "flac", tags=tags)


@cache
def said_in_sound() -> dict[bytes, str]:
    """Give what was said in each stretch of the first minute, by its levelled sound."""
    stretches = cut_stretches(iter([read_demo()[: PIECE_S * RATE_HZ]]))
    return {level_sound(s).tobytes(): str(t["text"]) for (_, s), t in zip(stretches, demo_truth(), strict=False)}


class TruthEar:
    """An ear that hears the first minute of the demonstration without a fault, and nothing else."""

    def __init__(self, deaf_to: str = "words never said") -> None:
        self.heard: list[str] = []
        self._deaf_to = deaf_to

    def hear(self, samples: NDArray[np.float32], prompt: str = "", *, choose: Any = None) -> Transcript:  # noqa: ARG002
        heard = said_in_sound()[samples.tobytes()]
        self.heard.append(heard)
        made_up = self._deaf_to in heard
        words = tuple(
            Word(text=w, start_s=0.1 * n, end_s=0.1 * n + 0.1, probability=0.9) for n, w in enumerate(heard.split())
        )
        return Transcript(
            heard=heard, text="" if made_up else heard, words=() if made_up else words, prompt=prompt, hypotheses=(heard,),
            model="truth", model_sha256="0" * 64, doubt="made up" if made_up else None,
        )  # fmt: skip

    @staticmethod
    def count_tokens(text: str) -> int:
        return len(text.split())


def take(
    bench: Bench, *paths: Path, ear: TruthEar | Ear | None = None, progress: Callable[[str, float, float], None] = no_progress,
    started: datetime | None = None,
) -> Intake:  # fmt: skip
    given = ear if ear is not None else TruthEar()
    return take_in(
        bench.archive,
        bench.shop,
        bench.job,
        paths,
        ear=lambda: cast("Ear", given),
        progress=progress,
        started=started,
        person="Maren",
    )


def never() -> NoReturn:
    raise AssertionError("the ear was asked for")


# --- the demonstration, heard for real -----------------------------------------------------------------


@pytest.mark.speech
def test_the_first_minute_is_heard_stored_and_linked_to_its_sound(tmp_path: Path) -> None:
    ear = need_ear()
    path = first_minute(tmp_path)
    with open_bench(tmp_path, machine="forestry skidding winch") as bench:
        intake = take(bench, path, ear=ear)
        log = bench.log()
        rows = rows_of(bench.shop.folder)
        again = take_in(bench.archive, bench.shop, bench.job, [path], ear=never)
        assert rows_of(bench.shop.folder) == rows
        prompts = [row["prompt"] for row in bench.archive.db.query("SELECT prompt FROM transcript")]
        paths = [bench.shop.folder / (bench.archive.sound_path(r.id) or "") for r in log.remarks]
    assert (intake.remarks, intake.known_remarks, intake.problems) == (8, 0, [])
    assert (again.remarks, again.known_remarks) == (0, 8)
    assert [r.order for r in log.remarks] == list(range(1, 9))
    for remark, said in zip(log.remarks, demo_truth(), strict=False):
        assert remark.at is not None
        assert (remark.at - BEGAN).total_seconds() == pytest.approx(said["start_s"], abs=0.35)
        assert remark.seconds == pytest.approx(said["end_s"] - said["start_s"] + 0.6, abs=0.4)
        assert remark.text
        assert remark.words
        assert remark.doubt is None
    assert "backlash" in log.remarks[7].tidied.lower()
    assert len(prompts) == 8
    assert all("winch" in prompt for prompt in prompts)
    (kept,) = set(paths)
    assert kept.read_bytes() == path.read_bytes()
    (recording,) = log.recordings
    assert recording.sample_count == PIECE_S * RATE_HZ
    assert recording.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    first, count = log.remarks[2].first_sample, log.remarks[2].sample_count
    assert first is not None
    assert count is not None
    assert np.array_equal(read_stretch(kept, first, count), read_demo()[first : first + count])


# --- stopped, and run again ----------------------------------------------------------------------------


def shops_alike(tmp_path: Path) -> tuple[Path, Path]:
    """Make two shops with the same open job."""
    for name in ("one go", "stopped"):
        (tmp_path / name).mkdir()
    with open_bench(tmp_path / "one go"):
        pass
    copy_shop(tmp_path / "one go" / "shop", tmp_path / "stopped" / "shop")
    return tmp_path / "one go", tmp_path / "stopped"


def stop_at(remark: int, why: BaseException) -> Callable[[str, float, float], None]:
    seen: list[str] = []

    def progress(what: str, _done: float, _of: float) -> None:
        seen.append(what)
        if what.startswith("hearing") and len(seen) == remark:
            raise why

    return progress


@pytest.mark.parametrize("why", [KeyboardInterrupt(), OSError(errno.EIO, "the card was pulled")])
def test_stopped_after_two_remarks_and_run_again_gives_the_same_as_in_one_go(
    tmp_path: Path, why: BaseException
) -> None:
    whole, stopped = shops_alike(tmp_path)
    path = first_minute(tmp_path)
    with open_bench(whole) as bench:
        take(bench, path)
    ear = TruthEar()
    with open_bench(stopped) as bench:
        with pytest.raises(type(why)):
            take(bench, path, progress=stop_at(3, why))
        assert len(bench.log().remarks) == 2
        intake = take(bench, path, ear=ear)
        assert (intake.remarks, intake.known_remarks) == (6, 2)
        assert len(ear.heard) == 6
        texts = [r.text for r in bench.log().remarks]
    assert texts == [said["text"] for said in demo_truth()[:8]]
    assert rows_of(stopped / "shop") == rows_of(whole / "shop")  # the prompts the ear was given too


def test_stopped_after_the_last_remark_the_parts_are_gathered_by_the_next_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole, stopped = shops_alike(tmp_path)
    path = first_minute(tmp_path)
    with open_bench(whole) as bench:
        take(bench, path)

    def pulled(*_: object) -> None:
        raise KeyboardInterrupt

    with open_bench(stopped) as bench:
        with monkeypatch.context() as patched:
            patched.setattr(Archive, "finish_recording", pulled)
            with pytest.raises(KeyboardInterrupt):
                take(bench, path)
        take(bench, path)
    assert rows_of(stopped / "shop") == rows_of(whole / "shop")


def test_taken_in_twice_in_one_go_it_is_stored_once(tmp_path: Path) -> None:
    path = first_minute(tmp_path)
    twin = tmp_path / "the same again.flac"
    twin.write_bytes(path.read_bytes())
    with open_bench(tmp_path) as bench:
        intake = take(bench, path, twin)
        assert (intake.remarks, intake.known_remarks) == (8, 8)
        assert len(bench.log().recordings) == 1
        assert len(list((bench.shop.job_folder(bench.job.id) / "sound").iterdir())) == 1


def test_the_same_recording_may_belong_to_two_jobs(tmp_path: Path) -> None:
    path = first_minute(tmp_path)
    for number in ("2041", "2042"):
        with open_bench(tmp_path, number=number) as bench:
            assert take(bench, path).remarks == 8
            assert len(bench.log().remarks) == 8


# --- when it was said ----------------------------------------------------------------------------------


def test_the_start_that_was_said_goes_before_the_one_in_the_file(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        intake = take(bench, first_minute(tmp_path), started=BEGAN + timedelta(hours=3))
        first = bench.log().remarks[0]
    assert first.at is not None
    assert (first.at - BEGAN - timedelta(hours=3)).total_seconds() == pytest.approx(2.0, abs=0.35)
    assert "said when it was taken in" in intake.started_how[0]


def test_a_start_once_stored_stays_when_the_file_is_touched(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "winch.wav", read_demo()[: PIECE_S * RATE_HZ])
    os.utime(path, (BEGAN.timestamp() + PIECE_S,) * 2)
    with open_bench(tmp_path) as bench:
        with pytest.raises(KeyboardInterrupt):
            take(bench, path, progress=stop_at(3, KeyboardInterrupt()))
        os.utime(path, (BEGAN.timestamp() + 90_000,) * 2)
        take(bench, path)
        for remark, said in zip(bench.log().remarks, demo_truth(), strict=False):
            assert remark.at is not None
            assert (remark.at - BEGAN).total_seconds() == pytest.approx(said["start_s"], abs=0.35)


# --- what is not stored, and what is told --------------------------------------------------------------


def test_a_workshop_where_nobody_speaks_stores_no_remark(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "noise.wav", make_workshop(30))
    ear = TruthEar()
    with open_bench(tmp_path) as bench:
        intake = take(bench, path, ear=ear)
        assert bench.log().remarks == ()
        assert (intake.remarks, intake.problems, ear.heard) == (0, [], [])
        assert take_in(bench.archive, bench.shop, bench.job, [path], ear=never).remarks == 0


@pytest.mark.speech
def test_noise_that_passes_for_a_voice_stores_no_remark(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    ear = need_ear()
    # Whatever the voice filter says: every stretch of noise goes to the ear.
    monkeypatch.setattr("notebook.audio.voice.ON", 0.0)
    monkeypatch.setattr("notebook.audio.voice.OFF", 0.0)
    with open_bench(tmp_path) as bench:
        intake = take(bench, write_wav(tmp_path / "noise.wav", make_workshop(20)), ear=ear)
        assert (intake.remarks, intake.dropped) == (0, 1)
        assert bench.log().remarks == ()


def test_words_that_were_made_up_are_dropped_and_counted(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        intake = take(bench, first_minute(tmp_path), ear=TruthEar(deaf_to="Guard bolts"))
        assert (intake.remarks, intake.dropped) == (7, 1)
        assert not [r for r in bench.log().remarks if "Guard bolts" in r.text]


def test_in_a_folder_the_good_sound_is_taken_and_the_bad_are_told(tmp_path: Path) -> None:
    folder = tmp_path / "card"
    folder.mkdir()
    first_minute(folder)
    (folder / "empty.wav").touch()
    (folder / "text.mp3").write_text("Pinion's out.\n" * 50, "utf-8")
    with open_bench(tmp_path) as bench:
        intake = take(bench, folder)
        assert len(bench.log().remarks) == 8
        kept = [p.suffix for p in (bench.shop.job_folder(bench.job.id) / "sound").iterdir()]
    assert intake.remarks == 8
    assert kept == [".flac"]
    assert sorted(problem.about for problem in intake.problems) == ["empty.wav", "text.mp3"]
    for problem in intake.problems:
        assert problem.message
        assert problem.remedy
        assert str(problem).isprintable()


def test_a_recording_cut_off_gives_its_remarks_and_a_problem(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "winch.wav", read_demo()[: PIECE_S * RATE_HZ])
    path.write_bytes(path.read_bytes()[: 44 + 2 * 31 * RATE_HZ])
    with open_bench(tmp_path) as bench:
        intake = take(bench, path)
        assert [r.text for r in bench.log().remarks] == [said["text"] for said in demo_truth()[:4]]
    (problem,) = intake.problems
    assert "31.0 s of 58.0 s" in problem.message


def test_a_full_disk_stops_the_run_and_stores_nothing_by_halves(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    with open_bench(tmp_path) as bench:
        first_minute(tmp_path)
        with monkeypatch.context() as patched:
            patched.setattr("os.fsync", full)
            with pytest.raises(NotebookError, match="disk is full"):
                take(bench, tmp_path / "winch.flac")
        assert list((bench.shop.job_folder(bench.job.id) / "sound").iterdir()) == []
        assert bench.log().remarks == ()
        assert take(bench, tmp_path / "winch.flac").remarks == 8


def test_without_a_model_the_sound_is_told_and_the_words_are_taken(tmp_path: Path) -> None:
    (tmp_path / "said.txt").write_text("Pinion's out.\n", "utf-8")
    with open_bench(tmp_path) as bench:
        intake = take_in(bench.archive, bench.shop, bench.job, [first_minute(tmp_path), tmp_path / "said.txt"])
        assert intake.remarks == 1
    (problem,) = intake.problems
    assert "no speech model" in problem.message
    assert "--get-models" in problem.remedy


def test_progress_is_told_to_the_end(tmp_path: Path) -> None:
    told: list[tuple[str, float, float]] = []
    with open_bench(tmp_path) as bench:
        take(bench, first_minute(tmp_path), progress=lambda *what: told.append(what))
    hearing = [(done, of) for what, done, of in told if what == "hearing winch.flac"]
    assert len(hearing) == 8
    assert [done for done, _ in hearing] == sorted(done for done, _ in hearing)
    assert {of for _, of in hearing} == {float(PIECE_S)}
