"""Draws how loud it is. In: dB of full scale. Out: a bar with its figure."""

from __future__ import annotations

_WIDTH = 25


def level_words(db: float) -> str:
    """Draw a level from -60 dB to 0 dB."""
    full = max(0, min(_WIDTH, round((db + 60) / 60 * _WIDTH)))
    return f"[{'#' * full}{'.' * (_WIDTH - full)}] {db:4.0f} dB"
