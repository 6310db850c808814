"""Answers what a mechanic looks up on the wall chart: a thread, a spanner, a key, a measured bolt, units, a torque.

In: the words, typed or said and tidied. Out: a title, lines and the same as values; or nothing, with what comes nearest.
Never picks one of several silently, and shows how far a figure is to be trusted where that is not high.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from notebook.errors import NotebookError
from notebook.tables.keys import Key, keys_of, read_key, threads_of_key
from notebook.tables.measured import candidates
from notebook.tables.spanners import Opening, fit, hexagons_for, hexagons_of, nearest_openings, read_opening
from notebook.tables.thread_names import short
from notebook.tables.thread_table import Thread, all_threads, lookalikes_of
from notebook.tables.threads import find_threads, nearest_threads
from notebook.tables.torque import TorqueGuide, classes_of, engagement, torque_guide
from notebook.tables.units import convert, unit_of

_NUMBER = r"(\d+(?:\.\d+)?(?:\s+\d+/\d+)?|\d+/\d+)"
_CONVERT = re.compile(rf"^\s*{_NUMBER}\s*(.+?)\s+(?:in|to|into|as)\s+(.+?)\s*$", re.IGNORECASE)
_ACROSS = re.compile(
    rf"{_NUMBER}\s*(mm|in|inch|inches|thou)?\s*(?:over|across|on)\s+(?:the\s+)?threads?", re.IGNORECASE
)
_COUNTED = re.compile(
    rf"{_NUMBER}\s*(?:threads\s*)?(?:to\s+the|an|per|to\s+an|/)\s*inch|{_NUMBER}\s*tpi", re.IGNORECASE
)
_PITCH = re.compile(rf"(?:pitch\s*(?:of\s*)?{_NUMBER}|{_NUMBER}\s*(?:mm\s*)?pitch)", re.IGNORECASE)
_SPANNER = re.compile(r"\b(spanner|socket|wrench|ring|a/?f|across\s+(?:the\s+)?flats|whit(?:worth)?)\b", re.IGNORECASE)
_KEY = re.compile(r"\b(key|hex bit)\b", re.IGNORECASE)
_TORQUE = re.compile(r"\b(torque|tighten(?:ing)?)\b", re.IGNORECASE)
_CLASS = re.compile(r"\b(8\.8|10\.9|12\.9)\b")
_CONDITION = re.compile(r"\b(dry|oiled|greased)\b", re.IGNORECASE)
_INTO = re.compile(r"\b(steel|cast iron|brass|bronze|alumini?um|magnesium|zinc|plastics?)\b", re.IGNORECASE)
_NOISE = re.compile(r"\b(what|which|is|are|the|a|an|of|for|does|do|take|takes|fits?|thread|in mm|please|how|size|engagement|depth|into)\b|[?]", re.IGNORECASE)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was looked up; `values` holds the same as the lines, for a program."""

    asked: str
    kind: str
    """`thread`, `spanner`, `key`, `measured bolt`, `units`, `torque`, `engagement`, `nothing`."""
    title: str
    lines: tuple[str, ...] = ()
    values: dict[str, Any] = field(default_factory=dict)

    @property
    def is_found(self) -> bool:
        return self.kind != "nothing"


def look_up(asked: str) -> Answer:
    """Answer one question; raises nothing, and says "nothing like that" with the nearest where there is nothing."""
    words = " ".join(asked.split())
    for answer in (_measured, _units, _torque, _engagement, _key, _spanner, _threads):
        found = answer(words)
        if found is not None:
            return found
    return _nothing(words)


def _decimal(text: str) -> Decimal:
    total = Decimal(0)
    for part in text.split():
        upper, _, lower = part.partition("/")
        total += Decimal(upper) / Decimal(lower) if lower and Decimal(lower) else Decimal(upper)
    return total


