"""Answers what a mechanic looks up on the wall chart: a thread, a spanner, a key, a measured bolt, units, a torque.

In: the words, typed or said and tidied. Out: a title, lines and the same as values; or nothing, with what comes nearest.
Never picks one of several silently, and shows how far a figure is to be trusted where that is not high.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from notebook.errors import NotebookError
from notebook.tables.answers import Answer, short_mm, trust
from notebook.tables.keys import Key, forms_of, keys_of, read_key, threads_of_key
from notebook.tables.look_up_loads import IsCritical, drill_answer, engagement_answer, thread_within, torque_answer
from notebook.tables.measured import candidates
from notebook.tables.spanners import Hexagon, Opening, fit, hexagons_for, hexagons_of, nearest_openings, read_opening
from notebook.tables.thread_names import short
from notebook.tables.thread_table import Thread, all_threads, lookalikes_of
from notebook.tables.threads import find_threads, nearest_threads
from notebook.tables.torque import TorqueGuide, classes_of, torque_guide
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
_IN_FIGURES = {"half": "1/2", "quarter": "1/4"}
_FIRST_WORD = re.compile(r"^(?:an? )?(half|quarter)\b", re.IGNORECASE)
_NOISE = re.compile(r"\b(what|which|is|are|the|a|an|of|for|does|do|take|takes|fits?|thread|in mm|please|how|size|engagement|depth|into)\b|[?]", re.IGNORECASE)  # fmt: skip


def look_up(asked: str, is_critical: IsCritical = lambda _name: False) -> Answer:
    """Answer one question; raises nothing, and says "nothing like that" with the nearest where there is nothing.

    `is_critical` tells whether lives hang on a component: of those no torque is given.
    """
    words = _FIRST_WORD.sub(lambda m: _IN_FIGURES[m[1].lower()], " ".join(asked.split()))
    for answer in (_measured, _units):
        if (found := answer(words)) is not None:
            return found
    if (found := torque_answer(words, is_critical)) is not None:
        return found
    for answer in (engagement_answer, drill_answer, _key, _spanner, _threads):
        if (found := answer(words)) is not None:
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
    lines = tuple(f"{c.thread.name}: {'; '.join(c.reasons)}{trust(c.thread.confidence)}" for c in found)
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


def _key(asked: str) -> Answer | None:
    if not _KEY.search(asked):
        return None
    size = read_key(_NOISE.sub(" ", asked).strip()) or read_key(asked)
    if size is not None:
        fits = threads_of_key(size[1], asked if forms_of(asked) else None)
        return _key_answer(asked, f"{size[0]} key goes in", fits) if fits else None
    words = " ".join(re.sub(r"\b(key|hex)\b", " ", _NOISE.sub(" ", asked), flags=re.IGNORECASE).split())
    thread, rest = thread_within(words)
    form = rest if forms_of(rest) else None
    fits = keys_of(thread.name, form) if thread is not None else ()
    return _key_answer(asked, f"{thread.name} takes", fits) if thread is not None and fits else None


def _key_answer(asked: str, title: str, keys: Iterable[Key]) -> Answer:
    listed = tuple(keys)
    lines = tuple(f"{k.thread} {k.form}: {k.size}{trust(k.confidence)}" for k in listed)
    values = {
        "keys": [{"thread": k.thread, "form": k.form, "size": k.size, "size_mm": float(k.size_mm)} for k in listed]
    }
    return Answer(asked=asked, kind="key", title=title, lines=lines, values=values)


def _spanner(asked: str) -> Answer | None:
    if not _SPANNER.search(asked):
        return None
    tool = asked.partition(" on ")[0]
    opening = read_opening(" ".join(_NOISE.sub(" ", tool).split())) or read_opening(tool)
    if opening is None or not opening.is_possible:
        return None
    if (on := _on_a_hexagon(asked, opening)) is not None:
        return on
    lines: list[str] = []
    values = []
    for width in opening.widths_mm:
        for held in hexagons_for(width):
            h = held.hexagon
            lines.append(f"{', '.join(h.threads)} {h.part} ({h.system}, {short_mm(h.af_mm)} mm): {_slack(held.fit.slack_mm)}, {held.fit.verdict}{trust(h.confidence)}")  # fmt: skip
            values.append({"threads": list(h.threads), "part": h.part, "system": h.system, "af_mm": float(h.af_mm), "slack_mm": float(held.fit.slack_mm), "verdict": held.fit.verdict})  # fmt: skip
        lines.extend(_other_sizes(opening, width))
    title = f"{opening.said}: {' or '.join(short_mm(w) for w in opening.widths_mm)} mm across flats"
    return Answer(
        asked=asked,
        kind="spanner",
        title=title,
        lines=tuple(lines),
        values={"widths_mm": [float(w) for w in opening.widths_mm], "hexagons": values},
    )


def _on_a_hexagon(asked: str, opening: Opening) -> Answer | None:
    """Answer "13 mm spanner on 1/2 AF" and "17 mm spanner on an M10": slack, and whether it rounds the corners."""
    _, on, what = asked.partition(" on ")
    other = read_opening(what) if on else None
    thread = thread_within(" ".join(_NOISE.sub(" ", what).split()))[0] if on and other is None else None
    if other is not None:
        hexagons = [(f"a hexagon of {other.said}", width) for width in other.widths_mm]
    elif thread is not None:
        hexagons = [(f"{thread.name}, {_hexagon_words(h)}", h.af_mm) for h in hexagons_of(thread.name)]
    else:
        return None
    fits = [(name, width, fit(own, width)) for own in opening.widths_mm[:1] for name, width in hexagons]
    return Answer(
        asked=asked, kind="spanner", title=f"{opening.said} spanner on {what}", lines=tuple(f"{name}: {_slack(sit.slack_mm)}, {sit.verdict}" for name, _, sit in fits),
        values={"fits": [{"hexagon": name, "af_mm": float(width), "slack_mm": float(sit.slack_mm), "verdict": sit.verdict} for name, width, sit in fits]},
    )  # fmt: skip


def _other_sizes(opening: Opening, width_mm: Decimal) -> list[str]:
    """Say which other spanners come nearest to this width, and how they would sit on a hexagon of it."""
    others = [o for o in nearest_openings(width_mm) if o.said != opening.said][:3]
    return [
        f"next: {o.said}{'' if o.kind == 'metric' else f', {short_mm(o.widths_mm[0])} mm'}, on a hexagon of {short_mm(width_mm)} mm: {_slack(sit.slack_mm)}, {sit.verdict}"
        for o in others
        for sit in [fit(o.widths_mm[0], width_mm)]
    ]


def _slack(slack_mm: Decimal) -> str:
    return "no slack" if not slack_mm else f"{short_mm(abs(slack_mm))} mm {'slack' if slack_mm > 0 else 'too small'}"


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
    lines = [f"{thread.name}: {short(thread.major_mm)} mm over the threads, {pitch}{minor}, {short(thread.angle_deg)} degrees ({thread.standard}){trust(thread.confidence)}"]  # fmt: skip
    if thread.tapping_drill_mm is not None:
        lines.append(f"  tapping drill {short(thread.tapping_drill_mm)} mm")
    if hexagons := hexagons_of(thread.name):
        lines.append("  spanner " + "; ".join(dict.fromkeys(_hexagon_words(h) for h in hexagons)))
    keys = keys_of(thread.name)
    if keys:
        lines.append("  key " + ", ".join(dict.fromkeys(f"{k.size} {k.form}{trust(k.confidence)}" for k in keys)))
    guides = [g for c in classes_of(thread.name) if isinstance(g := torque_guide(thread.name, c), TorqueGuide)]
    if guides:
        lines.append(f"  torque {', '.join(f'{short(round(g.torque_nm, 1))} N·m in {g.property_class}{trust(g.confidence)}' for g in guides)}, dry, K 0.20, a quarter either way; guide only; the maker's figure overrules it")  # fmt: skip
    lines.extend(
        f"  easily taken for {a.other}: {a.warning}{trust(a.confidence)}" for a in lookalikes_of(thread.name)[:4]
    )
    if thread.is_special:
        lines.append("  a real thread that is not a standard ISO size")
    return lines


def _hexagon_words(hexagon: Hexagon) -> str:
    """Say a hexagon: "16 mm (metric ISO)", "14 mm (metric JIS small)", "15.24 mm (BS small, marked 3/8 BS = 5/16 W)"."""
    width = short_mm(hexagon.af_mm)
    marked = "" if hexagon.marked == width else f", marked {hexagon.marked}"
    kind = next((w for w in ("flange bolt", "nut with flange", "heavy") if w in hexagon.part), "")
    return f"{width} mm ({hexagon.system}{f', {kind}' if kind else ''}{marked}){trust(hexagon.confidence)}"


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
