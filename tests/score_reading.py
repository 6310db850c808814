"""Score the reading of remarks against truth files.

    python tests/score_reading.py [TRUTH.jsonl ...] [--kinds] [--misses N]

A truth file is JSON lines {"job", "line", "text", "entries"}. Its remarks are read job by job, and every entry is
compared: kind and key fields must match (finding: component, condition, presence; measurement: value or low and high,
unit, quantity when not null, role; and so on, see `matches`), a list in the truth holds every value that is right, and
an entry marked optional counts neither when it is read nor when it is not. Without a file every set of tests/truth is
scored, the seen and the blind. Prints precision, recall and F1 over all kinds (micro), for findings, and how many
conditions said to be absent were read as present.
"""

from __future__ import annotations

import argparse
import csv
import json
import re
import sys
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from notebook.reading.reader import Reader

TRUTH = Path(__file__).parent / "truth"
TABLES = TRUTH / "words"
"""Words that mean the same, kept apart from the reader's own vocabulary, so that its growth cannot flatter the score."""
Entry = dict[str, Any]
FURTHER = {
    "finding": ("position", "degree", "count", "of"),
    "measurement": ("component", "about", "position"),
    "fastener": ("component", "length", "driver", "state", "heat"),
    "mileage": ("component",),
    "disposition": ("count", "done"),
    "storage": ("contents",),
    "photo": ("of",),
}
IRREGULAR = {"shoes": "shoe", "teeth": "tooth", "knives": "knife", "halves": "half", "lens": "lens", "boss": "boss"}


def singular(word: str) -> str:
    if word in IRREGULAR:
        return IRREGULAR[word]
    if re.search(r"(ss|us|is)$", word) or len(word) < 4:
        return word
    for end, put in (("ies", "y"), ("sses", "ss"), ("shes", "sh"), ("ches", "ch"), ("xes", "x"), ("s", "")):
        if word.endswith(end):
            return word[: -len(end)] + put
    return word


def plain(value: object) -> str:
    text = re.sub(r"[^a-z0-9./+&-]+", " ", str(value).lower().replace("×", "x").replace("-", " ")).strip()
    text = re.sub(r"^(the|a|an) ", "", text)
    words = text.split()
    return " ".join([*words[:-1], singular(words[-1])]) if words else ""


def load_groups(name: str, columns: tuple[str, ...]) -> dict[str, set[int]]:
    """Each plain phrase -> the rows of a table it stands in."""
    groups: dict[str, set[int]] = defaultdict(set)
    path = TABLES / name
    if path.exists():
        with path.open(encoding="utf-8", newline="") as table:
            rows = list(csv.DictReader(table))
        for number, row in enumerate(rows):
            for column in columns:
                for phrase in (row.get(column) or "").split(";"):
                    if phrase.strip():
                        groups[plain(phrase)].add(number)
    return groups


CONDITIONS = load_groups("conditions.csv", ("phrase", "variants", "term", "customer_words"))
COMPONENTS = load_groups("components.csv", ("name", "synonyms", "plural"))
ACTIONS = {"send": "send out", "send away": "send out", "rebuild": "overhaul", "refit": "reuse", "renew": "replace"}


