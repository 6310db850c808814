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
    if tag == "Q" and (two := _two_numbers(sheet, at)) is not None:
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
            positions.append(f"number {_say_number(sheet, i + 1)}")
            i += 2
            if not nouns and sheet.low(i) in ("and", "&") and sheet.tag(i + 1) == "Q":
                positions[-1] += f" and {_say_number(sheet, i + 1)}"
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
            and (numbered := _numbers_after(sheet, i, nouns))
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
        elif tag == "L" or (tag == "J" and low in _POSITIONAL) or (low in ("left", "right") and tag in "LJ"):
            positions.append(low)
            i += 1
            if sheet.low(i) == "hand" and low in ("left", "right"):
                i += 1
            if sheet.low(i) in ("and", "&") and sheet.tag(i + 1) in "LJ" and sheet.low(i + 1) in _POSITIONAL:
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
            part.owner = _name_of(nouns)
            nouns = []
            i += 1
        else:
            break
    return _finish_part(sheet, part, at, i, nouns, positions)


def _numbers_after(sheet: Sheet, at: int, nouns: Sequence[str]) -> tuple[int | str, int] | None:
    """ "Cam lobes three and six are wiped" (which ones), "injectors two dribbling" (how many): numbers behind a name."""
    end, said = at, []
    while sheet.tag(end) == "Q" and _is_small(sheet, end):
        said.append(_say_number(sheet, end))
        end += 2 if sheet.low(end + 1) in ("and", "&", ",") and sheet.tag(end + 2) == "Q" else 1
    is_said_of = sheet.tag(end) in "SX" or (sheet.match(end, "condition") is not None and sheet.tag(end) in "EGJVR")
    if not said or not is_said_of or singular(nouns[-1]) not in sheet.lexicon.heads:
        return None
    if len(said) > 1:
        return f"{', '.join(said[:-1])} and {said[-1]}", end
    if singular(nouns[-1]) != nouns[-1]:
        value = sheet.pieces[at].value
        return (int(value), end) if value is not None and sheet.tag(end) not in "SX" else None
    return said[0], end


def _two_word_condition(sheet: Sheet, part: Chunk, start: int, at: int) -> Chunk | None:
    """ "A blue band", "a stiff link": a condition of two words that begins with an adjective."""
    match = sheet.match(at, "condition")
    if match is None or match.end - match.start < 2 or all(c.form != "noun" for c in match.meaning) or at == start:
        return None
    return _named_condition(sheet, part, start, at)


def _two_numbers(sheet: Sheet, at: int) -> Chunk | None:
    """ "Seats one and two are recessed, | three and four alright": which ones, said by their numbers alone."""
    if sheet.low(at + 1) not in ("and", "&") or sheet.tag(at + 2) != "Q" or (at and sheet.tag(at - 1) not in "ZCHR"):
        return None
    if not (_is_small(sheet, at) and _is_small(sheet, at + 2)) or sheet.pieces[at].value == sheet.pieces[at + 2].value:
        return None
    is_said_of = sheet.tag(at + 3) in "SX" or (
        sheet.match(at + 3, "condition") is not None and sheet.tag(at + 3) in "EGJVR"
    )
    if not is_said_of:
        return None
    said = f"{_say_number(sheet, at)} and {_say_number(sheet, at + 2)}"
    return Chunk("part", at, at + 3, said, tag="Q", pronoun="one", position=said, is_plural=True)


def _is_small(sheet: Sheet, at: int) -> bool:
    value = sheet.pieces[at].value
    return value is not None and value.denominator == 1 and 0 < value <= 16


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

_POSITIONAL = frozenset(
    (
        "left right inner outer front rear back top bottom upper lower inside outside near far first second "
        "third fourth fifth sixth seventh eighth inboard outboard inlet exhaust nearside offside middle "
        "centre central leading trailing rearmost foremost port starboard outermost innermost topmost last "
        "intake"
    ).split()
)


def _say_number(sheet: Sheet, at: int) -> str:
    words = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    value = sheet.pieces[at].value
    if value is not None and value.denominator == 1 and 0 <= value < len(words):
        return words[int(value)]
    return sheet.low(at)


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
    if not fits_here(sheet, match, low, {"noun": noun}, ()) or low in NEVER_NAMED:
        return None
    words = [*part.adjectives, *(text for _, text in part.attributes)]
    if low in PART_TOO and sheet.tag(match.end) in "SX":
        return None
    return Chunk(
        "condition", start, match.end, low, tag="noun", conditions=(noun,), count=part.count, determiner=part.determiner,
        is_negative=part.is_negative, adjectives=words, is_plural=singular(low) != low,
    )  # fmt: skip


