"""Raw sound stays on disk through kills, a full disk and a half-written last line."""

from __future__ import annotations

import errno
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from notebook.audio.raw import RawFile, RawPlace, beside_of, find_left_sound
from notebook.audio.raw_keeper import RawKeeper

PLACE = RawPlace(
    listening="abc", job_id="job", sitting_id="sitting", person="Maren", anchor=datetime(2026, 3, 4, 9, tzinfo=UTC), first_sample=0
)  # fmt: skip
BLOCK = np.arange(512, dtype=np.int16)


@pytest.fixture
def start(tmp_path: Path) -> Iterator[Callable[[], RawFile]]:
    """Give a maker of raw files that are let go of after the test, as a kill lets go of them."""
    made: list[RawFile] = []

    def make() -> RawFile:
        made.append(RawFile.start(tmp_path, PLACE))
        return made[-1]

    yield make
    for raw in made:
        raw.close(remove=False)


@pytest.fixture
def keeper(tmp_path: Path) -> Iterator[RawKeeper]:
    keeper = RawKeeper(tmp_path, PLACE)
    yield keeper
    keeper.leave()


def test_what_was_written_is_found_again_sample_for_sample(tmp_path: Path, start: Callable[[], RawFile]) -> None:
    raw = start()
    for _ in range(20):
        raw.write(BLOCK)
    raw.note_ended(512, 1024)
    (left,) = find_left_sound(tmp_path)
    assert left.place == PLACE
    assert left.waiting == ((512, 1024),)
    assert left.heard_to == 1536
    assert np.array_equal(left.read(512, 1024), np.tile(BLOCK, 2))
    assert np.array_equal(left.read(0), np.tile(BLOCK, 20))


def test_a_remark_that_is_done_waits_no_more_and_half_a_line_is_no_line(
    tmp_path: Path, start: Callable[[], RawFile]
) -> None:
    raw = start()
    raw.write(BLOCK)
    raw.note_ended(0, 100)
    raw.note_ended(200, 100)
    raw.note_done(0)
    with beside_of(raw.path).open("ab") as beside:
        beside.write(b'{"done": 2')
    (left,) = find_left_sound(tmp_path)
    assert left.waiting == ((200, 100),)


def test_half_a_sample_at_the_end_is_left_out(tmp_path: Path, start: Callable[[], RawFile]) -> None:
    raw = start()
    raw.write(BLOCK)
    with raw.path.open("ab") as file:
        file.write(b"\x01")
    (left,) = find_left_sound(tmp_path)
    assert np.array_equal(left.read(0), BLOCK)


def test_what_is_erased_is_silence_on_the_disk(tmp_path: Path, keeper: RawKeeper) -> None:
    for _ in range(4):
        keeper.add(BLOCK)
    keeper.note_ended(512, 512)
    keeper.erase(512, 512)
    (left,) = find_left_sound(tmp_path)
    assert left.waiting == ()
    assert not left.read(512, 512).any()
    assert np.array_equal(left.read(0, 512), BLOCK)


def test_a_file_goes_once_everything_in_it_is_done(tmp_path: Path, keeper: RawKeeper) -> None:
    keeper.add(BLOCK)
    keeper.note_ended(0, 400)
    keeper.roll(512, BLOCK[:100])
    assert len(list(tmp_path.glob("*.raw"))) == 2
    keeper.note_done(0)
    (left,) = find_left_sound(tmp_path)
    assert left.place.first_sample == 512
    keeper.close()
    assert list(tmp_path.iterdir()) == []
    assert keeper.is_finished


def test_a_full_disk_loses_nothing_once_there_is_room(
    tmp_path: Path, keeper: RawKeeper, monkeypatch: pytest.MonkeyPatch
) -> None:
    keeper.add(BLOCK)
    real = RawFile.write

    def full(_raw: RawFile, _block: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(RawFile, "write", full)
    keeper.add(BLOCK[::-1])
    keeper.note_ended(0, 700)
    assert getattr(keeper.trouble, "errno", None) == errno.ENOSPC
    monkeypatch.setattr(RawFile, "write", real)
    keeper.add(BLOCK)
    assert keeper.trouble is None
    (left,) = find_left_sound(tmp_path)
    assert np.array_equal(left.read(0), np.concatenate([BLOCK, BLOCK[::-1], BLOCK]))
    assert left.waiting == ((0, 700),)
