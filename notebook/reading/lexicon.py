"""The words the reader knows: classes of everyday words, and the trade's names and conditions.

In: the data files of this package, and a shop's own words. Out: one `Lexicon`, made once.
Never reads a remark.
"""

from __future__ import annotations

import csv
import io
import tomllib
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any

from notebook.reading.words import split_words

Phrase = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Condition:
    """One way of saying a condition: the term an entry holds, and what kind of word it is."""

    term: str
    polarity: str
    """`defect`, `watch`, `neutral` or `good`."""
    form: str
    """`adjective`, `noun` or `verb`."""


@dataclass(slots=True)
class Lexicon:
    """All words, ready for matching: phrases are tuples of lower-case words."""

    classes: dict[str, frozenset[str]]
    """Word -> classes: determiner, noun..., and verb forms base, s, ed, en, ing."""
    lemmas: dict[str, str]
    """Verb form -> its base."""
    conditions: dict[Phrase, tuple[Condition, ...]]
    components: dict[Phrase, str]
    """Name, synonym or plural -> the plain singular as said ("con rods" -> "con rod")."""
    kinds_of: dict[str, str] = field(default_factory=dict)
    """Component -> its table name ("con rod" -> "connecting rod")."""
    fasteners: dict[Phrase, str] = field(default_factory=dict)
    quantities: dict[Phrase, str] = field(default_factory=dict)
    tools: dict[Phrase, str] = field(default_factory=dict)
    containers: frozenset[str] = frozenset()
    unspecific: frozenset[str] = frozenset()
    no_things: frozenset[str] = frozenset()
    """Everyday nouns that name nothing one can hold: people, times, acts, states."""
    safety_critical: frozenset[str] = frozenset()

    heads: frozenset[str] = frozenset()
    """Last words of component names: "plate", "bearing"; a new name that ends so is surely a part."""
    nouny: frozenset[str] = frozenset()
    """Words that can be verbs and are parts or things at least as often."""

    def is_nouny(self, low: str) -> bool:
        """Tell whether a word that can be a verb is as often a thing."""
        return low in self.nouny

    def word_classes(self, low: str) -> frozenset[str]:
        """Give the classes of a word; an unknown word is taken for a noun (or by its ending)."""
        known = self.classes.get(low)
        if known is not None:
            return known
        if low.endswith("ly") and len(low) > 4:
            return _ADVERB
        if low.endswith("ed") and len(low) > 4 and not low.endswith(("eed", "bed", "red", "sled")):
            return _PAST
        return _NOUN


_ADVERB = frozenset({"adverb"})
_NOUN = frozenset({"noun"})
_PAST = frozenset({"ed"})
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


def phrase_of(text: str) -> Phrase:
    """Cut a phrase into the words the reader would see."""
    return tuple(t.low for t in split_words(text) if t.low not in ("-", ",", ";"))


def read_rows(name: str) -> Iterator[dict[str, str]]:
    """Give the rows of a CSV file of the package."""
    text = resources.files("notebook.reading").joinpath("data", name).read_text("utf-8")
    yield from csv.DictReader(io.StringIO(text))


def read_toml(name: str) -> dict[str, Any]:
    """Give the contents of a TOML file of the package."""
    return tomllib.loads(resources.files("notebook.reading").joinpath("data", name).read_text("utf-8"))


@cache
def standard_lexicon() -> Lexicon:
    """Load the lexicon that comes with the package; about a tenth of a second, once."""
    classes, lemmas, nouny = _load_classes()
    trade = read_toml("trade.toml")
    components, tables, safety = _load_components()
    return Lexicon(
        classes=classes,
        lemmas=lemmas,
        conditions=_load_conditions(),
        components=components,
        kinds_of=tables,
        safety_critical=safety,
        heads=frozenset(phrase[-1] for phrase in components) - _NO_HEADS,
        nouny=nouny | frozenset(word for phrase in components for word in phrase if word not in _SELDOM_THINGS),
        fasteners=dict(_with_plurals((said, form) for form, list_ in trade["fastener"].items() for said in list_)),
        quantities={phrase_of(said): name for name, list_ in trade["quantity"].items() for said in list_},
        tools=dict(_with_plurals((said, said) for said in trade["tool"]["phrases"])),
        containers=frozenset(trade["place"]["containers"].split()),
        unspecific=frozenset(trade["unspecific"]["nouns"].split()),
        no_things=frozenset(read_toml("english.toml")["no_things"].split()),
    )


