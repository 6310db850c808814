"""Cuts a remark into clauses, each one statement, and says how each is meant.

In: chunks. Out: `Clause`s in order. A clause knows its mood (a fact of this job now, a question,
what usually happens, another job, what would happen, a warning, an instruction) and the cue for it.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from notebook.reading.chunks import Chunk
from notebook.reading.matching import Match
from notebook.reading.tags import SPEECH_VERBS
from notebook.reading.tidy import Piece

FACT, QUESTION, USUAL, ELSEWHERE, HYPOTHETICAL, EXPECTED = (
    "fact", "question", "usual", "elsewhere", "hypothetical", "expected",
)  # fmt: skip
WARNING, INSTRUCTION, FUTURE = "warning", "instruction", "future"


@dataclass(slots=True)
class Clause:
    """One statement of a remark."""

    chunks: list[Chunk]
    joiner: str = ""
    """The word or sign that joins it to the clause before: "but", "if", ","; empty at the start of a sentence."""
    sentence: int = 0
    mood: str = FACT
    cue: str | None = None
    sentence_end: str = ""
    cues: list[tuple[str, str, int]] = field(default_factory=list)
    """(cue list, words, piece) for every cue that begins in the clause."""

    @property
    def start(self) -> int:
        return self.chunks[0].start

    @property
    def end(self) -> int:
        return self.chunks[-1].end

    @property
    def low(self) -> str:
        return " ".join(c.low for c in self.chunks)

    def words(self) -> tuple[list[str], list[bool]]:
        """Give the words of the clause, and for each whether it can be a verb where it stands."""
        words: list[str] = []
        verbs: list[bool] = []
        for chunk in self.chunks:
            own = chunk.low.split()
            words.extend(own)
            is_verb = chunk.tag in ("V", "B", "G", "E") or chunk.kind not in (
                "part",
                "amount",
                "number",
                "thread",
                "condition",
            )
            verbs.extend([is_verb or (chunk.kind == "condition" and len(own) == 1)] * len(own))
        return words, verbs

    def has(self, *words: str) -> bool:
        """Tell whether any of the words stands in the clause as a chunk's word."""
        text = f" {self.low} "
        return any(f" {w} " in text for w in words)


_STOPS = frozenset({".", ";", "!", "?", "...", "…", ":"})
_DASHES = frozenset({",", "-", "–", "—", "(", ")"})
_ALWAYS = frozenset({"but", "so", "then", "yet"})


def cut_clauses(
    chunks: Sequence[Chunk], pieces: Sequence[Piece], matches: Mapping[int, Sequence[Match]]
) -> list[Clause]:
    """Cut chunks into clauses and give each its mood."""
    clauses = _join_lists(_split(chunks))
    for clause in clauses:
        _find_cues(clause, pieces, matches)
    _set_moods(clauses, pieces)
    return clauses


def _split(chunks: Sequence[Chunk]) -> list[Clause]:
    clauses: list[Clause] = []
    current: list[Chunk] = []
    joiner, sentence = "", 0

    def close(next_joiner: str, *, stop: bool = False, sign: str = "") -> None:
        nonlocal current, joiner, sentence
        if current:
            clauses.append(Clause(current, joiner, sentence))
        if stop:
            for clause in clauses:
                if clause.sentence == sentence:
                    clause.sentence_end = sign
            sentence += 1
        current, joiner = [], next_joiner

    for at, chunk in enumerate(chunks):
        if chunk.kind == "sign":
            if chunk.low in _STOPS:
                close("", stop=True, sign=chunk.low)
            elif chunk.low in _DASHES:
                close(chunk.low)
            continue
        if _begins_clause(chunks, at, current):
            close(chunk.low if chunk.kind in ("conjunction", "subordinator") else joiner if not current else "")
            if chunk.kind == "conjunction":
                continue
        current.append(chunk)
    close("")
    return clauses


