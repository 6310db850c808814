"""Reads determiner, count, position, conditions and nouns into one part.

In: a sheet and a place in it. Out: a part chunk, a condition with what stands before it, or None.

Examples: "two cracked shoes", "the drive side bearing", "the other two", "a hairline".
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.condition_places import NEVER_NAMED, fits_here, is_likeness
from notebook.reading.conditions_said import PART_TOO, PREDICATE_ONLY
from notebook.reading.lexicon import Condition
from notebook.reading.nouns_said import singular
from notebook.reading.numbered_parts import numbers_after, say_number, two_numbers
from notebook.reading.part_ends import POSITIONAL, finish_part, name_of
from notebook.reading.sheets import Chunk, Sheet, inside_name, is_clause_after


def part_at(sheet: Sheet, at: int) -> Chunk | None:
    tag = sheet.tag(at)
    low = sheet.low(at)
    if tag == "O" and low not in ("nothing", "something", "anything", "everything"):
        return Chunk(
            "part",
            at,
            at + 1,
            low,
            tag="O",
            pronoun=_pronoun(low),
            is_plural=low in ("they", "them", "these", "those", "ones", "'em", "em", "both", "others"),
        )
    if tag not in "DPQLJNT" and not (low == "off" and sheet.low(at + 1) == "side" and sheet.tag(at - 1) not in "VEBN"):
        return None
    if tag == "Q" and (two := two_numbers(sheet, at)) is not None:
        return two
    if (
        tag == "Q"
        and sheet.pieces[at].kind == "number"
        and sheet.low(at) != "one"
        and sheet.tag(at + 1) not in "NLJ"
        and sheet.low(at + 1) not in ("of", "other")
    ):
        return Chunk("number", at, at + 1, low, tag="Q", value=sheet.pieces[at].value)
    return _noun_phrase(sheet, at)


def _pronoun(low: str) -> str:
    return {"they": "they", "them": "they", "'em": "they", "em": "they", "it": "it", "one": "one", "ones": "ones"}.get(
        low, low
    )


def _noun_phrase(sheet: Sheet, at: int) -> Chunk | None:
    """Read determiner, count, positions, adjectives, conditions and nouns into one part."""
    part = Chunk("part", at, at, "")
    nouns: list[str] = []
    positions: list[str] = []
    i = at
    while i < len(sheet.pieces):
        tag, low = sheet.tag(i), sheet.low(i)
        if (
            tag in "DP"
            and not nouns
            and not positions
            and (i == at or sheet.low(i - 1) in ("all", "both", "half", "each", "of"))
        ):
            part.determiner = low
            part.is_negative |= low in ("no", "neither", "none")
            if low in ("both", "neither"):
                part.count = part.of = 2
            i += 1
        elif low in ("number", "no.", "numbers") and sheet.tag(i + 1) == "Q":
            positions.append(f"number {say_number(sheet, i + 1)}")
            i += 2
            if not nouns and sheet.low(i) in ("and", "&") and sheet.tag(i + 1) == "Q":
                positions[-1] += f" and {say_number(sheet, i + 1)}"
                i += 2
        elif tag == "Q" and not nouns and sheet.low(i + 1) in _WAYS and sheet.tag(i + 2) in "NJ":
            i += 2
        elif (
            tag == "Q"
            and not nouns
            and (value := sheet.pieces[i].value) is not None
            and value.denominator == 1
            and not positions
        ):
            part.count = int(value)
            i += 1
        elif (
            nouns
            and tag == "Q"
            and not positions
            and part.count is None
            and (numbered := numbers_after(sheet, i, nouns))
        ):
            if isinstance(numbered[0], int):
                part.count = numbered[0]
            else:
                positions.append(numbered[0])
            i = numbered[1]
            break
        elif nouns and tag in "LJ" and sheet.tag(i + 1) in "SXZV":
            break
        elif (
            low == "off"
            and not nouns
            and sheet.low(i + 1) in ("side", "hand")
            and (i == at or sheet.tag(i - 1) in "DP")
        ):
            positions.append("off")
            i += 1
        elif tag == "L" or (tag == "J" and low in POSITIONAL) or (low in ("left", "right") and tag in "LJ"):
            positions.append(low)
            i += 1
            if sheet.low(i) == "hand" and low in ("left", "right"):
                i += 1
            if sheet.low(i) in ("and", "&") and sheet.tag(i + 1) in "LJ" and sheet.low(i + 1) in POSITIONAL:
                positions[-1] += f" and {sheet.low(i + 1)}"
                i += 2
        elif not nouns and (found := _attribute(sheet, i)) is not None:
            part.attributes.append(found[0])
            i = found[1]
        elif tag == "J" and not nouns and (named := _two_word_condition(sheet, part, at, i)) is not None:
            return named
        elif tag == "J" and not nouns:
            part.adjectives.append(low)
            i += 1
        elif tag == "R" and not nouns and low in ("very", "quite", "really", "nearly", "almost", "about") and i > at:
            i += 1
        elif (
            (tag in "NJ" or (tag in "EV" and sheet.tag(i + 1) == "N"))
            and not nouns
            and (named := _named_condition(sheet, part, at, i)) is not None
        ):
            return named
        elif low in ("end", "side") and positions and not nouns and tag == "N" and sheet.tag(i + 1) == "N":
            positions[-1] += f" {low}"
            i += 1
        elif nouns in (["rest"], ["others"], ["remainder"]) and sheet.match(i, "condition"):
            break
        elif nouns and (low == "ones" or (low == "one" and sheet.tag(i + 1) in "SX")):
            part.adjectives.extend(nouns)
            nouns = [low]
            i += 1
            break
        elif (tag == "J" and not nouns and positions and sheet.tag(i + 1) in "ZR" and sheet.match(i, "condition")) or (
            nouns in (["side"], ["end"])
            and part.determiner
            and not (positions or part.adjectives)
            and is_clause_after(sheet, i)
        ):
            break
        elif tag == "Q" and not nouns and (known := sheet.match(i, "component")) is not None and known.end - i > 1:
            nouns.extend(sheet.low(n) for n in range(i, known.end))
            i = known.end
        elif low == "dozen" and not nouns and sheet.tag(i + 1) in "NJLDRO":
            part.count = 6 if part.determiner == "half" or sheet.low(i - 2) == "half" else 12
            i += 1
        elif tag == "N" or (tag == "J" and nouns and sheet.tag(i + 1) == "N") or (low in ("one", "ones") and not nouns):
            if _condition_head(sheet, i, nouns) is not None or _begins_anew(sheet, i, part, nouns):
                break
            nouns.append(low)
            i += 1
        elif low == "'s" and tag == "P" and nouns:
            part.owner = name_of(nouns)
            nouns = []
            i += 1
        else:
            break
    return finish_part(sheet, part, at, i, nouns, positions)


def _two_word_condition(sheet: Sheet, part: Chunk, start: int, at: int) -> Chunk | None:
    """ "A blue band", "a stiff link": a condition of two words that begins with an adjective."""
    match = sheet.match(at, "condition")
    if match is None or match.end - match.start < 2 or all(c.form != "noun" for c in match.meaning) or at == start:
        return None
    return _named_condition(sheet, part, start, at)


_ONE_OF = frozenset("a an one another each every this that".split())


def _begins_anew(sheet: Sheet, at: int, part: Chunk, nouns: Sequence[str]) -> bool:
    """ "Nothing you'd feel with a nail | vanes though": after "a" a name cannot end in the plural."""
    return (
        bool(nouns)
        and part.determiner in _ONE_OF
        and singular(sheet.low(at)) != sheet.low(at)
        and sheet.tag(at + 1) != "N"
        and singular(sheet.low(at)) in sheet.lexicon.heads
    )


_WAYS = frozenset(
    "speed way leg jaw cylinder stage piece phase start row point pin pole throw stroke speeds ply inch pound ton hole bolt".split()
)
""" "Three speed hub": the number belongs to the name."""


_HELD = frozenset("stiff tight dead hard soft thin loose flat open dry hot".split())
""" "Has a stiff link": words that are conditions before a noun only in what something has."""


def _attribute(sheet: Sheet, at: int) -> tuple[tuple[Condition, str], int] | None:
    """Read a condition before its noun: "cracked shoe", "worn out bush"."""
    match = sheet.match(at, "condition")
    if match is None or (sheet.tag(match.end) not in "NLJ" and not sheet.match(match.end, "condition")):
        return None
    low = " ".join(sheet.low(i) for i in range(match.start, match.end))
    if (
        low in PREDICATE_ONLY
        and not (
            low in _HELD
            and sheet.low(at - 1) in ("a", "an", "one", "two")
            and sheet.low(at - 2) in ("has", "got", "have", "with")
        )
    ) or (
        sheet.match(at, "component") and sheet.match(at, "component").end > match.end  # type: ignore[union-attr]
    ):
        return None
    adjective = next((c for c in match.meaning if c.form == "adjective"), None)
    if adjective is None or not _reaches_noun(sheet, match.end):
        return None
    return (adjective, low), match.end


def _reaches_noun(sheet: Sheet, at: int) -> bool:
    steps = at
    while steps < len(sheet.pieces) and sheet.tag(steps) in "JL":
        steps += 1
    return (
        (sheet.tag(steps) == "N" and not is_clause_after(sheet, at))
        or sheet.low(steps) in ("one", "ones")
        or (sheet.tag(steps) == "N" and sheet.tag(at - 2) in "DPQ")
    )


def _condition_head(sheet: Sheet, at: int, nouns: Sequence[str]) -> int | None:
    """Stop a name where a condition noun ends it: "bearing | play", "tooth | wear"."""
    match = sheet.match(at, "condition")
    if match is None or not nouns or inside_name(sheet, match.start, match.end):
        return None
    if sheet.match(at, "component") or sheet.match(at, "fastener"):
        if sheet.low(at) not in ("wear", "play", "lip", "damage"):
            return None
    if (
        any(c.form in ("noun", "verb") for c in match.meaning)
        and sheet.tag(match.end) != "N"
        and sheet.low(at) not in ("hole", "holes", "step", "mark", "marks", "set", "break", "lip")
    ):
        return match.end
    if (
        any(c.form == "adjective" for c in match.meaning)
        and sheet.tag(match.end) not in "N"
        and sheet.tag(at) in "JEGR"
    ):
        return match.end
    return None


def _named_condition(sheet: Sheet, part: Chunk, start: int, at: int) -> Chunk | None:
    """Read a condition that is a noun with what stands before it: "a hairline", "two small chips", "any play"."""
    match = sheet.match(at, "condition")
    if (
        match is None
        or at == start
        or sheet.match(at, "component")
        or sheet.match(at, "fastener")
        or sheet.tag(match.end) == "N"
    ):
        if (
            match is None
            or at == start
            or sheet.tag(match.end) == "N"
            or sheet.low(at) not in ("wear", "play", "damage", "lip")
        ):
            return None
    noun = next((c for c in match.meaning if c.form == "noun"), None)
    if noun is None or is_likeness(sheet, start):
        return None
    low = " ".join(sheet.low(i) for i in range(match.start, match.end))
    if not fits_here(sheet, match, low, ()) or low in NEVER_NAMED:
        return None
    words = [*part.adjectives, *(text for _, text in part.attributes)]
    if low in PART_TOO and sheet.tag(match.end) in "SX":
        return None
    return Chunk(
        "condition", start, match.end, low, tag="noun", conditions=(noun,), count=part.count, determiner=part.determiner,
        is_negative=part.is_negative or part.count == 0, adjectives=words, is_plural=singular(low) != low,
    )  # fmt: skip
