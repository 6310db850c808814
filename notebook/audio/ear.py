"""The ear: words from the sound of one remark, by a speech model in a folder.

In: float32 samples of one remark, levelled, mono, 16 kHz, and a prompt. Out: a Transcript.
Never opens a connection, never cuts sound, never knows of jobs or vocabularies: the prompt is handed in.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol

import numpy as np

from notebook.audio.judge import Judgement, judge_words
from notebook.audio.weights import find_model, name_model, read_model_sha256, stay_offline
from notebook.errors import WRONG_USE, NotebookError
from notebook.nouns import Transcript, Unsettled, Word

if TYPE_CHECKING:
    from numpy.typing import NDArray

RATE_HZ = 16000
SHORT_WINDOW_S = 15
LONG_WINDOW_S = 30
SHORT_REMARK_S = 14.0
"""Up to this length the encoder is given 15 s instead of 30 s: quicker, and no worse (measured by the project)."""
BEAM = 8
"""As many hypotheses are kept to choose from."""
PROMPT_TOKENS = 223
"""Room for a prompt: half the model's text length, less one for the mark before it."""
FIRST_LINE_TOKENS = 120
"""A first line that goes on longer has gone round in circles."""
CIRCLES = 2.4
"""A text that compresses better than this goes round in circles."""
FRAME_SAMPLES = 160
"""10 ms, the step of the model's spectrum."""
PREPENDED_MARKS = "\"'\N{LEFT DOUBLE QUOTATION MARK}¿([{-"
APPENDED_MARKS = "\"'.,!?:\N{RIGHT DOUBLE QUOTATION MARK})]}"


class Chosen(Protocol):
    """Which hypothesis stands, and what it leaves unsettled."""

    @property
    def which(self) -> int:
        """Its place among the hypotheses."""

    @property
    def unsettled(self) -> tuple[Unsettled, ...]:
        """Where in its text the others have another negation, number or count."""


Chooser = Callable[[Sequence[str], Sequence[float]], Chosen]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hearing:
    hypotheses: tuple[str, ...]
    logs: tuple[float, ...]
    """Mean log probability a token of each."""
    tokens: tuple[tuple[int, ...], ...]
    encoded: Any
    frame_count: int
    words: tuple[Word, ...] = ()
    no_speech: float
    mean_log: float
    squeezed: float
    prompt: str


