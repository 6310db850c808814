"""What leaves a place: emptied, taken out, moved, used again.

In: where things were put, the tidied text, the other entries. Out: the same with what was done there, and without the
steps that its words were mistaken for (a bag is no part that was opened). Never invents a place.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from notebook.entries import Entry, Step, Storage

_MOVING = r"\b(?:moved|moving|shifted|swapped|transferred|took|taken|taking|put|tipped)\b"


def settle_places(entries: Sequence[Entry], text: str) -> list[Entry]:
    """Say of each place what was done there."""
    low = text.lower().replace("\N{RIGHT SINGLE QUOTATION MARK}", "'")
    out: list[Entry] = [_settle(e, low) if isinstance(e, Storage) else e for e in entries]
    places = [e for e in out if isinstance(e, Storage) and e.action]
    return [e for e in out if not (isinstance(e, Step) and _is_of_place(e, places))]


def _settle(entry: Storage, low: str) -> Storage:
    place = r"\s+(?:number\s+)?".join(re.escape(word) for word in entry.place.lower().split())
    start = max(low.rfind(".", 0, entry.span[0]), low.rfind(";", 0, entry.span[0])) + 1
    stops = [at for sign in ".;!?" if (at := low.find(sign, entry.span[1])) >= 0]
    said = low[start : min(stops, default=len(low))]
    if re.search(rf"\b(?:emptied|cleared|tipped|emptying)(?: out)?(?: the)? {place}\b", said) or re.search(
        rf"\b{place}(?:'s| is| are| has been|, that's)?(?: now| all| been)* (?:empty|emptied|cleared|free again)\b",
        said,
    ):
        return replace(entry, contents=(), action="emptied")
    if re.search(rf"\bout of(?: the)? {place}\b", said) or (
        re.search(rf"\bfrom(?: the)? {place}\b", said) and re.search(_MOVING, said)
    ):
        return replace(entry, action="taken out")
    if re.search(rf"\b(?:used|using|use|reused|reusing|re-used)(?: the)? {place}(?: again)?\b", said) and re.search(
        r"\b(?:again|reus|re-us)", said
    ):
        return replace(entry, action="used again")
    if re.search(r"\b(?:moved|shifted|transferred|swapped)\b", said) or re.search(
        rf"\bnow (?:in|on|into)(?: the)? {place}\b|\b{place} now\b", said
    ):
        return replace(entry, action="moved")
    return entry


def _is_of_place(step: Step, places: Sequence[Storage]) -> bool:
    """ "Emptied bag 7", "the springs are out of bag 7": nothing of the machine was opened or came off."""
    heads = {p.place.split()[0] for p in places}
    return step.component in heads or (step.off in heads and step.off is not None)
