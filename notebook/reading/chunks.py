"""Groups words into what a mechanic means by them: parts, conditions, verbs, amounts, cues.

In: pieces, tags and matches. Out: `Chunk`s in order, covering every piece once.
A part chunk knows its name, which one (position), how many, and conditions said before it
("two cracked shoes"). Never decides what is true of what (the findings rules do).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import zip_longest

from notebook.reading.condition_places import is_likeness
from notebook.reading.conditions_said import condition_at, is_subject
from notebook.reading.lexicon import Lexicon
from notebook.reading.matching import Match
from notebook.reading.noun_phrases import part_at
from notebook.reading.nouns_said import singular
from notebook.reading.partitions import join_partitions
from notebook.reading.sheets import Chunk, Sheet
from notebook.reading.tidy import Piece


def chunk_pieces(
    pieces: Sequence[Piece], tags: Sequence[str], matches: Mapping[int, Sequence[Match]], lexicon: Lexicon
) -> list[Chunk]:
    """Cut a remark into chunks; every piece falls into exactly one."""
    sheet = Sheet(pieces, tags, matches, lexicon)
    chunks: list[Chunk] = []
    at = 0
    while at < len(pieces):
        chunk = _chunk_at(sheet, at, chunks)
        chunks.append(chunk)
        at = chunk.end
    return _count_pronouns(join_partitions(_settle_containers(chunks)))


def _settle_containers(chunks: list[Chunk]) -> list[Chunk]:
    """A cup, a case or a pan is a place only where something is put in it; else it is a part: "cup's cracked"."""
    for before, chunk, after in zip([None, *chunks], chunks, [*chunks[1:], None], strict=False):
        if not chunk.container or chunk.name is None:
            continue
        is_put_in = before is not None and (before.kind in ("preposition", "particle") or before.low in _PUT)
        is_numbered = (after is not None and after.kind == "number") or "number" in (chunk.position or "")
        has_fault = (
            after is not None and after.kind == "aux" and not is_put_in
            and any(c.kind == "condition" for c in chunks[chunks.index(after) : chunks.index(after) + 4])
        )  # fmt: skip
        if not (is_put_in or is_numbered) and (
            has_fault or chunk.count is not None or singular(chunk.name) in _PART_AS_OFTEN
        ):
            chunk.container = False
    return chunks


_PUT = frozenset("bagged boxed binned put goes gone lives live".split())

_PART_AS_OFTEN = frozenset("cup bowl pan case lid boot bucket hook peg cap jug pot".split())

_CUE_LISTS = (
    "double_negation.said", "not_looked.said", "not_negation.said", "aside.said", "hedge.before", "hedge.after", "near_none.before", "negation.before",
    "negation.after", "usual.said", "elsewhere.said", "hypothetical.said", "expected.said", "degree.slight", "degree.moderate",
    "degree.severe", "question.said", "hint.said", "warning.said",
)  # fmt: skip

_CHUNKED_CUES = frozenset(
    {"double_negation.said", "not_looked.said", "not_negation.said", "aside.said", "hedge.before", "hedge.after", "near_none.before",
     "negation.before", "negation.after", "degree.slight", "degree.moderate", "degree.severe", "expected.said"}
)  # fmt: skip


def _chunk_at(sheet: Sheet, at: int, before: Sequence[Chunk]) -> Chunk:
    piece = sheet.pieces[at]
    if piece.low == "not" and sheet.low(at + 1) == "one" and sheet.low(at + 2) == "of":
        return Chunk("part", at, at + 2, "not one", tag="O", pronoun="none", is_plural=True, is_negative=True)
    if piece.kind == "amount":
        return Chunk("amount", at, at + 1, piece.low, amount=piece.amount, value=piece.value)
    if piece.kind == "thread" and piece.thread is not None:
        return Chunk("thread", at, at + 1, piece.low, thread=piece.thread.name, length_mm=piece.thread.length_mm)
    if piece.kind == "sign":
        return Chunk("sign", at, at + 1, piece.low)
    condition = None if is_likeness(sheet, at) else condition_at(sheet, at, before)
    cue = _cue_at(sheet, at)
    if condition is not None and not is_subject(sheet, condition) and not _denies_next(sheet, condition, cue):
        return condition
    if cue is not None:
        return cue
    part = part_at(sheet, at)
    if part is not None:
        return part
    return _plain(sheet, at)


def _denies_next(sheet: Sheet, condition: Chunk, cue: Chunk | None) -> bool:
    """ "Free of corrosion", "clear of any cracks": words of freedom before a fault deny it, and are no condition."""
    if cue is None or cue.cue != "negation.before" or cue.end <= condition.end:
        return False
    at = cue.end
    while sheet.tag(at) in "DJR" and not sheet.match(at, "condition"):
        at += 1
    return sheet.match(at, "condition") is not None


def _plain(sheet: Sheet, at: int) -> Chunk:
    kinds = {
        "V": "verb", "B": "verb", "G": "verb", "E": "verb", "X": "aux", "S": "aux", "R": "adverb", "I": "preposition", "K": "particle",
        "C": "conjunction", "U": "subordinator", "W": "question", "H": "interjection", "Q": "number", "J": "adjective", "L": "adjective",
        "Z": "sign", "D": "determiner", "P": "determiner", "N": "part", "O": "part",
    }  # fmt: skip
    tag = sheet.tag(at)
    return Chunk(kinds.get(tag, "adverb"), at, at + 1, sheet.low(at), tag=tag, value=sheet.pieces[at].value)


def _cue_at(sheet: Sheet, at: int) -> Chunk | None:
    """Give the longest cue that stands as a chunk of its own (a bare "no" or "not" too)."""
    best: Match | None = None
    for match in sheet.matches.get(at, ()):
        if match.label not in _CHUNKED_CUES:
            continue
        if (
            best is None
            or match.end > best.end
            or (match.end == best.end and _CUE_LISTS.index(match.label) < _CUE_LISTS.index(best.label))
        ):
            best = match
    if best is None:
        return None
    low = " ".join(sheet.low(i) for i in range(best.start, best.end))
    if best.label.startswith("degree") and not _is_degree(sheet, best):
        return None
    if low == "no" and sheet.tag(at) == "H":
        return None
    if low in ("may", "likely", "fear", "doubt", "neither", "the odd", "nothing") and sheet.tag(at) in "NJ":
        return None
    if (
        low in ("neither", "none of", "not one of", "nothing")
        and sheet.low(best.end - (1 if low.endswith(" of") else 0)) == "of"
    ):
        return None
    if low == "not the" or low == "not one":
        return Chunk("cue", at, at + 1, "not", cue="negation.before")
    return Chunk("cue", best.start, best.end, low, cue=best.label)


def _is_degree(sheet: Sheet, match: Match) -> bool:
    """A degree word counts only before a condition: "light scoring", not "light housing"."""
    at = match.end
    for _ in range(3):
        if sheet.match(at, "condition") and not (
            sheet.match(at, "component") and sheet.tag(at) == "N" and sheet.tag(at + 1) == "N"
        ):
            return True
        if sheet.tag(at) not in "RJID" and sheet.low(at) not in ("of", "a", "bit"):
            return False
        at += 1
    return False


def _count_pronouns(chunks: list[Chunk]) -> list[Chunk]:
    """Take a bare number before a verb or a condition for that many of them: "two bent", "three have"."""
    for chunk, following in zip_longest(chunks, chunks[1:]):
        if chunk.kind != "number" or following is None or chunk.value is None or chunk.value.denominator != 1:
            continue
        if following.kind == "cue" and following.low in ("only", "slightly", "badly", "might be"):
            following = chunks[chunks.index(following) + 1] if chunks.index(following) + 1 < len(chunks) else following
        if (
            following.kind == "condition"
            or following.low in _VERBS_OF_PARTS
            or (following.kind == "aux" and following.low not in ("'s", "'d"))
        ):
            chunk.kind, chunk.pronoun, chunk.count, chunk.is_plural = (
                "part",
                "number",
                int(chunk.value),
                chunk.value != 1,
            )
    return chunks


_VERBS_OF_PARTS = frozenset("came come went were are have had was is need want look gone missing left".split())
