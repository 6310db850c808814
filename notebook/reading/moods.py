"""Says how a clause is meant: a fact of this job now, a question, what usually happens, another job, what would happen.

In: clauses with their cues. Out: the same clauses, each with its mood and the cue for it.
"""

from __future__ import annotations

import itertools

from notebook.reading.clause import ELSEWHERE, EXPECTED, FACT, HYPOTHETICAL, QUESTION, USUAL, Clause

_THIS_ONE = (
    "this one",
    "these ones",
    "this un",
    "on this",
    "here",
    "this time",
    "these are",
    "this is",
    "this",
    "mine",
)

_ASKING = frozenset("is are was were do does did can could would will shall should have has am".split())


def set_moods(clauses: list[Clause]) -> None:
    carried: tuple[str, str | None, int] | None = None
    for n, clause in enumerate(clauses):
        mood, cue = _own_mood(clause)
        if carried and carried[2] == clause.sentence and mood == FACT and not _turns_back(clause):
            mood, cue = carried[0], carried[1]
        if mood == HYPOTHETICAL and n and clause.joiner == "if" and clauses[n - 1].low.endswith(_WELL_I_NEVER):
            mood, cue = FACT, None
        if mood == FACT and n and _was_thought(clauses[n - 1], clause):
            mood, cue = EXPECTED, clauses[n - 1].chunks[-1].low
        clause.mood, clause.cue = mood, cue
        carried = (mood, cue, clause.sentence) if mood in (USUAL, ELSEWHERE, QUESTION) else None
    _spread_conditionals(clauses)


_WELL_I_NEVER = ("blow me", "bugger me", "damn me", "strike me", "stone me")
""" "Blow me if its tyre hasn't lost a lump": it has."""

_THOUGHT = frozenset(
    {"thought", "expected", "feared", "assumed", "hoped", "believed", "presumed", "supposed", "imagined"}
)


def _was_thought(before: Clause, clause: Clause) -> bool:
    """ "Thought | the hub was cracked": what was thought and is told as past is not found."""
    follows = before.end in (clause.start, clause.start - 1) and clause.joiner in ("", "that")
    return follows and before.chunks[-1].low in _THOUGHT


def _has_fault(clause: Clause) -> bool:
    return any(c.kind == "condition" and c.conditions[0].polarity != "good" for c in clause.chunks)


def _turns_back(clause: Clause) -> bool:
    if clause.joiner in ("but", "though"):
        return True
    if (
        clause.joiner == ","
        and clause.chunks[0].low in ("no", "not", "none", "nothing")
        and not any(c.kind == "aux" for c in clause.chunks)
    ):
        return True
    return clause.joiner in ("so", "and", ",", "") and any(
        f" {w} " in f" {clause.low} " for w in ("this one", "this un", "these ones", "on this")
    )


def _own_mood(clause: Clause) -> tuple[str, str | None]:
    first = clause.chunks[0]
    labels = {label for label, _, _ in clause.cues}
    if clause.sentence_end == "?" and not clause.joiner.startswith("so"):
        return QUESTION, "?"
    if (
        clause.joiner == ""
        and first.kind == "question"
        and len(clause.chunks) > 1
        and clause.chunks[1].kind in ("aux", "verb")
        and not (
            first.low == "what" and clause.chunks[1].kind == "verb" and any(c.kind == "aux" for c in clause.chunks[3:])
        )
    ):
        return QUESTION, first.low
    if (
        clause.joiner in ("", "so", "and")
        and first.kind == "aux"
        and first.low in _ASKING
        and len(clause.chunks) > 1
        and clause.chunks[1].is_part
        and clause.chunks[1].pronoun in ("that", "you", "it", "this", "they", "these", "we", "i")
    ):
        return QUESTION, first.low
    if said := _first(clause, "question.said"):
        if said[1] in (
            "wonder whether",
            "wonder if",
            "wanted to know",
            "asked whether",
            "asked if",
            "do you think",
            "do you reckon",
            "who's had",
        ):
            return QUESTION, said[0]
    if (said := _first(clause, "elsewhere.said")) and first.low != "unlike":
        if _is_elsewhere(clause, said[0]):
            return ELSEWHERE, said[0]
    if (
        first.low in ("had", "were", "should")
        and clause.joiner == ""
        and len(clause.chunks) > 2
        and clause.chunks[1].is_part
        and any(c.kind == "condition" or c.tag in "EG" for c in clause.chunks[2:])
        and clause.sentence_end != "?"
    ):
        return HYPOTHETICAL, first.low
    if clause.joiner == "if" or first.low in ("if", "unless", "suppose", "supposing"):
        return HYPOTHETICAL, "if"
    if said := _first(clause, "usual.said"):
        if _is_usual(clause, said[0]):
            return USUAL, said[0]
    if said := _first(clause, "expected.said"):
        return EXPECTED, said[0]
    if first.low == "thought" or (clause.has("should be", "ought to be", "should 've been") and _has_fault(clause)):
        return EXPECTED, "thought" if first.low == "thought" else "should be"
    if clause.joiner == "or" and any(c.low in ("'ll", "will", "'d", "would", "could", "might") for c in clause.chunks):
        return HYPOTHETICAL, "or"
    if clause.has("would've", "would have", "would", "'d be", "'d have", "wouldn't have"):
        return HYPOTHETICAL, "would"
    if any(c.kind == "aux" and c.low == "'d" for c in clause.chunks) and "hypothetical.said" in labels:
        return HYPOTHETICAL, "'d"
    return FACT, None