def _measured(asked: str) -> Answer | None:
    across = _ACROSS.search(asked)
    if across is None:
        return None
    unit = {"inches": "in", "inch": "in"}.get((across.group(2) or "mm").lower(), (across.group(2) or "mm").lower())
    diameter = convert(_decimal(across.group(1)), unit, "mm")
    counted, pitch = _COUNTED.search(asked), _PITCH.search(asked)
    pitch_mm = None
    if counted:
        tpi = _decimal(counted.group(1) or counted.group(2))
        pitch_mm = Decimal("25.4") / tpi if tpi else None
    elif pitch:
        pitch_mm = _decimal(pitch.group(1) or pitch.group(2))
    found = candidates(diameter, pitch_mm)
    if not found:
        return None
    title = (
        f"{short(diameter)} mm over the threads"
        + (f", pitch {short(round(pitch_mm, 3))} mm" if pitch_mm else "")
        + ": may be"
    )
    lines = tuple(f"{c.thread.name}: {'; '.join(c.reasons)}{_trust(c.thread.confidence)}" for c in found)
    return Answer(
        asked=asked, kind="measured bolt", title=title, lines=lines,
        values={"candidates": [{"thread": c.thread.name, "under_mm": float(c.under_mm), "reasons": list(c.reasons)} for c in found]},
    )  # fmt: skip


def _units(asked: str) -> Answer | None:
    found = _CONVERT.match(asked)
    if found is None:
        return None
    value = _decimal(found.group(1))
    answers = []
    for old in _spelled(found.group(2)):
        for new in _spelled(found.group(3)):
            try:
                answers.append((old, new, convert(value, old, new)))
            except NotebookError:
                continue
    if not answers:
        return None
    lines = tuple(f"{short(value)} {old} = {short(_six(result))} {new}" for old, new, result in answers)
    return Answer(
        asked=asked, kind="units", title=lines[0], lines=lines[1:],
        values={"answers": [{"from": old, "to": new, "value": float(result)} for old, new, result in answers]},
    )  # fmt: skip


def _spelled(words: str) -> tuple[str, ...]:
    """Give the units of some words, "lbf ft" and "N m" being typed with a space too."""
    return unit_of(words) or unit_of(words.replace(" ", "·"))


def _six(value: Decimal) -> Decimal:
    """Round to six digits that count, as a person would copy it down."""
    return value if not value else round(value, max(0, 5 - value.adjusted()))


def _torque(asked: str) -> Answer | None:
    if not _TORQUE.search(asked):
        return None
    said_class, said_condition = _CLASS.search(asked), _CONDITION.search(asked)
    name = asked
    for pattern in (
        _TORQUE,
        _CLASS,
        _CONDITION,
        _NOISE,
        re.compile(r"\b(class|grade|bolt|screw|nut)\b", re.IGNORECASE),
    ):
        name = pattern.sub(" ", name)
    name = " ".join(name.split(" ")).strip()
    threads = find_threads(name)
    if not threads:
        return None
    thread = threads[0].name
    condition = said_condition.group(1).lower() if said_condition else "dry"
    classes = (said_class.group(1),) if said_class else classes_of(thread)
    guides = [torque_guide(thread, c, condition=condition) for c in classes]
    lines = tuple(g.words() + _trust(g.confidence) if isinstance(g, TorqueGuide) else g for g in guides)
    values = [
        {"class": g.property_class, "torque_nm": float(g.torque_nm), "low_nm": float(g.low_nm), "high_nm": float(g.high_nm), "k": float(g.k)}
        for g in guides
        if isinstance(g, TorqueGuide)
    ]  # fmt: skip
    if not lines:
        lines = (str(torque_guide(thread, None)),)
    return Answer(
        asked=asked,
        kind="torque",
        title=f"{thread}, torque guide",
        lines=lines,
        values={"thread": thread, "guides": values},
    )