def _begins_clause(chunks: Sequence[Chunk], at: int, current: Sequence[Chunk]) -> bool:
    chunk = chunks[at]
    if chunk.kind == "conjunction":
        return chunk.low in _ALWAYS or _is_clause(chunks, at + 1)
    if not current:
        return False
    if chunk.kind == "subordinator":
        return chunk.low not in ("that",) or _has_predicate(current)
    if (chunk.low in ("except", "bar") and not _is_all_but(chunks, at)) or (chunk.low == "apart" and _low(chunks, at + 1) == "from"):
        return True
    if chunk.is_part and chunk.pronoun in ("all", "both", "none", "neither") and chunks[at - 1].is_part and chunks[at - 1].name:
        return True
    if not _has_predicate(current):
        return False
    if chunk.low == "there" and at + 1 < len(chunks) and chunks[at + 1].kind == "aux":
        return True
    previous = chunks[at - 1]
    if chunk.kind == "part":
        if len(current) == 1 and current[0].kind == "aux" and at <= 1:
            return False
        if _is_counted_anew(chunk, previous) or _is_topic(chunks, at):
            return True
        if previous.low in _CAUSING and not _is_be(chunks, at + 1):
            return False
        if previous.kind == "preposition" or previous.low in ("than", "like", "called"):
            return False
        if previous.kind == "verb" and previous.low in SPEECH_VERBS:
            return _is_clause(chunks, at)
        if previous.kind == "verb" and previous.tag in "VBG" and not _is_be(chunks, at + 1):
            return False
        return _is_finite(chunks, at)
    if (
        chunk.kind == "cue"
        and chunk.cue == "negation.before"
        and chunk.low in ("no", "not a", "nothing")
        and previous.kind in ("condition", "part", "amount", "particle")
    ):
        return True
    if chunk.kind == "verb" and chunk.tag == "B":
        return (
            previous.kind in ("part", "condition", "particle", "amount", "adverb")
            and not any(c.kind == "aux" for c in current[-2:])
            and previous.low not in ("to",)
        )
    return False


def _is_topic(chunks: Sequence[Chunk], at: int) -> bool:
    """ "... light scoring | vanes though, four of the five are worn": what is spoken of from here on."""
    return chunks[at].name is not None and _low(chunks, at + 1) in ("though", "then", "next") and chunks[at].is_plural


def _is_counted_anew(chunk: Chunk, previous: Chunk) -> bool:
    """ "Belt guard's off | three belts all of them glazed": a counted noun behind a verdict begins anew."""
    if chunk.count is not None and chunk.name and chunk.determiner is None:
        return previous.kind in ("condition", "particle") and previous.low in ("off", "out", "apart", "away") or previous.kind == "condition"
    return False


def _is_all_but(chunks: Sequence[Chunk], at: int) -> bool:
    return at > 0 and chunks[at - 1].pronoun in ("all", "each", "both")


_CAUSING = frozenset(
    "have having had get getting got gets has want wants need needs see feel find found leave left".split()
)


def _is_clause(chunks: Sequence[Chunk], at: int) -> bool:
    """Tell whether what begins here has a verb or a verdict of its own."""
    if at >= len(chunks):
        return False
    first = chunks[at]
    if first.kind in ("subordinator", "question", "interjection"):
        return True
    if first.kind in ("verb", "aux"):
        return True
    if first.kind == "adverb" and first.low == "there":
        return True
    if first.kind == "cue" and first.cue is not None:
        if first.cue.startswith("degree"):
            return False
        return True
    if first.kind in ("adverb", "conjunction"):
        return _is_clause(chunks, at + 1)
    return _is_finite(chunks, at)


