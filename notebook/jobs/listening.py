"""Hears sound files as one job without storing anything.

In: sound files in order. Out: one object a remark: file, start, end, heard, text, tidied, changes, words, entries.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from notebook.audio.hear import hear_sound
from notebook.audio.prompt import make_prompt
from notebook.errors import NotebookError, Problem
from notebook.jobs.choosing import choose_heard
from notebook.jobs.ear_words import words_for_ear
from notebook.jobs.intake import Progress, no_progress
from notebook.log.seconds import doubt_unsettled, weigh_words
from notebook.reading.matching import matcher_with
from notebook.reading.reader import Reader
from notebook.shop import NO_WORDS, ShopWords

if TYPE_CHECKING:
    from notebook.audio.ear import Ear


def hear_files(
    sounds: Sequence[Path],
    ear: Ear,
    *,
    machine: str,
    habit: str | None,
    words: ShopWords = NO_WORDS,
    problems: list[Problem],
    progress: Progress = no_progress,
) -> Iterator[dict[str, Any]]:
    """Give the remarks of sound files in order; a file that cannot be heard becomes a problem and the rest goes on."""
    reader = Reader(machine=machine, habit=habit, matcher=matcher_with(words))
    named: list[str] = []
    said: list[str] = []
    count = 0
    for path in sounds:
        try:
            with hear_sound(
                path,
                ear,
                lambda: make_prompt(machine, words_for_ear(machine, named, words.names), said[-1:], ear.count_tokens),
                choose=partial(choose_heard, words, machine, named),
            ) as hearing:
                for heard in hearing:
                    progress(f"hearing {path.name}", heard.end_s, hearing.length_s or 0)
                    transcript = heard.transcript
                    if transcript is None or not transcript.text.strip():
                        continue
                    count += 1
                    reading = reader.read(transcript.text, line=str(count))
                    said.append(transcript.text)
                    named.extend(c for e in reading.entries if (c := getattr(e, "component", None)))
                    yield {
                        "file": path.name, "start": round(heard.start_s, 3), "end": round(heard.end_s, 3), "heard": transcript.heard,
                        "text": transcript.text, "tidied": reading.tidied, "changes": [[list(a), list(b), why] for a, b, why in reading.changes],
                        "words": [
                            {"text": w.text, "start": round(w.start_s, 3), "end": round(w.end_s, 3), "probability": round(w.probability, 3)}
                            for w in transcript.words
                        ],
                        "entries": [e.to_json() for e in doubt_unsettled(weigh_words(reading.entries, transcript.text, reading.changes, transcript.words), transcript.text, reading.changes, transcript.unsettled)], "doubt": transcript.doubt,
                    }  # fmt: skip
                problems.extend(hearing.problems)
        except NotebookError as error:
            problems.append(Problem(about=path.name, message=error.message, remedy=error.remedy))
