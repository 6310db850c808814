"""Everything said about each part of a job, sorted by kind, with the remark that said it.

In: a log and the limits of its machine. Out: facts of each part, its measurements laid beside their limits, and the
assembly it belongs to. What was struck out is left out. Never adds anything that was not said.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from notebook.entries import Disposition, Entry, Fastener, Finding, Mark, Measurement, Mileage, Step, Storage
from notebook.log.deciding import is_about
from notebook.log.parts import own_limits
from notebook.log.verdicts import Verdict, verdicts_of
from notebook.nouns import Decision, Log, Part, Photo, Remark
from notebook.reading.names import names_of, table_name
from notebook.reading.nouns_said import singular
from notebook.reading.wholes import is_safety_critical, whole_of
from notebook.tables.limits import Limit

_E = TypeVar("_E", bound=Entry, covariant=True)
_K = TypeVar("_K", bound=Entry)

GOOD = frozenset(
    (
        "sound", "clean", "free", "straight", "flat", "round", "sealing", "evenly worn", "within limits", "plenty left",
        "hone marks visible", "run-in",
    )
)  # fmt: skip
"""Conditions that are no fault whatever the part."""
NOT_INSPECTED = "not inspected"


@dataclass(frozen=True, slots=True, kw_only=True)
class Said(Generic[_E]):
    """An entry and the remark it was said in."""

    entry: _E
    remark: Remark


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFacts:
    """One part with everything said about it, by kind, in the order said."""

    part: Part
    findings: tuple[Said[Finding], ...]
    steps: tuple[Said[Step], ...]
    marks: tuple[Said[Mark], ...]
    measurements: tuple[Said[Measurement], ...]
    fasteners: tuple[Said[Fastener], ...]
    mileages: tuple[Said[Mileage], ...]
    dispositions: tuple[Said[Disposition], ...]
    stores: tuple[Said[Storage], ...]
    """Where it was put, by any name it answers to."""
    verdicts: tuple[Verdict, ...]
    photos: tuple[Photo, ...]
    decisions: tuple[Decision, ...] = ()

    @property
    def name(self) -> str:
        """Name the part with which one it is: "bearing (outboard)"."""
        return f"{self.part.component} ({self.part.position})" if self.part.position else self.part.component

    @property
    def defects(self) -> tuple[Said[Finding], ...]:
        """Give the faults that are there or may be there."""
        return tuple(s for s in self.findings if is_fault(s.entry))

    @property
    def sound(self) -> tuple[Said[Finding], ...]:
        """Give what was found good, or looked for and not there."""
        return tuple(s for s in self.findings if is_good(s.entry))

    @property
    def not_inspected(self) -> tuple[Said[Finding], ...]:
        """Give where it was said that it could not be looked at."""
        return tuple(s for s in self.findings if s.entry.condition == NOT_INSPECTED)

    @property
    def past_limit(self) -> tuple[Verdict, ...]:
        """Give the measurements that are past their limit."""
        return tuple(v for v in self.verdicts if v.left is not None and v.left < 0)

    @property
    def is_off(self) -> bool:
        """Tell whether it was said to come off or to be opened."""
        return self.part.order is not None

    @property
    def is_safety_critical(self) -> bool:
        """Tell whether the vocabulary holds that lives can hang on it."""
        return is_safety_critical(self.part.component)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """Parts that belong together, in the order they came off."""

    name: str
    parts: tuple[PartFacts, ...]


def is_fault(finding: Finding) -> bool:
    """Tell a fault that is there or may be there."""
    return (
        finding.presence != "absent"
        and finding.condition not in GOOD
        and finding.condition != NOT_INSPECTED
        and not finding.struck
    )


def is_good(finding: Finding) -> bool:
    """Tell a part said to be good, or a fault said not to be there."""
    if finding.struck or finding.condition == NOT_INSPECTED or finding.presence == "possible":
        return False
    if finding.presence == "absent":
        return finding.condition not in GOOD
    return finding.condition in GOOD


def live_entries(log: Log, kind: type[_K]) -> Iterator[Said[_K]]:
    """Give the entries of a kind that stand, in the order said."""
    for remark in log.remarks:
        for entry in remark.entries:
            if isinstance(entry, kind) and not entry.struck:
                yield Said(entry=entry, remark=remark)


def gather_facts(log: Log, limits: Sequence[Limit] = ()) -> tuple[PartFacts, ...]:
    """Sort what was said about each part of a job by kind; parts stay in the order of the log."""
    by_id = {e.id: Said(entry=e, remark=r) for r in log.remarks for e in r.entries if not e.struck}
    photos = {p.id: p for p in log.photos}
    stores = tuple(live_entries(log, Storage))
    return tuple(
        _facts(part, [by_id[i] for i in part.entry_ids if i in by_id], photos, stores, limits, log.decisions)
        for part in log.parts
        if any(i in by_id for i in part.entry_ids)
    )


def _facts(
    part: Part, said: Sequence[Said[Entry]], photos: dict[str, Photo], stores: Sequence[Said[Storage]], limits: Sequence[Limit],
    decisions: Sequence[Decision],
) -> PartFacts:  # fmt: skip
    measurements = _of(said, Measurement)
    entry_ids = frozenset(s.entry.id for s in said)
    facts = PartFacts(
        part=part, findings=_of(said, Finding), steps=_of(said, Step), marks=_of(said, Mark), measurements=measurements,
        fasteners=_of(said, Fastener), mileages=_of(said, Mileage), dispositions=_of(said, Disposition),
        stores=tuple(s for s in stores if any(_is_named(part, content) for content in s.entry.contents)),
        verdicts=tuple(
            verdicts_of([m.entry for m in measurements], own_limits(limits, part.component, part.position, table_name))
        ),
        photos=tuple(p for i, p in photos.items() if i in set(part.photo_ids)),
    )  # fmt: skip
    has_work = bool(
        facts.defects or facts.past_limit or any(s.entry.action != "reuse" for s in facts.dispositions)
    )  # fmt: skip
    about = tuple(d for d in decisions if is_about(d, part, entry_ids, has_work=has_work))
    return replace(facts, decisions=about)


def _of(said: Sequence[Said[Entry]], kind: type[_K]) -> tuple[Said[_K], ...]:
    return tuple(Said(entry=s.entry, remark=s.remark) for s in said if isinstance(s.entry, kind))


def same_part(one: str, other: str) -> bool:
    """Tell whether two names are of one component by the vocabulary: "con rod" and "connecting rod"."""
    return (table_name(one) or one).lower() == (table_name(other) or other).lower()


def _is_named(part: Part, content: str) -> bool:
    """Tell whether what was put somewhere is this part: "bearing" may be any bearing, "outboard bearing" only one."""
    words = content.lower()
    named = names_of(words)
    if not named:
        return False
    component = part.component.lower()
    if part.position and part.position.lower() in words:
        return component in words or named[0].endswith(component)
    return same_part(named[0], component)


def has_no_thread(form: str | None) -> bool:
    """Tell a fastener that has no thread to be named: a circlip, a pin, a rivet."""
    return any(word in (form or "") for word in ("circlip", "pin", "dowel", "rivet", "clip", "ring", "key", "clamp"))


_ANY_FASTENER = frozenset({"bolt", "screw", "nut", "fastener", "fixing", "stud", "hardware"})


def is_fastener_named(fastener: Fastener, content: str) -> bool:
    """Tell whether what was put somewhere is this fastener: "guard bolts" are those of the gear guard, "bolts" any bolts."""
    words = content.lower().split()
    if not words:
        return False
    head, rest = singular(words[-1]), set(words[:-1]) - {"the", "all", "its", "hex", "cap", "hexagon", "set"}
    own = singular((fastener.form or "fastener").lower().split()[-1])
    if head != own and not (head in _ANY_FASTENER and own in _ANY_FASTENER):
        return False
    return not rest or bool(rest & set((fastener.component or "").lower().split())) or fastener.component is None


def group_by_assembly(parts: Sequence[PartFacts]) -> tuple[Assembly, ...]:
    """Put parts under the assembly they were said to come off, else the one the vocabulary names, if this job named it too.

    A part of which neither is known stands by itself, with the parts whose names begin with its own ("drum", "drum
    shaft"). Assemblies stand in the order their first part came off.
    """
    named = {p.part.component.lower(): p.part.component for p in parts if p.part.position is None}
    groups: dict[str, list[PartFacts]] = {}
    names: dict[str, str] = {}
    for facts in parts:
        whole = assembly_of(facts.part, named)
        key = (table_name(whole) or whole).lower()
        names.setdefault(key, whole)
        groups.setdefault(key, []).append(facts)
    return tuple(Assembly(name=names[key], parts=tuple(found)) for key, found in groups.items())


def assembly_of(part: Part, named: dict[str, str]) -> str:
    """Name the assembly of a part; `named` holds the components that were spoken of on this job, by their name in lower case."""
    if part.of:
        return part.of
    component = part.component.lower()
    whole = whole_of(component)
    seen = {component}
    while whole and whole.lower() not in seen:
        if whole.lower() in named:
            return named[whole.lower()]
        seen.add(whole.lower())
        whole = whole_of(whole)
    words = component.split()
    for cut in range(1, len(words)):
        if (first := " ".join(words[:cut])) in named:
            return named[first]
    return part.component
