"""The words of actions.toml, ready for matching: phrases of deeds, forms of their verbs, words that say how a deed is meant.

In: the data file of this package. Out: one `DeedWords`, made once.
Never reads a remark.
"""

from __future__ import annotations

import itertools
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from notebook.reading.lexicon import Lexicon, standard_lexicon
from notebook.reading.word_files import read_toml

BASE, PAST, ING, THIRD = "base", "past", "ing", "s"
SLOT, AGENT, PROCESS = "_", "@", "%"
PARTICLES = frozenset(
    [
        "off",
        "out",
        "up",
        "down",
        "back",
        "in",
        "on",
        "over",
        "away",
        "apart",
        "through",
        "loose",
        "together",
        "aside",
        "clear",
        "along",
        "home",
        "free",
        "open",
        "undone",
        "by",
    ]
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Phrase:
    """One way of saying a deed: "throw out", "wire brush", "for the skip"."""

    group: str
    """`disposition` or `step`."""
    action: str
    words: tuple[str, ...]
    verb_at: int | None
    """Place of its verb, which may stand in any form: 0 in "throw out", 1 in "wire brush"; None for a saying."""
    moves: bool = False
    """The part itself does it: "they'll go again", "the belt dropped out"."""
    needs: frozenset[str] = frozenset()
    """Words that must stand behind its first as they are; without them nothing need be tried."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DeedWords:
    """Everything that actions.toml holds."""

    phrases: Mapping[str, Mapping[str, tuple[Phrase, ...]]]
    """Group -> first word (a verb's base) -> phrases, longest first."""
    nouns: Mapping[str, str]
    """Last words of what a part is given -> action: "skim" -> rework."""
    forms: Mapping[str, tuple[str, frozenset[str]]]
    """Verb form -> its base and which forms it can be."""
    meant: Mapping[str, frozenset[str]]
    half: re.Pattern[str]
    ends: Mapping[str, str]
    """Where a part has got to -> step: "off" -> removed, "apart" -> opened."""
    step: Mapping[str, frozenset[str]]
    """Lists of the steps by name: moves, forced, shifts, assemblies, adjusters, never."""

    def base_of(self, low: str) -> str:
        """Give the base of a verb form; another word comes back as it is."""
        found = self.forms.get(low)
        return found[0] if found else low

    def is_past(self, low: str) -> bool:
        """Tell whether a word can be a past or passive form."""
        found = self.forms.get(low)
        return found is not None and PAST in found[1]


@cache
def deed_words() -> DeedWords:
    """Load the words of deeds; a few milliseconds, once."""
    rules = read_toml("actions.toml")
    phrases = list(_load_phrases(rules))
    meant: dict[str, str | list[str]] = rules["meant"]
    step = rules["step"]
    lists = {
        f"{action}.{key}": frozenset(_listed(row[key]))
        for action, row in step.items()
        if action != "never"
        for key in ("moves", "forced", "assemblies", "adjusters", "shifts")
        if key in row
    }
    lists["never"] = frozenset(w.replace("_", " ") for w in step["never"]["verbs"].split())
    verbs = {p.words[p.verb_at] for p in phrases if p.verb_at is not None} | lists["removed.moves"]
    by_first: dict[str, dict[str, list[Phrase]]] = {"disposition": defaultdict(list), "step": defaultdict(list)}
    for phrase in phrases:
        by_first[phrase.group][phrase.words[0]].append(phrase)
    return DeedWords(
        phrases={
            group: {first: tuple(sorted(said, key=lambda p: -len(p.words))) for first, said in found.items()}
            for group, found in by_first.items()
        },
        nouns={noun: action for action, row in rules["disposition"].items() for noun in row.get("nouns", [])},
        forms=_load_forms(verbs, rules["irregular"], standard_lexicon()),
        meant={
            name: frozenset(w.replace("_", " ") for w in text.split())
            for name, text in meant.items()
            if isinstance(text, str)
        },
        half=re.compile(r"\b(?:" + "|".join(meant["half"]) + r")\b"),
        ends={end: action for action, row in step.items() for end in row.get("ends", ())},
        step=lists,
    )


def _listed(found: str | list[str]) -> Iterable[str]:
    return found.split() if isinstance(found, str) else itertools.chain.from_iterable(spread(text) for text in found)


def _load_phrases(rules: Mapping[str, Mapping[str, Mapping[str, list[str]]]]) -> Iterator[Phrase]:
    for group in ("disposition", "step"):
        for action, row in rules[group].items():
            if action == "never":
                continue
            for key, is_verb in (("verbs", True), ("said", False), ("moves", True)):
                if key == "moves" and group == "step":
                    continue
                for said in _listed(row.get(key, [])):
                    words = said.split()
                    verb_at = next((n for n, word in enumerate(words) if word.startswith("*")), 0) if is_verb else None
                    plain = tuple(w.lstrip("*") for w in words)
                    yield Phrase(
                        group=group, action=action, words=plain, verb_at=verb_at, moves=key == "moves",
                        needs=frozenset(w for n, w in enumerate(plain) if n and n != verb_at) - {SLOT, AGENT, PROCESS},
                    )  # fmt: skip


def spread(text: str) -> list[str]:
    """Write a phrase with choices out: "throw (away|out)" -> "throw away", "throw out"."""
    found = re.search(r"\(([^()]*)\)", text)
    if found is None:
        return [" ".join(text.split())]
    return [
        said
        for choice in found[1].split("|")
        for said in spread(f"{text[: found.start()]}{choice}{text[found.end() :]}")
    ]


def _load_forms(
    verbs: Iterable[str], irregular: Mapping[str, str], lexicon: Lexicon
) -> dict[str, tuple[str, frozenset[str]]]:
    forms: dict[str, tuple[str, set[str]]] = {}

    def add(form: str, base: str, name: str) -> None:
        forms.setdefault(form, (base, set()))
        if forms[form][0] == base:
            forms[form][1].add(name)

    for base in [*irregular, *sorted(verbs)]:
        add(base, base, BASE)
        for form in irregular.get(base, "").split() or _regular_past(base):
            add(form, base, PAST)
        add(_ing(base), base, ING)
        add(_third(base), base, THIRD)
    classes = {"base": BASE, "ed": PAST, "ing": ING, "s": THIRD}
    for form, base in lexicon.lemmas.items():
        for name in lexicon.word_classes(form):
            if name in classes:
                add(form, base, classes[name])
    return {form: (base, frozenset(names)) for form, (base, names) in forms.items()}


def _doubles(base: str) -> bool:
    """ "Bin", "skim", "lob" double their last letter; "clean", "draw", "fix" do not."""
    return (
        len(base) >= 3
        and base[-1] not in "aeiouwxy"
        and base[-2] in "aeiou"
        and base[-3] not in "aeiou"
        and (len(base) <= 4 or base.startswith(("un", "re")))
        and base not in ("open", "loosen", "reopen")
    )


def _regular_past(base: str) -> list[str]:
    if base.endswith("e"):
        return [base + "d"]
    if base.endswith("y") and base[-2:-1] not in "aeiou":
        return [base[:-1] + "ied"]
    return [base + base[-1] + "ed" if _doubles(base) else base + "ed"]


def _ing(base: str) -> str:
    if base.endswith("e") and not base.endswith("ee"):
        return base[:-1] + "ing"
    return base + base[-1] + "ing" if _doubles(base) else base + "ing"


def _third(base: str) -> str:
    if base.endswith(("s", "x", "sh", "ch", "z", "o")):
        return base + "es"
    return base[:-1] + "ies" if base.endswith("y") and base[-2:-1] not in "aeiou" else base + "s"
