"""How a job turned out: it ran, or it came back, with what, at what reading.

In: outcomes, jobs and their readings. Out: how long it held. Never guesses a part that was not named.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Literal

from notebook.log.fittings import read_clock


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """One thing told of a job after it left."""

    id: str
    job_id: str
    how: Literal["ran", "came back"]
    component: str | None = None
    """The part that was wrong; None where it is about the whole machine."""
    position: str | None = None
    condition: str | None = None
    words: str = ""
    reading: str | None = None
    """What the clock showed then, as said."""
    person: str | None = None
    made: datetime

    def what(self) -> str:
        """Say it: "brake lining (drive side) glazed"; the words where no part was named."""
        if self.component is None:
            return self.words
        where = f" ({self.position})" if self.position else ""
        return f"{self.component}{where} {self.condition or ''}".strip()


def ran_since(reading: str | None, before: tuple[Decimal, str] | None) -> tuple[Decimal, str] | None:
    """Give how long it ran between the job and then; None where a reading is missing, in another unit, or went backward."""
    then = read_clock(reading)
    if then is None or before is None or then[1] != before[1] or then[0] < before[0]:
        return None
    return then[0] - before[0], then[1]


def running_words(ran: tuple[Decimal, str] | None) -> str:
    """Say a running: "300 h"."""
    return f"{ran[0]:,f} {ran[1]}" if ran is not None else ""
