"""What a figure is for: what was measured, a limit, what it should be by the book, or what is to be set on rebuild.

In: a figure with its stretch of words. Out: its role and the cue that decided.
Never says what is measured, nor whether it is within its limit.

Examples: "plate measures 7.2, | limit's 6.5" measured and limit; "goes back to 110 newton metres" required;
"oughta be one fifty" and "placard says 225" nominal; "took 90 foot pounds to shift" measured.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.reading.figures import Figure
from notebook.reading.speaking import Heard, cue_first, cue_last, cues_in

MEASURED, LIMIT, NOMINAL, REQUIRED = "measured", "limit", "nominal", "required"
Role = tuple[str, str | None]


def role_of(figure: Figure, quantity: str | None, last: Role | None, *, follows_required: bool = False) -> Role:
    """Give the role of a figure; `last`: that of the figure before it in its list; `follows_required`: see below.

    An angle or a second torque said right after a torque to be set is to be set too ("then ninety degrees").
    """
    label = cue_first("role", figure.after, within=1)
    if label is not None and _is_label(label, figure):
        return label.cue.says, label.text
    if strong := next((h for h in cues_in("role", figure.before, "before") if h.cue.is_strong), None):
        return strong.cue.says, strong.text
    if _is_thrown_away_at(figure.before):
        return LIMIT, "at"
    cue = cue_last("role", figure.before, without=None)
    if cue is not None and cue.cue.says == MEASURED and len(cue.cue.words) == 1:
        cue = cue_last("role", figure.before)
    if cue is not None and not (cue.cue.says == NOMINAL and _was_found(figure.before[cue.end :])):
        return _settle(cue, quantity, figure)
    if not figure.runs_into and (said := _said_behind(figure)) is not None:
        return said.cue.says, said.text
    if last is not None:
        return last
    if follows_required:
        return REQUIRED, "then"
    if quantity == "torque" and figure.amount.unit is not None:
        found = next((h for h in cues_in("role", figure.before, "before") if h.cue.says == MEASURED), None)
        return (MEASURED, found.text) if found else (REQUIRED, "torque")
    return MEASURED, None


def _is_thrown_away_at(before: Sequence[str]) -> bool:
    """ "You biff them at fifty", "we pull it at eight": whatever the verb, that is when it has to go."""
    return (
        len(before) > 3
        and before[-1] == "at"
        and before[-2] in ("them", "it", "those")
        and before[-4] in ("you", "we", "they")
    )


def _is_label(label: Heard, figure: Figure) -> bool:
    """ "12 nominal", "three allowed" settle it; "10 over" and the like only where nothing else is said."""
    if figure.runs_into:
        last = cue_last("role", figure.after)
        return len(figure.after) > len(label.cue.words) and (
            last is None or last.end < len(figure.after) or last.start > label.start
        )
    return len(label.cue.words) > 1 or label.cue.words[0] not in ("new", "original", "final", "limit")


def _said_behind(figure: Figure) -> Heard | None:
    """Give a cue further behind ("45 when it goes back") or behind a comma ("85, like the plate says", "12, nominal")."""
    label = cue_first("role", figure.after, within=3)
    if label is not None and (label.start == 0 or len(label.cue.words) > 1):
        return label
    aside = cue_first("role", figure.aside, within=1)
    if aside is not None and (len(aside.cue.words) > 1 or len(figure.aside) == 1):
        return aside
    return None


def _was_found(after_cue: Sequence[str]) -> bool:
    """ "Should've been set but I found 8": what was found comes after the cue."""
    return any(w in ("found", "measured", "got", "getting") for w in after_cue)


def _settle(cue: Heard, quantity: str | None, figure: Figure) -> Role:
    """A torque is for the rebuild whatever paper it stands in; a turning torque is a reading like any other."""
    is_done_up = cue.text.endswith("up to")
    if quantity == "torque" and (cue.cue.says == NOMINAL or is_done_up) and figure.amount.unit is not None:
        return REQUIRED, cue.text
    return cue.cue.says, cue.text
