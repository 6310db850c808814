"""Knows advice from fact: which clauses warn, and which tell how to do a thing.

In: the clauses of a remark. Out: the same clauses, each that warns or instructs with its mood set, so that nothing in it
is taken for a fact of the job. Never makes an entry.

Examples: "mind your fingers under that crosshead" warns; "warm the housing and it drops out" tells how; "hang on" neither.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import cache

from notebook.reading.clause import ELSEWHERE, FACT, HYPOTHETICAL, INSTRUCTION, QUESTION, WARNING, Clause
from notebook.reading.marking import plain_words
from notebook.reading.state import State
from notebook.reading.word_files import read_toml


@cache
def pattern(section: str, key: str, *, before: str | None = None) -> re.Pattern[str]:
    """Give the patterns of a list of speech.toml as one; `before` names the opening words it must follow."""
    speech = read_toml("speech.toml")
    said = speech[section][key]
    one = said if isinstance(said, str) else "|".join(said)
    if before is None:
        return re.compile(rf"\b(?:{one})" if not isinstance(said, str) else one)
    openers = "|".join(speech["openers"][name] for name in before.split())
    return re.compile(rf"^(?:(?:{openers}) )*(?P<said>{one})\b")


@cache
def _helps() -> re.Pattern[str]:
    tip = read_toml("speech.toml")["tip"]
    return re.compile(rf"^(?:[\w'-]+ ){{0,6}}?(?:{tip['aids']})\b.*?\b(?:{tip['helps']})\b")


_DENIES = re.compile(
    r"^(?:(?:so|and|but|now|well|right|then) )*(?P<no>don't|never|do not)(?: (?:ever|you|anyone|anybody|you all|y'all))? (?P<rest>\w+.*)"
)
_TOLD_OF_PAST = re.compile(r"\b(?:was|were|had|has|have|'ve|i|we|came|took|did|'d|got|needed|went|used)\b")
_FINITE = frozenset(
    "is 's are 're was were has had should will 'll would could might won't wasn't isn't aren't".split()
)


def set_speech_moods(clauses: Sequence[Clause], state: State) -> None:
    """Mark clauses that warn or instruct."""
    for n, clause in enumerate(clauses):
        if clause.mood in (QUESTION, ELSEWHERE):
            continue
        text = plain_words(clause)
        if pattern("photo", "cue").search(text):
            continue
        if _is_warning(clause, text, state):
            clause.mood = WARNING
        elif _is_tip(clauses, n, text):
            clause.mood = INSTRUCTION


def _is_warning(clause: Clause, text: str, state: State) -> bool:
    denied = _DENIES.match(text)
    if denied is not None:
        rest = denied["rest"]
        if pattern("caution", "harmless").match(rest):
            return False
        classes = state.lexicon.word_classes(rest.split()[0])
        return denied["no"] != "never" or not classes & {"ed", "s", "auxiliary"} or "base" in classes
    if pattern("caution", "opens", before="any").match(text):
        return not text.startswith(("mind you ", "mind the time")) or "don't" in text
    first = clause.chunks[0]
    if first.kind == "verb" and first.low in _warning_verbs() and not _has_finite(clause):
        return True
    return bool(pattern("caution", "danger").search(text))


@cache
def _warning_verbs() -> frozenset[str]:
    """Give verbs that are cautions when told: "isolate the supply"."""
    return frozenset(read_toml("speech.toml")["caution"]["verbs"].split())


def _has_finite(clause: Clause) -> bool:
    return any(c.kind == "aux" and c.low in _FINITE for c in clause.chunks[1:])


def _is_tip(clauses: Sequence[Clause], n: int, text: str) -> bool:
    clause = clauses[n]
    if pattern("tip", "opens", before="any praise").match(text):
        is_size = any(c.kind == "amount" for c in clause.chunks) and "you'd" in text
        return not is_size and not text.startswith(("always been", "i find it", "always had"))
    if clause.mood == FACT and _says_what_works(text):
        return True
    return _is_told(clauses, n, text)


def _says_what_works(text: str) -> bool:
    """ "Plastic scraper shifts it without marking", "dowels let go easy", "it undoes clockwise": a habit, not what happened."""
    if _TOLD_OF_PAST.search(text):
        return False
    return bool(_helps().match(text) or pattern("tip", "works").search(text))


def _is_told(clauses: Sequence[Clause], n: int, text: str) -> bool:
    """ "Warm the housing", "shove a broom handle down it": an order to whoever does it next; not talk, nor a name ("steam chest")."""
    clause = clauses[n]
    first = clause.chunks[0]
    before = clauses[n - 1] if n and clauses[n - 1].sentence == clause.sentence else None
    is_verb = first.kind == "verb" and first.tag == "B"
    if not (is_verb or first.low == "warm") or clause.joiner not in ("", "then", "and", ",", "so", "or"):
        return False
    if len(clause.chunks) < 2 or _has_finite(clause) or pattern("tip", "idle").match(text) or text.endswith(" then"):
        return False
    if _speaks_to_you(text) or (before is not None and before.mood in (INSTRUCTION, WARNING)):
        return True
    if _NEW_PART.match(text):
        return False
    is_to_part = pattern("tip", "to_part").match(text) is not None
    after = [c for c in clauses[n + 1 :] if c.sentence == clause.sentence and c.joiner in ("and", "or", "so")]
    if any(_promises(plain_words(c), only_you=is_to_part) for c in after):
        return True
    if is_to_part:
        return False
    if before is not None and before.mood == HYPOTHETICAL and before.cue == "if":
        return True
    return clause.joiner in ("", ",") and (before is None or len(before.chunks) == 1)


_NEW_PART = re.compile(
    r"(?:fit|put|get|order|buy|make) (?:in |on )?(?:(?:a|an|some|\d+|two|three|four|both|the) )?(?:brand )?new\b"
)
""" "Fit a new seal", "get new bolts": what is to be done to this one, not how it is done."""
_TO_YOU = frozenset({"you", "your", "yourself"})


def _speaks_to_you(text: str) -> bool:
    return bool(_TO_YOU & set(text.replace("'", " ").split()))


_YOU_WILL = re.compile(r"(?:you)(?: just)?(?:'ll|'d| will| would)\b")
_IT_WILL = re.compile(
    r"(?:it|she|he|they|the \w+)(?: just)?(?:'ll|'d| will| would| comes?| drops?| slides?| pops?| falls?)\b"
)


def _promises(text: str, *, only_you: bool) -> bool:
    """ "... and you'd see it", "or you'll chase your tail", "and it drops out": what comes of doing so."""
    return bool(_YOU_WILL.match(text)) or (not only_you and bool(_IT_WILL.match(text)))


def names_photo(texts: Iterable[str]) -> bool:
    """Tell whether a photo is spoken of."""
    return any(w in text for text in texts for w in ("photo", "picture"))
