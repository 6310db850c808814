"""Shows how a remark was read: what was put right, each entry with its words and what decided it, and what was passed over.

In: the remark as said and as tidied, the changes, the entries, the asides. Out: lines of text.
Never reads a remark, never prints.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from notebook.documents.words import entry_words, part_name
from notebook.entries import Disposition, Entry, Fastener, Finding, Measurement, Mileage, Step
from notebook.nouns import Aside, Change

_FIGURES = frozenset({"number in digits", "amount", "thread"})
"""Why a stretch was written anew when nothing was misheard."""
ASIDE_WORDS = {
    "question": "a question",
    "usual": "what is usual, not this one",
    "elsewhere": "another job",
    "hypothetical": "what would be, not what is",
    "expected": "what was expected",
    "warning": "a warning",
    "instruction": "how it should be done",
    "future": "what is yet to be done",
}


def explain_remark(
    number: int,
    text: str,
    tidied: str,
    changes: Sequence[Change],
    entries: Sequence[Entry],
    asides: Sequence[Aside] = (),
) -> Iterator[str]:
    """Give the lines that show how one remark was read; all text is as it came, to be made safe for a screen."""
    yield f"{number}: {text}"
    yield from _changed(text, tidied, changes)
    for entry in entries:
        doubt = f"  ? {entry.doubt}" if entry.doubt else ""
        yield f"   {entry.kind:12} {part_name(entry)}: {entry_words(entry)}{doubt}"
        said = tidied[entry.span[0] : entry.span[1]]
        carried = f", the part carried over from {entry.from_}" if entry.from_ else ""
        yield f'   {"":12} words "{said}"{carried}'
        yield f"   {'':12} {decided(entry)} (rule {entry.rule or entry.kind}, sure {entry.confidence:.2f})"
    for aside in _passed_over(asides, entries):
        said = tidied[aside.span[0] : aside.span[1]]
        yield f'   {"passed over":12} "{said}": {ASIDE_WORDS.get(aside.mood, aside.mood)}, by "{aside.cue}"'
    if not entries:
        yield f"   {'nothing':12} written down"


def _passed_over(asides: Iterable[Aside], entries: Sequence[Entry]) -> list[Aside]:
    """Give the asides that no entry was made of, those of one mood that follow each other as one."""
    out: list[Aside] = []
    for aside in asides:
        if any(e.span[0] < aside.span[1] and aside.span[0] < e.span[1] for e in entries):
            continue
        if out and out[-1].mood == aside.mood:
            out[-1] = replace(out[-1], span=(out[-1].span[0], max(out[-1].span[1], aside.span[1])))
        else:
            out.append(aside)
    return out


def decided(entry: Entry) -> str:
    """Say what the entry was taken for, and the words that decided it: absent, by "no"."""
    if isinstance(entry, Finding):
        what = entry.presence
    elif isinstance(entry, (Measurement, Mileage)):
        what = entry.role
    elif isinstance(entry, (Disposition, Step)):
        what = entry.action
    elif isinstance(entry, Fastener):
        what = "what holds it"
    else:
        what = f"a {entry.kind}"
    return f'{what}, by "{entry.cue}"' if entry.cue else what


def _changed(text: str, tidied: str, changes: Iterable[Change]) -> Iterator[str]:
    figures, others = [], []
    for (first, last), (said_from, said_to), why in changes:
        said, put = text[said_from:said_to], tidied[first:last]
        if why in _FIGURES:
            figures.append(f'"{said}" is {put}')
        elif put:
            others.append(f'"{said}" taken for "{put}": {why}')
        else:
            others.append(f'"{said}" left out: {why}')
    if figures:
        yield f"   {'in figures':12} {', '.join(figures)}"
    for line in others:
        yield f"   {'put right':12} {line}"
