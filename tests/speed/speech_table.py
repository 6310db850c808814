"""Measure how well remarks are heard and read from sound, with and without prompt, choosing and repair.

    python -m tests.speed.speech_table [--remarks 60] [--levels clean,10] [--set tests/truth/blind/blind5.jsonl]

In: remarks about machines that no rule was written for, spoken by synthetic voices (flite rms, slt, awb; espeak-ng
en-gb) and mixed with made workshop noise by `tests/tools/make_audio.py`. Out: word error rate, terms found, and F1 of
entries beside that of reading the true text; faults and parts made up per 100 remarks; noise alone and a talking radio.
No figure here is of speech recorded in a workshop.
"""

from __future__ import annotations

import argparse
import json
import sys
import tempfile
from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np

from notebook.audio.ear import Ear
from notebook.audio.level import level_sound, speech_db
from notebook.audio.prompt import make_prompt
from notebook.jobs.choosing import choose
from notebook.jobs.ear_words import words_for_ear
from notebook.jobs.near import NearVoice
from notebook.reading.matching import standard_matcher
from notebook.reading.reader import Reader
from notebook.reading.tidy import tidy_remark
from tests.measure_speech import normalise
from tests.score_reading import score
from tests.tools import make_audio

ROOT = Path(__file__).resolve().parents[2]
VOICES = ("rms", "slt", "awb", "egb")
THREADS = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """A remark of a truth set, as sound."""

    truth: dict[str, Any]
    samples: Any


@dataclass(slots=True)
class Told:
    """What one way of hearing made of all the remarks."""

    texts: list[str] = field(default_factory=list)
    hypotheses: list[tuple[str, ...]] = field(default_factory=list)


def speak(truths: Sequence[dict[str, Any]], level: str) -> list[Said]:
    """Speak remarks in turn by each voice, at one level of noise; the same every time."""
    out = []
    for n, truth in enumerate(truths):
        sound = make_audio.mix(make_audio.speak(VOICES[n % len(VOICES)], truth["text"]), level, (1, n))
        out.append(Said(truth=truth, samples=(np.clip(sound, -1, 1) * 32767).astype(np.int16)[: 29 * 16000]))
    return out


def hear_all(ear: Ear, remarks: Sequence[Said], *, prompt: bool, choosing: bool) -> Told:
    """Hear every remark in order, its prompt made from what was heard before it in the same job."""
    told = Told()
    matcher = standard_matcher()
    job, reader = None, Reader()
    named: list[str] = []
    for said in remarks:
        machine = str(said.truth["job"]).replace("-", " ")
        if said.truth["job"] != job:
            job, named, reader = said.truth["job"], [], Reader(machine=machine)
        words = make_prompt(machine, words_for_ear(machine, named), (), ear.count_tokens) if prompt else ""
        known = frozenset(w for name in [machine, *named] for w in name.lower().split())
        chooser = partial(choose, matcher=matcher, named=known) if choosing else None
        heard = ear.hear(level_sound(said.samples), words, choose=chooser)
        told.texts.append(heard.text)
        told.hypotheses.append(heard.hypotheses)
        named.extend(c for e in reader.read(heard.text).entries if (c := getattr(e, "component", None)))
    return told


def read_all(remarks: Sequence[Said], texts: Sequence[str]) -> list[tuple[dict[str, Any], list[dict[str, Any]]]]:
    """Read texts as the remarks of their jobs."""
    out = []
    job, reader = None, Reader()
    for said, text in zip(remarks, texts, strict=True):
        if said.truth["job"] != job:
            job, reader = said.truth["job"], Reader(machine=str(said.truth["job"]).replace("-", " "))
        out.append((said.truth, [e.to_json() for e in reader.read(text, line=str(said.truth["line"])).entries]))
    return out


def f1_of(pairs: list[tuple[dict[str, Any], list[dict[str, Any]]]]) -> float:
    """Give F1 over all kinds of entry."""
    scored = score("", pairs)
    hit, said, true = (sum(c.values()) for c in (scored.hit, scored.said, scored.true))
    return 2 * hit / (said + true) if said + true else 0.0


def word_errors(said: str, heard: str) -> tuple[int, int]:
    """Give wrong words and words said; numbers compared as values."""
    import jiwer

    compared = jiwer.process_words(normalise(tidy_remark(said).text) or "nothing", normalise(tidy_remark(heard).text))
    return compared.substitutions + compared.deletions + compared.insertions, len(
        normalise(tidy_remark(said).text).split()
    )


def wer_of(remarks: Sequence[Said], texts: Sequence[str]) -> float:
    """Give the word error rate in percent."""
    counts = [word_errors(s.truth["text"], t) for s, t in zip(remarks, texts, strict=True)]
    return 100 * sum(wrong for wrong, _ in counts) / max(1, sum(words for _, words in counts))


def oracle(remarks: Sequence[Said], told: Told) -> list[str]:
    """Give the best of the hypotheses of each remark, as somebody who knew what was said would choose."""
    return [
        min(hypotheses or ("",), key=partial(_wrong_words, said.truth["text"]))
        for said, hypotheses in zip(remarks, told.hypotheses, strict=True)
    ]


def _wrong_words(said: str, heard: str) -> int:
    return word_errors(said, heard)[0]


def terms_of(text: str) -> list[str]:
    """Give the parts, conditions and tools of the vocabulary that a text names."""
    pieces = tidy_remark(text).pieces
    return [
        " ".join(p.low for p in pieces[m.start : m.end])
        for matches in standard_matcher().find(pieces).values()
        for m in matches[:1]
        if m.label in ("component", "condition", "fastener", "tool")
    ]


