"""The words the reader knows: classes of everyday words, and the trade's names and conditions.

In: the data files of this package, and a shop's own words. Out: one `Lexicon`, made once.
Never reads a remark.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import cache

from notebook.reading.nouns_said import plural, singular
from notebook.reading.word_classes import load_classes
from notebook.reading.word_files import read_rows, read_toml
from notebook.reading.words import is_plain_word, split_words

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
    longer: frozenset[Phrase] = field(init=False, default=frozenset())
    """Every known phrase of more than one word."""

    def __post_init__(self) -> None:
        lists = (self.components, self.fasteners, self.tools, self.conditions, self.quantities)
        longer = frozenset(phrase for phrases in lists for phrase in phrases if len(phrase) > 1)
        object.__setattr__(self, "longer", longer)

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


def phrase_of(text: str) -> Phrase:
    """Cut a phrase into the words the reader would see."""
    words = text.split()
    if all(map(is_plain_word, words)):
        return tuple(words)
    return tuple(t.low for t in split_words(text) if t.low not in ("-", ",", ";"))


@cache
def standard_lexicon() -> Lexicon:
    """Load the lexicon that comes with the package; about a tenth of a second, once."""
    classes, lemmas, nouny = load_classes()
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


def with_shop_words(
    lexicon: Lexicon,
    components: Iterable[tuple[str, tuple[str, ...]]],
    conditions: Iterable[tuple[str, tuple[str, ...]]],
) -> Lexicon:
    """Give the lexicon with a shop's own names and conditions added; a shop's word wins over the package's."""
    names, tables = dict(lexicon.components), dict(lexicon.kinds_of)
    said_so: dict[Phrase, tuple[Condition, ...]] = dict(lexicon.conditions)
    for name, others in components:
        for said in (name, *others):
            phrase = phrase_of(said)
            if phrase:
                one = (*phrase[:-1], singular(phrase[-1]))
                for form in (phrase, one, (*one[:-1], plural(one[-1]))):
                    names[form] = " ".join(one)
                tables[" ".join(one)] = name
    polarities = {c.term: c.polarity for listed in lexicon.conditions.values() for c in listed}
    for term, others in conditions:
        for said in (term, *others):
            phrase = phrase_of(said)
            if phrase:
                own = Condition(term, polarities.get(term, "defect"), _guess_form(said))
                said_so[phrase] = (own, *(c for c in said_so.get(phrase, ()) if c.form != own.form))
    return replace(
        lexicon, components=names, kinds_of=tables, conditions=said_so,
        heads=lexicon.heads | {phrase[-1] for phrase in names} - _NO_HEADS,
    )  # fmt: skip


_NO_HEADS = frozenset("set up in on out off end ends box system pan change light start stop switch lift".split())

_SELDOM_THINGS = frozenset("run runs start starts change changes lift kick slow hot wet dry".split())


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
