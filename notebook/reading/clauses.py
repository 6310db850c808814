"""Cuts a remark into clauses, each one statement, and says how each is meant.

In: chunks. Out: `Clause`s in order. A clause knows its mood (a fact of this job now, a question,
what usually happens, another job, what would happen, a warning, an instruction) and the cue for it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from notebook.reading.clause import Clause
from notebook.reading.matching import Match
from notebook.reading.moods import set_moods
from notebook.reading.sheets import Chunk
from notebook.reading.tag_looks import SPEECH_VERBS
from notebook.reading.tidy import Piece

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
    set_moods(clauses)
    return clauses


_LONGEST = 80
"""Chunks after which a statement is cut: nobody says so much in one, but a recogniser that hangs prints it."""


def _split(chunks: Sequence[Chunk]) -> list[Clause]:
    clauses: list[Clause] = []
    current: list[Chunk] = []
    joiner, sentence = "", 0

    def close(next_joiner: str, *, stop: bool = False, sign: str = "") -> None:
        nonlocal current, joiner, sentence
        if current:
            clauses.append(Clause(current, joiner, sentence))
        if stop:
            for clause in reversed(clauses):
                if clause.sentence != sentence:
                    break
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
        if len(current) == _LONGEST:
            close("")
        if _begins_clause(chunks, at, current):
            close(chunk.low if chunk.kind in ("conjunction", "subordinator") else joiner if not current else "")
            if chunk.kind == "conjunction":
                continue
        current.append(chunk)
    close("")
    return clauses


_NOT_THAT = ("not that ", "isn't that ", "wasn't that ")
""" "It's not that the gib's worn": what follows is denied, and is no statement of its own."""


def _begins_clause(chunks: Sequence[Chunk], at: int, current: Sequence[Chunk]) -> bool:
    chunk = chunks[at]
    if chunk.kind == "conjunction":
        if (
            chunk.low == "so"
            and current
            and _low(chunks, at + 1) in _HOW_MUCH
            and current[-1].kind in ("condition", "aux")
        ):
            return False
        return chunk.low in _ALWAYS or _is_clause(chunks, at + 1)
    if not current or current[-1].low.startswith(_NOT_THAT):
        return False
    if chunk.kind == "subordinator":
        return chunk.low not in ("that",) or _has_predicate(current)
    if (chunk.low in ("except", "bar") and not _is_all_but(chunks, at)) or (
        chunk.low == "apart" and _low(chunks, at + 1) == "from"
    ):
        return True
    if (
        chunk.is_part
        and chunk.pronoun in ("all", "both", "none", "neither")
        and chunks[at - 1].is_part
        and chunks[at - 1].name
    ):
        return True
    if not _has_predicate(current):
        return False
    if chunk.low in ("same", "ditto", "likewise") and _low(chunks, at + 1) in (
        "with",
        "on",
        "for",
        "at",
        "again",
        "in",
    ):
        return True
    if chunk.low == "there" and at + 1 < len(chunks) and chunks[at + 1].kind == "aux":
        return True
    previous = chunks[at - 1]
    if chunk.kind == "part":
        if len(current) == 1 and current[0].kind == "aux" and at <= 1:
            return False
        if previous.low in _LACKING or (previous.kind in ("amount", "thread") and chunk.fastener):
            return False  # "two 10 mm | bolts hold the guard"
        if _is_counted_anew(chunk, previous) or _is_topic(chunks, at):
            return True
        if previous.low in _CAUSING and not _is_be(chunks, at + 1):
            return False
        if previous.low in ("out", "away", "apart") and chunk.determiner is None and chunk.name:
            return _is_finite(chunks, at)
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
        return (
            previous.kind in ("condition", "particle") and previous.low in ("off", "out", "apart", "away")
        ) or previous.kind == "condition"
    return False


def _is_all_but(chunks: Sequence[Chunk], at: int) -> bool:
    return at > 0 and chunks[at - 1].pronoun in ("all", "each", "both")


_HOW_MUCH = frozenset("bad badly much far thin thick tight hard worn bent loose rough deep".split())
""" "Spalled so bad there's chunks of race in the bottom": how much, not what follows."""

_LACKING = frozenset({"missing", "lost", "lost all", "short of", "minus"})

_CAUSING = frozenset(
    "have having had get getting got gets has want wants need needs see feel find found leave left".split()
)


def _is_clause(chunks: Sequence[Chunk], at: int) -> bool:
    """Tell whether what begins here has a verb or a verdict of its own."""
    ahead = range(at, min(at + _ADVERBS_PASSED, len(chunks)))
    at = next((n for n in ahead if not _is_passed(chunks[n])), len(chunks))
    if at >= len(chunks):
        return False
    first = chunks[at]
    if first.kind in ("subordinator", "question", "interjection"):
        return True
    if first.kind in ("verb", "aux"):
        return True
    if first.kind == "adverb":
        return True
    if first.kind == "cue" and first.cue is not None:
        if first.cue.startswith("degree"):
            return False
        return True
    return _is_finite(chunks, at)


_ADVERBS_PASSED = 12
"""How many small words may stand before a clause's own; nobody says more, but a recogniser that hangs prints them."""


def _is_passed(chunk: Chunk) -> bool:
    """Tell the small words before a clause ("and then just"); "there" begins one itself."""
    return chunk.kind == "conjunction" or (chunk.kind == "adverb" and chunk.low != "there")


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


def _find_cues(clause: Clause, pieces: Sequence[Piece], matches: Mapping[int, Sequence[Match]]) -> None:
    for at in range(clause.start, clause.end):
        for match in matches.get(at, ()):
            if "." in match.label and match.end <= clause.end:
                clause.cues.append((match.label, " ".join(p.low for p in pieces[match.start : match.end]), at))