def options(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def same_words(said: Any, wanted: Any, groups: dict[str, set[int]] | None = None) -> bool:
    if said is None:
        return wanted is None
    for want in options(wanted):
        if want is None:
            continue
        a, b = plain(said), plain(want)
        if a == b or (groups and groups.get(a, set()) & groups.get(b, set())):
            return True
    return False


def same_number(said: Any, wanted: Any) -> bool:
    try:
        return any(
            abs(float(said) - float(w)) <= 1e-6 * max(1.0, abs(float(w))) for w in options(wanted) if w is not None
        )
    except (TypeError, ValueError):
        return False


def thread_key(value: Any) -> str:
    text = str(value).lower().replace("×", "x").replace("by", "x")
    text = re.sub(r"\s+", "", text)
    return re.sub(r"^(m[\d.]+)x([\d.]+)$", lambda m: m[0], text)


def absent(wanted: Any) -> bool:
    return wanted is None or (isinstance(wanted, list) and all(w is None for w in wanted))


def overlap(said: Any, wanted: Any) -> bool:
    a = set(re.findall(r"[a-z0-9]+", str(said).lower()))
    return any(
        len(a & b) * 2 >= max(len(b), 1)
        for b in (set(re.findall(r"[a-z0-9]+", str(w).lower())) for w in options(wanted))
    )


def matches(said: Entry, want: Entry) -> bool:
    kind = want["kind"]
    if said.get("kind") != kind:
        return False
    part = absent(want.get("component")) or same_words(said.get("component"), want["component"], COMPONENTS)
    if kind == "finding":
        return (
            part
            and same_words(said.get("condition"), want.get("condition"), CONDITIONS)
            and said.get("presence", "present") in options(want.get("presence", "present"))
        )
    if kind == "measurement":
        for field in ("value", "low", "high"):
            if not absent(want.get(field)) and not same_number(said.get(field), want[field]):
                return False
        for field in ("unit", "quantity", "role"):
            if not absent(want.get(field)) and not same_words(said.get(field), want[field]):
                return False
        return True
    if kind == "fastener":
        if not absent(want.get("count")) and not same_number(said.get("count"), want["count"]):
            return False
        if not absent(want.get("thread")) and thread_key(said.get("thread")) not in {
            thread_key(w) for w in options(want["thread"])
        }:
            return False
        return absent(want.get("form")) or same_words(said.get("form"), want["form"])
    if kind == "mileage":
        for field in ("value", "low", "high"):
            if not absent(want.get(field)) and not same_number(said.get(field), want[field]):
                return False
        return all(absent(want.get(f)) or same_words(said.get(f), want[f]) for f in ("unit", "role"))
    if kind == "disposition":
        action = ACTIONS.get(plain(said.get("action")), said.get("action"))
        return part and same_words(action, want.get("action"))
    if kind == "step":
        return part and same_words(said.get("action"), want.get("action"))
    if kind == "mark":
        return part and (absent(want.get("text")) or overlap(said.get("text"), want["text"]))
    if kind == "storage":
        return overlap(said.get("place"), want.get("place"))
    if kind in ("caution", "tip"):
        return absent(want.get("text")) or overlap(said.get("text"), want["text"])
    if kind == "tool":
        return overlap(said.get("name"), want.get("name"))
    if kind == "correction":
        return absent(want.get("scope")) or same_words(said.get("scope"), want["scope"])
    return True


def field_right(field: str, said: Entry, want: Entry) -> bool:
    if field in ("count", "length") or (field == "of" and said.get("kind") == "finding"):
        return same_number(said.get(field), want[field])
    if field in ("about", "heat", "done"):
        return bool(said.get(field)) in [bool(w) for w in options(want[field])]
    if field == "state":
        return {plain(s) for s in options(said.get("state") or [])} >= {plain(s) for s in want["state"]}
    if field == "contents":
        return overlap(" ".join(map(str, options(said.get("contents") or []))), " ".join(map(str, want["contents"])))
    groups = COMPONENTS if field in ("component", "of") else None  # a photo's "of" is a part
    return same_words(said.get(field), want[field], groups) or overlap(said.get(field), want[field])


def pair(read: list[Entry], truth: list[Entry]) -> list[tuple[int, int]]:
    """Largest one-to-one matching of read entries to true ones (augmenting paths)."""

    def closeness(i: int, want: Entry) -> int:
        return sum(field_right(f, read[i], want) for f in FURTHER.get(want["kind"], ()) if not absent(want.get(f)))

    edges = [
        sorted((i for i, said in enumerate(read) if matches(said, want)), key=lambda i: -closeness(i, want))
        for want in truth
    ]
    owner: dict[int, int] = {}

    def place(t: int, seen: set[int]) -> bool:
        for i in edges[t]:
            if i not in seen:
                seen.add(i)
                if i not in owner or place(owner[i], seen):
                    owner[i] = t
                    return True
        return False

    for t in sorted(range(len(truth)), key=lambda t: bool(truth[t].get("optional"))):
        place(t, set())
    return list(owner.items())


@dataclass(slots=True)
class Score:
    """Counts of one truth set."""

    name: str
    remarks: int = 0
    hit: Counter[str] = field(default_factory=Counter)
    said: Counter[str] = field(default_factory=Counter)
    true: Counter[str] = field(default_factory=Counter)
    right: Counter[tuple[str, str]] = field(default_factory=Counter)
    asked: Counter[tuple[str, str]] = field(default_factory=Counter)
    flipped: int = 0
    absent: int = 0
    misses: list[str] = field(default_factory=list)

    def figures(self, kind: str | None = None) -> tuple[float, float, float]:
        """Give precision, recall and F1 of a kind, or over all."""
        hit, said, true = (sum(c.values()) if kind is None else c[kind] for c in (self.hit, self.said, self.true))
        p, r = hit / max(said, 1), hit / max(true, 1)
        return p, r, 2 * p * r / (p + r) if p + r else 0.0

    def share(self, kind: str, *fields: str) -> float | None:
        """Give the share of a further field that is right, of the matched entries whose truth has it."""
        asked = sum(self.asked[kind, f] for f in fields)
        return sum(self.right[kind, f] for f in fields) / asked if asked else None


def read_set(path: Path) -> Iterator[tuple[Entry, list[Entry]]]:
    """Give each remark of a truth file with the entries that are read from it now."""
    reader, job = Reader(), None
    for line in path.read_text("utf-8").splitlines():
        remark = json.loads(line)
        if remark["job"] != job:
            reader, job = Reader(), remark["job"]
        yield remark, [e.to_json() for e in reader.read(remark["text"], line=str(remark["line"])).entries]


def score(name: str, pairs: Iterable[tuple[Entry, list[Entry]]]) -> Score:
    """Compare what was read with the truth; steps and marks are judged only where a set holds ten of them."""
    pairs = list(pairs)
    held = Counter(e["kind"] for remark, _ in pairs for e in remark["entries"] if not e.get("optional"))
    scored = {kind for kind, n in held.items() if n >= 10 or kind not in ("step", "mark")}
    out = Score(name, len(pairs))
    for remark, read in pairs:
        want = [e for e in remark["entries"] if e["kind"] in scored]
        _score_remark(out, remark, want, [e for e in read if e["kind"] in scored])
    return out


def _score_remark(out: Score, remark: Entry, want: list[Entry], said: list[Entry]) -> None:
    found = pair(said, want)
    spare = {i for i, j in found if want[j].get("optional")}
    out.said.update(e["kind"] for i, e in enumerate(said) if i not in spare)
    out.true.update(e["kind"] for e in want if not e.get("optional"))
    for i, j in found:
        if i in spare:
            continue
        kind = want[j]["kind"]
        out.hit[kind] += 1
        for name in FURTHER.get(kind, ()):
            if not absent(want[j].get(name)):
                out.asked[kind, name] += 1
                out.right[kind, name] += field_right(name, said[i], want[j])
    taken = {a for a, _ in found}
    for e in want:
        if e["kind"] == "finding" and e.get("presence") == "absent":
            out.absent += 1
            out.flipped += any(matches(s, dict(e, presence="present")) for i, s in enumerate(said) if i not in taken)
    lost = [want[j] for j in range(len(want)) if j not in {b for _, b in found} and not want[j].get("optional")]
    extra = [said[i] for i in range(len(said)) if i not in taken]
    if lost or extra:
        out.misses.append(
            "\n".join(
                [
                    f"{remark['job']}:{remark['line']} {remark['text']}",
                    *(f"   - {brief(e)}" for e in lost),
                    *(f"   + {brief(e)}" for e in extra),
                ]
            )
        )


def brief(entry: Entry) -> str:
    """Write an entry in one short line."""
    left_out = ("kind", "span", "confidence", "cue", "rule", "si", "said")
    return str(entry["kind"]) + " " + " ".join(f"{k}={v}" for k, v in entry.items() if k not in left_out)


def table(scores: Iterable[Score]) -> str:
    """Write the scores as a Markdown table."""
    rows = [
        "| set | remarks | P | R | F1 | findings F1 | measurements F1 | fasteners F1 | count and of | absent read as present |",
        "| --- | --: | --: | --: | --: | --: | --: | --: | --: | --: |",
    ]
    for s in scores:
        p, r, f = s.figures()
        counted = s.share("finding", "count", "of")
        rows.append(
            f"| {s.name} | {s.remarks} | {p:.3f} | {r:.3f} | {f:.3f} | {s.figures('finding')[2]:.3f} | {s.figures('measurement')[2]:.3f} |"
            f" {s.figures('fastener')[2]:.3f} | {'' if counted is None else f'{counted:.2f}'} | {s.flipped} of {s.absent} |"
        )
    return "\n".join(rows)


def kinds_table(s: Score) -> str:
    """Write the score of one set by kind."""
    rows = [f"{s.name}:"]
    for kind in sorted(set(s.true) | set(s.said)):
        p, r, f = s.figures(kind)
        rows.append(f"  {kind:12} P {p:.3f}  R {r:.3f}  F1 {f:.3f}  (true {s.true[kind]}, read {s.said[kind]})")
    rows.extend(f"  {k}.{f}: {s.right[k, f]} of {n}" for (k, f), n in sorted(s.asked.items()))
    return "\n".join(rows)


def truth_sets() -> list[tuple[str, Path]]:
    """Give every truth set with its name, seen ones first."""
    return [
        (f"{path.parent.name} {path.stem}", path)
        for folder in ("seen", "blind")
        for path in sorted((TRUTH / folder).glob("*.jsonl"))
    ]


def main() -> int:
    parser = argparse.ArgumentParser(description="Score the reading of remarks against truth files.")
    parser.add_argument("truth", nargs="*", type=Path)
    parser.add_argument("--kinds", action="store_true")
    parser.add_argument("--misses", type=int, default=0)
    args = parser.parse_args()
    sets = [(path.stem, path) for path in args.truth] or truth_sets()
    scores = [score(name, read_set(path)) for name, path in sets]
    sys.stdout.write(table(scores) + "\n")
    for s in scores:
        if args.kinds:
            sys.stdout.write("\n" + kinds_table(s) + "\n")
        sys.stdout.write("".join(f"{text}\n" for text in s.misses[: args.misses]))
    return 0


if __name__ == "__main__":
    sys.exit(main())
