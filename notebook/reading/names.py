"""Names of components: what a part answers to when somebody asks for it.

In: a component as an entry holds it. Out: its names, the vocabulary's own first, then the kinds of part it is.
Imports nothing heavy, so that a question is answered at once.
"""

from __future__ import annotations

from functools import cache

from notebook.reading.lexicon import standard_lexicon
from notebook.reading.nouns_said import singular
from notebook.reading.word_files import read_rows


@cache
def _kind_of() -> dict[str, str]:
    return {row["name"].lower(): row["kind_of"].lower() for row in read_rows("components.csv") if row["kind_of"]}


def table_name(component: str) -> str | None:
    """Give the vocabulary's own name for a component; None when it is not listed."""
    return standard_lexicon().kinds_of.get(component.lower())


@cache
def names_of(component: str) -> tuple[str, ...]:
    """Give every name a component answers to: "return springs" -> return spring, spring."""
    words = component.lower().split()
    if not words:
        return ()
    words[-1] = singular(words[-1])
    names = {" ".join(words): None}
    listed = table_name(" ".join(words))
    if listed:
        names = {listed.lower(): None, **names}
    for name in list(names):
        kind = _kind_of().get(name)
        while kind and kind not in names:
            names[kind] = None
            kind = _kind_of().get(kind)
    for cut in range(1, len(words)):
        names.setdefault(" ".join(words[cut:]), None)
    for name in list(names):
        if name in _WHOLE_OF:
            names.setdefault(_WHOLE_OF[name], None)
    return tuple(names)


_WHOLE_OF = {
    "race": "bearing", "inner race": "bearing", "outer race": "bearing", "bearing cage": "bearing", "bearing race": "bearing",
    "seal lip": "seal", "gear tooth": "gear",
}  # fmt: skip
"""What is wrong with the one is wrong with the other: a bearing whose race is pitted. source: common practice (no source)"""


@cache
def _ambiguous() -> frozenset[str]:
    return frozenset(row["spoken"].lower() for row in read_rows("ambiguous_names.csv"))


def same_names(component: str) -> tuple[str, ...]:
    """Give a name and the vocabulary's own name for the same part; only itself where it may be the name of several."""
    low = component.lower()
    listed = names_of(low)[:1] if low not in _ambiguous() else ()
    return tuple(dict.fromkeys((low, *listed)))


@cache
def _polarities() -> dict[str, str]:
    return {c.term: c.polarity for listed in standard_lexicon().conditions.values() for c in listed}


def is_defect(condition: str) -> bool:
    """Tell a fault ("cracked") from what is to be watched, neutral or good."""
    return _polarities().get(condition) == "defect"
