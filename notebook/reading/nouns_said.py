"""Singular and plural of nouns as the trade says them.

In: a word. Out: a word.
"""

from __future__ import annotations

from functools import cache

_IRREGULAR_SINGULAR = {
    "teeth": "tooth", "knives": "knife", "halves": "half", "shoes": "shoe", "axes": "axe", "leaves": "leaf", "shelves": "shelf",
    "feet": "foot", "men": "man", "vanes": "vane", "gases": "gas", "lenses": "lens", "bosses": "boss", "dice": "die",
    "wolves": "wolf", "calves": "calf", "valves": "valve", "sleeves": "sleeve", "grooves": "groove", "curves": "curve",
    "bushes": "bush", "bellows": "bellows", "chassis": "chassis", "points": "points", "brushes": "brush", "buses": "bus",
    "gearboxes": "gearbox", "boxes": "box", "axles": "axle", "taps": "tap", "dies": "die", "ties": "tie", "pies": "pie",
    "movies": "movie", "hooves": "hoof", "loaves": "loaf", "thous": "thou", "ways": "way", "jaws": "jaw", "series": "series",
    "edges": "edge", "gauges": "gauge", "hinges": "hinge", "flanges": "flange", "wedges": "wedge", "cages": "cage",
    "cases": "case", "hoses": "hose", "noses": "nose", "fuses": "fuse", "races": "race", "faces": "face", "pieces": "piece",
    "plates": "plate", "prizes": "prize", "sizes": "size", "traces": "trace", "braces": "brace", "splices": "splice",
    "phases": "phase", "asbestos": "asbestos", "lens": "lens", "gas": "gas", "pliers": "pliers", "molegrips": "molegrips",
    "tappets": "tappet", "bus": "bus", "brass": "brass", "contents": "contents", "always": "always", "previous": "previous", "bases": "base", "bruises": "bruise", "clearances": "clearance", "pinches": "pinch",
}  # fmt: skip


@cache
def singular(word: str) -> str:
    """Give the singular of a noun; a word that is no plural comes back as it is."""
    if word in _IRREGULAR_SINGULAR:
        return _IRREGULAR_SINGULAR[word]
    if len(word) < 4 or word.endswith(("ss", "us", "is")):
        return word
    for end, put in (("ies", "y"), ("sses", "ss"), ("shes", "sh"), ("ches", "ch"), ("xes", "x"), ("s", "")):
        if word.endswith(end):
            return word[: -len(end)] + put
    return word


def plural(word: str) -> str:
    """Give the regular plural of a noun."""
    for many, one in _IRREGULAR_SINGULAR.items():
        if one == word:
            return many
    if word.endswith(("s", "x", "sh", "ch")):
        return word + "es"
    if word.endswith("y") and word[-2:-1] not in "aeiou":
        return word[:-1] + "ies"
    return word + "s"
