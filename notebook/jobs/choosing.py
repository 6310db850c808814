"""Chooses among the ear's best hypotheses by the words of the trade and by how well they read.

In: hypotheses with how likely the ear finds each, the vocabulary, the parts named so far. Out: which one, and where it
leaves a negation, a number or a count unsettled. Never makes words up: one of the hypotheses is chosen as it stands.

"No" and "new", "fifteen" and "fifty" are never settled by the vocabulary: among hypotheses that differ there the
likelier stands, and a doubt says what else it may have been.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from notebook.entries import Finding
from notebook.nouns import Unsettled
from notebook.reading.matching import Matcher, matcher_with
from notebook.reading.number_words import DENOMINATORS, HUNDRED, ORDINALS, SCALES, TENS, UNITS, ZEROS
from notebook.reading.reader import Reader
from notebook.reading.tidy import tidy_remark
from notebook.shop import Shop, ShopWords

TERM_WORTH = 0.09
"""What a word of the trade is worth beside the ear's own mean log probability a word (measured by the project)."""
SETTLED_BY = frozenset({"component", "fastener", "tool"})
"""No conditions: a fault must not be heard because it is in a list. With them, faults made up went from 8 to 13 in 100."""
NAMED_WORTH = 0.05
"""More for a part that was spoken of in this job already."""
READS_WORTH = 0.05
"""For each entry but a finding that it reads into, times how sure that is."""
NEAR_LOG = 0.35
"""A hypothesis that the ear finds this much less likely is no choice, whatever its words."""
NEAR_LOG_SHOWN = 0.2
"""One that differs in a number is told beside the chosen one when it is this near."""
_NEGATIONS = frozenset("no not none never nothing without neither nor cannot".split())
_NUMBERS = frozenset({*UNITS, *TENS, *HUNDRED, *SCALES, *DENOMINATORS, *ORDINALS, *ZEROS})
_IN_DIGITS = {**UNITS, **TENS}
"""A number is the same in words and in digits."""
_COUNTS = frozenset("all both half every single double pair other only".split())


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """Which hypothesis was chosen, and what it leaves unsettled."""

    which: int
    unsettled: tuple[Unsettled, ...] = ()


Chooser = Callable[[Sequence[str], Sequence[float]], Choice]


def chooser_for(shop: Shop, machine: str, named: Sequence[str]) -> Chooser:
    """Give a chooser with the shop's words and the parts named so far."""
    return partial(choose_heard, shop.words, machine, tuple(named))


def choose_heard(
    words: ShopWords, machine: str, named: Sequence[str], texts: Sequence[str], logs: Sequence[float]
) -> Choice:
    """Choose with a shop's words, the kind of machine and the parts named so far."""
    known = frozenset(word for name in [machine, *named] for word in name.lower().split())
    return choose(texts, logs, matcher_with(words), known)


def choose(
    texts: Sequence[str], logs: Sequence[float], matcher: Matcher, named: frozenset[str] = frozenset()
) -> Choice:
    """Choose one of several texts, the likeliest first, with the mean log probability a word of each."""
    if not texts or not texts[0].strip():
        return Choice(which=0)
    settled = exact_words(texts[0])
    best, best_worth = 0, worth(texts[0], logs[0], matcher, named)
    for n in range(1, len(texts)):
        if logs[0] - logs[n] > NEAR_LOG or not texts[n].strip() or exact_words(texts[n]) != settled:
            continue
        found = worth(texts[n], logs[n], matcher, named)
        if found > best_worth:
            best, best_worth = n, found
    others = [
        text
        for text, log in zip(texts, logs, strict=True)
        if logs[0] - log <= NEAR_LOG_SHOWN and exact_words(text) != settled
    ]
    return Choice(which=best, unsettled=_differences(texts[best], others))


def worth(text: str, log: float, matcher: Matcher, named: frozenset[str]) -> float:
    """Give what a hypothesis is worth: how likely the ear finds it, and how much of it is of the trade."""
    pieces = tidy_remark(text, lexicon=matcher.lexicon).pieces
    words = [n for n, piece in enumerate(pieces) if piece.kind == "word"]
    if not words:
        return log
    trade: set[int] = set()
    terms = 0
    for matches in matcher.find(pieces).values():
        for match in matches:
            if match.label in SETTLED_BY:
                terms += not trade & set(range(match.start, match.end))
                trade.update(range(match.start, match.end))
    again = sum(pieces[n].low in named for n in trade)
    sure = sum(e.confidence for e in Reader(matcher=matcher).read(text).entries if not isinstance(e, Finding))
    return log + TERM_WORTH * min(terms, 6) + NAMED_WORTH * min(again, 4) + READS_WORTH * min(sure, 4.0)


def exact_words(text: str) -> tuple[str, ...]:
    """Give the negations, numbers and counts of a text in order: what the vocabulary may not settle."""
    low = tidy_remark(text).text.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    exact = (bare for word in re.findall(r"[\w./'-]+", low) if _is_exact(bare := word.strip(".'-/")))
    return tuple(str(_IN_DIGITS.get(word, word)) for word in exact)


def _is_exact(word: str) -> bool:
    return (
        word in _NEGATIONS
        or word in _COUNTS
        or word.endswith("n't")
        or any(c.isdigit() for c in word)
        or word in _NUMBERS
    )


def _differences(text: str, others: Sequence[str]) -> tuple[Unsettled, ...]:
    """Give where another hypothesis has other exact words, and what it has there; one difference where several begin."""
    out: dict[int, tuple[int, str]] = {}
    own = list(re.finditer(r"\S+", text))
    for other in others:
        theirs = re.findall(r"\S+", other)
        compared = difflib.SequenceMatcher(
            None, [w[0].lower() for w in own], [w.lower() for w in theirs], autojunk=False
        )
        for kind, a, b, c, d in compared.get_opcodes():
            mine, his = " ".join(w[0] for w in own[a:b]), " ".join(theirs[c:d])
            if kind == "equal" or exact_words(mine) == exact_words(his):
                continue
            start = own[a].start() if a < len(own) else len(text)
            end = own[b - 1].end() if b > a else start
            if b == a and own:  # a word more in the other: it is told on the word after which it stands
                near = own[max(0, a - 1)]
                start, end = near.start(), near.end()
            what = his.strip(" .,!?") or "nothing"
            out.setdefault(start, (end, f'heard "{mine.strip(" .,!?") or "nothing"}", may have been "{what}"'))
    return tuple((start, end, what) for start, (end, what) in sorted(out.items()))[:4]
