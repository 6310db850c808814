"""The rebuild sheet: the way back, a step at a time, with everything that is needed at hand.

In: the plan of the rebuild, the log. Out: the sheet as values. An order that was not said is not invented, and a
torque that was not said is a guide with its reasons, or the word to get the maker's figure.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from notebook.documents.deciding_words import STATES
from notebook.documents.paper import Head, Line, Picture, PictureBook, Times, capital, list_words, make_head, sentence
from notebook.documents.strip_report import DEFER, UNSURE_BELOW, work_words
from notebook.documents.words import amount_words
from notebook.entries import Entry, Fastener
from notebook.errors import one_line
from notebook.log.facts import Said
from notebook.log.order_list import fastener_size
from notebook.log.rebuild import Rebuild, RebuildStep
from notebook.log.standing import Proposal
from notebook.nouns import Log
from notebook.shop import PaperSettings
from notebook.tables.torque import class_said, classes_of, lubricant_said, torque_guide

MOST_PICTURES_OF_A_STEP = 3
_FIRST = {
    "replace": "New part is here", "order": "New part is here", "scrap": "New part is here", "rework": "Reworked", "overhaul": "Overhauled",
    "modify": "Modified", "send out": "Back from the specialist", "clean": "Cleaned", "check": "Checked", "hold": "Word given to go on",
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerRow:
    """Fasteners of one step."""

    count: str
    what: str
    size: str
    driver: str
    torque: str
    lock: str
    place: str
    refs: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetStep:
    """One step to tick."""

    number: int | None
    """None where the order was not said."""
    title: str
    first: tuple[str, ...]
    """What must be done before."""
    stored: tuple[str, ...]
    marks: tuple[Line, ...]
    fasteners: tuple[FastenerRow, ...]
    torques: tuple[Line, ...]
    tips: tuple[Line, ...]
    cautions: tuple[Line, ...]
    usual_cautions: tuple[str, ...]
    pictures: tuple[Picture, ...]
    see_pictures: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetGroup:
    """Steps of one assembly."""

    assembly: str
    steps: tuple[SheetStep, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RebuildSheet:
    """The whole sheet."""

    head: Head
    groups: tuple[SheetGroup, ...]
    unordered: tuple[SheetStep, ...]
    thrown_away: tuple[Line, ...]
    tips: tuple[Line, ...]
    cautions: tuple[Line, ...]
    marks: tuple[Line, ...]
    torques: tuple[Line, ...]
    fasteners: tuple[FastenerRow, ...]
    defer: str = DEFER


def make_rebuild_sheet(
    log: Log, plan: Rebuild, settings: PaperSettings, usual_cautions: dict[str, tuple[str, ...]] | None = None
) -> tuple[RebuildSheet, PictureBook]:
    """Make the sheet of a job, and the book of the pictures in it; `usual_cautions` by part id, each shown once."""
    times, book = Times(log), PictureBook()
    usual = usual_cautions or {}
    number = 0
    groups = []
    for group in plan.groups:
        steps = []
        for step in group.steps:
            number += 1
            steps.append(_step(step, number, times, book, usual))
        groups.append(SheetGroup(assembly=capital(one_line(group.assembly)), steps=tuple(steps)))
    unordered = tuple(_step(step, None, times, book, usual) for step in plan.unordered)
    sheet = RebuildSheet(
        head=make_head(log, "Rebuild sheet", settings), groups=tuple(groups), unordered=unordered,
        thrown_away=tuple(_thrown(p, times) for p in plan.thrown_away),
        tips=tuple(_line(sentence(s.entry.text), s, times) for s in plan.loose_tips),
        cautions=tuple(_line(sentence(s.entry.text), s, times) for s in plan.loose_cautions),
        marks=tuple(_line(sentence(s.entry.text), s, times) for s in plan.loose_marks),
        torques=tuple(_line(f"{s.entry.component or 'part not named'}: {amount_words(s.entry)}", s, times) for s in plan.loose_torques),
        fasteners=tuple(_fastener(s, (), None, False, times) for s in plan.loose_fasteners),
    )  # fmt: skip
    return sheet, book


def _step(
    step: RebuildStep, number: int | None, times: Times, book: PictureBook, usual: dict[str, tuple[str, ...]]
) -> SheetStep:
    facts = step.facts
    torque = ", ".join(dict.fromkeys(amount_words(t.entry) for t in step.torques)) or None
    one_set = len({f.entry.thread for f in step.fasteners}) <= 1
    rows = tuple(
        _fastener(f, places, torque if one_set else None, facts.is_safety_critical, times)
        for f, places in zip(step.fasteners, step.fastener_places, strict=True)
    )
    known = [p for p in facts.photos if p.id in book.taken]
    pictures = book.put(facts.photos[:MOST_PICTURES_OF_A_STEP], capital(facts.name))
    name = f"the new {facts.name}" if step.is_new else f"the {facts.name}"
    return SheetStep(
        number=number, title=one_line(f"{capital(step.verb)} {name}" if number is not None else capital(facts.name)),
        first=tuple(dict.fromkeys(f"{_FIRST[b.action]} ({STATES[b.state]})" for b in step.beforehand)),
        stored=tuple(dict.fromkeys(one_line(s.entry.place) for s in facts.stores)) if not step.is_new else (),
        marks=tuple(_line(sentence(m.entry.text), m, times) for m in step.marks), fasteners=rows,
        torques=() if torque is not None and one_set and rows else tuple(_line(f"Torque {amount_words(t.entry)}", t, times) for t in step.torques),
        tips=tuple(_line(sentence(t.entry.text), t, times) for t in step.tips), cautions=tuple(_line(sentence(c.entry.text), c, times) for c in step.cautions),
        usual_cautions=usual.get(facts.part.id, ()), pictures=pictures, see_pictures=book.numbers(known),
    )  # fmt: skip


def _fastener(
    said: Said[Fastener], places: Sequence[str], torque: str | None, is_safety_critical: bool, times: Times
) -> FastenerRow:
    fastener = said.entry
    states = [s for s in fastener.state if s != "threadlocked"]
    condition = f" ({', '.join(states)} when it came off)" if states else ""
    ref = times.ref(said.remark)
    return FastenerRow(
        count=str(fastener.count) if fastener.count is not None else "?", what=one_line((fastener.form or "fastener") + condition),
        size=fastener_size(fastener) or "not said", driver=one_line(fastener.driver or "not said"),
        torque=torque_words(fastener, torque, is_safety_critical=is_safety_critical, words=said.remark.tidied),
        lock="threadlocker" if "threadlocked" in fastener.state else "", place=one_line(", ".join(places)) or "not said", refs=str(ref.number),
    )  # fmt: skip


def torque_words(fastener: Fastener, said: str | None, *, is_safety_critical: bool, words: str = "") -> str:
    """Say the torque that was said, else the guide, else why there is none; `words` are those of its remark.

    A class, a lubricant and a soft material that were said with it count: "six M8 8.8 bolts into the aluminium".
    """
    if said is not None:
        return f"{said} (said)"
    if fastener.thread is None or not re.search(r"bolt|screw|nut|stud|fastener", fastener.form or "fastener"):
        return ""
    spoken = f"{fastener.component or ''} {fastener.form or ''} {words}"
    property_class = next((c for c in classes_of(fastener.thread) if c in (fastener.form or "")), None)
    guide = torque_guide(
        fastener.thread, property_class or class_said(words), condition=lubricant_said(words), part=spoken, is_safety_critical=is_safety_critical
    )  # fmt: skip
    return guide if isinstance(guide, str) else guide.words()


def _thrown(proposal: Proposal, times: Times) -> Line:
    refs = tuple({s.remark.order: times.ref(s.remark) for s in proposal.said}.values())
    places = list(dict.fromkeys(s.entry.place for s in proposal.facts.stores))
    where = f"; the old one in {list_words(places)}" if places else ""
    return Line(
        words=one_line(f"{capital(proposal.facts.name)}: {work_words(proposal)}, {STATES[proposal.state]}{where}"),
        refs=refs,
    )


def _line(words: str, said: Said[Entry], times: Times) -> Line:
    is_unsure = said.entry.confidence < UNSURE_BELOW and not said.entry.mended
    return Line(words=one_line(words), refs=(times.ref(said.remark),), is_unsure=is_unsure)
