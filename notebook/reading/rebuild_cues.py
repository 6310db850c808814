"""Knows what moves a rebuild on from a remark: "done", "torque set", "next", "back", "skip: waiting for the seal".

In: the words of one remark. Out: the cue, with what was said beside it, or None. Nothing but these words ticks a step:
"done up to 45 newton metres" is a remark, and so is everything else.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

RebuildCueName = Literal["done", "torque set", "next", "back", "skip", "not done", "show", "go to"]

MOVES = frozenset({"next", "back", "show", "go to"})
"""Cues that are no part of the record: their sound is erased."""
SPOKEN = "Done. Torque set. Next step. Go back. Skip, waiting for the seal. Not done yet."
"""What an ear should know of."""

_END = r"\s*[.!]?\s*$"
_REST = r"(?:\s*[,.:;!\u2014\u2013-]+\s*(?P<rest>\S.*?)?)?\s*$"
_POLITE = re.compile(r"^(?:(?:okay|ok|right|yes|yep|so|and|now|well)[,.]?\s+)+", re.IGNORECASE)
_NUMBERS = {w: n for n, w in enumerate("one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty".split(), 1)}  # fmt: skip
_SAID: tuple[tuple[RebuildCueName, str], ...] = (
    ("not done", r"^(?:that(?:'s| is) |it(?:'s| is) )?not done(?: yet| after all)?" + _END),
    ("not done", r"^(?:open|do) (?:that|this) step again" + _END),
    ("done", r"^(?:(?:that(?:'s| is)|this is|it(?:'s| is)|all|step) )?done" + _REST),
    ("torque set", r"^(?:the )?torques? (?:is |are |has been )?set(?:\s+(?:at|to)\s+(?P<to>\S.*?))?" + _REST),
    ("torque set", r"^(?:all )?torqued(?: up)?" + _END),
    ("next", r"^(?:next(?: one| step)?|go on|move on)" + _END),
    ("back", r"^(?:go |step |one )?back(?: one| a step| one step)?" + _END),
    ("back", r"^(?:previous|last) (?:one|step)" + _END),
    ("skip", r"^skip(?: (?:it|this|that)(?: one| step)?)?(?:\s+(?P<why>(?:because|since|as|until|till|for now|waiting|while)\b.*?))?" + _REST),
    ("show", r"^(?:which step|where was i|where are we|what(?:'s| is) (?:the|this) step|show (?:me )?(?:the|that|this) step)(?: again)?\??" + _END),
    ("go to", r"^(?:go to )?step (?:number )?(?P<number>\d+|[a-z]+)" + _END),
)  # fmt: skip
_PATTERNS = tuple((name, re.compile(pattern, re.IGNORECASE)) for name, pattern in _SAID)


@dataclass(frozen=True, slots=True, kw_only=True)
class RebuildCue:
    """What was said to move the rebuild on, and what beside it."""

    name: RebuildCueName
    rest: str = ""
    """A reason, an amount, whatever was said in the same breath."""
    number: int | None = None

    @property
    def is_remark(self) -> bool:
        """Whether its words belong to the record."""
        return self.name not in MOVES


def find_rebuild_cue(text: str) -> RebuildCue | None:
    """Give the cue that a remark is or begins with; None for any other remark.

    Examples: "Done." and "Done, all six free." tick; "Torque set to 45 newton metres." ticks and says an amount;
    "done up to 45" and "the seal is done for" are remarks.
    """
    said = _POLITE.sub("", text.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").strip())
    for name, pattern in _PATTERNS:
        match = pattern.match(said)
        if match is None:
            continue
        groups = match.groupdict()
        if name == "go to":
            word = (groups["number"] or "").lower()
            number = int(word) if word.isdigit() else _NUMBERS.get(word)
            if number is None:
                continue
            return RebuildCue(name=name, number=number)
        rest = " ".join(g.strip() for g in (groups.get("to"), groups.get("why"), groups.get("rest")) if g)
        return RebuildCue(name=name, rest=rest.rstrip(" .!"))
    return None
