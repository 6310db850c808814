"""Originals are kept byte for byte, once, and never by halves."""

from __future__ import annotations

import errno
import hashlib
import os
import subprocess
import sys
import textwrap
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from notebook.errors import COULD_NOT, NotebookError
from notebook.photos.keep import keep_original, keep_thumbnail

from .pictures import SUFFIX_FORMATS, draw_noise, save_picture


def sha256_of(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.mark.parametrize("suffix", sorted(SUFFIX_FORMATS))
def test_an_original_is_kept_under_its_hash(tmp_path: Path, suffix: str) -> None:
    path = save_picture(tmp_path / f"a{suffix.upper()}")
    kept = keep_original(path, tmp_path / "job" / "photos", sha256_of(path))
    assert kept.name == sha256_of(path) + suffix
    assert kept.read_bytes() == path.read_bytes()
    assert list(kept.parent.iterdir()) == [kept]


def test_twins_are_kept_once_whatever_their_names(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg")
    twin = tmp_path / "-b 'x'\n.PNG"
    twin.write_bytes(path.read_bytes())
    kept = keep_original(path, tmp_path / "photos", sha256_of(path))
    before = kept.stat()
    assert keep_original(twin, tmp_path / "photos", sha256_of(twin)) == kept
    assert list(kept.parent.iterdir()) == [kept]
    assert (kept.stat().st_ino, kept.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_twins_at_the_same_time_are_kept_once(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg", draw_noise())
    with ThreadPoolExecutor(4) as workers:
        kept = set(workers.map(lambda _: keep_original(path, tmp_path / "photos", sha256_of(path)), range(12)))
    assert len(kept) == 1
    assert list((tmp_path / "photos").iterdir()) == sorted(kept)


def test_a_kept_file_that_has_rotted_is_put_right(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg")
    kept = keep_original(path, tmp_path / "photos", sha256_of(path))
    kept.write_bytes(b"rot")
    assert keep_original(path, tmp_path / "photos", sha256_of(path)).read_bytes() == path.read_bytes()


def test_a_picture_that_changed_is_not_kept(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg")
    sha256 = sha256_of(path)
    path.write_bytes(path.read_bytes() + b"more")
    with pytest.raises(NotebookError, match="changed"):
        keep_original(path, tmp_path / "photos", sha256)
    assert list((tmp_path / "photos").iterdir()) == []


def test_a_picture_that_is_gone_is_told(tmp_path: Path) -> None:
    with pytest.raises(NotebookError) as told:
        keep_original(tmp_path / "gone\n.jpg", tmp_path / "photos", "0" * 64)
    assert told.value.exit_status == COULD_NOT
    assert "\n" not in str(told.value)
    assert told.value.remedy


@pytest.mark.parametrize("call", ["os.fsync", "pathlib.Path.replace"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EIO])
def test_a_failing_disk_leaves_nothing_half(
    tmp_path: Path, call: str, number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = save_picture(tmp_path / "a.jpg")
    first = keep_original(
        save_picture(tmp_path / "b.jpg", draw_noise()), tmp_path / "photos", sha256_of(tmp_path / "b.jpg")
    )

    def fail(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    def keep_whole() -> Path:
        return keep_original(path, tmp_path / "photos", sha256_of(path))

    def keep_small() -> Path:
        return keep_thumbnail(b"small", tmp_path / "photos", sha256_of(path))

    monkeypatch.setattr(call, fail)
    for keep in (keep_whole, keep_small):
        with pytest.raises(NotebookError) as told:
            keep()
        assert ("disk is full" in told.value.message) == (number == errno.ENOSPC)
        assert "safe" in told.value.message
        assert list((tmp_path / "photos").iterdir()) == [first]


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of file size to set here")
def test_no_room_for_all_of_it_leaves_nothing_half(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg", draw_noise())
    program = textwrap.dedent("""
        import resource, sys
        from pathlib import Path
        from notebook.errors import NotebookError
        from notebook.photos.keep import keep_original
        resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, -1))
        try:
            keep_original(Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3])
        except NotebookError as told:
            print(told)
    """)
    done = subprocess.run(
        [sys.executable, "-c", program, str(path), str(tmp_path / "photos"), sha256_of(path)],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        check=False,
    )
    assert "disk is full" in done.stdout, done.stderr
    assert list((tmp_path / "photos").iterdir()) == []


def test_a_thumbnail_stands_beside_and_can_be_made_again(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg")
    kept = keep_original(path, tmp_path, sha256_of(path))
    for thumbnail in (b"first", b"second"):
        small = keep_thumbnail(thumbnail, tmp_path, sha256_of(path))
        assert small.read_bytes() == thumbnail
        assert small.parent == kept.parent
        assert small != kept
    assert keep_original(path, tmp_path, sha256_of(path)).read_bytes() == path.read_bytes()
