"""Which ones, said by their numbers: "cam lobes three and six are wiped", "three and four alright", "injectors two dribbling".

In: a sheet and a place in it. Out: positions or a count, and where they end.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.nouns_said import singular
from notebook.reading.sheets import Chunk, Sheet


def say_number(sheet: Sheet, at: int) -> str:
    words = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
    value = sheet.pieces[at].value
    if value is not None and value.denominator == 1 and 0 <= value < len(words):
        return words[int(value)]
    return sheet.low(at)


def numbers_after(sheet: Sheet, at: int, nouns: Sequence[str]) -> tuple[int | str, int] | None:
    """ "Cam lobes three and six are wiped" (which ones), "injectors two dribbling" (how many): numbers behind a name."""
    end, said = at, []
    while sheet.tag(end) == "Q" and _is_small(sheet, end):
        said.append(say_number(sheet, end))
        end += 2 if sheet.low(end + 1) in ("and", "&", ",") and sheet.tag(end + 2) == "Q" else 1
    is_said_of = sheet.tag(end) in "SX" or (sheet.match(end, "condition") is not None and sheet.tag(end) in "EGJVR")
    if not said or not is_said_of or singular(nouns[-1]) not in sheet.lexicon.heads:
        return None
    if len(said) > 1:
        return f"{', '.join(said[:-1])} and {said[-1]}", end
    if singular(nouns[-1]) != nouns[-1]:
        value = sheet.pieces[at].value
        return (int(value), end) if value is not None and sheet.tag(end) not in "SX" else None
    return said[0], end


def two_numbers(sheet: Sheet, at: int) -> Chunk | None:
    """ "Seats one and two are recessed, | three and four alright": which ones, said by their numbers alone."""
    if sheet.low(at + 1) not in ("and", "&") or sheet.tag(at + 2) != "Q" or (at and sheet.tag(at - 1) not in "ZCHR"):
        return None
    if not (_is_small(sheet, at) and _is_small(sheet, at + 2)) or sheet.pieces[at].value == sheet.pieces[at + 2].value:
        return None
    is_said_of = sheet.tag(at + 3) in "SX" or (
        sheet.match(at + 3, "condition") is not None and sheet.tag(at + 3) in "EGJVR"
    )
    if not is_said_of:
        return None
    said = f"{say_number(sheet, at)} and {say_number(sheet, at + 2)}"
    return Chunk("part", at, at + 3, said, tag="Q", pronoun="one", position=said, is_plural=True)


def _is_small(sheet: Sheet, at: int) -> bool:
    value = sheet.pieces[at].value
    return value is not None and value.denominator == 1 and 0 < value <= 16
