"""Tells whether words are a condition where they stand, and as what kind of word.

In: a sheet, a place in it, and the chunks before. Out: a condition chunk, or None.

Examples: "bore's flat" is a condition, "flat washer" none; "dry as a chip" holds one, and it is not "chip".
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from notebook.reading.after_be import is_after_be
from notebook.reading.condition_places import fits_here
from notebook.reading.lexicon import Condition
from notebook.reading.matching import Match
from notebook.reading.sheets import Chunk, Sheet, inside_name, is_clause_after

# Words that are conditions only when they stand behind the verb ("it's flat"), never before a noun ("flat washer").
PREDICATE_ONLY = frozenset(
    (
        "flat round free true even hollow thin solid soft hard open black blue brown wet thick fine good "
        "great nice lovely grand tidy decent sharp smooth silent clear bright sound proper well low short "
        "lost away tight light clean dry straight sweet choice right sealing split stiff dead stranded "
        "polished hardened tapered stepped grooved notched fair whole perfect serviceable usable beautiful "
        "cracking champion brand-new excellent spent done finished been crisp mint quiet rounded spring "
        "sealed milky metallic dished stretch hot proud oily greasy coned cupped flush recessed sunk raised "
        "set square intermittent bare dropped"
    ).split()
)

_STARTING = frozenset("start starts starting started begin begins beginning began tending trying".split())
_NEVER_ALONE = frozenset({"set", "step", "stain", "give", "lift", "shake", "movement", "break", "slip", "drag", "short", "noise", "metal",
                          "water", "carbon", "hole", "holes", "mark", "marks", "wear", "silver", "open", "leak", "blow", "knock", "lip"})  # fmt: skip


def is_subject(sheet: Sheet, condition: Chunk) -> bool:
    """A word that may name a part does when something is said of it: "hole's stripped", "lip is worn"."""
    if condition.tag != "noun" or condition.end - condition.start > 1 or condition.low not in PART_TOO:
        return False
    if sheet.tag(condition.end) not in "SX":
        return False
    after = condition.end + 1
    while sheet.tag(after) in "R":
        after += 1
    return sheet.match(after, "condition") is not None or sheet.tag(after) in "EJ"


PART_TOO = frozenset(
    "hole holes lip metal mark marks step ridge edge groove grooves pit split taper burr carbon water set drag click clicks".split()
)


def condition_at(sheet: Sheet, at: int, before: Sequence[Chunk]) -> Chunk | None:
    match = sheet.match(at, "condition")
    if match is None:
        return None
    low = " ".join(sheet.low(i) for i in range(match.start, match.end))
    conditions: tuple[Condition, ...] = match.meaning
    chosen = _choose_form(sheet, match, low, conditions, before)
    if chosen is None:
        return None
    return Chunk("condition", match.start, match.end, low, tag=chosen.form, conditions=(chosen,))


def _choose_form(
    sheet: Sheet, match: Match, low: str, conditions: Sequence[Condition], before: Sequence[Chunk]
) -> Condition | None:
    """Decide whether the words are a condition here, and as what kind of word."""
    start, end = match.start, match.end
    forms = {c.form: c for c in conditions}
    longer = max(
        (m.end for m in sheet.matches.get(start, ()) if m.label in ("component", "fastener", "tool")), default=start
    )
    if longer > end:
        return None
    if longer == end and end - start >= 2:
        return None
    previous, following = sheet.tag(start - 1) if start else "Z", sheet.tag(end)
    tag = sheet.tag(start)
    one_word = end - start == 1
    if inside_name(sheet, start, end):
        return None
    if one_word and tag in ("H",):
        return None
    if low in _AFTER_BE and not (
        (before and before[-1].low in _BE_FORMS)
        or (len(before) > 1 and before[-1].kind in ("adverb", "cue") and before[-2].low in _BE_FORMS)
        or (low == "wet" and before and before[-1].is_part and sheet.tag(end) in "ZC")
    ):
        return None
    if low in ("let go", "letting go", "lets go") and not any(
        (c.name or "").split()[-1:] == [w]
        for c in before
        if c.is_part
        for w in ("seal", "gasket", "hose", "joint", "union", "gland", "valve", "lining", "weld", "bond")
    ):
        return None
    if not fits_here(sheet, match, low, before):
        return None
    if low == "shot" and (sheet.low(end) == "of" or (start and sheet.tag(start - 1) in "DPQ")):
        return None
    if (
        one_word
        and "adjective" in forms
        and sheet.low(start - 1) in ("'ve", "have", "had", "'d")
        and sheet.low(start - 2) in ("i", "we", "you", "they", "he", "she")
        and following in "DPNO"
    ):
        return None
    if (
        following == "O"
        and sheet.low(end) in ("it", "them", "that", "him", "her")
        and "verb" not in forms
        and sheet.tag(end + 1) not in "SXV"
    ):
        return None
    if one_word and tag == "B" and previous == "I" and sheet.low(start - 2) not in _STARTING:
        return None
    if one_word and low in _NEVER_ALONE and following == "N":
        return None
    noun_before = (
        previous in "DPQ"
        or (before and before[-1].cue in _NOUN_CUES)
        or sheet.low(start - 1) in ("of", "any", "some", "no", "got", "got")
    )
    if one_word and tag == "V" and previous == "N" and "verb" in forms and "adjective" not in forms:
        return forms["verb"]
    if following in "NL" and one_word and not is_clause_after(sheet, end):
        if "adjective" in forms and low not in PREDICATE_ONLY and sheet.tag(end) == "N":
            return (
                None
                if _is_predicate(sheet, start, before) is False and _part_follows(sheet, end)
                else _adjective_or_none(sheet, forms, end, before)
            )
        if low in PREDICATE_ONLY and not is_after_be(before):
            return None
        if (
            "adjective" not in forms
            and "noun" in forms
            and sheet.tag(end) == "N"
            and low not in ("scoring", "pitting", "cracks", "burrs")
        ):
            return None
    if one_word and "adjective" in forms and sheet.low(start - 1) == "call" and sheet.low(start - 2) in ("'d", "would"):
        return forms["adjective"]
    is_verdict = low in PREDICATE_ONLY or ("adjective" in forms and forms["adjective"].polarity == "good")
    if one_word and is_verdict and "adjective" in forms and not _is_predicate(sheet, start, before):
        if "noun" in forms and noun_before:
            return forms["noun"]
        return None
    if (
        "noun" in forms
        and ("adjective" not in forms or noun_before)
        and ("verb" not in forms or noun_before or tag in "NG")
    ):
        if (
            one_word
            and low in _NEVER_ALONE
            and not (noun_before or _has_there(before) or previous in "JI" or _owned(sheet, start))
        ):
            return forms.get("verb") if tag in "V" else None
        return forms["noun"]
    if "adjective" in forms:
        return forms["adjective"]
    if "verb" in forms:
        if one_word and tag in "NGJ" and "noun" not in forms:
            return None
        if tag in "NB" and "noun" in forms:
            return forms["noun"]
        return forms["verb"] if tag != "B" or _follows_do(before) else None
    return None


def _follows_do(before: Sequence[Chunk]) -> bool:
    """ "It doesn't leak" says what it does; "stick the base on" is an order."""
    return bool(before) and (before[-1].kind in ("aux", "cue", "adverb") or before[-1].is_part)


def _adjective_or_none(
    sheet: Sheet, forms: Mapping[str, Condition], end: int, before: Sequence[Chunk]
) -> Condition | None:
    return forms["adjective"] if is_after_be(before) and not _part_follows_tightly(sheet, end) else None


def _part_follows_tightly(sheet: Sheet, at: int) -> bool:
    return sheet.tag(at) == "N" and not is_clause_after(sheet, at)


_AFTER_BE = frozenset({"right enough", "done", "spent", "finished", "wet", "blue", "done for", "well"})

_BE_FORMS = frozenset("is are was were 's 're be been being look looks looked isn't aren't gone going".split())

_NOUN_CUES = frozenset(
    {"negation.before", "near_none.before", "degree.slight", "degree.moderate", "degree.severe", "hedge.before"}
)


def _is_predicate(sheet: Sheet, start: int, before: Sequence[Chunk]) -> bool:
    """Tell whether an adjective is said of what went before: "bore's flat", "springs all good", "it, dry"."""
    if is_after_be(before):
        return True
    previous = sheet.tag(start - 1) if start else "Z"
    following = sheet.tag(start + 1)
    if previous in "RNOKQ" and following in "ZCURIX":
        return True
    if previous in "VBG" and following in "ZCUR" and sheet.low(start - 1) in _MOVES:
        return True
    if previous == "Z" and following in "ZCR" and start:
        return True
    if (not start and sheet.low(start + 1) in ("too", "enough", "also", "an")) or (
        sheet.low(start + 1) == "as" and sheet.low(start + 2) == "well"
    ):
        return True
    if sheet.low(start - 1) in ("all", "both", "and", "or", "but", "nice", "still", "as", "pretty", "dead", "bone"):
        return following not in "N"
    return False


_MOVES = frozenset(
    "flow flows run runs turn turns work works move moves slide slides spin spins roll rolls seat seats go goes feel feels look looks came come comes sit sits measure measures".split()
)


def _has_there(before: Sequence[Chunk]) -> bool:
    return any(
        c.low in ("there", "got", "has", "have", "had", "with", "find", "found", "see", "feel") for c in before[-4:]
    )


def _owned(sheet: Sheet, start: int) -> bool:
    return start > 0 and sheet.tag(start - 1) == "N"


def _part_follows(sheet: Sheet, at: int) -> bool:
    return sheet.tag(at) == "N"
