"""What was decided, promised and emptied, as it is spoken of at the bench (sentences made up, common practice, no source)."""

from __future__ import annotations

import pytest

from notebook.entries import Decided, Disposition, Promise, Storage
from notebook.reading.reader import read_job

DECIDED = [
    ("He wants the bearings done.", [("bearing", "approved", None)]),
    ("Owner says go ahead with the lining.", [("lining", "approved", None)]),
    ("He doesn't want the rope replaced.", [("rope", "declined", None)]),
    ("The customer said no to the drum gear.", [("drum gear", "declined", None)]),
    ("She says leave the rope as it is.", [("rope", "declined", None)]),
    ("He'll have the bearings and the seals done, not the pawl.", [("bearing", "approved", None), ("seal", "approved", None), ("pawl", "declined", None)]),
    ("Rang the owner, he wants a price for the lining first.", [("lining", "asked", None)]),
    ("Owner wants a new pawl and the key replaced.", [("pawl", "approved", "replace"), ("key", "approved", "replace")]),
    ("The seals have been declined.", [("seal", "declined", None)]),
    ("He wants it all done.", [("everything", "approved", None)]),
    ("I'd advise a new lining.", [("lining", "advised", "replace")]),
    ("Lining's down to the rivets. He wants it done.", [("lining", "approved", None)]),
]  # fmt: skip
NOT_DECIDED = [
    "She wants a new bearing.",
    "Ask him if he wants the bearings done.",
    "I think he wants the lining done.",
    "Does he want the bearings done?",
    "Last time he wanted the seals done.",
    "He asked me was it the head gasket.",
    "The bearings want replacing.",
]


@pytest.mark.parametrize(("said", "wanted"), DECIDED)
def test_a_word_of_the_owner_is_read(said: str, wanted: list[tuple[str, str, str | None]]) -> None:
    (reading,) = read_job([said])
    assert [(e.component, e.state, e.action) for e in reading.entries if isinstance(e, Decided)] == wanted


@pytest.mark.parametrize("said", NOT_DECIDED)
def test_what_is_asked_supposed_or_of_a_machine_is_no_decision(said: str) -> None:
    (reading,) = read_job([said])
    assert not [e for e in reading.entries if isinstance(e, Decided)]


def test_what_the_owner_does_not_want_is_not_to_be_done() -> None:
    for said in ("He doesn't want the rope replaced.", "He wants the rope done."):
        (reading,) = read_job([said])
        assert not [e for e in reading.entries if isinstance(e, Disposition)]


def test_all_but_some_is_a_doubt_and_no_guess() -> None:
    (reading,) = read_job(["Owner wants everything done but the rope."])
    (decided,) = [e for e in reading.entries if isinstance(e, Decided)]
    assert decided.component is None
    assert decided.doubt


def test_a_change_of_mind_settles() -> None:
    (reading,) = read_job(["He's changed his mind, he doesn't want the bearings done."])
    assert [(e.state, e.settles) for e in reading.entries if isinstance(e, Decided)] == [("declined", True)]


@pytest.mark.parametrize(
    ("said", "when"),
    [
        ("I told him it'd be ready by Friday.", "Friday"),
        ("Promised the owner it would be done by the end of March.", "the end of March"),
        ("The supplier promised the bearings by Friday.", None),
        ("I told him to hold the torch.", None),
    ],
)
def test_a_promise_to_the_owner_is_kept_with_its_day(said: str, when: str | None) -> None:
    (reading,) = read_job([said])
    assert [e.by_when for e in reading.entries if isinstance(e, Promise)] == ([when] if when else [])


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Bag 7 is empty now.", [("bag 7", "emptied", ())]),
        ("Emptied bag 7.", [("bag 7", "emptied", ())]),
        ("Moved the springs from bag 7 to bag 9.", [("bag 7", "taken out", ("springs",)), ("bag 9", "moved", ("spring",))]),
        ("I've used bag 7 again for the pawl.", [("bag 7", "used again", ("pawl",))]),
        ("Springs are in bag 7.", [("bag 7", None, ("springs",))]),
    ],
)  # fmt: skip
def test_what_leaves_a_place_is_read(said: str, wanted: list[tuple[str, str | None, tuple[str, ...]]]) -> None:
    (reading,) = read_job([said])
    found = [(e.place, e.action, e.contents) for e in reading.entries if isinstance(e, Storage)]
    assert [(p, a) for p, a, _ in found] == [(p, a) for p, a, _ in wanted]
    assert [{w.rstrip("s") for w in c} for *_, c in found] == [{w.rstrip("s") for w in c} for *_, c in wanted]
    assert not [e for e in reading.entries if e.kind == "step"]