def _first(clause: Clause, label: str) -> tuple[str, str] | None:
    for name, words, _ in clause.cues:
        if name == label:
            return words, words
    return None


def _is_elsewhere(clause: Clause, said: str) -> bool:
    if said in ("last one", "the last one", "the last", "last time"):
        if any(c.low in ("'s", "is", "are", "has", "'ll", "will") for c in clause.chunks) and not clause.has("i", "we"):
            return False  # "seven are fine, the last one's gone" counts these
        return clause.has(
            "i had", "i did", "we had", "we did", "had", "stripped", "i stripped", "opened"
        ) or not clause.has("scratch", "forget")
    if said == "back in":
        return any(f" back in {when}" in f" {clause.low}" for when in _WHENS)
    if said == "had one" and clause.has("on the", "in the", "on me", "in stock"):
        return False  # "had one on the truck so I've swapped it"
    if said in ("we had a", "i had a", "had one", "had a lad", "had a customer"):
        return not clause.has("look", "go", "job", "feel", "poke", "listen")
    if said in ("i 've had", "i've had", "i have had"):
        return clause.has("one", "ones", "them", "two", "three", "plenty", "several", "loads")
    return True


_WHENS = (
    "the day", "the spring", "the summer", "the autumn", "the winter", "the nineties", "the eighties", "the seventies", "19", "20", "january", "february", "march",
    "april", "may", "june", "july", "august", "september", "october", "november", "december", "my", "'9", "'8", "the old", "the shop where",
)  # fmt: skip


def _is_usual(clause: Clause, said: str) -> bool:
    if said in (
        "like to",
        "love to",
        "always",
        "often",
        "sometimes",
        "every time",
        "eventually",
        "on these",
        "these things",
    ):
        return not any(c.low in ("'ve", "have") for c in clause.chunks) and not clause.has(
            "i always", "always been", "i like", "i love"
        )
    return True


def _spread_conditionals(clauses: list[Clause]) -> None:
    """What follows from an "if" is no fact either: "if the cups were pitted | you'd feel it"."""
    for before, clause in itertools.pairwise(clauses):
        if (
            before.mood == HYPOTHETICAL
            and before.cue != "if"
            and clause.sentence == before.sentence
            and clause.joiner in ("and", "then")
            and clause.mood == FACT
            and clause.chunks[0].kind == "verb"
        ):
            clause.mood, clause.cue = HYPOTHETICAL, before.cue
    for n, clause in enumerate(clauses):
        if clause.mood != HYPOTHETICAL or clause.cue != "if":
            continue
        for near in (n + 1, n - 1):
            if 0 <= near < len(clauses) and clauses[near].sentence == clause.sentence and clauses[near].mood == FACT:
                other = clauses[near]
                later = near > n
                if any(c.low in ("'ll", "will", "'d", "would", "could", "can", "won't") for c in other.chunks):
                    other.mood, other.cue = HYPOTHETICAL, "if"
                elif later and other.joiner in (",", "", "then") and not other.has("and"):
                    other.mood, other.cue = other.mood, other.cue
