"""The way back, a step at a time: at the bench by voice, and from the command line.

In: a job of the archive, what was said. Out: ticks in the archive, and past-tense messages for a front. A step is ticked
only by a word or a key; what differs from the sheet or the limits is told as a doubt and stops nothing. No screen in it.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from notebook.archive.store import Archive, new_id
from notebook.archive.walked import add_rebuild_sitting, add_tick, list_ticks, named_step, rebuild_sittings
from notebook.documents.rebuild_sheet import RebuildSheet, SheetStep, make_rebuild_sheet
from notebook.errors import WRONG_USE, NotebookError, one_line
from notebook.jobs import bench_messages as told
from notebook.jobs.limits import limits_for
from notebook.jobs.paperwork import job_facts, usual_cautions_by_part
from notebook.log.facts import same_part
from notebook.log.rebuild import Rebuild, plan_rebuild
from notebook.log.rebuilding import (
    Checked,
    LeftInPlace,
    StepStanding,
    Tick,
    TickState,
    awaited,
    check_said,
    check_tick,
    is_own,
    left_in_places,
    where_steps_stand,
    without_rebuild,
)
from notebook.nouns import Job, Log, Remark
from notebook.reading.names import names_of
from notebook.reading.rebuild_cues import SPOKEN, RebuildCue, find_rebuild_cue
from notebook.shop import Shop
from notebook.tables.tightening import cross_words

if TYPE_CHECKING:
    from notebook.jobs.scribe import Scribe
    from notebook.nouns import Transcript

MOST_WORDS_OF_A_GUESS = 2
"""A tick that only another of the ear's hypotheses reads as one is taken from no longer remark than this."""
_SAYS = {"done": "DONE", "torque set": "TORQUE SET", "skipped": "SKIPPED", "open": "OPEN AGAIN"}


@dataclass(frozen=True, slots=True, kw_only=True)
class RebuildState:
    """How far the rebuild of a job is."""

    log: Log
    """The whole log."""
    plan: Rebuild
    sheet: RebuildSheet
    standings: tuple[StepStanding, ...]
    said: tuple[Remark, ...]
    """What was said while it went together."""
    left: tuple[LeftInPlace, ...]

    @property
    def waiting(self) -> tuple[str, ...]:
        """Give the open steps that wait for a part."""
        lines = (awaited(s.step, self.said) for s in self.standings if s.state != "done")
        return tuple(line for line in lines if line is not None)


def load_rebuild(archive: Archive, shop: Shop, job: Job, log: Log | None = None) -> RebuildState:
    """Load how far the rebuild of a job is; raises NotebookError where nothing was said to come off."""
    whole = log if log is not None else archive.load_log(job)
    sittings = rebuild_sittings(archive, job.id)
    apart = without_rebuild(whole, sittings)
    parts = job_facts(shop, apart)
    plan = plan_rebuild(apart, parts)
    standings = where_steps_stand(plan, list_ticks(archive, job.id))
    if not standings:
        raise NotebookError(
            f"Nothing was said to come off on job {one_line(job.number)}, so there is no way back to walk.",
            f"Take the job in first: teardown add {one_line(job.number)} FILE, or talk: teardown bench {one_line(job.number)}",
        )
    sheet, _ = make_rebuild_sheet(apart, plan, shop.settings.paper, usual_cautions_by_part(parts))
    said = tuple(r for r in whole.remarks if r.sitting_id in sittings)
    return RebuildState(
        log=whole, plan=plan, sheet=sheet, standings=standings, said=said, left=left_in_places(whole, standings)
    )


def sheet_steps(sheet: RebuildSheet) -> tuple[SheetStep, ...]:
    """Give the steps of a sheet in the order to do them."""
    return (*(step for group in sheet.groups for step in group.steps), *sheet.unordered)


def sum_up(state: RebuildState) -> told.RebuildSummed:
    """Say how far it is: what was not done, and what is left in the bags."""
    titles = _titles(state)
    not_done = tuple(
        f"{n}  {title}{f' (skipped: {s.why})' if s.why else ' (skipped)' if s.state == 'skipped' else ''}"
        for n, (title, s) in enumerate(zip(titles, state.standings, strict=True), 1)
        if s.state != "done"
    )
    doubts = tuple(f"step {n}: {d}" for n, s in enumerate(state.standings, 1) for d in s.doubts)
    return told.RebuildSummed(
        done=sum(s.state == "done" for s in state.standings), of=len(state.standings), not_done=not_done,
        left=tuple(f"{p.place}: {', '.join(p.contents)}" for p in state.left), waiting=state.waiting, doubts=doubts,
    )  # fmt: skip


def _titles(state: RebuildState) -> list[str]:
    """Give what is to be done at each step; of a part whose place was not said, only that it is to be seen to."""
    return [
        sheet.title if standing.is_ordered else f"See to the {standing.name}"
        for sheet, standing in zip(sheet_steps(state.sheet), state.standings, strict=True)
    ]


