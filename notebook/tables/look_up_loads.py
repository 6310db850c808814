"""Answers of torque, depth of thread and drills.

In: the words asked. Out: an answer, or None where the words ask for something else. Never gives a torque for a part that
lives hang on, a stretch bolt or a soft casting.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal

from notebook.tables.answers import Answer, short_mm, trust
from notebook.tables.engagement import doubt_engagement, engagement, least_engagement_mm
from notebook.tables.thread_names import short
from notebook.tables.thread_table import Thread, all_threads
from notebook.tables.threads import find_threads
from notebook.tables.torque import TorqueGuide, classes_of, lubricant_said, torque_guide

IsCritical = Callable[[str], bool]
_TORQUE = re.compile(r"\b(torque|tighten(?:ing)?|tight)\b", re.IGNORECASE)
_CLASS = re.compile(r"\b(?:class|grade)?\s*(8\.8|10\.9|12\.9)\b", re.IGNORECASE)
_CONDITION = re.compile(r"\b(dry|oiled|greased)\b", re.IGNORECASE)
_INTO = re.compile(r"\b(steel|cast iron|brass|bronze|alumini?um|alloy|magnesium|zinc|plastics?)\b", re.IGNORECASE)
_DEPTH = re.compile(r"(?<![\d./])(\d+(?:\.\d+)?)\s*mm\b", re.IGNORECASE)
_DRILL = re.compile(r"\b(?:tapping|drill|tap)s?\b", re.IGNORECASE)
_IDLE = re.compile(r"\b(?:what|which|is|are|the|a|an|of|for|does|do|in|into|to|deep|depth|engagement|enough|thread|size|hole|how|much|bolts?|screws?|nuts?|studs?|on|with)\b|[?,]", re.IGNORECASE)  # fmt: skip
_SAME_DRILL_MM = Decimal("0.051")
_LONGEST_NAME = 5


def thread_within(words: str) -> tuple[Thread | None, str]:
    """Give the thread that some words name, and the other words: "M8 cap screw" is M8 and "cap screw"."""
    found, rest = threads_within(words)
    return (found[0] if found else None), rest


def threads_within(words: str) -> tuple[tuple[Thread, ...], str]:
    """Give every thread that the longest name in some words may mean, and the other words."""
    pieces = words.split()[:40]
    for length in range(min(_LONGEST_NAME, len(pieces)), 0, -1):
        for at in range(len(pieces) - length + 1):
            if found := find_threads(" ".join(pieces[at : at + length])):
                return tuple(found), " ".join([*pieces[:at], *pieces[at + length :]])
    return (), words


def torque_answer(asked: str, is_critical: IsCritical) -> Answer | None:
    """Answer "torque M10 8.8 oiled"; of "torque M10 8.8 brake caliper" say to get the figure."""
    if not _TORQUE.search(asked):
        return None
    said_class = _CLASS.search(asked)
    words = asked
    for pattern in (_TORQUE, _CLASS, _CONDITION, _IDLE):
        words = pattern.sub(" ", words)
    thread, part = thread_within(" ".join(words.split()))
    if thread is None:
        return None
    condition = lubricant_said(asked)
    classes: tuple[str | None, ...] = (said_class.group(1),) if said_class else classes_of(thread.name) or (None,)
    critical = any(is_critical(name) for name in _names_in(part))
    guides = [
        torque_guide(thread.name, c, condition=condition, part=asked, is_safety_critical=critical) for c in classes
    ]
    lines = tuple(dict.fromkeys(g.words() if isinstance(g, TorqueGuide) else g for g in guides))
    values = [
        {"class": g.property_class, "torque_nm": float(g.torque_nm), "low_nm": float(g.low_nm), "high_nm": float(g.high_nm), "k": float(g.k), "confidence": g.confidence}
        for g in guides
        if isinstance(g, TorqueGuide)
    ]  # fmt: skip
    return Answer(
        asked=asked, kind="torque", title=f"{thread.name}, torque guide", lines=lines,
        values={"thread": thread.name, "guides": values},
    )  # fmt: skip


def _names_in(words: str) -> list[str]:
    """Give every run of words, for one of them may name a part."""
    pieces = words.split()[:8]
    return [" ".join(pieces[a:b]) for a in range(len(pieces)) for b in range(a + 1, len(pieces) + 1)]


def engagement_answer(asked: str) -> Answer | None:
    """Answer "M8 in aluminium", and "M8 10 mm deep in aluminium" with whether that is enough."""
    material = _INTO.search(asked)
    if material is None or _DRILL.search(asked):
        return None
    depth = _DEPTH.search(asked)
    words = _INTO.sub(" ", asked)
    words = _DEPTH.sub(" ", words) if depth else words
    thread, _ = thread_within(" ".join(_IDLE.sub(" ", words).split()))
    name = material.group(1).lower()
    wanted = engagement(thread.name, name) if thread is not None else None
    if thread is None or wanted is None:
        return None
    low, high = short_mm(wanted.usual_mm), short_mm(wanted.cautious_mm)
    lines = [(f"{low} mm" if low == high else f"{low} to {high} mm") + f" of good thread{trust(wanted.confidence)}"]
    if depth:
        deep = Decimal(depth.group(1))
        lines.insert(0, doubt_engagement(thread.name, name, deep) or f"{short(deep)} mm is enough")
    least = least_engagement_mm(thread) if name == "steel" else None
    if least is not None:
        lines.append(f"at the very least {least:.1f} mm where both are equally strong (FED-STD-H28 formula, limits 6H and 6g by ISO 965-1) [medium confidence]")  # fmt: skip
    return Answer(
        asked=asked, kind="engagement", title=f"{thread.name} in {name}", lines=(*lines, wanted.source),
        values={"thread": thread.name, "usual_mm": float(wanted.usual_mm), "cautious_mm": float(wanted.cautious_mm), "least_mm": round(least, 2) if least else None},
    )  # fmt: skip


def drill_answer(asked: str) -> Answer | None:
    """Answer "tapping drill for M8", and "8.5 mm drill" with the threads that it is for."""
    if not _DRILL.search(asked):
        return None
    threads, rest = threads_within(" ".join(_IDLE.sub(" ", _DRILL.sub(" ", asked)).split()))
    holes = tuple(t for t in threads if t.tapping_drill_mm is not None)
    if holes:
        lines = [f"{t.name}: {short_mm(t.tapping_drill_mm or t.major_mm)} mm{trust(t.confidence)}" for t in holes]
        return _drills(asked, "tapping drill", lines, holes)
    size = _DEPTH.search(rest) if not threads else None
    if size is None:
        return None
    drill = Decimal(size.group(1))
    fits = tuple(t for t in all_threads() if t.tapping_drill_mm is not None and abs(t.tapping_drill_mm - drill) < _SAME_DRILL_MM)  # fmt: skip
    lines = [f"{t.name}: its tapping drill is {short_mm(t.tapping_drill_mm or drill)} mm{trust(t.confidence)}" for t in fits]  # fmt: skip
    return _drills(asked, f"{short(drill)} mm drill", lines, fits) if fits else None


def _drills(asked: str, title: str, lines: list[str], threads: tuple[Thread, ...]) -> Answer:
    values = [{"thread": t.name, "drill_mm": float(t.tapping_drill_mm or 0)} for t in threads]
    return Answer(asked=asked, kind="drill", title=title, lines=tuple(lines), values={"drills": values})