_NO_HEADS = frozenset("set up in on out off end ends box system pan change light start stop switch lift".split())
_SELDOM_THINGS = frozenset("run runs start starts change changes lift kick slow hot wet dry".split())


def _load_classes() -> tuple[dict[str, frozenset[str]], dict[str, str], frozenset[str]]:
    words = read_toml("words.toml")
    classes: dict[str, set[str]] = defaultdict(set)
    lemmas: dict[str, str] = {}
    irregular: Mapping[str, str] = words.pop("irregular")
    bases = words.pop("verbs").split()
    nouny = frozenset(words.pop("nouny").split())
    for name, text in words.items():
        for word in text.split():
            classes[word].add(name)
    for base in bases:
        _add_verb(base, irregular.get(base), classes, lemmas)
    for base, forms in irregular.items():
        if base not in bases:
            _add_verb(base, forms, classes, lemmas)
    nouny |= _add_english(classes, lemmas)
    return {word: frozenset(names) for word, names in classes.items()}, lemmas, nouny


def _add_english(classes: dict[str, set[str]], lemmas: dict[str, str]) -> frozenset[str]:
    """Add the commoner English verbs, adjectives and adverbs that are not listed by hand; give the verbs that are nouns too."""
    english = read_toml("english.toml")
    irregular: Mapping[str, str] = english["irregular"]
    listed = set(classes)
    too = english["verbs_too"].split()
    for base in (*english["verbs"].split(), *too):
        if base not in listed:
            _add_verb(base, None, classes, lemmas)
            for form in irregular.get(base, "").split():
                classes[form].add(_form_class(form))
                lemmas.setdefault(form, base)
    for name, key in (("adjective", "adjectives"), ("adverb", "adverbs")):
        for word in english[key].split():
            if word not in listed:
                classes[word].add(name)
    return frozenset(w for base in too if base not in listed for w in (base, plural(base)))


def _add_verb(base: str, irregular: str | None, classes: dict[str, set[str]], lemmas: dict[str, str]) -> None:
    classes[base].add("base")
    lemmas.setdefault(base, base)
    forms = irregular.split() if irregular else []
    for form in forms:
        classes[form].add(_form_class(form))
        lemmas[form] = base
    if not forms:
        for form, name in _regular_forms(base):
            classes[form].add(name)
            lemmas.setdefault(form, base)


def _form_class(form: str) -> str:
    if form.endswith("ing"):
        return "ing"
    if form.endswith("s") and form not in ("was",):
        return "s"
    return "ed"


def _regular_forms(base: str) -> Iterator[tuple[str, str]]:
    if base.endswith(("s", "x", "sh", "ch", "z")):
        yield base + "es", "s"
    elif base.endswith("y") and base[-2] not in "aeiou":
        yield base[:-1] + "ies", "s"
    else:
        yield base + "s", "s"
    if base.endswith("e") and not base.endswith("ee"):
        yield base + "d", "ed"
        yield base[:-1] + "ing", "ing"
    elif base.endswith("y") and base[-2] not in "aeiou":
        yield base[:-1] + "ied", "ed"
        yield base + "ing", "ing"
    elif _doubles(base):
        yield base + base[-1] + "ed", "ed"
        yield base + base[-1] + "ing", "ing"
    else:
        yield base + ("d" if base.endswith("ee") else "ed"), "ed"
        yield base + "ing", "ing"


def _doubles(base: str) -> bool:
    vowels = "aeiou"
    if len(base) < 3 or base[-1] in vowels + "wxy" or base[-2] not in vowels or base[-3] in vowels:
        return False
    return len(base) <= 4 or base in ("unplug", "unclip", "refit", "rerun", "regrip", "unpin", "reset")


def _load_conditions() -> dict[Phrase, tuple[Condition, ...]]:
    found: dict[Phrase, list[Condition]] = defaultdict(list)
    for row in read_rows("condition_forms.csv"):
        for column, form in (("adjectives", "adjective"), ("nouns", "noun"), ("verbs", "verb")):
            for said in _listed(row[column]):
                _add_condition(found, said, Condition(row["term"], row["polarity"], form))
                if form == "verb" and " " not in said and said.endswith("s") and not said.endswith("ss"):
                    _add_condition(found, said[:-1], Condition(row["term"], row["polarity"], form))
    for row in read_rows("conditions.csv"):
        term = row["term"]
        for said in [row["phrase"], *_listed(row["variants"])]:
            if phrase_of(said) in found or said in _NOT_CONDITIONS or said.endswith((" it", " in", " on")):
                continue
            _add_condition(found, said, Condition(term, row["polarity"], _guess_form(said)))
    return {phrase: tuple(conditions) for phrase, conditions in found.items()}


