"""Nothing finished is lost: killed at any moment, or with the disk full."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from tests.audio.sounds import read_demo
from tests.bench.conftest import Begin
from tests.bench.killing import kill_benches
from tests.bench.virtual import (
    RATE_HZ,
    BenchProgram,
    VirtualMicrophone,
    log_of,
    open_shop_with_job,
    write_wav,
)


def test_three_kills_lose_nothing_finished_and_at_most_half_a_second(
    sound_server: VirtualMicrophone, shop: Path, human: Path
) -> None:
    wavs = [human / "cards" / name for name in ("005.wav", "001.wav")]
    kills = kill_benches(sound_server, shop, wavs, 3, seed=4)
    assert kills.finished >= 1
    assert kills.lost == 0
    assert kills.most_lost_s <= 0.5


def test_half_a_remark_is_found_at_the_next_start_and_marked(
    begin: Begin, sound_server: VirtualMicrophone, shop: Path, tmp_path: Path
) -> None:
    talk = write_wav(tmp_path / "talk.wav", read_demo()[: 20 * RATE_HZ])
    bench = begin()
    playing = sound_server.start_playing(talk)
    bench.wait_for("FirstLineHeard")
    bench.kill()
    playing.kill()
    playing.wait()
    again = begin()
    left = again.wait_for("RemarkStored")
    assert left["was_left"]
    again.end()
    remarks = log_of(shop)["remarks"]
    assert remarks
    assert list(shop.glob("jobs/*/sound/live/*.raw")) == []


def _fill(filler: Path) -> None:
    """Fill the disk to the last page."""
    with suppress(OSError), filler.open("wb", buffering=0) as file:
        while file.write(bytes(4096)):
            pass


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Give a disk of a few megabytes, mounted for this test."""
    place = tmp_path / "disk"
    place.mkdir()
    if os.name == "nt" or os.geteuid() != 0:
        pytest.skip("mounting a small disk needs root")
    done = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=6m", "tmpfs", str(place)], capture_output=True, check=False
    )
    if done.returncode:
        pytest.skip("no small disk can be mounted here")
    yield place
    subprocess.run(["umount", "-l", str(place)], check=False)


@pytest.mark.usefixtures("ears")
def test_a_full_disk_is_said_and_what_was_said_meanwhile_is_stored_once_there_is_room(
    small_disk: Path, sound_server: VirtualMicrophone, human: Path
) -> None:
    shop = small_disk / "shop"
    open_shop_with_job(shop)
    bench = BenchProgram(sound_server, shop, "7", "--quiet")
    try:
        bench.wait_until_listening()
        filler = small_disk / "filler"
        _fill(filler)
        told = bench.wait_for("Trouble", lambda m: m["about"] == "disk" and m["says"] != "")
        assert told["remedy"]
        sound_server.play(human / "cards" / "005.wav")
        at = len(bench.messages)
        filler.unlink()
        bench.wait_for("RemarkStored")
        bench.wait_for("Trouble", lambda m: m["about"] == "disk" and m["says"] == "", after=at)
        assert bench.end() == 0
        (remark,) = log_of(shop)["remarks"]
        assert "spades" in remark["text"].lower()
    finally:
        if bench._program.poll() is None:
            bench.kill()
