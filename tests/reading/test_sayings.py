"""Cautions, tips, photo cues and corrections. source of expectations: common practice (no source)"""

from __future__ import annotations

import pytest

from notebook.entries import Correction, PhotoCue
from tests.reading.tables import read_kind

SAID = [
    ("Mind your fingers under that crosshead, it'll drop.", "caution", "mind your"),
    ("Never lever against the fins.", "caution", "never"),
    ("Don't put the gun on those anodes, the heads just twist off.", "caution", "don't, with its reason"),
    ("Keep your hands out from between the chain and the sheave.", "caution", "keep out"),
    ("Isolate the supply first.", "caution", "a verb of safety"),
    ("Trick with this pilot bearing is pack the hole with grease and smack a bar in it.", "tip", "trick"),
    ("Warm the housing and the bearing drops out.", "tip", "an order, and what comes of it"),
    ("Plastic scraper and a drop of thinners shifts it.", "tip", "what helps"),
    ("A bit of string through the middle stops them spinning.", "tip", "what helps"),
    ("If she spins on you, shove a broom handle down the hole.", "tip", "an order under an if"),
    ("You'd want a proper puller for that pinion.", "tip", "what is wanted for it"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "why"), SAID, ids=[r[0][:30] for r in SAID])
def test_advice(text: str, kind: str, why: str) -> None:
    other = "tip" if kind == "caution" else "caution"
    assert len(read_kind(text, kind)) == 1, why
    assert read_kind(text, other) == [], why


NOT_SAID = [
    ("Hang on, gravel truck.", "talk"),
    ("Go on then.", "talk"),
    ("Don't know what that is.", "nothing of the work"),
    ("Dinnae be stingy with the sugar.", "nothing of the work"),
    ("Prop nut's a castellated one.", "a name, not a verb"),
    ("Steam chest cover's got eight nuts.", "a name, not a verb"),
    ("Shear bolt in the flywheel should be an M10.", "a name, not a verb"),
    ("He never wrote a thing down.", "what was not done"),
    ("It isn't asbestos, they had it tested.", "said not to be"),
    ("Order two seals and bin the old ones.", "what is to happen to parts"),
    ("They're one use only, so new ones going in.", "a fact of the bolts"),
]


@pytest.mark.parametrize(("text", "why"), NOT_SAID, ids=[r[0][:30] for r in NOT_SAID])
def test_no_advice(text: str, why: str) -> None:
    assert read_kind(text, "caution") == [], why
    assert read_kind(text, "tip") == [], why


PHOTOS = [
    ("Photo of the gear train.", [("gear train", "next")]),
    ("Got a picture of the chain anchor already.", [("chain anchor", "before")]),
    ("I never got a photo of it.", []),
    ("It's like that in the picture in the book.", []),
]


@pytest.mark.parametrize(("text", "wanted"), PHOTOS)
def test_photo_cues(text: str, wanted: list[tuple[str, str]]) -> None:
    assert [(e.of, e.which) for e in read_kind(text, "photo") if isinstance(e, PhotoCue)] == wanted


CORRECTIONS = [
    ("The pin is 29.6. | Scratch that last one.", ["last remark"]),
    ("The pin is 29.6. | No wait, it's 29.4.", ["value"]),
    ("Ring's cracked. | Nah, scrap that, it's fine.", ["last remark"]),
    ("Four rings hard. | Strike that about the rings, it was three.", ["value"]),
    ("Bores are clean. | It's G 1/4, no, tell a lie, G 3/8.", []),
    ("Bores are clean. | Scrap the rotor.", []),
]


@pytest.mark.parametrize(("text", "scopes"), CORRECTIONS)
def test_corrections(text: str, scopes: list[str]) -> None:
    assert [e.scope for e in read_kind(text, "correction") if isinstance(e, Correction)] == scopes
