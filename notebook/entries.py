"""What a remark is read into: small typed facts, each tied to the words that said it.

In: values from the reader. Out: entries and their JSON, which is a contract.
Never reads text, never opens a file.

Anything not said is None and is left out of the JSON. Amounts are exact (Decimal)
and become plain numbers only in JSON.
"""

from __future__ import annotations

import types
import typing
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from functools import cache
from typing import Any, ClassVar, Self


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What all kinds of entry have."""

    kind: ClassVar[str] = "entry"

    span: tuple[int, int] = (0, 0)
    """[start, end] of the words in the tidied text of the remark."""
    confidence: float = 1.0
    doubt: str | None = None
    """Why a person should look; None when there is no reason."""
    cue: str | None = None
    """The words that decided what it is (present, absent, possible; limit; replace)."""
    rule: str | None = None
    """Name of the rule that made it."""
    from_: str | None = None
    """Line or remark that the part was carried over from."""
    id: str | None = None
    struck: bool = False
    """Undone by a later correction or by a mend; kept, not counted."""
    mended: bool = False

    def to_json(self) -> dict[str, Any]:
        """Give the entry as JSON values: kind first, nothing that is None or plain default."""
        out: dict[str, Any] = {"kind": self.kind}
        for f in fields(self):
            value = getattr(self, f.name)
            if value is None or value == () or (f.name in {"struck", "mended"} and value is False):
                continue
            out[f.name.rstrip("_")] = _json_value(value)
        return out

    @classmethod
    def from_json(cls, values: Mapping[str, Any]) -> Self:
        """Make an entry of this kind from its JSON; unknown fields are left aside."""
        taken = {}
        for name, key, make in _makers(typing.cast("Any", cls)):
            if values.get(key) is not None:
                taken[name] = make(values[key])
        return cls(**taken)

    def with_changes(self, **changes: Any) -> Self:
        """Give the same entry with some fields changed."""
        return replace(self, **changes)


PRESENCES = ("present", "absent", "possible")


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding(Entry):
    """The state of a part, on this job, now: "two of the six shoes are cracked"."""

    kind: ClassVar[str] = "finding"
    component: str | None = None
    position: str | None = None
    condition: str
    presence: str = "present"
    """Of the condition: `present`, `absent` or `possible`."""
    degree: str | None = None
    count: int | None = None
    of: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Step(Entry):
    """What was done to get there: "brake band's off"."""

    kind: ClassVar[str] = "step"
    action: str
    component: str | None = None
    position: str | None = None
    off: str | None = None
    note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark(Entry):
    """How it sat, for the way back: "dot on the pinion faces the gap"."""

    kind: ClassVar[str] = "mark"
    component: str | None = None
    text: str
    count: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Measurement(Entry):
    """Any size or amount: "the plate measures 7.2 mm"."""

    kind: ClassVar[str] = "measurement"
    component: str | None = None
    position: str | None = None
    quantity: str | None = None
    value: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    unit: str | None = None
    si: Decimal | None = None
    """`value` in the SI base or coherent unit; None for a range or where the unit has none."""
    said: str | None = None
    role: str = "measured"
    about: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Fastener(Entry):
    """What holds it: "eight M6 countersunk socket screws, 4 mm key"."""

    kind: ClassVar[str] = "fastener"
    component: str | None = None
    position: str | None = None
    count: int | None = None
    thread: str | None = None
    form: str | None = None
    length: Decimal | None = None
    """In mm."""
    driver: str | None = None
    state: tuple[str, ...] = ()
    heat: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Mileage(Entry):
    """Distance or running hours: "clock reads 61,480 miles"."""

    kind: ClassVar[str] = "mileage"
    value: Decimal | None = None
    low: Decimal | None = None
    high: Decimal | None = None
    unit: str | None = None
    role: str = "reading"
    component: str | None = None
    said: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Disposition(Entry):
    """What is to happen to a part: "that'll go again"."""

    kind: ClassVar[str] = "disposition"
    component: str | None = None
    position: str | None = None
    action: str
    count: int | None = None
    done: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution(Entry):
    """What can hurt someone or spoil the part: "never lever against the fins"."""

    kind: ClassVar[str] = "caution"
    topic: str | None = None
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tip(Entry):
    """How to do it, for the next person: "a bar between two old bolts holds the flange"."""

    kind: ClassVar[str] = "tip"
    topic: str | None = None
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool(Entry):
    """What was used or is needed: "took a two-leg puller"."""

    kind: ClassVar[str] = "tool"
    name: str
    for_: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Storage(Entry):
    """Where it was put: "springs are in bag 7"."""

    kind: ClassVar[str] = "storage"
    place: str
    contents: tuple[str, ...] = ()
    action: str | None = None
    """None where things were put there; `moved` (from elsewhere), `taken out` (of there), `emptied`, `used again`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoCue(Entry):
    """A spoken cue: "get a shot of this"."""

    kind: ClassVar[str] = "photo"
    of: str | None = None
    which: str = "next"


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction(Entry):
    """What undoes: "scratch that last one"."""

    kind: ClassVar[str] = "correction"
    scope: str
    target: str | None = None


EVERYTHING = "everything"
"""What a decision is about when it is about all that was advised."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided(Entry):
    """What was decided about a part: "he wants the bearings done"."""

    kind: ClassVar[str] = "decision"
    component: str | None = None
    """`everything` where it is about all that was advised."""
    position: str | None = None
    state: str
    """`advised`, `approved`, `declined` or `asked`."""
    action: str | None = None
    """What is to be done, as for a disposition; None where it was not said, so as advised."""
    by: str | None = None
    """`owner`, else the name said; None for who spoke."""
    settles: bool | None = None
    """True where it was said to put an end to what was decided before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Promise(Entry):
    """What the owner was promised: "told him it'd be ready by Friday"."""

    kind: ClassVar[str] = "promise"
    text: str
    by_when: str | None = None
    """The day, as said."""


KINDS: dict[str, type[Entry]] = {
    kind.kind: kind
    for kind in (
        Finding, Step, Mark, Measurement, Fastener, Mileage, Disposition,
        Caution, Tip, Tool, Storage, PhotoCue, Correction, Decided, Promise,
    )
}  # fmt: skip


def entry_from_json(values: Mapping[str, Any]) -> Entry:
    """Make an entry from its JSON; raises KeyError for an unknown kind."""
    return KINDS[values["kind"]].from_json(values)


def _json_value(value: Any) -> Any:
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    if isinstance(value, tuple):
        return [_json_value(v) for v in value]
    if isinstance(value, float):
        return round(value, 3)
    return value


@cache
def _makers(cls: Any) -> tuple[tuple[str, str, Callable[[Any], Any]], ...]:
    """Give for each field of a kind its name, its key in JSON and what makes its value."""
    hints = typing.get_type_hints(cls)
    return tuple((f.name, f.name.rstrip("_"), _maker(hints[f.name])) for f in fields(cls))


def _maker(kind: Any) -> Callable[[Any], Any]:
    origin = typing.get_origin(kind)
    if origin is types.UnionType or origin is typing.Union:
        return _maker(next(k for k in typing.get_args(kind) if k is not type(None)))
    if kind is Decimal:
        return lambda value: Decimal(str(value))
    if origin is tuple:
        each = _maker(typing.get_args(kind)[0])
        return lambda value: tuple(each(v) for v in ((value,) if isinstance(value, str) else value))
    if kind in (str, int, float, bool):
        return typing.cast("Callable[[Any], Any]", kind)
    return lambda value: value
