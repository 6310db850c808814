"""Open a sound file and give its sound block by block, decoded in a process of its own.

In: the path of a WAV, FLAC, MP3, M4A, Ogg or WebM file, or of a video with sound. Out: when it began, and int16
samples, mono, 16 kHz, half a second at a time, so that eight hours use no more memory than a minute.
Never loads a decoder into this process, never changes the file.
"""

from __future__ import annotations

import json
import os
import queue
import stat
import struct
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from pathlib import Path
from typing import IO, TYPE_CHECKING, Any

from notebook.audio.began import work_out_began
from notebook.errors import NOTHING_FOUND, WRONG_USE, NotebookError, Problem, one_line

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RATE_HZ = 16000
MEMORY_BYTES = 1 << 30
"""Address space the decoder may take, its libraries included."""
PROCESSOR_S = 120
PROCESSOR_S_PER_MB = 4
"""Eight hours of low-rate speech in 20 MB take about a minute; the limit is for files made to hang a decoder."""
STUCK_AFTER_S = 60.0
"""Longest wait for one block."""
LAST_WORD_S = 5.0
"""Longest wait for the end of a decoder that has closed its output."""
BLOCKS_AHEAD = 32

_Message = tuple[bytes, bytes]

_REFUSALS = {
    "no index": (
        "was cut off before its index was written, so its sound cannot be found.",
        "Keep the file; copy it again from the recorder, or finish the recording there.",
    ),
    "no sound in it": ("holds pictures but no sound.", "Choose the file with the sound."),
    "not sound": (
        "is not a sound file that can be read.",
        "Give a WAV, FLAC, MP3, M4A, Ogg or WebM file, or a video with sound.",
    ),
    "too much memory": ("needs more memory to decode than a sound file should and was left alone.", ""),
    "broken": ("could not be decoded.", "Copy it again from the recorder, or save it as WAV."),
}


@dataclass(slots=True, kw_only=True)
class OpenSound:
    """A sound file being read: what is known of it, and its blocks, once through."""

    name: str
    rate_hz: int
    length_s: float | None
    """As the file says before it is read; None where it does not."""
    began: datetime | None
    began_how: str
    made_of: str
    """Container, coding, rate and channels, for people."""
    problems: list[Problem] = field(default_factory=list)
    """Filled while the blocks are read: cut off, damaged, silent."""
    sample_count: int = 0
    """Samples given so far."""
    _reader: _Reader

    def blocks(self) -> Iterator[NDArray[np.int16]]:
        """Yield int16 blocks, mono, 16 kHz; raise NotebookError when nothing at all can be decoded."""
        import numpy as np

        loudest = 0
        while True:
            letter, body = self._reader.read_message()
            if letter != b"S":
                break
            block = np.frombuffer(body, dtype="<i2").astype(np.int16)
            if len(block):
                self.sample_count += len(block)
                loudest = max(loudest, int(block.max()), -int(block.min()))
                yield block
        ended = json.loads(body) if letter == b"E" else {"refused": self._reader.why_lost()}
        self._settle(ended, loudest)

    def _settle(self, ended: dict[str, Any], loudest: int) -> None:
        read_s = self.sample_count / self.rate_hz
        if self.sample_count == 0:
            raise NotebookError(
                f"{_shown(self.name)} holds no sound that can be decoded; it was left as it is.",
                "Copy it again from the recorder.",
                NOTHING_FOUND,
            )
        expected_s = ended.get("expected_s")
        short = expected_s is not None and read_s < expected_s - max(0.5, 0.02 * expected_s)
        if short:
            self._note(f"The recording ends early: {read_s:.1f} s of {expected_s:.1f} s could be read and are used.")
        elif "refused" in ended:
            self._note(f"Reading stopped after {read_s:.1f} s ({_why(ended)}); what was read is used.")
        elif ended.get("cut"):
            self._note(f"The recording has no end mark and may be cut off; the {read_s:.1f} s in it are used.")
        elif ended.get("errors"):
            self._note(f"{ended['errors']} damaged places were passed over; the rest is used.")
        if loudest == 0:
            self._note("The recording is silent from end to end.", "Check the microphone and its switch.")

    def _note(
        self, message: str, remedy: str = "Keep the file; copy it again from the recorder if it has more."
    ) -> None:
        self.problems.append(Problem(about=self.name, message=message, remedy=remedy))


