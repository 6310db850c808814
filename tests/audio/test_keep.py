"""Sound is kept bit for bit, once, and never by halves."""

from __future__ import annotations

import errno
import hashlib
import os
import subprocess
import sys
import textwrap
import time
from collections.abc import Callable
from pathlib import Path

import av
import numpy as np
import pytest

from notebook.audio.decode import open_sound
from notebook.audio.keep import keep_original_sound, write_flac
from notebook.errors import COULD_NOT, NotebookError

from .sounds import RATE_HZ, Sound, make_noise, make_tone, write_sound, write_wav


def sha256_of(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


def read_flac(path: Path) -> Sound:
    """Read FLAC with PyAV alone, and see that it says what it is."""
    with av.open(str(path)) as box:
        stream = box.streams.audio[0]
        assert (stream.codec_context.name, stream.rate, stream.channels) == ("flac", RATE_HZ, 1)
        assert stream.codec_context.format.name == "s16"
        frames = [frame.to_ndarray()[0] for frame in box.decode(stream)]
    return np.concatenate(frames) if frames else np.zeros(0, np.int16)


@pytest.mark.parametrize("samples", [1, 4095, 4096, 4097, 12345, 3 * RATE_HZ])
def test_flac_gives_back_every_bit(tmp_path: Path, samples: int) -> None:
    numbers = np.random.default_rng(samples)
    sound = numbers.integers(-32768, 32768, samples).astype(np.int16)
    sound[0] = -32768
    write_flac(tmp_path / "new" / "a.flac", sound)
    assert np.array_equal(read_flac(tmp_path / "new" / "a.flac"), sound)
    assert [path.name for path in (tmp_path / "new").iterdir()] == ["a.flac"]


def test_a_view_with_steps_is_written_as_it_reads(tmp_path: Path) -> None:
    sound = make_noise(1.0)[::-2]
    write_flac(tmp_path / "a.flac", sound)
    assert np.array_equal(read_flac(tmp_path / "a.flac"), sound)


def test_flac_knows_its_own_length(tmp_path: Path) -> None:
    write_flac(tmp_path / "a.flac", make_tone(2.5))
    with open_sound(tmp_path / "a.flac") as sound:
        assert sound.length_s == pytest.approx(2.5)
        assert sum(map(len, sound.blocks())) == 2.5 * RATE_HZ
        assert not sound.problems


def test_flac_written_again_replaces_the_one_before(tmp_path: Path) -> None:
    for tone_hz in (440, 700):
        write_flac(tmp_path / "a.flac", make_tone(0.5, tone_hz))
    assert np.array_equal(read_flac(tmp_path / "a.flac"), make_tone(0.5, 700))
    assert [path.name for path in tmp_path.iterdir()] == ["a.flac"]


def test_an_original_is_kept_byte_for_byte_under_its_hash(tmp_path: Path) -> None:
    path = write_sound(tmp_path / "A tape.OGG", make_noise(2.0), "libopus")
    kept = keep_original_sound(path, tmp_path / "job" / "sound", sha256_of(path))
    assert kept.name == f"{sha256_of(path)}.ogg"
    assert kept.read_bytes() == path.read_bytes()
    assert list(kept.parent.iterdir()) == [kept]


def test_twins_are_kept_once_whatever_their_names(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(0.5))
    kept = keep_original_sound(path, tmp_path / "sound", sha256_of(path))
    before = kept.stat()
    for name in ("-b 'x'\n.WAV", "c.mp3", "no suffix", "d.wav;rm"):
        twin = tmp_path / name
        twin.write_bytes(path.read_bytes())
        assert keep_original_sound(twin, tmp_path / "sound", sha256_of(twin)) == kept
    assert list(kept.parent.iterdir()) == [kept]
    assert (kept.stat().st_ino, kept.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_a_suffix_that_could_do_harm_is_left_out(tmp_path: Path) -> None:
    path = tmp_path / "a.w v$(x)"
    path.write_bytes(write_wav(tmp_path / "a.wav", make_noise(0.1)).read_bytes())
    assert keep_original_sound(path, tmp_path / "sound", sha256_of(path)).name == sha256_of(path)


def test_a_kept_file_that_has_rotted_is_put_right(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(0.5))
    kept = keep_original_sound(path, tmp_path / "sound", sha256_of(path))
    kept.write_bytes(kept.read_bytes()[:-1] + b"x")
    assert keep_original_sound(path, tmp_path / "sound", sha256_of(path)) == kept
    assert kept.read_bytes() == path.read_bytes()


def test_a_file_that_changed_meanwhile_is_not_kept(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(0.5))
    sha256 = sha256_of(path)
    path.write_bytes(path.read_bytes() + b"more")
    with pytest.raises(NotebookError, match="changed"):
        keep_original_sound(path, tmp_path / "sound", sha256)
    assert list((tmp_path / "sound").iterdir()) == []


def test_a_file_that_is_gone_is_told(tmp_path: Path) -> None:
    with pytest.raises(NotebookError) as told:
        keep_original_sound(tmp_path / "gone\n.wav", tmp_path / "sound", "0" * 64)
    assert told.value.exit_status == COULD_NOT
    assert "\n" not in str(told.value)
    assert "safe" in told.value.message
    assert told.value.remedy


def keep_first(folder: Path, path: Path) -> None:
    keep_original_sound(path, folder, sha256_of(path))


def keep_flac(folder: Path, _path: Path) -> None:
    write_flac(folder / "a.flac", make_noise(1.0))


@pytest.mark.parametrize("keep", [keep_first, keep_flac])
@pytest.mark.parametrize("call", ["os.fsync", "pathlib.Path.replace"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EDQUOT, errno.EIO])
def test_a_failing_disk_leaves_nothing_half(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, keep: Callable[[Path, Path], None], call: str, number: int
) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(0.5))

    def fail(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(call, fail)
    with pytest.raises(NotebookError) as told:
        keep(tmp_path / "sound", path)
    assert ("disk is full" in told.value.message) == (number != errno.EIO)
    assert "safe" in told.value.message
    assert list((tmp_path / "sound").iterdir()) == []


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of file size to set here")
@pytest.mark.parametrize("what", ["original", "flac"])
def test_a_disk_that_fills_on_the_way_leaves_nothing_half(tmp_path: Path, what: str) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(3.0))
    program = """
        import resource, sys
        from pathlib import Path
        import numpy as np
        from notebook.audio.keep import keep_original_sound, write_flac
        from notebook.errors import NotebookError
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, -1))
        try:
            if sys.argv[4] == "original":
                keep_original_sound(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3])
            else:
                sound = np.random.default_rng(1).integers(-32768, 32768, 48000).astype(np.int16)
                write_flac(Path(sys.argv[2]) / "a.flac", sound)
        except NotebookError as told:
            print(told)
    """
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(program), str(path), str(tmp_path / "sound"), sha256_of(path), what],
        capture_output=True, text=True, env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}, check=False,
    )  # fmt: skip
    assert "disk is full" in done.stdout, done.stderr
    assert list((tmp_path / "sound").iterdir()) == []


def test_a_place_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    (tmp_path / "folder.flac").mkdir()
    for place in (tmp_path / "file" / "a.flac", tmp_path / "folder.flac"):
        with pytest.raises(NotebookError, match="could not be kept"):
            write_flac(place, make_tone(0.1))
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "folder.flac"]


def test_what_a_killed_run_left_is_cleared_a_day_later_and_nothing_of_others(tmp_path: Path) -> None:
    write_flac(tmp_path / "a.flac", make_tone(0.1))
    for name, age_s in ((".teardown-0.part", 25 * 3600), (".teardown-1.part", 60), (".other.part", 99 * 3600)):
        (tmp_path / name).write_bytes(b"half")
        os.utime(tmp_path / name, (time.time() - age_s,) * 2)
    write_flac(tmp_path / "b.flac", make_tone(0.1))
    assert sorted(path.name for path in tmp_path.iterdir()) == [".other.part", ".teardown-1.part", "a.flac", "b.flac"]
