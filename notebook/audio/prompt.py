"""Make the prompt that tells the ear which words to expect.

In: the kind of machine, words that may be said, what was said before. Out: one line that fits the model's room.
Names parts, places and sizes, never faults: what is in the prompt is heard more readily, and a fault must not be
heard because it was expected. A pure function: it knows no model but a way to count tokens.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

ROOM_TOKENS = 223
EXAMPLES = "Bag 3, tray 2. M6 by 20, 4 mm key. 0.05 mm, 7.2 mm."
"""Shows that places and sizes are written in figures."""
SAID_BEFORE_TOKENS = 60
SAID_BEFORE_MOST = 2
LONGEST_MACHINE_TOKENS = 60
LONGEST_WORD_TOKENS = 24
"""A word or name that takes more, and for which there is no room, is passed over and the next is tried."""


def estimate_tokens(text: str) -> int:
    """Count tokens without a model, rather too many than too few."""
    pieces = re.findall(r"[^\W\d_]+|[^\s]", text)
    foreign = len(text.encode("utf-8", "replace")) - len(text)
    return sum(1 + (len(piece) - 1) // 3 for piece in pieces) + foreign


def make_prompt(
    machine: str,
    words: Sequence[str],
    said_before: Sequence[str],
    count_tokens: Callable[[str], int] = estimate_tokens,
) -> str:
    """Give a prompt of at most 223 tokens, its most important words last.

    `words` are parts, places, sizes and the shop's own words, the most important first; the least important are left
    out when there is no room. `said_before` are earlier remarks or example sentences, the latest last; the last two
    that fit 60 tokens are taken. Leave findings out of both.
    """
    named = _plain(machine) if count_tokens(_plain(machine)) <= LONGEST_MACHINE_TOKENS else ""
    opening = _join_sentences([EXAMPLES, *_take_said(said_before, count_tokens), named])
    chosen: list[str] = []
    seen: set[str] = set()
    best = opening
    for word in words:
        plain = _plain(word)
        if not plain or plain.casefold() in seen:
            continue
        seen.add(plain.casefold())
        tried = _join_sentences([opening, ", ".join(reversed([*chosen, plain]))])
        if count_tokens(tried) > ROOM_TOKENS:
            if count_tokens(plain) > LONGEST_WORD_TOKENS:
                continue
            break
        chosen.append(plain)
        best = tried
    return best


def _take_said(said_before: Sequence[str], count_tokens: Callable[[str], int]) -> list[str]:
    taken: list[str] = []
    room = SAID_BEFORE_TOKENS
    for sentence in map(_plain, reversed(said_before[-SAID_BEFORE_MOST:])):
        room -= count_tokens(sentence)
        if room < 0:
            break
        taken.insert(0, sentence)
    return taken


def _join_sentences(sentences: Sequence[str]) -> str:
    return " ".join(s if s[-1] in ".!?" else f"{s}." for s in sentences if s)


def _plain(text: str) -> str:
    # Bytes of a command line that are no text come in as lone surrogates, which no tokenizer takes.
    return " ".join(text.encode("utf-8", "ignore").decode("utf-8").split())
