"""Writes the log of a job for the terminal and as Markdown.

In: a log. Out: text. Never queries the archive and never opens a file.
What was found stands first, then each part in the order it came off; a doubt is marked with "?" and said in words; "~"
marks what is read wrongly more often than rightly.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from notebook.documents.deciding_words import decided_part, decision_words
from notebook.documents.words import entry_words, is_defect, part_name
from notebook.entries import Caution, Correction, Decided, Entry, Mileage, PhotoCue, Promise, Storage, Tip, Tool
from notebook.errors import one_line
from notebook.log.caring import cautions_of
from notebook.nouns import AT_THE_BENCH, Decision, Log, Outage, Part, Photo, Remark
from notebook.tables.cautions import DEFER

_LOOSE_KINDS = (Caution, Tip, Tool, Storage, PhotoCue, Correction, Decided, Promise)

UNSURE_BELOW = 0.4
"""An entry less sure than this is marked; see `notebook/reading/confidence.py`."""


@dataclass(frozen=True, slots=True)
class _Line:
    """One line of the log: what, where it was said, which photos."""

    words: str
    entry: Entry | None
    remark: Remark | None
    photos: tuple[Photo, ...] = ()


@dataclass(frozen=True, slots=True)
class _Section:
    title: str
    lines: tuple[_Line, ...]
    is_part: bool = False


def log_text(log: Log, *, with_ids: bool = False) -> str:
    """Write the log for a terminal."""
    out = [_head(log), ""]
    for section in _sections(log):
        if not section.is_part and out[-1]:
            out.append("")
        out.append(one_line(section.title if not section.is_part else f"  {section.title}"))
        indent = "    " if section.is_part else "  "
        out.extend(_terminal_line(line, log, indent, with_ids) for line in section.lines)
        if not section.is_part:
            out.append("")
    return "\n".join(out).rstrip() + "\n"


def log_markdown(log: Log) -> str:
    """Write the log as Markdown."""
    out = [f"# {_md(_head(log))}", ""]
    for section in _sections(log):
        out.append(f"{'###' if section.is_part else '##'} {_md(section.title)}")
        out.append("")
        for line in section.lines:
            at = _when(line.remark, log)
            photos = "".join(f" {_md_code(p.name)}" for p in line.photos)
            out.append(f"- {_md(_marked(line))}{f' ({at})' if at else ''}{photos}")
        out.append("")
    return "\n".join(out).rstrip() + "\n"


def _head(log: Log) -> str:
    job = log.job
    people = sorted({s.person for s in log.sittings if s.person} | _people(log))
    parts = [f"Job {job.number}", job.machine.kind]
    if job.machine.plate:
        parts.append(job.machine.plate)
    if job.reading:
        parts.append(job.reading)
    parts.append(f"opened {job.opened:%Y-%m-%d}")
    parts.append(f"{len(log.remarks)} remarks, {len(log.photos)} photos")
    if people:
        parts.append(", ".join(people))
    return one_line(" | ".join(parts))


def _sections(log: Log) -> list[_Section]:
    by_id = {e.id: (e, r) for r in log.remarks for e in r.entries}
    sections = [_defects(log)]
    came_off = [p for p in log.parts if p.order is not None]
    others = [p for p in log.parts if p.order is None]
    if came_off:
        sections.append(_Section("In the order it came off", ()))
        sections.extend(_part_section(p, by_id, log) for p in came_off)
    if others:
        sections.append(_Section("Also spoken of", ()))
        sections.extend(_part_section(p, by_id, log) for p in others)
    sections.extend(_listed(log))
    return [s for s in sections if s.lines or s.title in ("In the order it came off", "Also spoken of") or s.is_part]


def _defects(log: Log) -> _Section:
    lines = tuple(
        _Line(f"{part_name(e)}: {entry_words(e)}", e, r, _photos_of(r, log))
        for r in log.remarks
        for e in r.entries
        if is_defect(e)
    )
    return _Section("What was found wrong", lines or (_Line("nothing", None, None),))


def _part_section(part: Part, by_id: dict[str | None, tuple[Entry, Remark]], log: Log) -> _Section:
    title = part.component + (f" ({part.position})" if part.position else "")
    if part.of:
        title += f", off the {part.of}"
    if part.order is not None:
        title = f"{part.order:2}  {title}"
    lines = []
    for entry_id in part.entry_ids:
        entry, remark = by_id[entry_id]
        where = getattr(entry, "position", None)
        place = f", {where}" if where and where != part.position else ""
        lines.append(_Line(entry_words(entry) + place, entry, remark, _photos_of(remark, log)))
    lines.extend(_Line(f"= {verdict}", None, None) for verdict in part.verdicts)
    return _Section(title, tuple(lines), is_part=True)


def _listed(log: Log) -> list[_Section]:
    entries = [(e, r) for r in log.remarks for e in r.entries]
    sections = []
    for title, kinds in (
        ("Cautions", (Caution,)),
        ("Tips", (Tip,)),
        ("Where things are", (Storage,)),
        ("Tools", (Tool,)),
        ("Promised to the owner", (Promise,)),
        ("Taken back", (Correction,)),
    ):
        sections.append(_Section(title, tuple(_Line(entry_words(e), e, r) for e, r in entries if isinstance(e, kinds))))
    sections.insert(0, _Section("Decided", tuple(_decision_line(d, log) for d in log.decisions)))
    machine = tuple(_Line(entry_words(e), e, r) for e, r in entries if isinstance(e, Mileage) and e.component is None)
    unnamed = tuple(
        _Line(f"{part_name(e)}: {entry_words(e)}", e, r)
        for e, r in entries
        if not isinstance(e, (*_LOOSE_KINDS, Mileage)) and getattr(e, "component", None) is None
    )
    struck = tuple(
        _Line(f"{part_name(e)}: {entry_words(e)}", e, r)
        for e, r in entries
        if e.struck and not isinstance(e, _LOOSE_KINDS)
    )
    loose = [p for p in log.photos if p.id not in {link.photo_id for link in log.links}]
    doubts = tuple(_Line(f"{e.kind}: {entry_words(e)}", e, r) for e, r in entries if e.doubt)
    words = tuple(_Line(f'"{r.text}"  ({r.doubt})', None, r) for r in log.remarks if r.doubt)
    conflicts = tuple(
        _Line(f"mend of a {m.kind or 'remark'}: {m.conflict}", None, _remark(log, m.remark_id))
        for m in log.mends
        if m.conflict
    )
    sections.extend(
        [
            _Section("The machine", machine),
            _Section("Which part is not plain", unnamed),
            _Section("Struck out", struck),
            _Section("To look at", doubts + words + conflicts),
            _Section(
                "While nothing could be heard", tuple(_Line(_outage_words(o, log), None, None) for o in log.outages)
            ),
            _Section("Take care", _take_care(log)),
            _Section("Photos without a remark", tuple(_Line(one_line(p.name), None, None) for p in loose)),
        ]
    )
    return sections


def _decision_line(decision: Decision, log: Log) -> _Line:
    """Say a decision with its day; one that was said leads to its remark."""
    remark = _remark(log, decision.remark_id) if decision.remark_id else None
    note = f': "{decision.note}"' if decision.note and remark is None else ""
    return _Line(f"{decided_part(decision)}: {decision_words(decision)}{note}", None, remark)


def _outage_words(outage: Outage, log: Log) -> str:
    sitting = next((s for s in log.sittings if s.id == outage.sitting_id), None)
    zone = ZoneInfo(sitting.zone if sitting else "UTC")
    return (
        f"{outage.began.astimezone(zone):%Y-%m-%d %H:%M:%S} to {outage.ended.astimezone(zone):%H:%M:%S}: {outage.why}"
    )


def _take_care(log: Log) -> tuple[_Line, ...]:
    """Give the usual cautions for the parts, tools and deeds of the job, each once, and whom to ask before all."""
    found = cautions_of(log.remarks, [v for p in log.parts for v in p.verdicts])
    unsure = {c.confidence for c in found} - {"high"}
    end = (
        f"{DEFER} What stands here is common practice [{' and '.join(sorted(unsure))} confidence]." if unsure else DEFER
    )
    return tuple(_Line(words, None, None) for words in (*(c.text for c in found), end)) if found else ()


def _terminal_line(line: _Line, log: Log, indent: str, with_ids: bool) -> str:
    at = _when(line.remark, log)
    text = f"{indent}{one_line(_marked(line))}"
    tail = f"  [{at}]" if at else ""
    photos = "".join(f"  {one_line(p.name)}" for p in line.photos)
    ids = f"  {line.remark.order}:{(line.entry.id or '')[:8]}" if with_ids and line.entry and line.remark else ""
    return f"{text}{tail}{photos}{ids}"


def _marked(line: _Line) -> str:
    entry = line.entry
    if entry is not None and entry.doubt:
        return f"? {line.words}  ({entry.doubt})"
    if entry is not None and entry.mended:
        return f"{line.words}  (mended)"
    if entry is not None and entry.confidence < UNSURE_BELOW:
        return f"~ {line.words}"
    return line.words


def _when(remark: Remark | None, log: Log) -> str:
    """Give where in the sound it was said, as minutes and seconds of its recording, else its number.

    What was heard at the bench has a recording of its own for each remark: there it is the time of day.
    """
    if remark is None:
        return ""
    at, who = _where_said(remark, log), _speaker(remark, log)
    return f"{at}, {who}" if who and len(_people(log)) > 1 else at


def _people(log: Log) -> set[str]:
    """Give who spoke on the job; only where there are several does each line say who."""
    return {who for remark in log.remarks if (who := _speaker(remark, log))}


def _speaker(remark: Remark, log: Log) -> str | None:
    return remark.person or next((s.person for s in log.sittings if s.id == remark.sitting_id), None)


def _where_said(remark: Remark, log: Log) -> str:
    if remark.first_sample is None:
        return f"remark {remark.order}"
    recording = next((r for r in log.recordings if r.sha256 == remark.recording_sha256), None)
    if recording is not None and recording.started_how == AT_THE_BENCH and remark.at is not None:
        sitting = next((s for s in log.sittings if s.id == remark.sitting_id), None)
        return f"{remark.at.astimezone(ZoneInfo(sitting.zone if sitting else 'UTC')):%H:%M:%S}"
    rate = recording.rate_hz if recording is not None else 16000
    seconds = remark.first_sample / rate
    hours, rest = divmod(int(seconds), 3600)
    return f"{rest // 60}:{rest % 60:02}" if not hours else f"{hours}:{rest // 60:02}:{rest % 60:02}"


def _photos_of(remark: Remark, log: Log) -> tuple[Photo, ...]:
    ids = {link.photo_id for link in log.links if link.remark_id == remark.id}
    return tuple(p for p in log.photos if p.id in ids)


def _remark(log: Log, remark_id: str) -> Remark | None:
    return next((r for r in log.remarks if r.id == remark_id), None)


def _md(text: str) -> str:
    """Escape what Markdown or HTML would take for its own."""
    out = one_line(text).strip()
    for sign, instead in _MD_SIGNS:
        out = out.replace(sign, instead)
    return _LIST_START.sub(r"\1\\\2", out)


_MD_SIGNS = (*((sign, "\\" + sign) for sign in "\\`*_{}[]#|~"), ("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"))
_LIST_START = re.compile(r"^(\d+(?=[.)])|(?=[-+]))([-+.)])(?=[\s-]|$)")
"""What would start a list or draw a rule inside a line of the log: "1. ", "- ", "---"."""


def _md_code(text: str) -> str:
    """Write a name as it is, between more back quotes than it holds."""
    name = one_line(text)
    fence = "`" * (max((len(run) for run in re.findall("`+", name)), default=0) + 1)
    return f"{fence} {name} {fence}" if "`" in name else f"{fence}{name}{fence}"
