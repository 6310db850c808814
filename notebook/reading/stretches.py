"""The words that belong to one figure of a remark.

In: the plain words of a remark and the places of its figures. Out: the words before and behind each.
Never says what the words mean.

Example: "plate measures | 7.2 | , limit's | 6.5" : "plate measures" belongs to 7.2, "limit's" to 6.5.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.no_sizes import PLACES, word_at

SIGNS = frozenset({",", "-", "–", "—", "(", ")"})
STOPS = frozenset({".", ";", "!", "?", "...", "…", ":"})
_BREAKS = frozenset("but so because cause cos against versus where whereas though although".split())
LINKS = PLACES | frozenset(
    (
        "and & then or plus just only about nearly maybe say roughly the on at in for is was 's are were one same all "
        "round both each"
    ).split()
)  # fmt: skip
"""Words that may stand between two sizes of a list: "4.2, | 4.4 | and | 3.1", "left | 12 | , right | 9"."""
TIGHT_LINKS = frozenset({"and", "&", "then", "or"})
_EMPTY = frozenset(
    (
        "is are was were 's 're it that this about roughly around near nearly just say i think well er a the at to got an "
        "only reckon believe like you know if remember right what"
    ).split()
)
"""Words that say nothing of a figure by themselves: "limit, I think, is 6" goes back beyond the comma."""
_GOES_ON = frozenset("they're it's you no over under they it".split())
""" "24 and you chuck it": what follows "and" still speaks of the figure."""
_REACH = 9
_REACH_BACK = 60


def is_linked(lows: Sequence[str], first: int, second: int, links: frozenset[str] = LINKS) -> bool:
    """Tell whether only links stand between two numbers; a stop never is one."""
    between = lows[first + 1 : second]
    return len(between) <= 7 and all(w in links or w in SIGNS for w in between)


def words_before(lows: Sequence[str], at: int, last: int | None) -> tuple[str, ...]:
    """Give the words of a figure's stretch before it: back to the figure, the joint or the comma before it."""
    first, commas = at, 0
    while (
        first > max(0, at - _REACH_BACK)
        and first - 1 != last
        and lows[first - 1] not in STOPS
        and lows[first - 1] not in _BREAKS
    ):
        if lows[first - 1] in SIGNS or (lows[first - 1] == "and" and last is not None):
            if any(w not in _EMPTY for w in lows[first:at] if w not in SIGNS) or commas == 2:
                break
            commas += 1
        first -= 1
    return tuple(_without_asking(lows[first:at]))


def _without_asking(words: Sequence[str]) -> Sequence[str]:
    """ "Do it up to, what was it, forty-seven": the speaker asks himself."""
    for at in range(len(words) - 2):
        if words[at] == "what" and words[at + 1] in ("was", "is", "'s") and words[at + 2] == "it":
            return [*words[:at], *words[at + 3 :]]
    return words


def words_behind(lows: Sequence[str], at: int, following: int | None) -> tuple[str, ...]:
    """Give the words of a figure's stretch behind it: on to the next figure, joint or comma."""
    end = at + 1
    while end < len(lows) and end < at + _REACH and end != following:
        low = lows[end]
        if low in STOPS or low in SIGNS:
            break
        if low in _BREAKS and not (low == "where" and lows[end - 1] in ("is", "'s", "was")):
            break
        if low == "and" and word_at(lows, end + 1) not in _GOES_ON:
            break
        end += 1
    return tuple(lows[at + 1 : end])


def aside_behind(lows: Sequence[str], at: int, following: int | None) -> tuple[str, ...]:
    """Give what is said of a figure behind a comma, as in "12, nominal" or "85, like the plate says"."""
    comma = at + 1 + len(words_behind(lows, at, following))
    if word_at(lows, comma) not in SIGNS or comma + 1 == following:
        return ()
    end = comma + 1
    while (
        end < len(lows) and end < comma + 7 and end != following and lows[end] not in STOPS and lows[end] not in SIGNS
    ):
        end += 1
    return () if end == following else tuple(lows[comma + 1 : end])
