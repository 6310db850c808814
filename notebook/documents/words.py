"""Says entries in words, for the log, the screen and paper.

In: entries. Out: short plain sentences. Never queries, never formats a page.
"""

from __future__ import annotations

from decimal import Decimal

from notebook.entries import (
    Caution,
    Correction,
    Decided,
    Disposition,
    Entry,
    Fastener,
    Finding,
    Mark,
    Measurement,
    Mileage,
    PhotoCue,
    Promise,
    Step,
    Storage,
    Tip,
    Tool,
)  # fmt: skip

ROLE_WORDS = {"measured": "", "limit": "limit ", "nominal": "should be ", "required": "set to "}
RUNNING_WORDS = {
    "reading": "clock shows {}",
    "fitted": "fitted at {}",
    "run": "has run {}",
    "expected": "lasts about {}",
}
ACTION_WORDS = {
    "reuse": "goes again", "clean": "to be cleaned", "rework": "to be reworked", "overhaul": "to be overhauled", "replace": "to be replaced",
    "scrap": "scrap", "modify": "to be modified", "order": "to be ordered", "check": "to be checked", "send out": "to be sent out", "hold": "on hold",
}  # fmt: skip
DONE_WORDS = {
    "clean": "cleaned", "rework": "reworked", "overhaul": "overhauled", "replace": "replaced", "scrap": "scrapped", "order": "ordered", "check": "checked",
    "send out": "sent out", "modify": "modified", "reuse": "put back",
}  # fmt: skip
_GOOD = frozenset(
    {
        "sound",
        "clean",
        "free",
        "straight",
        "flat",
        "round",
        "sealing",
        "evenly worn",
        "within limits",
        "plenty left",
        "hone marks visible",
        "run-in",
    }
)


def plain_number(value: Decimal) -> str:
    """Write a number without trailing noughts."""
    text = format(value.normalize(), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def amount_words(entry: Measurement | Mileage) -> str:
    """Write an amount with its unit: "7.2 mm", "5 to 8 thou"."""
    if entry.value is not None:
        number = plain_number(entry.value)
    elif entry.low is not None and entry.high is not None:
        number = f"{plain_number(entry.low)} to {plain_number(entry.high)}"
    elif entry.low is not None:
        number = f"at least {plain_number(entry.low)}"
    elif entry.high is not None:
        number = f"up to {plain_number(entry.high)}"
    else:
        number = "?"
    about = "about " if isinstance(entry, Measurement) and entry.about else ""
    return f"{about}{number} {entry.unit or ''}".rstrip()


def part_name(entry: Entry) -> str:
    """Name the part an entry is about: "pinion bearing (inner)"."""
    component = getattr(entry, "component", None) or "part not named"
    position = getattr(entry, "position", None)
    return f"{component} ({position})" if position else str(component)


def is_defect(entry: Entry) -> bool:
    """Tell a finding of a fault that is there or may be there from one of soundness or absence."""
    return (
        isinstance(entry, Finding)
        and entry.presence != "absent"
        and entry.condition not in _GOOD
        and entry.condition != "not inspected"
        and not entry.struck
    )


def entry_words(entry: Entry) -> str:
    """Say one entry in words, without the name of its part."""
    words = _words(entry)
    return words + ("" if not entry.struck else "  (struck out)")


def _words(entry: Entry) -> str:
    if isinstance(entry, Finding):
        return _finding_words(entry)
    if isinstance(entry, Measurement):
        role = ROLE_WORDS.get(entry.role, "")
        return f"{entry.quantity + ' ' if entry.quantity else ''}{role}{amount_words(entry)}"
    if isinstance(entry, Mileage):
        return RUNNING_WORDS.get(entry.role, "{}").format(amount_words(entry))
    if isinstance(entry, Disposition):
        count = f"{entry.count} " if entry.count else ""
        return count + (
            DONE_WORDS.get(entry.action, entry.action) if entry.done else ACTION_WORDS.get(entry.action, entry.action)
        )
    if isinstance(entry, Fastener):
        return _fastener_words(entry)
    if isinstance(entry, Step):
        return f"{entry.action}{' off the ' + entry.off if entry.off else ''}"
    if isinstance(entry, (Mark, Caution, Tip)):
        return entry.text
    if isinstance(entry, Tool):
        return entry.name
    if isinstance(entry, Storage):
        return _storage_words(entry)
    if isinstance(entry, Decided):
        what = f" ({ACTION_WORDS.get(entry.action, entry.action)})" if entry.action else ""
        return f"{entry.state}{what}{' by the owner' if entry.by == 'owner' else f' by {entry.by}' if entry.by else ''}"
    if isinstance(entry, Promise):
        return entry.text
    if isinstance(entry, PhotoCue):
        return f"photo{' of ' + entry.of if entry.of else ''}"
    if isinstance(entry, Correction):
        return "takes back the remark before" if entry.scope == "last remark" else "corrects a value"
    return entry.kind


def _storage_words(entry: Storage) -> str:
    contents = ", ".join(entry.contents)
    if entry.action == "emptied":
        return f"{entry.place} emptied"
    if entry.action == "taken out":
        return f"{contents or 'something'} out of {entry.place}"
    where = f"{contents} in {entry.place}" if contents else f"in {entry.place}"
    return f"{where} ({entry.action})" if entry.action else where


def _finding_words(entry: Finding) -> str:
    if entry.count is not None and entry.of is not None:
        count = f"all {entry.of} " if entry.count == entry.of else f"{entry.count} of {entry.of} "
    else:
        count = f"{entry.count} " if entry.count is not None else ""
    condition = entry.condition
    if entry.presence == "absent":
        return f"{count}not {condition}"
    degree = {"slight": "slightly ", "severe": "badly ", "moderate": ""}.get(entry.degree or "", "")
    maybe = "perhaps " if entry.presence == "possible" else ""
    return f"{count}{maybe}{degree}{condition}"


def _fastener_words(entry: Fastener) -> str:
    length = f" x {plain_number(entry.length)} mm" if entry.length is not None else ""
    what = " ".join(
        w
        for w in (str(entry.count) if entry.count else "", (entry.thread or "") + length, entry.form or "")
        if w.strip()
    )
    extras = [
        entry.driver or "",
        ", ".join(entry.state),
        "needed heat" if entry.heat else "no heat" if entry.heat is False else "",
    ]
    return "; ".join([what or "fastener", *(e for e in extras if e)])