_NOT_CONDITIONS = frozenset(
    {"end float", "endfloat", "run-out", "runout", "end play", "will go again", "good for another", "fit for use", "usable", "goes again", "get away with it", "not good", "backlash", "lash", "short", "step", "scale", "taper", "open", "gone", "set", "made up",
     "bright", "dull", "stain", "tar", "movement in it", "solid", "heavy", "passes", "passing", "sweet", "flush", "nice",
     "chips", "filings", "flats", "crossed", "tapping", "ticking", "pulling", "made", "nipped", "dish", "fade", "slick", "silent",
     "no movement", "no lift", "no slack", "no play", "no wear", "no cracks", "no leaks", "no marks", "not worn", "no ridge",
     "no sign of cracking", "no visible wear", "no detectable play", "not a mark on it", "polished", "bedded",
     "side play", "side float", "fair", "creamy", "empty", "made of", "wet", "golden", "light tan", "contact marks", "scrap"}
)  # fmt: skip


_DIGITS = {"one": "1", "two": "2", "three": "3", "four": "4"}


def _add_condition(found: dict[Phrase, list[Condition]], said: str, condition: Condition) -> None:
    phrase = phrase_of(said)
    digits = tuple(_DIGITS.get(word, word) for word in phrase)
    if digits != phrase and all(c.form != condition.form for c in found[digits]):
        found[digits].append(condition)
    if phrase and all(c.form != condition.form for c in found[phrase]):
        found[phrase].append(condition)


def _guess_form(said: str) -> str:
    last = said.split()[-1]
    if (
        said.startswith(("no ", "not "))
        or last.endswith(("ed", "en", "y", "ble"))
        or (" " in said and last in ("it", "off", "up"))
    ):
        return "adjective"
    if last.endswith(("ing", "marks", "mark", "lines", "spots", "cracks", "wear", "rust", "s")):
        return "noun"
    return "adjective"


def _load_components() -> tuple[dict[Phrase, str], dict[str, str], frozenset[str]]:
    names: dict[Phrase, str] = {}
    tables: dict[str, str] = {}
    safety: set[str] = set()
    for row in read_rows("components.csv"):
        if row["name"] in _NOT_COMPONENTS:
            continue
        for said in [row["name"], *_listed(row["synonyms"])]:
            low = said.lower()
            if low in _NOT_COMPONENTS or phrase_of(low) in names:
                continue
            _add_component(names, said)
            tables.setdefault(low, row["name"])
        _add_component(names, row["name"])
        if row["plural"]:
            names.setdefault(phrase_of(row["plural"]), row["name"])
        if row["safety_critical"] == "yes":
            safety.add(row["name"])
    return names, tables, frozenset(safety)


_NOT_COMPONENTS = frozenset(
    {"tool", "tools", "machine", "workshop", "fitting", "structure", "machine element", "wheels", "transmission", "body", "click",
     "catch", "bars", "clock", "clocks", "instrument", "mechanical", "brain", "black box", "core", "seat", "joint", "cat", "box", "leg",
     "bend", "gauges", "donkey", "lump", "lead", "head light", "mount", "slow jet", "shock", "shocks", "plug", "horn", "legs", "pot",
     "jug", "bottom half", "top end", "stat", "slide", "dead", "probe", "comm", "dash", "nuts", "bolts", "screws", "pins", "studs", "washer"}
)  # fmt: skip


def _add_component(names: dict[Phrase, str], said: str) -> None:
    phrase = phrase_of(said)
    one = (*phrase[:-1], singular(phrase[-1]))
    plain = (
        " ".join(one)
        if one != phrase and one in names
        else " ".join(one if singular(phrase[-1]) != phrase[-1] else phrase)
    )
    names.setdefault(phrase, plain)
    names.setdefault(one, plain)
    names.setdefault((*one[:-1], plural(one[-1])), plain)


def _with_plurals(pairs: Iterable[tuple[str, str]]) -> Iterator[tuple[Phrase, str]]:
    for said, name in pairs:
        phrase = phrase_of(said)
        yield phrase, name
        yield (*phrase[:-1], plural(phrase[-1])), name


def _listed(text: str) -> list[str]:
    return [part.strip() for part in text.split(";") if part.strip()]