def show_step(state: RebuildState, at: int) -> told.StepShown:
    """Show one step with all that is needed for it."""
    standing, sheet = state.standings[at], sheet_steps(state.sheet)[at]
    photos = standing.step.facts.photos
    photo = photos[0] if photos else None
    folder = state.log.folder or Path()
    return told.StepShown(
        number=at + 1, of=len(state.standings), title=_titles(state)[at],
        state=standing.state, lines=tuple(_step_lines(state, standing, sheet)), picture=one_line(photo.name) if photo else "",
        picture_file=str(folder / "photos" / f"{photo.sha256}.small.jpg") if photo else "",
        still_open=tuple(f"{n}  {title}" for n, (title, s) in enumerate(zip(_titles(state), state.standings, strict=True), 1) if s.state != "done"),
    )  # fmt: skip


def _step_lines(state: RebuildState, standing: StepStanding, sheet: SheetStep) -> list[str]:
    lines = []
    if standing.why:
        lines.append(f"skipped: {standing.why}")
    if not standing.is_ordered:
        lines.append("nobody said when it came off; put it where it belongs")
    if (waits := awaited(standing.step, state.said)) is not None:
        lines.append(f"? {waits}")
    lines += [f"first: {words}" for words in sheet.first]
    lines += [f"stored: {place}" for place in sheet.stored]
    lines += [f"how it sat: {mark.words}" for mark in sheet.marks]
    lines += [f"   {', '.join(p.contents)}: {p.place}" for p in state.left if _goes_with(standing, p)]
    for row in sheet.fasteners:
        lines.append(f"fasteners: {row.count} {row.what}, {row.size}")
        lines.append(f"   key: {row.driver}; stored: {row.place}{f'; {row.lock}' if row.lock else ''}")
        if row.torque:
            lines.append(f"   torque: {row.torque}")
        if (order := cross_words(int(row.count) if row.count.isdigit() else None)) is not None:
            lines.append(f"   {order}")
    lines += [f"torque: {line.words.removeprefix('Torque ')}" for line in sheet.torques]
    lines += [f"! {line.words}" for line in sheet.cautions]
    lines += [f"! usual: {words}" for words in sheet.usual_cautions]
    lines += [f"tip: {line.words}" for line in sheet.tips]
    lines += [f"? {doubt}" for doubt in standing.doubts]
    return [one_line(line) for line in lines]


def _goes_with(standing: StepStanding, left: LeftInPlace) -> bool:
    """Tell whether a place holds what goes on with a step, and is no part by itself: shims."""
    names = {m.entry.component for m in standing.step.marks if m.entry.component and not is_own(m.entry, standing.step)}
    return any(same_part(names_of(c)[0], name) for c in left.contents for name in names if names_of(c))


def tick_step(
    archive: Archive, shop: Shop, job: Job, number: int, state: TickState, *, words: str = "", person: str | None, now: datetime,
) -> RebuildState:  # fmt: skip
    """Tick a step, skip it or open it again from the command line; raises NotebookError where there is no such step."""
    before = load_rebuild(archive, shop, job)
    if not 1 <= number <= len(before.standings):
        raise NotebookError(
            f"There is no step {number} on job {one_line(job.number)}; nothing was noted.", f"Give 1 to {len(before.standings)}.", WRONG_USE
        )  # fmt: skip
    standing = before.standings[number - 1]
    _note(archive, job, standing, state, words=words, person=person, now=now, remark=None, doubts=check_tick(standing, state, before.said))  # fmt: skip
    return load_rebuild(archive, shop, job)


def _note(
    archive: Archive, job: Job, standing: StepStanding, state: TickState, *, words: str, person: str | None, now: datetime,
    remark: Remark | None, doubts: Sequence[str],
) -> None:  # fmt: skip
    part = standing.step.facts.part
    tick = Tick(
        id=new_id(), component=part.component, position=part.position, state=state, words=words, doubts=tuple(dict.fromkeys(doubts)),
        person=person, made=now, remark_id=remark.id if remark is not None else None,
    )  # fmt: skip
    add_tick(archive, job.id, tick)