class Ear:
    """A loaded speech model. May be used from one thread at a time."""

    def __init__(self, folder: str | Path, threads: int = 0) -> None:
        """Load the model in a folder, or a known one by name; 0 threads means as many as are useful here.

        Raises NotebookError when the folder holds no model that can be used.
        """
        self.folder = find_model(folder)
        self.model_name = name_model(self.folder)
        self.model_sha256 = read_model_sha256(self.folder)
        stay_offline()
        from faster_whisper import WhisperModel
        from faster_whisper.tokenizer import Tokenizer
        from faster_whisper.transcribe import get_suppressed_tokens

        try:
            self._model: Any = WhisperModel(
                str(self.folder),
                device="cpu",
                compute_type="int8",
                cpu_threads=threads or min(4, os.cpu_count() or 1),
                local_files_only=True,
            )
        except Exception as error:
            # A tokenizer that cannot be read raises a bare Exception.
            raise NotebookError(
                f"The speech model in {self.folder} cannot be loaded: {error}.",
                "Bring the whole folder of a Whisper model laid out for CTranslate2.",
            ) from error
        many = bool(self._model.model.is_multilingual)
        self._tokens: Any = Tokenizer(self._model.hf_tokenizer, many, task="transcribe", language="en")
        # By default no slash may be written, and 7/16 comes out as "716th" and 5/16 as "516".
        self._slashes = [token for mark in ("/", " /") for token in self._tokens.encode(mark)]
        self._suppressed = [t for t in get_suppressed_tokens(self._tokens, [-1]) if t not in self._slashes]

    def count_tokens(self, text: str) -> int:
        """Count the tokens that a text takes of the prompt's room."""
        return len(self._encode_words(text))

    def warm_up(self) -> None:
        """Hear a second of silence, so that the first remark is not slow."""
        self._listen(np.zeros(RATE_HZ, np.float32), "")

    def warm_up_at_once(self) -> None:
        """Hear a second of silence as a first line, so that the first one is not slow."""
        self.hear_at_once(np.zeros(RATE_HZ, np.float32))

    def hear(self, samples: NDArray[np.float32], prompt: str = "", *, choose: Chooser | None = None) -> Transcript:
        """Give the words of one remark of at most 30 s, with times and probabilities.

        `choose` is given the best hypotheses, the likeliest first, with the mean log probability a word of each, and
        says which stands and what it leaves unsettled; without it the likeliest stands.

        `doubt` says why they may not have been said. Where they were made up from noise `text` is empty, `heard` keeps
        what was made up and `doubt` the reason. Only the last 223 tokens of the prompt are used.
        """
        if len(samples) > LONG_WINDOW_S * RATE_HZ:
            raise NotebookError(
                f"A remark of {len(samples) / RATE_HZ:.0f} s is too long to be heard in one go.",
                f"Cut it to at most {LONG_WINDOW_S} s.",
                WRONG_USE,
            )
        hearing = self._listen(samples, prompt)
        for other, slashes in ((prompt, False), ("", False)):
            if hearing.squeezed <= CIRCLES:
                break
            # A slash or a prompt can set the model going in circles; without them it mostly hears plainly.
            again = self._listen(samples, other, slashes=slashes)
            hearing = again if again.squeezed < hearing.squeezed else hearing
        heard = hearing.hypotheses[0]
        choice = (
            choose(hearing.hypotheses, hearing.logs) if choose is not None and len(hearing.hypotheses) > 1 else None
        )
        which = choice.which if choice is not None else 0
        hearing = self._settle(hearing, which)
        judged = self._judge(hearing, len(samples) / RATE_HZ)
        invented = judged.verdict == "invented"
        return Transcript(
            heard=heard,
            text="" if invented else hearing.hypotheses[which],
            words=() if invented else hearing.words,
            prompt=hearing.prompt,
            hypotheses=hearing.hypotheses,
            model=self.model_name,
            model_sha256=self.model_sha256,
            doubt=judged.reason,
            unsettled=() if invented or choice is None else tuple(choice.unsettled),
        )

    def hear_at_once(self, samples: NDArray[np.float32], prompt: str = "") -> str:
        """Give the words as quickly as they can be had: the likeliest word each time, no times, no second try.

        Empty where the ear itself finds nobody speaking. For the first line only; nothing is stored by it.
        """
        encoded, _ = self._encode(samples[-SHORT_WINDOW_S * RATE_HZ :])
        kept = self._encode_words(prompt)[-PROMPT_TOKENS:]
        found = self._model.model.generate(
            encoded,
            [self._model.get_prompt(self._tokens, kept, without_timestamps=True)],
            beam_size=1,
            max_length=min(self._model.max_length, len(kept) + FIRST_LINE_TOKENS),
            return_no_speech_prob=True,
            suppress_blank=True,
            suppress_tokens=self._suppressed,
        )[0]
        text = str(self._tokens.decode(found.sequences_ids[0])).strip()
        return "" if found.no_speech_prob > 0.6 else text

    def _settle(self, hearing: _Hearing, which: int) -> _Hearing:
        """Find when each word of the chosen hypothesis was said."""
        words = self._time_words(list(hearing.tokens[which]), hearing.encoded, hearing.frame_count)
        return replace(hearing, words=words)

    def _judge(self, hearing: _Hearing, seconds: float) -> Judgement:
        return judge_words(
            hearing.hypotheses[0],
            hearing.words,
            seconds=seconds,
            no_speech=hearing.no_speech,
            mean_log=hearing.mean_log,
            squeezed=hearing.squeezed,
            prompt=hearing.prompt,
        )

    def _listen(self, samples: NDArray[np.float32], prompt: str, *, slashes: bool = True) -> _Hearing:
        from faster_whisper.transcribe import get_compression_ratio

        encoded, frame_count = self._encode(samples)
        kept = self._encode_words(prompt)[-PROMPT_TOKENS:]
        order = self._model.get_prompt(self._tokens, kept, without_timestamps=True)
        found = self._model.model.generate(
            encoded,
            [order],
            beam_size=BEAM,
            num_hypotheses=BEAM,
            max_length=self._model.max_length,
            return_scores=True,
            return_no_speech_prob=True,
            suppress_blank=True,
            suppress_tokens=self._suppressed if slashes else [*self._suppressed, *self._slashes],
        )[0]
        told: dict[str, tuple[tuple[int, ...], float]] = {}
        for tokens, score in zip(found.sequences_ids, found.scores, strict=True):
            written = tuple(token for token in tokens if token < self._tokens.eot)
            # The score is a mean over the text alone; its end mark counts too.
            told.setdefault(
                self._tokens.decode(tokens).strip(), (written, float(score) * len(written) / (len(written) + 1))
            )
        hypotheses = tuple(told)
        logs = tuple(log for _, log in told.values())
        return _Hearing(
            hypotheses=hypotheses,
            logs=logs,
            tokens=tuple(written for written, _ in told.values()),
            encoded=encoded,
            frame_count=frame_count,
            no_speech=float(found.no_speech_prob),
            mean_log=logs[0],
            squeezed=float(get_compression_ratio(hypotheses[0])) if hypotheses[0] else 0.0,
            prompt=prompt,
        )

    def _encode_words(self, text: str) -> list[int]:
        # "<|endoftext|>" and its like, written in a prompt, would be taken for the model's own marks.
        said = text.strip()
        return [token for token in self._tokens.encode(" " + said) if token < self._tokens.eot] if said else []

    def _encode(self, samples: NDArray[np.float32]) -> tuple[Any, int]:
        window_s = SHORT_WINDOW_S if len(samples) < SHORT_REMARK_S * RATE_HZ else LONG_WINDOW_S
        window = window_s * RATE_HZ // FRAME_SAMPLES
        sound = np.pad(samples, (0, max(0, RATE_HZ // 10 - len(samples))))
        spectrum = self._model.feature_extractor(sound)[:, :-1][:, :window]
        # faster-whisper's own `chunk_length` still pads to 30 s before it encodes, so the window is made here.
        padded = np.pad(spectrum, ((0, 0), (0, window - spectrum.shape[1]))).astype(np.float32)
        return self._model.encode(padded), int(spectrum.shape[1])

    def _time_words(self, tokens: list[int], encoded: Any, frame_count: int) -> tuple[Word, ...]:
        if not tokens:
            return ()
        piece: dict[str, Any] = {"seek": 0, "start": 0.0, "end": frame_count / 100, "tokens": tokens, "words": []}
        self._model.add_word_timestamps(
            [[piece]], self._tokens, encoded, frame_count, PREPENDED_MARKS, APPENDED_MARKS, last_speech_timestamp=0.0
        )
        return tuple(
            Word(
                text=word["word"].strip(),
                start_s=float(word["start"]),
                end_s=float(max(word["start"], word["end"])),
                probability=float(word["probability"]),
            )
            for word in piece["words"]
            if word["word"].strip()
        )
