"""A person's mend wins over what is read, whatever is read later; one that does not fit is shown, never dropped."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.entries import Correction, Entry, Fastener, Finding, Measurement, Step
from notebook.errors import WRONG_USE, NotebookError
from notebook.log.mends import apply_mends, check_mend, new_entry, statement_of
from notebook.nouns import Mend, Remark
from tests.jobs.bench import OPENED, is_one_line, try_it

Action = Literal["text", "set", "add", "strike", "accept"]

CRACKED = Finding(id="e1", component="hub", condition="cracked", doubt="which hub?")
SECOND = Finding(id="e2", component="drum", condition="worn")
WIDTH = Measurement(id="e3", component="drum", quantity="width", value=Decimal("7.2"), unit="mm", si=Decimal("0.0072"))


def remark(*entries: Entry) -> Remark:
    return Remark(id="r", sitting_id="s", order=1, at=None, seconds=None, heard="", text="said", entries=entries)


def mend(
    action: Action,
    entry: Entry | None = None,
    field: str | None = None,
    old: Any = None,
    new: Any = None,
    *,
    name: str = "m",
    after_s: int = 0,
) -> Mend:
    return Mend(
        id=name, remark_id="r", kind=entry.kind if entry else None, entry_id=entry.id if entry else None, action=action, field=field,
        old=json.dumps(old), new=json.dumps(new), made=OPENED + timedelta(seconds=after_s),
    )  # fmt: skip


SET = mend("set", CRACKED, "condition", "cracked", "chipped")


def test_a_field_that_was_set_wins_and_settles_the_doubt() -> None:
    after, (judged,) = apply_mends(remark(CRACKED, SECOND), [SET])
    assert after.entries == (replace(CRACKED, condition="chipped", mended=True, doubt=None), SECOND)
    assert judged.conflict is None


@pytest.mark.parametrize(
    "read_now",
    [
        pytest.param(replace(CRACKED, id="other"), id="another id, the old value"),
        pytest.param(replace(CRACKED, condition="chipped"), id="what the person said is read now"),
        pytest.param(replace(CRACKED, confidence=0.2, span=(3, 9), cue="x"), id="other words decided"),
    ],
)
def test_a_mend_survives_another_reading(read_now: Finding) -> None:
    after, (judged,) = apply_mends(remark(SECOND, read_now), [SET])
    assert judged.conflict is None
    assert [e.condition for e in after.entries if isinstance(e, Finding)] == ["worn", "chipped"]
    assert [e.mended for e in after.entries] == [False, True]


@pytest.mark.parametrize(
    ("read_now", "says"),
    [
        pytest.param((), "no finding is read here any more", id="nothing"),
        pytest.param((Step(id="s", action="removed"),), "no finding is read here any more", id="another kind"),
        pytest.param((replace(CRACKED, condition="worn"),), "condition was 'cracked' when it was mended to 'chipped'; now 'worn' is read", id="another value"),
    ],
)  # fmt: skip
def test_a_mend_that_no_longer_fits_is_kept_with_a_conflict(read_now: tuple[Entry, ...], says: str) -> None:
    after, judged = apply_mends(remark(*read_now), [SET])
    assert after.entries == read_now
    assert [replace(m, conflict=None) for m in judged] == [SET]
    assert judged[0].conflict == says


def test_a_conflict_goes_when_it_fits_again() -> None:
    _, (judged,) = apply_mends(remark(), [SET])
    assert judged.conflict
    after, (again,) = apply_mends(remark(CRACKED), [judged])
    assert again.conflict is None
    assert after.entries[0].mended


def test_mends_are_laid_in_the_order_they_were_made() -> None:
    later = mend("set", CRACKED, "condition", "chipped", "bent", name="later", after_s=9)
    for order in ([SET, later], [later, SET]):
        after, judged = apply_mends(remark(CRACKED), order)
        assert [m.conflict for m in judged] == [None, None]
        assert [e.condition for e in after.entries if isinstance(e, Finding)] == ["bent"]


def test_strike_accept_and_add() -> None:
    added = mend("add", None, new={"kind": "step", "action": "removed", "component": "drum"}, name="added")
    given = [mend("strike", CRACKED), mend("accept", replace(CRACKED, id="e4"), name="m2"), added]
    after, judged = apply_mends(remark(CRACKED, SECOND, replace(CRACKED, id="e4")), given)
    assert [m.conflict for m in judged] == [None] * 3
    assert [(e.kind, e.struck, e.mended, e.doubt) for e in after.entries] == [
        ("finding", True, True, "which hub?"), ("finding", False, False, None), ("finding", False, True, None), ("step", False, True, None),
    ]  # fmt: skip
    assert after.entries[-1].id == "added"


def test_an_added_entry_can_be_mended_too() -> None:
    added = mend("add", None, new={"kind": "finding", "condition": "bent"}, name="added")
    made = Finding(id="added", condition="bent")
    changed = mend("set", made, "component", None, "shaft", name="m2", after_s=1)
    after, _ = apply_mends(remark(), [added, changed, mend("strike", made, name="m3", after_s=2)])
    assert after.entries == (replace(made, component="shaft", struck=True, mended=True),)


def test_a_strike_is_not_laid_on_another_statement() -> None:
    """Struck "hub cracked", then the words were put right to "hub sound": the new statement stands."""
    struck = mend("strike", CRACKED, old=statement_of(CRACKED))
    sound = Finding(id="other", component="hub", condition="sound")
    after, (judged,) = apply_mends(remark(sound), [struck])
    assert after.entries == (sound,)
    assert judged.conflict
    again = replace(CRACKED, id="other", confidence=0.1, span=(4, 9))
    after, (judged,) = apply_mends(remark(sound, again), [struck])
    assert [e.struck for e in after.entries] == [False, True]
    assert judged.conflict is None


def test_laying_mends_twice_is_laying_them_once() -> None:
    once, judged = apply_mends(remark(CRACKED, SECOND), [SET])
    assert apply_mends(once, judged) == (once, judged)


def test_a_value_that_was_set_carries_its_si_value() -> None:
    given = [mend("set", WIDTH, "value", 7.2, 0.28), mend("set", WIDTH, "unit", "mm", "in", name="m2", after_s=1)]
    after, _ = apply_mends(remark(WIDTH), given)
    (changed,) = after.entries
    assert isinstance(changed, Measurement)
    assert (changed.value, changed.unit, changed.si) == (Decimal("0.28"), "in", Decimal("0.007112"))


@pytest.mark.parametrize(
    ("entry", "field", "typed", "made"),
    [
        (CRACKED, "condition", "chipped", "chipped"),
        (CRACKED, "component", "drum gear", "drum gear"),
        (CRACKED, "component", "12", "12"),
        (CRACKED, "position", "", None),
        (CRACKED, "count", "2", 2),
        (CRACKED, "count", "null", None),
        (CRACKED, "presence", "possible", "possible"),
        (WIDTH, "value", "7.25", 7.25),
        (WIDTH, "value", "8", 8),
        (WIDTH, "about", "true", True),
        (Fastener(), "state", "loose", ["loose"]),
        (Fastener(), "state", '["loose", "rounded"]', ["loose", "rounded"]),
        (Fastener(), "heat", "false", False),
    ],
)
def test_what_is_typed_becomes_the_field(entry: Entry, field: str, typed: str, made: object) -> None:
    assert check_mend(entry, field, typed) == made


@pytest.mark.parametrize(
    ("entry", "field", "typed"),
    [
        (None, "condition", "chipped"),
        (CRACKED, "thread", "M8"),
        (CRACKED, "id", "x"),
        (CRACKED, "span", "[0, 1]"),
        (CRACKED, "struck", "true"),
        (CRACKED, "condition", ""),
        (CRACKED, "presence", "maybe"),
        (CRACKED, "count", "two"),
        (CRACKED, "count", "2.5"),
        (CRACKED, "count", "1e400"),
        (WIDTH, "value", "wide"),
        (WIDTH, "value", "NaN"),
        (WIDTH, "value", "Infinity"),
        (WIDTH, "value", "[1, 2]"),
        (WIDTH, "about", "perhaps"),
        (WIDTH, "si", "3"),
        (Correction(scope="value"), "scope", ""),
    ],
)
def test_what_does_not_fit_is_refused_in_one_line(entry: Entry | None, field: str, typed: str) -> None:
    with pytest.raises(NotebookError) as told:
        check_mend(entry, field, typed)
    assert told.value.exit_status == WRONG_USE
    assert told.value.remedy
    assert is_one_line(str(told.value))


@pytest.mark.parametrize(
    ("kind", "values", "says"),
    [
        ("crack", {}, "no kind of entry called crack"),
        ("finding", {}, "condition"),
        ("finding", {"condition": "bent", "componnent": "hub"}, "componnent"),
        ("finding", {"condition": "bent", "presence": "maybe"}, "maybe"),
        ("measurement", {"value": "wide"}, "wide"),
        ("finding", {"condition": "bent", "count": "many"}, "many"),
    ],
)
def test_what_cannot_be_added_is_refused_in_one_line(kind: str, values: dict[str, str], says: str) -> None:
    with pytest.raises(NotebookError) as told:
        new_entry(kind, values, 10)
    assert told.value.exit_status == WRONG_USE
    assert says in told.value.message
    assert told.value.remedy


def test_an_entry_that_is_added_is_marked() -> None:
    made = new_entry("finding", {"condition": "bent", "count": "2", "of": "3"}, 10)
    assert made == Finding(condition="bent", count=2, of=3, span=(0, 10), mended=True)


@given(st.text(), st.sampled_from(["condition", "component", "count", "of", "presence", "degree", "doubt", "position"]))
def test_anything_typed_is_taken_as_it_can_be_kept_or_refused(typed: str, field: str) -> None:
    made = try_it(lambda: check_mend(CRACKED, field, typed))
    if isinstance(made, NotebookError):
        assert made.exit_status == WRONG_USE
        assert is_one_line(str(made))
    else:
        laid, _ = apply_mends(remark(CRACKED), [mend("set", CRACKED, field, CRACKED.to_json().get(field), made)])
        assert laid.entries[0].to_json().get(field) == made
