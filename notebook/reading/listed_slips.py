"""Slips of the ear that are listed with the words that give them away ("8 and 6 countersunk", `slips.toml`).

In: tokens. Out: tokens put right, and what was repaired. Never touches a word outside a listed row of words.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache

from notebook.reading.lexicon import Lexicon
from notebook.reading.numbers import read_number
from notebook.reading.slip_kinds import BE, NUMBER_WORDS, STOPS, Repair
from notebook.reading.word_files import read_toml
from notebook.reading.words import Token


@dataclass(frozen=True, slots=True)
class _Rule:
    words: tuple[frozenset[str], ...]
    put: tuple[str, ...]
    why: str
    needs_before: frozenset[str]


@cache
def _rules() -> tuple[_Rule, ...]:
    return tuple(
        _Rule(
            tuple(frozenset(w.split("|")) for w in row["words"]), tuple(row["put"]), row["why"],
            frozenset(row.get("needs_before", "").split("|")) - {""},
        )
        for row in read_toml("slips.toml")["slip"]
    )  # fmt: skip


@cache
def _rules_by_word() -> tuple[dict[str, list[_Rule]], list[_Rule]]:
    """Give the rules by the first word they look for, and those that begin with a number."""
    by_word: dict[str, list[_Rule]] = {}
    numeric: list[_Rule] = []
    for rule in _rules():
        first = rule.words[1] if rule.words[0] == {"<start>"} else rule.words[0]
        for word in first:
            if word.startswith("<"):
                numeric.append(rule)
            else:
                by_word.setdefault(word, []).append(rule)
    return by_word, numeric


def _rules_at(token: Token) -> Sequence[_Rule]:
    by_word, numeric = _rules_by_word()
    if token.value is not None or token.low in NUMBER_WORDS:
        return numeric
    return by_word.get(token.low, ())


def mend_listed(tokens: list[Token], lexicon: Lexicon, repairs: list[Repair]) -> list[Token]:
    at = 0
    while at < len(tokens):
        for rule in _rules_at(tokens[at]):
            width = _fits(rule, tokens, at, lexicon)
            if width is None:
                continue
            tokens[at : at + width], done = _put(rule, tokens[at : at + width])
            repairs.extend(done)
            break
        at += 1
    return tokens


def _fits(rule: _Rule, tokens: Sequence[Token], at: int, lexicon: Lexicon) -> int | None:
    """Give how many tokens the rule covers here, or None."""
    words = rule.words
    if words[0] == {"<start>"}:
        if at and tokens[at - 1].low not in STOPS:
            return None
        words = words[1:]
    if at + len(words) > len(tokens) or (rule.needs_before and (not at or tokens[at - 1].low not in rule.needs_before)):
        return None
    unlisted = [n for n, choice in enumerate(words) if tokens[at + n].low not in choice]
    if any(words[n].isdisjoint(_CLASSES) for n in unlisted):
        return None
    for n in unlisted:
        if not any(_CLASSES[c](tokens, at + n, lexicon) for c in words[n] & _CLASSES.keys()):
            return None
    wanted = [w for w in rule.put if w] if words is not rule.words else list(rule.put)
    changes = any(w not in ("=", tokens[at + n].low) for n, w in enumerate(wanted))
    return len(words) if changes else None


_SIZES = frozenset("3 4 5 6 8 10 12 six eight ten five twelve".split())

_FRACTION_WORDS = frozenset("half quarter quarters eighth eighths sixteenth sixteenths".split())

_CLASSES: dict[str, Callable[[Sequence[Token], int, Lexicon], bool]] = {
    "<number>": lambda t, at, _: t[at].value is not None or _ends_number(t, at),
    "<large>": lambda t, at, _: (t[at].value or 0) >= 40,
    "<count>": lambda t, at, _: 0 < (t[at].value or 0) <= 60 or read_number(t[at : at + 1], 0) is not None,
    "<size>": lambda t, at, _: t[at].low in _SIZES,
    "<fraction>": lambda t, at, _: (t[at].value or Fraction(1)).denominator > 1 or t[at].low in _FRACTION_WORDS,
    "<be>": lambda t, at, _: t[at].low in BE,
    "<thread>": lambda t, at, _: t[at].low == "m" and at + 1 < len(t) and t[at + 1].value is not None,
    "<fastener>": lambda t, at, lexicon: any(
        tuple(x.low for x in t[at : at + n]) in lexicon.fasteners for n in (1, 2, 3)
    ),
}


def _ends_number(tokens: Sequence[Token], at: int) -> bool:
    return tokens[at].is_word and read_number(tokens[at : at + 1], 0) is not None


def _put(rule: _Rule, tokens: Sequence[Token]) -> tuple[list[Token], list[Repair]]:
    put = [w for w in rule.put if w] if len(rule.put) > len(tokens) else list(rule.put)
    out: list[Token] = []
    repairs: list[Repair] = []
    for token, word in zip(tokens, put, strict=False):
        if word in ("=", token.low):
            out.append(token)
        elif word == "" and out:
            out[-1] = replace(out[-1], end=token.end)
            repairs[-1:] = [replace(r, source=(r.source[0], token.end)) for r in repairs[-1:]]
        else:
            text = word.capitalize() if token.start == 0 and token.text[:1].isupper() else word
            out.append(Token(text, word.lower(), token.start, token.end, None, token.glued))
            repairs.append(Repair(source=(token.start, token.end), meant=word, why=rule.why))
    return out, repairs
