"""Leaves out words that only look like a condition where they stand.

In: a sheet and a match. Out: whether the match may be a condition there.

Examples: "snapped clean in half" is not clean, "a slip of hardwood" does not slip.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.after_be import is_after_be
from notebook.reading.matching import Match
from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk, Sheet

_FEATURES = frozenset("notch groove flat lip step hole holes mark marks ridge taper slot chamfer dimple".split())

_PASTS = frozenset(
    "broke broken tore wore bent split cracked dropped snapped chipped blew blown spun stripped marked scored burnt cut dented sheared ripped loose picked".split()
)


def _is_adverb(low: str, following: str) -> bool:
    """ "Snapped clean in half", "dead in line": says how, not what it is like."""
    if low == "dead":
        return following in (
            "in",
            "on",
            "centre",
            "central",
            "level",
            "straight",
            "true",
            "square",
            "easy",
            "right",
            "flat",
        )
    return low == "clean" and following in _CLEAN_THROUGH


NEVER_NAMED = frozenset({"set", "metal", "water", "carbon"})

_CLEAN_THROUGH = frozenset("in off through out away across round over up to".split())


def is_likeness(sheet: Sheet, start: int) -> bool:
    """ "Dry as a chip", "hard as a rock", "like a drum": what something is likened to is no condition."""
    first = start - 1 if sheet.tag(start) not in "DP" else start
    if sheet.low(first - 2) == "much":
        return False
    return sheet.low(first - 1) in ("as", "like") and sheet.low(first) in ("a", "an", "the", "as")


def fits_here(sheet: Sheet, match: Match, low: str, before: Sequence[Chunk]) -> bool:
    """Leave out words that only look like a condition where they stand."""
    start, end = match.start, match.end
    previous, following = sheet.low(start - 1) if start else "", sheet.low(end)
    tag, next_tag = sheet.tag(start), sheet.tag(end)
    if low in _FEATURES and previous in ("its", "their", "his", "her", "your", "each", "every"):
        return False
    if low in ("hole", "holes"):
        return following in ("in", "through", "worn", "right", "you", "the", "where") and (
            previous in ("a", "an", "another", "no", "big", "small", "got", "worn", "two") or start == 0
        )
    if low == "hooked":
        return any("tooth" in (c.name or "") or "sprocket" in (c.name or "") for c in before)
    if _is_adverb(low, following):
        return False
    if low.endswith("ing") and previous in ("wi'out", "wi'oot"):
        return False
    if low.endswith("ing") and previous in ("from", "stop", "stops", "stopping", "prevent", "avoid", "prevents"):
        return False
    if tag == "G" and previous in ("from", "without", "stop", "stops", "prevent", "avoid"):
        return False
    if low in ("flat", "flats") and sheet.tag(start - 1) == "N" and following not in ("on", "in", "at"):
        return False
    if low in ("give", "rock", "slip", "lift") and (following == "or" or (tag == "N" and following == "of")):
        return False
    if low == "round":
        return (
            following not in ("the", "a", "it", "its", "to", "here", "and") and is_after_be(before)
        ) or previous in ("dead", "perfectly", "nice")
    if low in ("blow", "blown", "blows") and following == "me":
        return False
    if low == "had it" and following in (
        "off",
        "out",
        "in",
        "apart",
        "open",
        "up",
        "down",
        "on",
        "to",
        "from",
        "running",
    ):
        return False
    if low in ("in 2", "in 3", "in two", "in three", "in half") and (
        next_tag in "NQL"
        or following in ("and", "or", "of", "&")
        or previous in ("stuck", "fits", "fitted", "fit", "seized")
    ):
        return False
    if (
        low == "split"
        and _last_word(before) in _TAKEN_APART
        and following not in ("along", "down", "at", "right", "open", "in")
    ):
        return False
    if low == "bad" and previous == "as":
        return False
    if low == "wiped" and _last_word(before) not in (
        "shell",
        "bearing",
        "bush",
        "liner",
        "metal",
        "journal",
        "main",
        "lobe",
        "cam",
        "pad",
        "follower",
        "overlay",
        "face",
    ):
        return False
    if previous == "something" or (low == "well" and previous == "as"):
        return False
    if low == "lost" and (sheet.match(end + 1, "component") or _is_countable(sheet, end)):
        return True
    if low == "lost" and following in ("its", "their", "a", "the", "some", "his", "her", "all", "most", "one", "two"):
        return False
    if (
        low in ("spun", "spinning", "turned", "walked", "walking", "crept", "creeping")
        and _last_word(before) not in _SPINS
    ):
        return False
    if low == "open" and not _ELECTRIC & set(" ".join(c.low for c in before[-4:]).split()):
        return False
    if low == "marked" and (sheet.pieces[end].kind in ("number", "amount") if end < len(sheet.pieces) else False):
        return False
    if low == "turned" and not (previous in ("has", "have", "'s", "'ve", "had") and next_tag in "ZCUS"):
        return False
    if low == "spun" and (
        following in ("by", "it", "the", "her", "out", "off", "on", "in", "up", "over", "freely")
        or previous in ("i", "we")
    ):
        return False
    if low == "stuck" and following in ("to", "a", "the", "it", "them"):
        return False
    if low in ("slip", "slips", "slipping") and following in ("of", "on", "off", "the", "in", "out"):
        return False
    if low in ("metal", "carbon", "water") and sheet.tag(start - 1) == "N" and start:
        return False
    if (
        low in _PASTS
        and tag in ("V", "E")
        and next_tag in "DPO"
        and following not in ("it's", "that", "all", "both")
        and not is_after_be(before)
        and (not _is_done_by_part(before) or _is_broken_loose(sheet, end))
    ):
        return False
    if low == "cracked" and following in ("with", "off", "it", "them", "loose", "open"):
        return False
    if low in _COMING_OFF and _last_word(before) not in _LAID_ON:
        return False
    if low == "loose" and any(c.low in _BREAKS for c in before[-4:]):
        return False
    return True


def _is_countable(sheet: Sheet, at: int) -> bool:
    """ "Lost a tooth", "lost three of its blades"; not "lost its temper"."""
    return sheet.low(at) in ("a", "an", "one", "two", "three", "all", "half", "some", "most", "several") and any(
        singular(sheet.low(n)) in sheet.lexicon.heads or sheet.low(n) in ("tooth", "teeth")
        for n in (at + 1, at + 2, at + 3)
    )


def _is_done_by_part(before: Sequence[Chunk]) -> bool:
    """ "It stripped the hole", "the tip scored the drum": what a part did to another, not what the speaker did."""
    subject = next((c for c in reversed(before) if c.is_part), None)
    return subject is not None and (subject.pronoun in ("it", "that", "which", "they") or subject.name is not None)


def _is_broken_loose(sheet: Sheet, at: int) -> bool:
    """ "Broke those loose", "cracked it off": undoing, not damage."""
    return any(sheet.low(n) in ("loose", "free", "off", "out", "away", "open") for n in range(at, at + 4))


def _last_word(before: Sequence[Chunk]) -> str:
    part = next((c for c in reversed(before) if c.is_part and c.name), None)
    return (part.name or "").split()[-1] if part is not None and part.name else ""


_TAKEN_APART = frozenset(
    "coupling pack case cases crankcase crankcases engine gearbox caliper carb carburettor unit assembly".split()
)
""" "Coupling's split, the four bolts are in the tub": taken apart."""

_SPINS = frozenset(
    "bearing race ring bush bushing shell insert liner sleeve hub cup cone journal pin collar wheel pulley gear".split()
)

_ELECTRIC = frozenset(
    "coil coils winding windings phase phases fuse fuses circuit wire wires element elements diode diodes motor switch contacts contact sensor field lead leads one resistor heater".split()
)


def is_electric(component: str | None) -> bool:
    """ "The winding's short" is a short circuit; a spring is only short."""
    return bool(_ELECTRIC & set((component or "").split()))


_COMING_OFF = frozenset(
    {"lifted", "lifting", "come away", "coming away", "peeled", "peeling", "peeling off", "come unstuck"}
)

_LAID_ON = frozenset(
    (
        "lining liner paint chrome plating facing rubber coating gasket pad friction laminate veneer track trace seat shoe "
        "strip label cover lagging lino tread material"
    ).split()
)

_BREAKS = frozenset(
    "broke break breaks cracked crack worked work shook shake got get came come backed eased let tapped knocked rattled".split()
)