def _engagement(asked: str) -> Answer | None:
    material = _INTO.search(asked)
    if material is None:
        return None
    threads = find_threads(
        " ".join(_NOISE.sub(" ", _INTO.sub(" ", asked)).replace(" in ", " ").split()).removesuffix(" in")
    )
    wanted = engagement(threads[0].name, material.group(1).lower()) if threads else None
    if wanted is None:
        return None
    low, high = short(wanted.usual_mm), short(wanted.cautious_mm)
    line = f"{low} mm of good thread" if low == high else f"{low} to {high} mm of good thread"
    return Answer(
        asked=asked, kind="engagement", title=f"{threads[0].name} in {material.group(1).lower()}", lines=(line + _trust(wanted.confidence), wanted.source),
        values={"usual_mm": float(wanted.usual_mm), "cautious_mm": float(wanted.cautious_mm)},
    )  # fmt: skip


def _key(asked: str) -> Answer | None:
    if not _KEY.search(asked):
        return None
    size = read_key(_NOISE.sub(" ", asked).strip()) or read_key(asked)
    if size is not None:
        fits = threads_of_key(size[1])
        return _key_answer(asked, f"{size[0]} key goes in", fits) if fits else None
    threads = find_threads(" ".join(re.sub(r"\b(key|hex)\b", " ", _NOISE.sub(" ", asked)).split()))
    fits = keys_of(threads[0].name) if threads else ()
    return _key_answer(asked, f"{threads[0].name} takes", fits) if fits else None


def _key_answer(asked: str, title: str, keys: Iterable[Key]) -> Answer:
    listed = tuple(keys)
    lines = tuple(f"{k.thread} {k.form}: {k.size}{_trust(k.confidence)}" for k in listed)
    values = {
        "keys": [{"thread": k.thread, "form": k.form, "size": k.size, "size_mm": float(k.size_mm)} for k in listed]
    }
    return Answer(asked=asked, kind="key", title=title, lines=lines, values=values)


def _spanner(asked: str) -> Answer | None:
    if not _SPANNER.search(asked):
        return None
    opening = read_opening(" ".join(_NOISE.sub(" ", asked).split())) or read_opening(asked)
    if opening is None or not opening.is_possible:
        return None
    lines: list[str] = []
    values = []
    for width in opening.widths_mm:
        for held in hexagons_for(width):
            h = held.hexagon
            lines.append(f"{', '.join(h.threads)} {h.part} ({h.system}, {short(h.af_mm)} mm): {_slack(held.fit.slack_mm)}, {held.fit.verdict}{_trust(h.confidence)}")  # fmt: skip
            values.append({"threads": list(h.threads), "part": h.part, "system": h.system, "af_mm": float(h.af_mm), "slack_mm": float(held.fit.slack_mm), "verdict": held.fit.verdict})  # fmt: skip
        lines.extend(_other_sizes(opening, width))
    title = f"{opening.said}: {' or '.join(short(w) for w in opening.widths_mm)} mm across flats"
    return Answer(
        asked=asked,
        kind="spanner",
        title=title,
        lines=tuple(lines),
        values={"widths_mm": [float(w) for w in opening.widths_mm], "hexagons": values},
    )


def _other_sizes(opening: Opening, width_mm: Decimal) -> list[str]:
    """Say which other spanners come nearest to this width, and how they would sit on a hexagon of it."""
    others = [o for o in nearest_openings(width_mm) if o.said != opening.said][:3]
    return [
        f"next: {o.said}, {short(o.widths_mm[0])} mm, on a hexagon of {short(width_mm)} mm: {_slack(sit.slack_mm)}, {sit.verdict}"
        for o in others
        for sit in [fit(o.widths_mm[0], width_mm)]
    ]


def _slack(slack_mm: Decimal) -> str:
    return "no slack" if not slack_mm else f"{short(abs(slack_mm))} mm {'slack' if slack_mm > 0 else 'too small'}"


def _threads(asked: str) -> Answer | None:
    name = " ".join(_NOISE.sub(" ", asked).split())
    found = find_threads(asked) or find_threads(name)
    if not found:
        return None
    lines: list[str] = []
    for thread in found[:6]:
        lines.extend(thread_lines(thread))
    if len(found) > 6:
        lines.append(f"and {len(found) - 6} more: say the pitch")
    title = found[0].name if len(found) == 1 else f"{len(found)} threads fit that name"
    return Answer(
        asked=asked,
        kind="thread",
        title=title,
        lines=tuple(lines),
        values={"threads": [thread_values(t) for t in found]},
    )