def _is_finite(chunks: Sequence[Chunk], at: int) -> bool:
    """Tell whether a part begins here and a finite verb (or a verdict) follows it."""
    if chunks[at].kind not in ("part", "number", "thread", "amount"):
        return False
    i = at + 1
    while i < len(chunks) and i < at + 6:
        chunk = chunks[i]
        if chunk.kind in ("aux",) or (chunk.kind == "verb" and chunk.tag in "VE"):
            return True
        if chunk.kind == "condition":
            return chunk.tag != "noun"
        if chunk.kind == "cue" and chunk.cue in ("negation.before", "hedge.before", "not_looked.said"):
            return chunk.low not in ("nor", "or")
        if chunk.kind in ("particle",) and i == at + 1:
            return chunk.low in ("off", "out", "apart", "away") and (
                i + 1 >= len(chunks)
                or chunks[i + 1].kind in ("sign", "adverb", "conjunction", "number", "thread", "amount")
            )
        if chunk.kind in ("adverb", "cue", "preposition", "determiner"):
            i += 1
            continue
        if chunk.kind == "part" and chunks[i - 1].kind in ("preposition", "determiner"):
            i += 1
            continue
        return False
    return False


def _is_be(chunks: Sequence[Chunk], at: int) -> bool:
    return at < len(chunks) and chunks[at].kind == "aux"


def _has_predicate(current: Sequence[Chunk]) -> bool:
    return any(c.kind in ("verb", "aux", "condition", "amount", "particle") for c in current)


def _low(chunks: Sequence[Chunk], at: int) -> str:
    return chunks[at].low if 0 <= at < len(chunks) else ""


def _join_lists(clauses: list[Clause]) -> list[Clause]:
    """Join a list of parts before its verb: "springs, | shims and pawl are in bag 7"."""
    out: list[Clause] = []
    for clause in clauses:
        if (
            out
            and clause.joiner == ","
            and _is_bare_part(out[-1])
            and out[-1].sentence == clause.sentence
            and _starts_listed(clause)
        ):
            clause.chunks = [*out[-1].chunks, *clause.chunks]
            clause.joiner = out[-1].joiner
            out.pop()
        out.append(clause)
    return out


def _is_bare_part(clause: Clause) -> bool:
    return len(clause.chunks) == 1 and clause.chunks[0].is_part and clause.chunks[0].name is not None


def _starts_listed(clause: Clause) -> bool:
    chunks = clause.chunks
    return (
        len(chunks) >= 4
        and chunks[0].is_part
        and chunks[0].name is not None
        and chunks[1].low in ("and", "&")
        and chunks[2].is_part
        and chunks[2].name is not None
    )


# --- moods -----------------------------------------------------------------------------------------------


def _find_cues(clause: Clause, pieces: Sequence[Piece], matches: Mapping[int, Sequence[Match]]) -> None:
    for at in range(clause.start, clause.end):
        for match in matches.get(at, ()):
            if "." in match.label and match.end <= clause.end:
                clause.cues.append((match.label, " ".join(p.low for p in pieces[match.start : match.end]), at))


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


def _set_moods(clauses: list[Clause], pieces: Sequence[Piece]) -> None:
    carried: tuple[str, str | None, int] | None = None
    for n, clause in enumerate(clauses):
        mood, cue = _own_mood(clause, n)
        if carried and carried[2] == clause.sentence and mood == FACT and not _turns_back(clause):
            mood, cue = carried[0], carried[1]
        clause.mood, clause.cue = mood, cue
        carried = (mood, cue, clause.sentence) if mood in (USUAL, ELSEWHERE, QUESTION) else None
    _spread_conditionals(clauses)


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


def _own_mood(clause: Clause, n: int) -> tuple[str, str | None]:
    first = clause.chunks[0]
    labels = {label for label, _, _ in clause.cues}
    if clause.sentence_end == "?" and not clause.joiner.startswith("so"):
        return QUESTION, "?"
    if (
        clause.joiner == ""
        and first.kind == "question"
        and len(clause.chunks) > 1
        and clause.chunks[1].kind in ("aux", "verb")
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
    if said := _first(clause, "elsewhere.said"):
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
        return clause.has(
            "i had", "i did", "we had", "we did", "had", "stripped", "i stripped", "opened"
        ) or not clause.has("scratch", "forget")
    if said in ("we had a", "i had a", "had one", "had a lad", "had a customer"):
        return not clause.has("look", "go", "job", "feel", "poke", "listen")
    if said == "used to":
        return True
    return True


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
        return not any(c.low in ("'ve", "have") for c in clause.chunks) and not clause.has("i always", "always been", "i like", "i love")
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
