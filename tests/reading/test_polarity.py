"""Present, absent or possible, and how bad: sentences of our own, each with the word that decides it.

How people deny, doubt and weaken is common English and workshop usage (no source).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.entries import Finding
from notebook.reading.reader import Reader


def findings_of(remark: str) -> list[Finding]:
    return [e for e in Reader().read(remark).entries if isinstance(e, Finding)]


ABSENT = [
    ("no cracks in the casting", "no"),
    ("the bearing was never loose", "never"),
    ("there isn't a pit to be found on the shaft", "isn't a"),
    ("not a crack in sight on the casting", "the casting, and not the sight, has none"),
    ("there's not so much as a scratch on the liner", "not so much as a: no likeness"),
    ("nowhere is the chrome pitted", "denied before the part is named"),
    ("nothing to suggest the bearing's rough", "nothing to suggest"),
    ("can't make out any scoring in the bore", "can't make out any"),
    ("haven't seen a single chipped tooth on the gear", "haven't seen a single"),
    ("don't see where the hub is cracked", "don't see where"),
    ("the pump has stopped leaking", "has stopped"),
    ("the gland is no longer leaking", "no longer"),
    ("no signs the belt's been slipping", "no signs"),
    ("zero play in the ball joint", "zero"),
    ("the rod is neither bent nor twisted", "neither, nor"),
    ("shaft isn't bent or scored", "one denial over two"),
    ("the hose is free of rust", "free of"),
    ("can't say I see any wear on the pads", "can't say I see any"),
    ("I wouldn't say the tube's leaking", "wouldn't say"),
    ("it's not that the gib's worn", "not that"),
    ("the gib isn't that worn on the top, no, it's not worn", "said twice"),
    ("none of the teeth are chipped", "none of"),
    ("not one of the teeth is chipped", "not one of"),
    ("I was expecting the crank to be bent but it isn't", "expected, and denied after"),
    ("by rights the bush should be worn and it's not", "should be, and is not"),
    ("the cylinder, I was told it was knackered. It isn't.", "told, and denied in a sentence of its own"),
    ("he said the pump was seized, it's not", "said by another, and denied"),
    ("rod isn't bent I don't think", "denied twice is denied once"),
    ("it's not the bearing that's noisy", "a cleft"),
    ("it's neither the pump nor the valve that's weeping", "a cleft over two"),
]  # fmt: skip


@pytest.mark.parametrize(("remark", "why"), ABSENT, ids=[r[0] for r in ABSENT])
def test_what_is_said_not_to_be_there_is_never_present(remark: str, why: str) -> None:
    found = findings_of(remark)
    assert found, why
    assert {f.presence for f in found} == {"absent"}, f"{why}: {found}"


POSSIBLE = [
    ("might be a crack by the keyway", "might be"),
    ("I'm leaning to the relief spring having gone weak", "leaning to"),
    ("my money's on the seal being torn", "my money's on"),
    ("I suspect the valve is stuck", "suspect"),
    ("could be the diaphragm's gone porous", "could be"),
    ("can't rule out a crack in the web", "can't rule out"),
    ("not sure whether the ring is broken", "not sure whether"),
    ("the seal is torn, I suspect", "a hedge behind"),
]


@pytest.mark.parametrize(("remark", "why"), POSSIBLE, ids=[r[0] for r in POSSIBLE])
def test_what_is_only_thought_is_possible(remark: str, why: str) -> None:
    assert {f.presence for f in findings_of(remark)} == {"possible"}, why


PRESENT = [
    ("the pin isn't just dry, it's seized", "not just is no denial", "seized"),
    ("no wonder the belt is slipping", "no wonder is no denial", "slipping"),
    ("can't say there's no play in the joint", "two denials", "play"),
    ("the tip isn't worn but it's rusty not pitted, just rusty", "just ends the reach of not", "rusty"),
    ("hardly any wear on the lobes", "hardly any is slight", "worn"),
    ("and blow me if the tyre hasn't cracked", "said with surprise", "cracked"),
]


@pytest.mark.parametrize(("remark", "why", "condition"), PRESENT, ids=[r[0] for r in PRESENT])
def test_what_only_looks_like_a_denial_is_present(remark: str, why: str, condition: str) -> None:
    assert "present" in {f.presence for f in findings_of(remark) if f.condition == condition}, why


NOTHING = [
    "if the cups were pitted you'd feel it",
    "these usually crack at the lug",
    "is the shaft bent?",
    "the last one I did had a cracked hub",
    "thought the hub was cracked",
    "I feared the web would be cracked",
]


@pytest.mark.parametrize("remark", NOTHING)
def test_what_is_not_of_this_job_now_is_no_finding(remark: str) -> None:
    assert findings_of(remark) == []


DEGREES = [
    ("the drum is slightly scored", "slight"),
    ("light scoring on the drum", "slight"),
    ("the drum is badly scored", "severe"),
    ("the drum is scored a fair bit", "moderate"),
    ("the drum is scored something shocking", "severe"),
    ("hardly any wear on the drum", "slight"),
]


@pytest.mark.parametrize(("remark", "degree"), DEGREES)
def test_how_bad_it_is(remark: str, degree: str) -> None:
    assert [f.degree for f in findings_of(remark)] == [degree]


@given(
    denial=st.sampled_from(["no", "no sign of", "can't find any", "not any", "without any", "couldn't see any", "there isn't any", "no trace of"]),
    fault=st.sampled_from(["scoring", "pitting", "cracks", "corrosion", "wear", "fretting", "chips", "rust", "galling"]),
    part=st.sampled_from(["drum", "bore", "main shaft", "wallower", "crown wheel", "quill"]),
)  # fmt: skip
def test_a_denial_before_a_fault_is_never_read_as_there(denial: str, fault: str, part: str) -> None:
    found = findings_of(f"{denial} {fault} on the {part}")
    assert found
    assert {f.presence for f in found} == {"absent"}
