"""Loads what everyday words can be: verb forms, adjectives, closed classes.

In: words.toml and english.toml. Out: word -> classes, verb form -> base, verbs that are nouns as often.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from notebook.reading.nouns_said import plural
from notebook.reading.word_files import read_toml


def load_classes() -> tuple[dict[str, frozenset[str]], dict[str, str], frozenset[str]]:
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
