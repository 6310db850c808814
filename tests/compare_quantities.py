"""Lay our quantities beside those of the general extractor quantulum3 on the same sentences.

    python -m tests.compare_quantities

In: three sources. Sentences by what is hard in them, each with the amounts that a mechanic would write down (worked out
by hand, made for this, in no truth set; they were looked at while rules were mended). quantulum3's own test sentences
(MIT, they come with its package), those whose units a mechanic knows. The remarks of our blind truth sets that hold
amounts, as their writers have them. Out: a table by group, and under it each sentence of the first source where one
fails, and of quantulum3's where we do; nothing is shown of the blind sets but the counts.
quantulum3 is the published reference; its classifier is not used, for it needs training data it does not bring.
An amount is right when its value, or both its bounds, and its unit are; one too many counts against it too.
"""

from __future__ import annotations

import json
import sys
import warnings
from collections.abc import Iterable, Iterator
from importlib import resources
from pathlib import Path
from typing import Any

from notebook.reading.reader import Reader
from tests.score_reading import TRUTH, options

SENTENCES = Path(__file__).parent / "truth" / "quantities.jsonl"
UNITS = {
    "millimetre": "mm", "inch": "in", "thou": "thou", "newton metre": "N·m", "hour": "h", "mile": "mi", "litre": "L",
    "degree Celsius": "degC", "pound foot": "lbf·ft", "pound-force foot": "lbf·ft", "foot-pound": "lbf·ft", "bar": "bar", "micrometre": "um", "centimetre": "cm",
    "ohm": "ohm", "volt": "V", "kilogram": "kg", "pound-force per square inch": "psi", "dimensionless": None, "": None, "gram": "g",
    "revolution per minute": "r/min", "kilometre": "km", "metre": "m", "foot": "ft", "degree angle": "°", "ampere": "A", "kilowatt": "kW",
}  # fmt: skip
Amount = tuple[float | None, float | None, str | None]
"""Low, high (the same for a single value), unit."""
Sentence = tuple[str, str, list[Any]]
"""Group, text, the amounts wanted; a field of an amount may be a list of all that is right."""
OWN, BLIND = "quantulum3's own sentences", "our blind sets"


def made_for_this() -> Iterator[Sentence]:
    """Give the sentences of our own file."""
    for line in SENTENCES.read_text("utf-8").splitlines():
        row = json.loads(line)
        yield row["group"], row["text"], [(a[0], a[-2], a[-1]) for a in row["amounts"]]


def quantulum_sentences() -> Iterator[Sentence]:
    """Give quantulum3's own test sentences that hold amounts in units we know, and no others."""
    folder = resources.files("quantulum3").joinpath("_lang", "en_US", "tests")
    for row in json.loads(folder.joinpath("quantities.json").read_text("utf-8")):
        amounts = [a for a in row["res"] if a["unit"] != "dimensionless"]
        if amounts and all(UNITS.get(a["unit"]) for a in amounts):
            spreads = [(a["value"], a.get("uncertainty") or 0, UNITS[a["unit"]]) for a in amounts]
            yield OWN, row["req"], [(value - spread, value + spread, unit) for value, spread, unit in spreads]


def blind_remarks() -> Iterator[Sentence]:
    """Give the remarks of the blind sets that hold amounts, unless a careful person might leave one out."""
    for path in sorted((TRUTH / "blind").glob("*.jsonl")):
        for line in path.read_text("utf-8").splitlines():
            remark = json.loads(line)
            found = [e for e in remark["entries"] if e["kind"] in ("measurement", "mileage")]
            if found and not any(e.get("optional") for e in found):
                wanted = [(e.get("low", e.get("value")), e.get("high", e.get("value")), e.get("unit")) for e in found]
                yield BLIND, remark["text"], wanted


def ours(text: str) -> list[Amount]:
    """Give the amounts that the reader writes down."""
    out: list[Amount] = []
    for entry in Reader().read(text).entries:
        said = entry.to_json()
        if said["kind"] in ("measurement", "mileage"):
            low, high = said.get("low", said.get("value")), said.get("high", said.get("value"))
            out.append((low, high, said.get("unit")))
    return out


def theirs(text: str) -> list[Amount]:
    """Give the amounts that quantulum3 finds."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from quantulum3 import parser

    out: list[Amount] = []
    for found in parser.parse(text):
        unit = UNITS.get(found.unit.name, found.unit.name)
        if unit is None:
            continue
        spread = found.uncertainty or 0
        out.append((found.value - spread, found.value + spread, unit))
    return out


def hits(found: Iterable[Amount], wanted: Iterable[Any]) -> int:
    """Count the wanted amounts that were found, each once."""
    left = list(found)
    count = 0
    for want in wanted:
        for n, one in enumerate(left):
            if one[2] in options(want[2]) and all(
                any(_same(a, b) for b in options(bs)) for a, bs in zip(one[:2], want[:2], strict=True)
            ):
                del left[n]
                count += 1
                break
    return count


def _same(a: float | None, b: float | None) -> bool:
    return a == b or (a is not None and b is not None and abs(a - b) <= 1e-6 * max(1.0, abs(b)))


def compare() -> tuple[str, list[str]]:
    """Give the table by group, and a line for each sentence where one of the two fails."""
    groups: dict[str, list[int]] = {}
    fails = []
    for group, text, wanted in (*made_for_this(), *quantulum_sentences(), *blind_remarks()):
        tally = groups.setdefault(group, [0, 0, 0, 0, 0])
        tally[0] += len(wanted)
        for at, (name, read) in enumerate((("ours", ours), ("quantulum3", theirs))):
            found = read(text)
            right = hits(found, wanted)
            tally[1 + 2 * at] += right
            tally[2 + 2 * at] += len(found) - right
            is_shown = group not in (OWN, BLIND) or (group == OWN and name == "ours")
            if is_shown and (right < len(wanted) or len(found) > right):
                fails.append(f"{name} fails on {text!r}: {found}, wanted {wanted}")
    rows = [
        "| group | amounts | ours right | ours wrong | quantulum3 right | quantulum3 wrong |",
        "| --- | --: | --: | --: | --: | --: |",
        *(f"| {name} | {' | '.join(map(str, tally))} |" for name, tally in groups.items()),
        f"| all | {' | '.join(str(sum(t[n] for t in groups.values())) for n in range(5))} |",
    ]
    return "\n".join(rows), fails


def main() -> None:
    table, fails = compare()
    sys.stdout.write("\n".join([table, "", *fails, ""]))


if __name__ == "__main__":
    main()