class RebuildAtBench:
    """Walks the way back at the bench; belongs to the thread that owns the archive."""

    def __init__(
        self, archive: Archive, shop: Shop, job: Job, sitting_id: str, scribe: Scribe, *, tell: Callable[[told.Message], None],
        say: Callable[[str], None], now: Callable[[], datetime], person: Callable[[], str | None],
    ) -> None:  # fmt: skip
        """Load the sheet; raises NotebookError where there is no way back to walk."""
        self._archive, self._shop, self._job, self._scribe = archive, shop, job, scribe
        self._tell, self._say, self._now, self._speaks = tell, say, now, person
        self.state = load_rebuild(archive, shop, job, scribe.log)
        self._limits = limits_for(shop, job.machine)
        add_rebuild_sitting(archive, job.id, sitting_id)
        scribe.know_phrases(SPOKEN)
        self._at = self._next_open(-1) or 0
        self._last_ticked: int | None = None

    def begin(self) -> None:
        """Say how far it is, and show the first step that is open."""
        self._tell(sum_up(self.state))
        self._show()

    @property
    def step_name(self) -> str:
        """The part of the step at hand."""
        part = self._standing.step.facts.part
        return named_step(part.component, part.position)

    @property
    def _standing(self) -> StepStanding:
        return self.state.standings[self._at]

    def find(self, transcript: Transcript) -> RebuildCue | None:
        """Give what moves the rebuild on, in what was heard; a tick is not taken from a guess of many words."""
        few = len(transcript.text.split()) <= MOST_WORDS_OF_A_GUESS
        return self._scribe.find_word(transcript, find_rebuild_cue, lambda cue: few or not cue.is_remark)

    @property
    def has_just_ticked(self) -> bool:
        """Whether the last word ticked or skipped a step."""
        return self._last_ticked is not None

    def undo(self) -> None:
        """Open the step that the last word ticked again."""
        if self._last_ticked is None:
            return
        self._at, self._last_ticked = self._last_ticked, None
        self._tick("open", "scratch that", None, self._person(None))
        self._show()

    def move(self, cue: RebuildCue) -> None:
        """Go on, back, or to a step; nothing is ticked by it."""
        self._last_ticked = None
        last = len(self.state.standings) - 1
        match cue.name:
            case "next":
                if self._at == last:
                    self.sum()
                self._at = min(self._at + 1, last)
            case "back":
                self._at = max(self._at - 1, 0)
            case "go to" if cue.number is not None and 1 <= cue.number <= last + 1:
                self._at = cue.number - 1
            case "go to":
                self._say(f"There are {last + 1} steps.")
        self._show()

    def take(self, remark: Remark, cue: RebuildCue | None) -> None:
        """Take what was said at a step: check it, tick the step where a word did, and go on where it is done."""
        if cue is not None and cue.name == "not done" and self._last_ticked is not None:
            self._at = self._last_ticked  # of the step just ticked, not of the one shown since
        checked = check_said(self._standing.step, self.state.plan, remark.entries, self._limits)
        if cue is None:
            self._last_ticked = None
            self._tick("said", remark.tidied, remark, self._person(remark), checked)
            self._show()
            return
        state: TickState = {"done": "done", "torque set": "torque set", "skip": "skipped"}.get(cue.name, "open")  # type: ignore[assignment]
        if (
            state == "torque set"
            and re.search(r"\d|newton|foot|pound", cue.rest)
            and not (checked.fine or checked.doubts)
        ):
            checked = replace(checked, doubts=(f'no torque was understood in "{one_line(remark.tidied)}"',))
        self.tick(state, cue.rest if state == "skipped" else remark.tidied, remark, checked)

    def tick(
        self, state: TickState, words: str = "", remark: Remark | None = None, checked: Checked | None = None
    ) -> None:
        """Tick the step at hand by word or key, and go on to the next that is open."""
        ticked = self._at
        self._tick(state, words, remark, self._person(remark), checked)
        self._last_ticked = ticked if state != "open" else None
        following = self._next_open(ticked)
        if state != "open" and following is not None:
            self._at = following
        if following is None or all(s.state != "open" for s in self.state.standings):
            self.sum()
        self._show()

    def sum(self) -> None:
        """Say what was not done and what is left in the bags."""
        summed = sum_up(self.state)
        self._tell(summed)
        left = f"{len(summed.not_done)} not done" if summed.not_done else "All done"
        self._say(f"{left}. {f'Left: {summed.left[0]}' if len(summed.left) == 1 else f'{len(summed.left)} places hold something' if summed.left else 'The bags are empty'}.")  # fmt: skip

    def use_log(self, log: Log) -> None:
        """Go on with the log as it is now, so that a part said to have come has come."""
        self.state = load_rebuild(self._archive, self._shop, self._job, log)
        self._at = min(self._at, len(self.state.standings) - 1)

    def _tick(
        self, state: TickState, words: str, remark: Remark | None, person: str | None, checked: Checked | None = None
    ) -> None:
        said = (*self.state.said, *((remark,) if remark is not None else ()))
        checked = checked or Checked()
        standing = self._standing
        if any("as the sheet says" in line for line in checked.fine) or any(
            "the sheet has" in d for d in checked.doubts
        ):
            standing = replace(standing, torque_set=True)  # said in the same breath
        doubts = (*checked.doubts, *check_tick(standing, state, said))
        kept = " | ".join((words, *checked.fine)) if state == "said" else words
        _note(self._archive, self._job, standing, state, words=kept, person=person, now=self._now(), remark=remark, doubts=doubts)  # fmt: skip
        self.state = replace(load_rebuild(self._archive, self._shop, self._job, self.state.log), said=said)
        self._tell(
            told.StepSaid(number=self._at + 1, state=state, says=_SAYS.get(state, ""), fine=checked.fine, doubts=doubts)
        )
        if doubts:
            self._say(doubts[0])

    def _person(self, remark: Remark | None) -> str | None:
        return remark.person if remark is not None else self._speaks()

    def _next_open(self, after: int) -> int | None:
        """Give the next open step behind one, else the first before it; a skipped one is not open."""
        places = [*range(after + 1, len(self.state.standings)), *range(after + 1)]
        return next((n for n in places if self.state.standings[n].state == "open"), None)

    def _show(self) -> None:
        self._tell(show_step(self.state, self._at))
