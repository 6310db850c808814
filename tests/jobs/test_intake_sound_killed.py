"""Killed while it takes in a recording and run again, the archive ends as if it had never stopped, nothing doubled."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from notebook.audio.keep import STALE_AFTER_S
from tests.jobs.bench import copy_shop, open_bench, rows_of
from tests.jobs.test_intake_sound import TruthEar, first_minute, take

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL is not there")

TAKE_AND_DIE = """
import os, signal, sys
from pathlib import Path
from tests.jobs.bench import open_bench
from tests.jobs.test_intake_sound import take

folder, sound, when, left = Path(sys.argv[1]), Path(sys.argv[2]), sys.argv[3], int(sys.argv[4])

def count_down(*_):
    global left
    left -= 1
    if left == 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return 0

with open_bench(folder) as bench:
    bench.archive.db.conn.create_function("count_down", 0, count_down)
    if when == "copying":
        os.fsync = count_down
    else:
        bench.archive.db.execute(f"CREATE TEMP TRIGGER die AFTER {when} BEGIN SELECT count_down(); END")
    take(bench, sound)
"""
"""Takes a sound file in and is killed the n-th time that something is done; each with the remarks that are stored then."""

MOMENTS = [
    ("copying", 1, 0),
    ("INSERT ON main.word", 30, 2),
    ("DELETE ON main.entry", 1, 8),
]
"""The last is within the reading of the whole job, after all was heard."""


@pytest.fixture(scope="module", name="uninterrupted")
def _uninterrupted(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, list[str]]:
    """Give a shop with an open job, a sound file, and the rows once it was taken in without a stop."""
    folder = tmp_path_factory.mktemp("uninterrupted")
    with open_bench(folder):
        pass
    fresh = copy_shop(folder / "shop", folder / "fresh")
    sound = first_minute(folder)
    with open_bench(folder) as bench:
        take(bench, sound)
    return fresh, sound, rows_of(folder / "shop")


@pytest.mark.parametrize(("when", "count", "stored"), MOMENTS)
def test_killed_and_run_again_is_as_if_never_stopped(
    tmp_path: Path, uninterrupted: tuple[Path, Path, list[str]], when: str, count: int, stored: int
) -> None:
    fresh, sound, rows = uninterrupted
    copy_shop(fresh, tmp_path / "shop")
    killed = subprocess.run(
        [sys.executable, "-c", TAKE_AND_DIE, str(tmp_path), str(sound), when, str(count)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(p for p in sys.path if p)}, capture_output=True, check=False,
    )  # fmt: skip
    assert killed.returncode == -signal.SIGKILL, killed.stderr.decode()
    ear = TruthEar()
    with open_bench(tmp_path) as bench:
        assert len(bench.log().remarks) == stored
        kept = bench.shop.job_folder(bench.job.id) / "sound"
        assert [p.suffix for p in kept.iterdir()] == [".part" if when == "copying" else ".flac"]
        for left in kept.glob(".*.part"):
            long_ago_s = left.stat().st_mtime - STALE_AFTER_S - 60
            os.utime(left, (long_ago_s, long_ago_s))
        intake = take(bench, sound, ear=ear)
        assert len(ear.heard) == intake.remarks == 8 - stored
        (original,) = kept.iterdir()
        assert original.read_bytes() == sound.read_bytes()
    assert rows_of(tmp_path / "shop") == rows
