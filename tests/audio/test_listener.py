"""The listener cuts what it hears as a file would be cut, keeps it, and goes on when the microphone goes."""

from __future__ import annotations

import queue
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from notebook.audio.hear import cut_stretches
from notebook.audio.listener import (
    Listener,
    MicrophoneLost,
    MicrophoneOpened,
    RemarkEnded,
    RemarkPaused,
    VoiceBegan,
)
from notebook.audio.raw import find_left_sound
from notebook.errors import NotebookError
from tests.audio.sounds import RATE_HZ, Sound, make_workshop, read_demo
from tests.audio.sources import PlayedSource

WAIT_S = 30.0


class Told:
    """What a listener told, in order."""

    def __init__(self) -> None:
        self._events: queue.Queue[Any] = queue.Queue()
        self.all: list[Any] = []

    def __call__(self, event: Any) -> None:
        self._events.put(event)

    def wait_for(self, kind: type, wanted: Callable[[Any], bool] = lambda _e: True) -> Any:
        while True:
            event = self._events.get(timeout=WAIT_S)
            self.all.append(event)
            if type(event) is kind and wanted(event):
                return event


def listen(folder: Path, told: Told, *sources: Any, **more: Any) -> Listener:
    """Start a listener that opens the sources one after the other; an error among them is raised."""
    left = list(sources)

    def open_source() -> Any:
        source = left.pop(0) if len(left) > 1 else left[0]
        if isinstance(source, NotebookError):
            raise source
        return source

    listener = Listener(
        open_source=open_source, folder=folder, job_id="job", sitting_id="sitting", person=None, tell=told, **more
    )
    listener.start()
    return listener


@pytest.fixture(scope="module")
def talk() -> Sound:
    return read_demo()[: 40 * RATE_HZ]


def test_remarks_heard_live_are_cut_as_those_of_a_file(tmp_path: Path, talk: Sound) -> None:
    told = Told()
    padded = np.concatenate([talk, np.zeros(2 * RATE_HZ, np.int16)])
    in_file = list(cut_stretches(iter([padded])))
    source = PlayedSource(talk)
    listener = listen(tmp_path, told, source)
    heard = [told.wait_for(RemarkEnded) for _ in in_file]
    listener.stop()
    listener.join(WAIT_S)
    assert [(r.stretch.first_sample, r.stretch.samples) for r in heard] == [(first, len(s)) for first, s in in_file]
    for remark, (_, samples) in zip(heard, in_file, strict=True):
        assert np.array_equal(remark.samples, samples)
    assert len(in_file) >= 3


def test_a_pause_tells_the_very_stretch_that_ends_when_nothing_follows(tmp_path: Path, talk: Sound) -> None:
    told = Told()
    listener = listen(tmp_path, told, PlayedSource(talk[: 12 * RATE_HZ]))
    ended = told.wait_for(RemarkEnded)
    listener.stop()
    listener.join(WAIT_S)
    paused = [e for e in told.all if isinstance(e, RemarkPaused)]
    assert paused[-1].stretch == ended.stretch
    assert np.array_equal(paused[-1].samples, ended.samples)
    assert paused[-1].key == ended.key


def test_a_remark_that_is_not_done_stays_on_disk_and_one_that_is_leaves_nothing(tmp_path: Path, talk: Sound) -> None:
    told = Told()
    listener = listen(tmp_path, told, PlayedSource(talk[: 12 * RATE_HZ]))
    ended = told.wait_for(RemarkEnded)
    (left,) = find_left_sound(tmp_path)
    assert (ended.stretch.first_sample, ended.stretch.samples) in left.waiting
    assert np.array_equal(left.read(ended.stretch.first_sample, ended.stretch.samples), ended.samples)
    listener.note_done(ended.listening, ended.stretch.first_sample)
    listener.stop()
    listener.join(WAIT_S)
    listener.finish_asked()
    more = [e for e in told.all if isinstance(e, RemarkEnded)][1:]
    assert len(list(tmp_path.glob("*.raw"))) == (1 if more else 0)


def test_asleep_nothing_is_written_to_the_disk(tmp_path: Path, talk: Sound) -> None:
    told = Told()
    source = PlayedSource(np.concatenate([np.zeros(RATE_HZ, np.int16), talk[: 12 * RATE_HZ]]))
    listener = listen(tmp_path / "live", told, source)
    listener.sleep(True)
    ended = told.wait_for(RemarkEnded, lambda e: not e.is_kept)
    assert len(ended.samples)
    assert list((tmp_path / "live").glob("*.raw")) == []
    listener.stop()
    listener.join(WAIT_S)


def test_a_pulled_microphone_is_told_and_listening_goes_on_by_itself(tmp_path: Path, talk: Sound) -> None:
    told = Told()
    gone = NotebookError("There is no microphone.", "Plug one in.")
    pulled, back = PlayedSource(talk[: 3 * RATE_HZ], ends="nothing"), PlayedSource(talk[: 12 * RATE_HZ])
    listener = listen(tmp_path, told, pulled, gone, back)
    first = told.wait_for(MicrophoneOpened)
    assert first.away_since is None
    lost = told.wait_for(MicrophoneLost)
    again = told.wait_for(MicrophoneOpened)
    assert again.away_since == lost.at
    assert again.at > lost.at
    told.wait_for(RemarkEnded)
    listener.stop()
    listener.join(WAIT_S)
    assert pulled.is_closed


def test_what_is_said_while_the_notebook_speaks_is_not_heard(tmp_path: Path, talk: Sound) -> None:
    told = Told()
    source = PlayedSource(talk[: 12 * RATE_HZ])
    listener = Listener(
        open_source=lambda: source, folder=tmp_path, job_id="job", sitting_id="sitting", person=None, tell=told
    )
    listener.shut()
    listener.start()
    assert source.is_read.wait(WAIT_S)
    listener.stop()
    listener.join(WAIT_S)
    events = list(told._events.queue)
    assert not [e for e in events if isinstance(e, (VoiceBegan, RemarkEnded))]


def test_by_key_a_remark_is_what_lies_between_two_presses(tmp_path: Path) -> None:
    told = Told()
    source = PlayedSource(make_workshop(6.0), paced=True)
    listener = listen(tmp_path, told, source, by_key=True)
    told.wait_for(MicrophoneOpened)
    listener.press()
    told.wait_for(VoiceBegan)
    listener.press()
    ended = told.wait_for(RemarkEnded)
    listener.stop()
    listener.join(WAIT_S)
    assert 0 < ended.stretch.samples < 5 * RATE_HZ
    assert not ended.stretch.cut
