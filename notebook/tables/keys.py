"""Hexagon keys by thread and form of screw, and the other way round.

In: a thread and a form as said ("countersunk socket screw", "cap screw", "grub screw"), or the size of a key.
Out: key sizes with their standards.
Never takes one form for another: the same thread takes a smaller key in a button, countersunk or grub screw.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache

from notebook.tables.rows import Confidence, confidence_of, decimal_of, needed, read_rows
from notebook.tables.thread_names import metric_size, read_thread_name
from notebook.tables.threads import threads_named

CAP, LOW, COUNTERSUNK, GRUB = "cap screw", "low head cap screw", "countersunk socket screw", "grub screw"
BUTTON, FLANGED_BUTTON = "button head socket screw", "button head socket screw with collar"
_TYPES = {
    "socket head cap screw": CAP,
    "low head socket cap screw": LOW,
    "countersunk socket screw": COUNTERSUNK,
    "flat countersunk socket screw": COUNTERSUNK,
    "button head socket screw": BUTTON,
    "button head socket screw with collar": FLANGED_BUTTON,
    "set (grub) screw": GRUB,
}
_SAID_FORMS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (r"grub ?screw|set ?screw|socket set", (GRUB,)),
    (r"low[ -]head", (LOW,)),
    (r"countersunk|counter sunk|csk|flat[ -]head", (COUNTERSUNK,)),
    (r"button|dome[d]? head", (BUTTON, FLANGED_BUTTON)),
    (r"cap ?screw|cap[ -]head|socket[ -]cap|socket[ -]head", (CAP, LOW)),
    (r"socket screw|socket bolt|hex(?:agon)? socket", (CAP, LOW, COUNTERSUNK, BUTTON, FLANGED_BUTTON)),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """The key that a form of screw takes on one size of thread."""

    form: str
    """`cap screw`, `low head cap screw`, `countersunk socket screw`, `button head socket screw` (and with collar),
    `grub screw`."""
    standard: str
    thread: str
    """Size of the thread: `M6`, `#10`, `1/4`."""
    size: str
    """`5 mm` or `3/16 in`."""
    size_mm: Decimal
    confidence: Confidence
    source: str
    note: str


def all_keys() -> tuple[Key, ...]:
    """Give the whole table of keys."""
    return _keys()


def forms_of(said: str | None) -> tuple[str, ...]:
    """Give the forms of socket screw that words may mean; empty where they name none ("hexagon bolt").

    "cap screw" may be of normal or low head; "socket screw" any but a grub screw.
    """
    low = (said or "").lower()
    return next((forms for pattern, forms in _SAID_FORMS if re.search(pattern, low)), ())


def keys_of(thread: str, form: str | None = None) -> tuple[Key, ...]:
    """Give the keys for a thread, of all forms or of those that the words may mean, normal cap screws first.

    Metric and unified threads only; fine threads take the keys of their size. Empty where there is no table.
    """
    sizes = _sizes_of(thread)
    wanted = forms_of(form) if form is not None else tuple(_TYPES.values())
    return tuple(k for k in _keys() if k.thread in sizes and k.form in wanted)


def key_of(thread: str, form: str) -> Key | None:
    """Give the one key for a thread and a form; None where there is none, or the form leaves several."""
    found = keys_of(thread, form)
    usual = [k for k in found if k.form == CAP] if set(forms_of(form)) == {CAP, LOW} else list(found)
    return usual[0] if len({k.size for k in usual}) == 1 else None


def threads_of_key(size_mm: Decimal, form: str | None = None) -> tuple[Key, ...]:
    """Give every thread and form that takes a key of this size (in mm, to a twentieth), normal cap screws first."""
    wanted = forms_of(form) if form is not None else tuple(_TYPES.values())
    return tuple(k for k in _keys() if k.form in wanted and abs(k.size_mm - size_mm) <= Decimal("0.05"))


def read_key(text: str) -> tuple[str, Decimal] | None:
    """Read the size of a hexagon key as said and in mm; None where the words are no such key.

    Examples: "4 mm hex key", "3/16 in hex key", "3/16 hex bit". A drive size, a spline or a star key is none.
    """
    words = " ".join(text.lower().replace("-", " ").split())
    if not re.search(r"\bkeys?\b|\bhex(?:agon)? (?:bit|socket bit|driver)\b", words) or re.search(
        r"\b(?:t\d+|star|spline|drive|chuck|drift)\b", words
    ):
        return None
    if found := re.search(r"(?<![\d/.])(\d+(?:\.\d+)?)\s*(?:mm|mil|mill|millimet(?:re|er)s?)\b", words):
        return f"{found[1]} mm", Decimal(found[1])
    found = re.search(r"(?<![\d/.])(\d+)/(\d+)(?![\d/.])", words)
    if found is None or int(found[2]) == 0:
        return None
    return f"{found[0]} in", decimal_of(Fraction(int(found[1]), int(found[2])) * Fraction("25.4"))


def _sizes_of(thread: str) -> set[str]:
    said = read_thread_name(thread)
    if said is None:
        return set()
    if said.family == "M":
        return {metric_size(said)}
    return {t.size for t in threads_named(said) if t.family in {"UNC", "UNF"}}


@cache
def _keys() -> tuple[Key, ...]:
    return tuple(
        Key(
            form=_TYPES[row["screw_type"]],
            standard=row["standard"],
            thread=row["thread"],
            size=row["key_size"],
            size_mm=needed(row["key_mm"]),
            confidence=confidence_of(row),
            source=row["source"],
            note=row["note"],
        )
        for row in read_rows("hex_keys")
    )