def terms_found(remarks: Sequence[Said], texts: Sequence[str]) -> float:
    """Give the share of terms said that stand in the tidied words heard, in percent."""
    found = asked = 0
    for said, text in zip(remarks, texts, strict=True):
        heard = f" {' '.join(p.low for p in tidy_remark(text).pieces)} "
        terms = terms_of(said.truth["text"])
        asked += len(terms)
        found += sum(f" {term} " in heard for term in terms)
    return 100 * found / max(1, asked)


def made_up(remarks: Sequence[Said], texts: Sequence[str]) -> tuple[float, float]:
    """Give faults and parts per 100 remarks that are read from the sound and not from the true text."""
    true = read_all(remarks, [s.truth["text"] for s in remarks])
    counts: dict[str, int] = defaultdict(int)
    for (truth, own), (_, heard) in zip(true, read_all(remarks, texts), strict=True):
        for what in ("condition", "component"):
            known = {str(v).lower() for e in [*own, *truth["entries"]] for v in _options(e.get(what))}
            counts[what] += sum(1 for e in heard if e.get(what) and str(e[what]).lower() not in known)
    return 100 * counts["condition"] / len(remarks), 100 * counts["component"] / len(remarks)


def _options(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def print_table(ear: Ear, truths: Sequence[dict[str, Any]], levels: Sequence[str]) -> None:
    """Measure every way at every level and print a line for each."""
    say(
        f"{'noise':<7}{'prompt':<8}{'choosing':<10}{'words wrong %':>14}{'oracle %':>10}{'terms %':>9}{'entries F1':>12}{'faults made up':>16}{'parts made up':>15}"
    )
    for level in levels:
        remarks = speak(truths, level)
        true = f1_of(read_all(remarks, [s.truth["text"] for s in remarks]))
        for prompt, choosing in ((False, False), (False, True), (True, False), (True, True)):
            told = hear_all(ear, remarks, prompt=prompt, choosing=choosing)
            faults, parts = made_up(remarks, told.texts)
            say(
                f"{level:<7}{_yes(prompt):<8}{_yes(choosing):<10}{wer_of(remarks, told.texts):>14.1f}{wer_of(remarks, oracle(remarks, told)):>10.1f}"
                f"{terms_found(remarks, told.texts):>9.1f}{f1_of(read_all(remarks, told.texts)):>12.3f}{faults:>16.1f}{parts:>15.1f}"
            )  # fmt: skip
            if prompt and choosing:
                unrepaired = without_repair(partial(_f1_of_texts, remarks, told.texts))
                say(
                    f"{level:<7}the same without repair of misheard words: entries F1 {unrepaired:.3f}; from the true text {true:.3f}"
                )


def _f1_of_texts(remarks: Sequence[Said], texts: Sequence[str]) -> float:
    return f1_of(read_all(remarks, texts))


def without_repair(measure: Callable[[], float]) -> float:
    """Measure with the repair of misheard words switched off."""
    from unittest.mock import patch

    with patch("notebook.reading.tidy.mend_slips", lambda tokens, **_: (tokens, [])):
        return measure()


def print_noise(ear: Ear, truths: Sequence[dict[str, Any]]) -> None:
    """Say how many remarks are stored from noise alone, and from a radio 20 dB under somebody who speaks."""
    from notebook.audio.hear import cut_stretches

    near = NearVoice()
    for said in speak(truths[:6], "clean"):
        near.remember(speech_db(said.samples))
    for what, level_db, make in (("workshop without radio", -6.0, _noise), ("talking radio", -20.0, _radio)):
        stretches = stored = 0
        for seed in range(8):
            sound = make(30 * 16000, make_audio.generator(what, seed))
            sound = sound / make_audio.rms(sound) * 0.06 * 10 ** (level_db / 20)
            blocks = iter([(np.clip(sound, -1, 1) * 32767).astype(np.int16)])
            for _, samples in cut_stretches(blocks):
                stretches += 1
                heard = ear.hear(level_sound(samples[: 29 * 16000]), "")
                stored += bool(heard.text.strip()) and not near.is_far(speech_db(samples))
        say(f"{what}, 8 times 30 s: {stretches} stretches taken for speech, {stored} stored as remarks")


def _noise(n: int, g: Any) -> Any:
    makes = (make_audio.compressor, make_audio.hiss, make_audio.impact_wrench, make_audio.clanks)
    return sum(y / make_audio.rms(y) for y in (make(n, g) for make in makes))


def _radio(n: int, g: Any) -> Any:
    return make_audio.radio(n, g)


def _yes(value: bool) -> str:
    return "yes" if value else "no"


def say(line: str) -> None:
    """Write a line."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def main() -> int:
    """Measure and print; give the exit status."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--remarks", type=int, default=60)
    parser.add_argument("--levels", default="clean,10")
    parser.add_argument("--set", type=Path, default=ROOT / "tests/truth/blind/blind5.jsonl")
    given = parser.parse_args()
    rows = [json.loads(line) for line in given.set.read_text("utf-8").splitlines()]
    # Too long for one hearing at a voice's slow pace.
    truths = [row for row in rows if 3 <= len(row["text"].split()) <= 45][: given.remarks]
    with tempfile.TemporaryDirectory():
        ear = Ear("whisper-base", threads=THREADS)
        print_noise(ear, truths)
        print_table(ear, truths, given.levels.split(","))
    return 0


if __name__ == "__main__":
    sys.exit(main())