@contextmanager
def open_sound(path: Path, zone: tzinfo | None = None) -> Iterator[OpenSound]:
    """Open a sound file; raise NotebookError when it is missing, unreadable or not sound.

    `zone` is that of times in the file or its name that name none; None is the zone of this computer.
    """
    with _open_file(path) as file:
        size_bytes = _size_bytes(file)
        order = [sys.executable, "-P", str(Path(__file__).with_name("decode_child.py")), str(MEMORY_BYTES)]
        order.append(str(PROCESSOR_S + PROCESSOR_S_PER_MB * (size_bytes >> 20)))
        changed = _time_of_change(file)
        child = subprocess.Popen(order, stdin=file, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
    reader = _Reader(child)
    try:
        letter, body = reader.read_message()
        if letter != b"H":
            raise _refuse(path, json.loads(body) if letter == b"E" else {"refused": reader.why_lost()})
        told = json.loads(body)
        began, began_how = work_out_began(told["tags"], path.name, changed, told["length_s"], zone)
        yield OpenSound(
            name=path.name,
            rate_hz=RATE_HZ,
            length_s=told["length_s"],
            began=began,
            began_how=began_how,
            made_of=f"{told['format']}, {told['codec']}, {told['rate_hz']} Hz, {told['channels']} channels",
            _reader=reader,
        )
    finally:
        reader.close()


class _Reader:
    """Read a child's messages ahead in a thread, a bounded number of them, and never wait for ever."""

    def __init__(self, child: subprocess.Popen[bytes]) -> None:
        assert child.stdout is not None
        self._child = child
        self._pipe: IO[bytes] = child.stdout
        self._ahead: queue.Queue[_Message] = queue.Queue(BLOCKS_AHEAD)
        self._closed = threading.Event()
        self._stuck = False
        self._thread = threading.Thread(target=self._read_ahead, name="decode", daemon=True)
        self._thread.start()

    def read_message(self) -> _Message:
        """Give the next message; an empty letter when the child is gone or stuck."""
        try:
            return self._ahead.get(timeout=STUCK_AFTER_S)
        except queue.Empty:
            self._stuck = True
            self._child.kill()
            return b"", b""

    def why_lost(self) -> str:
        """Say why the child went without a last word."""
        try:
            ended = self._child.wait(LAST_WORD_S)
        except subprocess.TimeoutExpired:
            return "took too long"
        return "took too long" if self._stuck or ended in (-24, -9) else "broken"

    def close(self) -> None:
        """End the child, whether or not it is done, and its thread."""
        self._closed.set()
        self._child.kill()
        self._child.wait()
        self._thread.join()
        self._pipe.close()

    def _read_ahead(self) -> None:
        while True:
            head = self._pipe.read(5)
            body = self._pipe.read(struct.unpack("<I", head[1:])[0]) if len(head) == 5 else b""
            message = (head[:1], body) if len(head) == 5 else (b"", b"")
            while not self._closed.is_set():
                try:
                    self._ahead.put(message, timeout=0.1)
                    break
                except queue.Full:
                    continue
            if message[0] in (b"", b"E") or self._closed.is_set():
                return


def _open_file(path: Path) -> IO[bytes]:
    try:
        mode = path.stat().st_mode
        if stat.S_ISDIR(mode):
            raise NotebookError(f"{_shown(path.name)} is a folder.", "Give the sound files in it.", WRONG_USE)
        if not stat.S_ISREG(mode):
            raise NotebookError(f"{_shown(path.name)} is not a plain file.", "Give a sound file.", WRONG_USE)
        if path.stat().st_size == 0:
            raise NotebookError(
                f"{_shown(path.name)} is empty: no sound was ever written to it.",
                "Copy it again from the recorder.",
                NOTHING_FOUND,
            )
        return path.open("rb")
    except FileNotFoundError as error:
        raise NotebookError(
            f"There is no file {_shown(str(path))}.", "Check its name and folder.", WRONG_USE
        ) from error
    except PermissionError as error:
        raise NotebookError(f"{_shown(path.name)} may not be read.", "Check its permissions.") from error
    except (OSError, ValueError) as error:
        raise NotebookError(f"{_shown(path.name)} cannot be opened: {error}.", "Check its name and folder.") from error


def _size_bytes(file: IO[bytes]) -> int:
    size_bytes = file.seek(0, 2)
    file.seek(0)
    return size_bytes


def _time_of_change(file: IO[bytes]) -> datetime | None:
    try:
        return datetime.fromtimestamp(os.fstat(file.fileno()).st_mtime, UTC)
    except (OverflowError, ValueError, OSError):
        # A disk may hold times far outside the calendar.
        return None


def _refuse(path: Path, ended: dict[str, Any]) -> NotebookError:
    what, remedy = _REFUSALS.get(ended.get("refused", "broken"), _REFUSALS["broken"])
    if ended.get("refused") == "took too long":
        what, remedy = "took too long to decode and was left alone.", "Save it as WAV and try again."
    return NotebookError(f"{_shown(path.name)} {what}", remedy)


def _why(ended: dict[str, Any]) -> str:
    return str(ended.get("detail") or ended["refused"])


def _shown(name: str) -> str:
    return f"'{one_line(name)}'"
