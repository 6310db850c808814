"""Tells the person at the bench from a radio or somebody across the room, by how loud they are.

In: how loud each remark was, in dB. Out: whether one is too far below the others to be a remark.
Knows no words. Before a few remarks were kept it lets everything through.
"""

from __future__ import annotations

from collections import deque
from statistics import median

FAR_DB = 14.0
"""A remark this far below the middle of the last ones comes from further than the person at the bench (measured by the
project: a talking radio at 20 dB under is 16 to 21 below; the same person turning away is 4 to 10)."""
KNOWN_AFTER = 2
REMEMBERED = 9


class NearVoice:
    """How loud the person at the bench is."""

    def __init__(self) -> None:
        self._kept_db: deque[float] = deque(maxlen=REMEMBERED)

    def is_far(self, db: float) -> bool:
        """Tell whether a remark is too quiet to be of the person at the bench."""
        return len(self._kept_db) >= KNOWN_AFTER and db < median(self._kept_db) - FAR_DB

    def remember(self, db: float) -> None:
        """Learn from a remark that was kept."""
        self._kept_db.append(db)
