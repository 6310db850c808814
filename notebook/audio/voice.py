"""Hear where a remark starts and ends, while the sound is still coming in.

In: blocks of int16 samples, mono, 16 kHz, of any length. Out: stretches of speech as sample numbers.
Holds no sound but the last part of a frame, so memory stays flat however long it runs. Never changes the sound.

The voice model is the Silero network that faster-whisper carries; it is run frame by frame with its state kept.
Thresholds and times were measured by the project on synthetic remarks in a noisy minute.
"""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from notebook.errors import NotebookError

if TYPE_CHECKING:
    from numpy.typing import NDArray

RATE_HZ = 16000
FRAME_SAMPLES = 512
"""32 ms, the frame the voice model was made for."""
CONTEXT_SAMPLES = 64
ON = 0.5
"""Voice begins when two frames of three are at least this likely."""
OFF = 0.35
"""Voice goes on until frames are less likely than this."""
BEFORE_S = 0.3
AFTER_S = 0.3
SILENCE_S = 0.9
"""A remark ends after this much without voice."""
LONGEST_S = 25.0
SHORTEST_CUT_S = 5.0
"""A remark that is too long is not cut before this."""
PAUSE_FRAMES = 5
"""A pause is looked for in the mean of this many frames: 160 ms."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """A stretch of sound that holds one remark."""

    first_sample: int
    samples: int
    cut: bool = False
    """True where it was ended by its length and not by silence, so that the next goes on with the same speech."""


class VoiceModel(Protocol):
    """Tells how likely each frame is voice, keeping its own state from call to call."""

    def rate_frames(self, frames: NDArray[np.float32]) -> NDArray[np.float32]:
        """Give one likelihood for each row of (n, 512) samples between -1 and 1."""


class SileroVoice:
    """The Silero voice model, one thread, its state kept between calls."""

    def __init__(self) -> None:
        import onnxruntime  # type: ignore[import-untyped, unused-ignore]

        options = onnxruntime.SessionOptions()
        options.inter_op_num_threads = 1
        options.intra_op_num_threads = 1
        options.enable_cpu_mem_arena = False
        options.log_severity_level = 4
        self._session: Any = onnxruntime.InferenceSession(
            str(find_voice_model()), sess_options=options, providers=["CPUExecutionProvider"]
        )
        self.forget()

    def forget(self) -> None:
        """Begin with other sound."""
        self._state = {name: np.zeros((1, 1, 128), np.float32) for name in ("h", "c")}
        self._context = np.zeros(CONTEXT_SAMPLES, np.float32)

    def rate_frames(self, frames: NDArray[np.float32]) -> NDArray[np.float32]:
        """Give one likelihood for each row of (n, 512) samples between -1 and 1."""
        if not len(frames):
            return np.zeros(0, np.float32)
        before = np.concatenate([self._context[None, :], frames[:-1, -CONTEXT_SAMPLES:]])
        likely, self._state["h"], self._state["c"] = self._session.run(
            None, {"input": np.concatenate([before, frames], axis=1), **self._state}
        )
        self._context = frames[-1, -CONTEXT_SAMPLES:].copy()
        return np.asarray(likely, np.float32).reshape(-1)


def find_voice_model() -> Path:
    """Find the voice model by pattern, since its name holds a version; raise NotebookError when it is not there."""
    found = importlib.util.find_spec("faster_whisper")
    if found is not None and found.origin:
        models = sorted((Path(found.origin).parent / "assets").glob("silero*.onnx"))
        if models:
            return models[-1]
    raise NotebookError(
        "The voice model that tells speech from noise is missing from faster-whisper.",
        "Install the notebook again; sound already recorded is safe.",
    )


class VoiceFilter:
    """Cut a stream of blocks into stretches of speech.

    `voice_on` tells, between blocks, whether a remark is being heard now.
    """

    def __init__(
        self, model: VoiceModel | None = None, *, before_s: float = BEFORE_S, silence_s: float = SILENCE_S
    ) -> None:
        self._model = model if model is not None else SileroVoice()
        self._before = _samples(before_s)
        self._silence = _samples(silence_s)
        self._rest = np.zeros(0, np.int16)
        self._frame = 0
        """Number of the next frame."""
        self._heard_samples = 0
        self._recent = [0.0, 0.0]
        self._start: int | None = None
        """First sample of the remark being heard."""
        self._last_voice = 0
        """Sample after the last frame with voice."""
        self._free_from = 0
        """No stretch may begin before this sample."""
        self._likely: list[float] = []
        self._loud: list[float] = []
        """Of each frame since `_first_frame`, while a remark is heard: at most 25 s of them."""
        self._first_frame = 0

    @property
    def voice_on(self) -> bool:
        """Whether a remark is being heard now."""
        return self._start is not None

    @property
    def last_voice(self) -> int:
        """Sample after the last frame with voice in the remark being heard; a pause is counted from there."""
        return self._last_voice

    @property
    def stretch_so_far(self) -> Stretch | None:
        """Give the remark being heard as it would be if no more voice came; None while nobody speaks."""
        return None if self._start is None else self._stretch_from(self._start)

    @property
    def keep_from(self) -> int:
        """First sample that a stretch to come may still need: what a recorder must not let go of yet."""
        if self._start is not None:
            return self._start
        return max(self._free_from, (self._frame - len(self._recent)) * FRAME_SAMPLES - self._before)

    def feed(self, block: NDArray[np.int16]) -> Iterator[Stretch]:
        """Take the next block and yield the stretches that ended in it."""
        self._heard_samples += len(block)
        sound = np.concatenate([self._rest, block])
        whole = len(sound) // FRAME_SAMPLES
        self._rest = sound[whole * FRAME_SAMPLES :].copy()
        yield from self._take_frames(sound[: whole * FRAME_SAMPLES].reshape(whole, FRAME_SAMPLES))

    def finish(self) -> Iterator[Stretch]:
        """Say that no more sound comes, and yield the stretch that was still being heard."""
        if len(self._rest):
            last = np.zeros((1, FRAME_SAMPLES), np.int16)
            last[0, : len(self._rest)] = self._rest
            self._rest = self._rest[:0]
            yield from self._take_frames(last)
        if self._start is not None:
            yield self._end_remark()

    def _take_frames(self, frames: NDArray[np.int16]) -> Iterator[Stretch]:
        sound = frames.astype(np.float32) / np.float32(32768.0)
        power = np.mean(sound * sound, axis=1) if len(sound) else ()
        for likely, loud in zip(self._model.rate_frames(sound), power, strict=True):
            yield from self._take_frame(float(likely), float(loud))

    def _take_frame(self, likely: float, loud: float) -> Iterator[Stretch]:
        frame, self._frame = self._frame, self._frame + 1
        end = self._frame * FRAME_SAMPLES
        window = [*self._recent, likely]
        self._recent = window[1:]
        if self._start is None:
            if sum(rate >= ON for rate in window) < 2:
                return
            first = frame - 2 + next(i for i, rate in enumerate(window) if rate >= ON)
            self._start = max(self._free_from, first * FRAME_SAMPLES - self._before, 0)
            self._first_frame = self._start // FRAME_SAMPLES
            self._likely = [1.0] * (frame - self._first_frame)
            self._loud = [loud] * (frame - self._first_frame)
            self._last_voice = end
        self._likely.append(likely)
        self._loud.append(loud)
        if likely >= OFF:
            self._last_voice = end
        if end - self._last_voice >= self._silence:
            yield self._end_remark()
        elif end - self._start >= _samples(LONGEST_S):
            yield self._cut_remark()

    def _end_remark(self) -> Stretch:
        assert self._start is not None
        stretch = self._stretch_from(self._start)
        self._start, self._free_from = None, stretch.first_sample + stretch.samples
        self._likely, self._loud = [], []
        return stretch

    def _stretch_from(self, start: int) -> Stretch:
        # Not past the frames taken, so that blocks of any length give the same; the last frame may be part filling.
        end = min(self._last_voice + _samples(AFTER_S), self._frame * FRAME_SAMPLES, self._heard_samples)
        return Stretch(first_sample=start, samples=end - start)

    def _cut_remark(self) -> Stretch:
        """End a remark that is too long at its deepest pause; the rest goes on as the next."""
        assert self._start is not None
        at = find_deepest_pause(self._likely, self._loud, int(_samples(SHORTEST_CUT_S) / FRAME_SAMPLES))
        end = (self._first_frame + at) * FRAME_SAMPLES
        if self._last_voice <= end:
            return self._end_remark()
        stretch = Stretch(first_sample=self._start, samples=end - self._start, cut=True)
        self._start = self._free_from = end
        self._first_frame += at
        self._likely, self._loud = self._likely[at:], self._loud[at:]
        return stretch


def find_deepest_pause(likely: list[float], loud: list[float], first: int) -> int:
    """Give the frame, not before `first`, in the middle of the deepest pause: least like voice, then quietest."""
    kernel = np.ones(PAUSE_FRAMES) / PAUSE_FRAMES
    voice = np.convolve(likely, kernel, mode="valid")[first:]
    power = np.convolve(loud, kernel, mode="valid")[first:]
    # In tenths, so that the loudness decides between places that are equally voice.
    order = np.lexsort((power, np.round(voice, 1)))
    return first + int(order[0]) + PAUSE_FRAMES // 2


def _samples(seconds: float) -> int:
    return round(seconds * RATE_HZ)