def _finish_part(sheet: Sheet, part: Chunk, at: int, end: int, nouns: list[str], positions: list[str]) -> Chunk | None:
    if end == at:
        return None
    if sheet.low(end - 1) in ("'s",):
        end -= 1
    if not nouns:
        while end > at + 1 and sheet.tag(end - 1) in "JR" and sheet.low(end - 1) not in _POSITIONAL:
            end -= 1
        part.adjectives = []
    part.end = end
    part.low = " ".join(sheet.low(i) for i in range(at, end))
    part.position = " ".join(positions) or None
    if not nouns:
        return _headless(sheet, part, at, end)
    if nouns[-1] in ("one", "ones"):
        part.pronoun = "one" if nouns[-1] == "one" else "ones"
        part.is_plural = nouns[-1] == "ones"
        return part
    if nouns[0] in ("couple", "pair") and len(nouns) > 1:
        nouns = nouns[1:]
        part.count = 2
    head = nouns[-1]
    is_end = tuple(nouns) in sheet.lexicon.components and nouns[0] not in _POSITIONAL
    if (
        not is_end
        and head in ("side", "sides", "end", "ends")
        and len(nouns) + len(positions) + len(part.adjectives) > 0
    ):
        return _place_only(part, nouns, positions)
    part.is_plural = singular(head) != head or head in ("teeth", "points")
    part.name = _name_of(nouns)
    part.is_known = tuple(part.name.split()) in sheet.lexicon.components or singular(head) in sheet.lexicon.heads
    is_component = tuple(part.name.split()) in sheet.lexicon.components
    part.is_unspecific = (
        head in sheet.lexicon.unspecific
        and not (part.is_known and (is_component or len(nouns) > 1))
        and all(n in sheet.lexicon.unspecific for n in nouns)
    ) or (not part.is_known and singular(head) in sheet.lexicon.no_things)
    if head == "way" and len(nouns) == 1:
        part.is_unspecific = True
    if at and sheet.pieces[at - 1].kind == "amount" and singular(head) in _HEADS_OF_TOOLS and len(nouns) == 1:
        part.is_unspecific = True
    if part.is_unspecific and part.owner and singular(head) in _INSIDES:
        part.name, part.is_unspecific = part.owner, False
    if part.is_unspecific:
        part.is_known = False
    part.container = singular(head) in sheet.lexicon.containers
    phrase = tuple(nouns)
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.fasteners:
            part.fastener = sheet.lexicon.fasteners[phrase[n:]]
            part.tag = " ".join(phrase[:n])
            break
    adjectives = tuple(part.adjectives)
    for n in range(len(adjectives)):
        if (*adjectives[n:], *phrase) in sheet.lexicon.fasteners:
            part.fastener = sheet.lexicon.fasteners[(*adjectives[n:], *phrase)]
            part.tag = ""
            break
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.quantities:
            part.quantity = sheet.lexicon.quantities[phrase[n:]]
            part.owner = part.owner or (_name_of(list(phrase[:n])) if n else None)
            break
    for n in range(len(phrase)):
        if phrase[n:] in sheet.lexicon.tools:
            part.tool = " ".join((*adjectives, *phrase))
            part.is_known = part.is_known and is_component
            break
    return part


_INSIDES = frozenset(
    {"internal", "inside", "gut", "innard", "surface", "condition", "state", "edge", "end", "outside", "body"}
)
""" "The cylinder's internals are gummed up": the cylinder is."""

_HEADS_OF_TOOLS = frozenset("head hex socket spanner wrench key driver ring bit".split())


def _place_only(part: Chunk, nouns: list[str], positions: list[str]) -> Chunk:
    """Read a place that stands for what sits there: "flywheel side", "the dial end", "both sides"."""
    part.position = " ".join([*positions, *part.adjectives, *nouns[:-1], singular(nouns[-1])])
    part.pronoun = "place"
    part.is_plural = nouns[-1].endswith("s")
    part.adjectives = []
    return part


def _headless(sheet: Sheet, part: Chunk, at: int, end: int) -> Chunk | None:
    """Read a phrase without a noun: "the other two", "both", "all eight", "the left", "the rest"."""
    words = part.low.split()
    if part.count is not None or any(
        w in ("both", "all", "none", "neither", "each", "either", "other", "others", "rest", "same") for w in words
    ):
        part.pronoun = (
            "other"
            if "other" in words or "others" in words
            else words[0]
            if words[0] in ("both", "all", "none", "neither", "each", "either")
            else "number"
        )
        part.is_plural = True
        part.is_negative = part.is_negative or part.pronoun in ("none", "neither")
        return part
    if part.position and (part.determiner or sheet.tag(end) in "SX" or sheet.low(end) in (",", "'s")):
        part.pronoun = "one"
        return part
    if part.determiner in ("this", "that", "these", "those"):
        part.pronoun = part.determiner
        return part
    return None


def _name_of(nouns: list[str]) -> str:
    return " ".join([*nouns[:-1], singular(nouns[-1])])