def thread_lines(thread: Thread) -> list[str]:
    """Say all that the tables hold of a thread."""
    pitch = (
        f"{short(thread.tpi)} threads an inch ({short(round(thread.pitch_mm, 3))} mm)"
        if thread.tpi is not None
        else f"pitch {short(thread.pitch_mm)} mm"
    )
    minor = f", minor {short(round(thread.minor_mm, 3))} mm" if thread.minor_mm is not None else ""
    lines = [f"{thread.name}: {short(thread.major_mm)} mm over the threads, {pitch}{minor}, {short(thread.angle_deg)} degrees ({thread.standard}){_trust(thread.confidence)}"]  # fmt: skip
    if thread.tapping_drill_mm is not None:
        lines.append(f"  tapping drill {short(thread.tapping_drill_mm)} mm")
    hexagons = hexagons_of(thread.name)
    if hexagons:
        lines.append(
            "  spanner "
            + ", ".join(
                dict.fromkeys(f"{short(h.af_mm)} mm {h.part} ({h.system}, marked {h.marked})" for h in hexagons)
            )
        )
    keys = keys_of(thread.name)
    if keys:
        lines.append("  key " + ", ".join(dict.fromkeys(f"{k.size} {k.form}" for k in keys)))
    guides = [g for c in classes_of(thread.name) if isinstance(g := torque_guide(thread.name, c), TorqueGuide)]
    if guides:
        lines.append(f"  torque {', '.join(f'{short(round(g.torque_nm, 1))} N·m in {g.property_class}' for g in guides)}, dry, K 0.20, a quarter either way; guide only; the maker's figure overrules it")  # fmt: skip
    lines.extend(f"  easily taken for {a.other}: {a.warning}" for a in lookalikes_of(thread.name)[:4])
    if thread.is_special:
        lines.append("  a real thread that is not a standard ISO size")
    return lines


def thread_values(thread: Thread) -> dict[str, Any]:
    """Give what the tables hold of a thread as values."""
    return {
        "name": thread.name, "family": thread.family, "major_mm": float(thread.major_mm), "pitch_mm": float(thread.pitch_mm),
        "tpi": float(thread.tpi) if thread.tpi is not None else None, "minor_mm": float(thread.minor_mm) if thread.minor_mm is not None else None,
        "tapping_drill_mm": float(thread.tapping_drill_mm) if thread.tapping_drill_mm is not None else None, "angle_deg": float(thread.angle_deg),
        "hexagons_mm": [float(h.af_mm) for h in hexagons_of(thread.name)], "keys": {k.form: k.size for k in keys_of(thread.name)},
        "taken_for": [a.other for a in lookalikes_of(thread.name)], "confidence": thread.confidence, "source": thread.source,
    }  # fmt: skip


def _nothing(asked: str) -> Answer:
    near = nearest_threads(asked)
    if not near:
        known = {t.name.lower(): t for t in all_threads()}
        near = (
            [known[n] for n in sorted(known, key=lambda n: _far(n, asked.lower()))[:3]]
            if re.search(r"\d", asked)
            else []
        )
    names = ", ".join(t.name for t in near)
    return Answer(
        asked=asked, kind="nothing", title="Nothing like that in the tables." + (f" The nearest: {names}." if names else ""),
        values={"nearest": [t.name for t in near]},
    )  # fmt: skip


def _far(a: str, b: str) -> float:
    """Say how unlike two names are: the share of letter pairs they do not share."""
    pairs_a, pairs_b = {a[n : n + 2] for n in range(len(a) - 1)}, {b[n : n + 2] for n in range(len(b) - 1)}
    return 1 - 2 * len(pairs_a & pairs_b) / max(1, len(pairs_a) + len(pairs_b))


def _trust(confidence: str) -> str:
    return "" if confidence == "high" else f" [{confidence} confidence]"
