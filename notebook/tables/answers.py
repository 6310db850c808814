"""An answer from the tables, and how its words are written.

In: values of the tables. Out: one answer with lines and values; words for a width, a trust.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from notebook.tables.thread_names import short


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What was looked up; `values` holds the same as the lines, for a program."""

    asked: str
    kind: str
    """`thread`, `spanner`, `key`, `measured bolt`, `units`, `torque`, `engagement`, `drill`, `nothing`."""
    title: str
    lines: tuple[str, ...] = ()
    values: dict[str, Any] = field(default_factory=dict)

    @property
    def is_found(self) -> bool:
        return self.kind != "nothing"


def trust(confidence: str) -> str:
    """Give what to write behind a figure that is not sure; nothing where it is."""
    return "" if confidence == "high" else f" [{confidence} confidence]"


def short_mm(width_mm: Decimal) -> str:
    """Write a width to a thousandth of a millimetre, without idle noughts."""
    return short(round(width_mm, 3))
