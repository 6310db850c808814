"""Mends: a person's corrections laid over what was read. They always win.

In: a remark as read, and the mends made on it. Out: the remark as mended, and each mend with a conflict where
it no longer fits what is read now. A conflict is shown, never dropped.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import MISSING, fields, replace
from typing import Any

from notebook.entries import KINDS, PRESENCES, Entry, Measurement, entry_from_json
from notebook.errors import WRONG_USE, NotebookError
from notebook.nouns import Mend, Remark
from notebook.tables.units import to_si


def apply_mends(remark: Remark, mends: Sequence[Mend]) -> tuple[Remark, list[Mend]]:
    """Lay the mends of a remark over its entries, oldest first."""
    entries = list(remark.entries)
    judged: list[Mend] = []
    for mend in sorted(mends, key=lambda m: m.made):
        if mend.action == "text":
            judged.append(replace(mend, conflict=None))
            continue
        if mend.action == "add":
            entries.append(_added(mend))
            judged.append(replace(mend, conflict=None))
            continue
        at = _find(entries, mend)
        conflict = _why_not(entries, at, mend)
        if conflict is None and at is not None:
            entries[at] = _mended(entries[at], mend)
        judged.append(replace(mend, conflict=conflict))
    return replace(remark, entries=tuple(entries)), judged


def check_mend(entry: Entry | None, field: str, value: str) -> Any:
    """Turn the words of a correction into the field's own kind of value; raises NotebookError for a field or value that does not fit."""
    if entry is None:
        raise NotebookError(
            "There is no such entry in this remark.", "See the ids with: teardown log NUMBER --json", WRONG_USE
        )
    _check_field(type(entry), field)
    with _fitting(entry.kind, field, value):
        made = type(entry).from_json({**entry.to_json(), field: _parse(value)})
        return _settle(made, field, value)


def new_entry(kind: str, values: Mapping[str, str], tidied_length: int) -> Entry:
    """Make an entry that a person adds; raises NotebookError for an unknown kind, a field or value that does not fit, or a field that is needed and not given."""
    if kind not in KINDS:
        raise NotebookError(
            f"There is no kind of entry called {kind}.", f"The kinds are: {', '.join(KINDS)}.", WRONG_USE
        )
    for field in values:
        _check_field(KINDS[kind], field)
    always = [f.name for f in fields(KINDS[kind]) if f.default is MISSING]
    needed = [name for name in always if not values.get(name)]
    if needed:
        raise NotebookError(
            f"That is not enough for a {kind}: it needs {' and '.join(needed)}.",
            f"Give it with --set {needed[0]}=VALUE.",
            WRONG_USE,
        )
    whole = {"kind": kind, "span": [0, tidied_length], **{name: values[name] for name in always}}
    for field, value in values.items():
        with _fitting(kind, field, value):
            whole[field] = _settle(entry_from_json({**whole, field: _parse(value)}), field, value)
    return _with_si(replace(entry_from_json(whole), mended=True))


def statement_of(entry: Entry) -> dict[str, Any]:
    """Give what an entry says, without where and how it was read, to know the same statement again."""
    return {field: value for field, value in entry.to_json().items() if field not in _HOW_READ}


_NOT_A_PERSONS = frozenset({"id", "span", "struck", "mended", "rule", "cue", "confidence", "si"})
_HOW_READ = _NOT_A_PERSONS | {"doubt", "from"}


def _check_field(kind: type[Entry], field: str) -> None:
    known = {f.name.rstrip("_") for f in fields(kind)} - _NOT_A_PERSONS
    if field not in known:
        raise NotebookError(f"A {kind.kind} has no {field}.", f"It has: {', '.join(sorted(known))}.", WRONG_USE)


@contextmanager
def _fitting(kind: str, field: str, value: str) -> Iterator[None]:
    try:
        yield
    except (ValueError, ArithmeticError, TypeError) as error:
        raise NotebookError(
            f"{value!r} does not fit {field} of a {kind}.",
            f"Write one of: {', '.join(PRESENCES)}." if field == "presence" else "Give a whole number for a count, a number for an amount, true or false for yes or no.",
            WRONG_USE,
        ) from error  # fmt: skip


def _settle(made: Entry, field: str, value: str) -> Any:
    """Give the JSON of a field as a person meant it; raises ValueError where making the entry bent what was typed."""
    typed, got = _parse(value), _value(made, field)
    if typed is None or isinstance(got, list):
        return got
    if isinstance(got, str):
        got = typed if isinstance(typed, str) else value
        if field == "presence" and got not in PRESENCES:
            raise ValueError(got)
        return got
    if got != typed or isinstance(got, bool) != isinstance(typed, bool):
        raise ValueError(typed)
    return got


def _parse(value: str) -> Any:
    try:
        typed = json.loads(value)
    except (ValueError, RecursionError):
        typed = value
    return None if typed == "" else typed


def _added(mend: Mend) -> Entry:
    entry = entry_from_json(json.loads(mend.new or "{}"))
    return replace(entry, id=mend.id, mended=True)


def _find(entries: Sequence[Entry], mend: Mend) -> int | None:
    """Find the entry a mend is about: by id, else the same statement, else one of its kind whose old value still stands, else by place."""
    for at, entry in enumerate(entries):
        if entry.id is not None and entry.id == mend.entry_id:
            return at
    old = json.loads(mend.old) if mend.old else None
    if mend.field is None and old is not None:
        return next((at for at, e in enumerate(entries) if statement_of(e) == old), None)
    same_kind = [at for at, e in enumerate(entries) if e.kind == mend.kind]
    if mend.field is not None:
        for at in same_kind:
            if _value(entries[at], mend.field) == old:
                return at
    return same_kind[0] if len(same_kind) == 1 else None


def _why_not(entries: Sequence[Entry], at: int | None, mend: Mend) -> str | None:
    if at is None:
        return f"no {mend.kind} is read here any more"
    if mend.action == "set" and mend.field is not None:
        now = _value(entries[at], mend.field)
        old = json.loads(mend.old) if mend.old else None
        new = json.loads(mend.new) if mend.new else None
        if now not in (old, new):
            return f"{mend.field} was {old!r} when it was mended to {new!r}; now {now!r} is read"
    return None


def _value(entry: Entry, field: str) -> Any:
    return entry.to_json().get(field)


def _mended(entry: Entry, mend: Mend) -> Entry:
    if mend.action == "strike":
        return replace(entry, struck=True, mended=True)
    if mend.action == "accept":
        return replace(entry, doubt=None, mended=True)
    values = entry.to_json()
    values[mend.field or ""] = json.loads(mend.new) if mend.new else None
    changed = type(entry).from_json(values)
    return _with_si(
        replace(
            changed,
            id=entry.id,
            mended=True,
            struck=entry.struck,
            doubt=None if mend.field != "doubt" else changed.doubt,
        )
    )


def _with_si(entry: Entry) -> Entry:
    """Work the SI value of a measurement out again; a person gives value and unit only."""
    if not isinstance(entry, Measurement):
        return entry
    return replace(entry, si=to_si(entry.value, entry.unit) if entry.value is not None and entry.unit else None)
