"""Which part is in what condition, and how many of how many: sentences of our own, each with the reason it is in the table.

How people speak is common practice (no source); the terms are those of the vocabulary's table.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from notebook.entries import Finding
from notebook.reading.reader import Reader

ROWS = [
    ("click has had it", ("click", "worn out", "present"), "a word that names a noise too is a name before its verb"),
    ("sleeve it runs in is smooth as glass", ("sleeve", "sound", "present"), "a relative clause without its that"),
    ("lift cylinder weeps at the gland", ("lift cylinder", "weeping", "present"), "a verb opens the name"),
    ("the buffer leaks oil", ("buffer", "leaking", "present"), "a verb agrees with the noun before it"),
    ("brake levers flop about", ("brake lever", "sloppy", "present"), "a bare verb after a plural"),
    ("valves seal, guides don't rock", ("guide", "play", "absent"), "a fault said as a verb and denied"),
    ("back gear's missing two teeth", ("tooth", "missing", "present"), "what is missing is named after the word"),
    ("second gear's lost a tooth", ("tooth", "missing", "present"), "lost, of something that can be counted"),
    ("radiator's blocked with fins missing along the bottom", ("fin", "missing", "present"), "what it has in a condition"),
    ("it has a lug cracked", ("lug", "cracked", "present"), "what one has in a condition bears it"),
    ("drawbar pin is grand, the clevis isn't", ("clevis", "bad", "present"), "not as the one before: sound denied is bad"),
    ("the left seal isn't leaking but the right one is", ("seal", "leaking", "present"), "as denied of the one before"),
    ("housing's cracked and so is the cover", ("cover", "cracked", "present"), "so is, of another part"),
    ("no play in the top bush, nor is there in the lower bush", ("lower bush", "play", "absent"), "nor is there"),
    ("wheel bearings are gritty, bushes likewise", ("bush", "gritty", "present"), "a word of likeness and no verb"),
    ("carrier's worn, sun gear not much better", ("sun gear", "worn", "present"), "compared with no verb at all"),
    ("the stern tube's leaking", ("stern tube", "leaking", "present"), "a name that ends like a tool's"),
    ("pickup pipe cracked at the weld", ("pickup pipe", "cracked", "present"), "the same, with no verb"),
    ("there's grease weeping past the seal", ("seal", "weeping", "present"), "what lets the fluid by is what leaks"),
    ("no oil coming out of the gland", ("gland", "leaking", "absent"), "the same, denied"),
    ("the noise is coming from the idler", ("idler", "noisy", "present"), "a noise told by where it comes from"),
    ("the noise isn't coming from the idler", ("idler", "noisy", "absent"), "the same, denied"),
    ("it's the union up above dripping", ("union", "leaking", "present"), "'it' only points to the union"),
    ("I can't see owt cracked round the rivets", ("rivet", "cracked", "absent"), "nothing in a condition, and where"),
    ("there's a groove sawn across the heel", ("heel", "grooved", "present"), "how the groove was made stands between"),
    ("big end I can feel nothing up and down", ("big end", "play", "absent"), "nothing felt is no play"),
    ("governor rope's good, no broken wires, no sign of it being dry", ("governor rope", "dry", "absent"), "'it' is one"),
    ("I'm leaning to the relief spring having gone weak", ("relief spring", "weak", "possible"), "a participle's own part"),
    ("the zinc has gone to mush", ("zinc", "corroded", "present"), "gone to something"),
    ("jointing's gone to biscuit", ("jointing", "perished", "present"), "gone to something else"),
    ("half nuts have seen better days", ("half nut", "worn out", "present"), "an idiom for worn out"),
    ("tailstock quill won't lock", ("tailstock quill", "won't lock", "present"), "what a part will not do, as said"),
    ("guide shoes could be tighter", ("guide shoe", "loose", "present"), "a comparative tells the fault"),
    ("brake shoes have plenty of meat", ("brake shoe", "plenty left", "present"), "good by what is left"),
    ("no meat left on the brushes", ("brush", "worn out", "present"), "bad by what is left: the brush, not the meat"),
    ("they're that worn, the thrust pads", ("thrust pad", "worn", "present"), "'that' says how much"),
    ("the master cylinder's internals are gummed up", ("master cylinder", "stuck", "present"), "its insides are the part"),
    ("relief valve spring short, plunger sticking in its bore", ("relief valve spring", "short", "present"), "a spring has no short circuit"),
    ("the winding is shorted", ("winding", "short circuit", "present"), "a winding has"),
    ("I'm not stripping the gearbox today", ("gearbox", "not inspected", "present"), "not looked at"),
    ("haven't been inside the pump", ("pump", "not inspected", "present"), "not looked at"),
    ("Straight too, thanks be", (None, "straight", "present"), "the verdict first"),
]  # fmt: skip


def findings_of(remark: str) -> list[Finding]:
    return [e for e in Reader().read(remark).entries if isinstance(e, Finding)]


@pytest.mark.parametrize(("remark", "expected", "why"), ROWS, ids=[r[0] for r in ROWS])
def test_a_finding_is_read(remark: str, expected: tuple[str, str, str], why: str) -> None:
    found = {(f.component, f.condition, f.presence) for f in findings_of(remark)}
    assert expected in found, f"{why}: {found}"


NONE = [
    ("the file nick on the flange goes up", "a mark somebody made"),
    ("stick the mag base on the bedplate", "an order, not a part that sticks"),
    ("rings go in the grooves with the gap up", "a place that is known already"),
    ("coupling's split, bolts are in the tub", "taken apart, not torn"),
    ("cover's away, tidy", "said of the work"),
    ("some lad's had it off before", "what somebody did with it"),
    ("it's forty thou, bang on", "a verdict on a figure"),
    ("2.7 is brand new", "a verdict on a figure"),
    ("keep the rag over it to stop it marking", "what is to be prevented"),
    ("I've had the glass over it", "a look, not another job"),
]


@pytest.mark.parametrize(("remark", "why"), NONE, ids=[r[0] for r in NONE])
def test_no_finding_is_made_up(remark: str, why: str) -> None:
    assert findings_of(remark) == [], why


COUNTS = [
    ("two of the six shoes are cracked", ("shoe", "cracked", 2, 6)),
    ("2 of the 6 shoes are cracked, the rest look fine", ("shoe", "sound", 4, 6)),
    ("both thrust washers are worn", ("thrust washer", "worn", 2, 2)),
    ("all bar one of the sixteen rollers are pitted", ("roller", "pitted", 15, 16)),
    ("of the sixteen tappets three have gone dished", ("tappet", "dished", 3, 16)),
    ("of 24 buckets in that runner 5 are holed, every third one is polished", ("bucket", "polished", 8, 24)),
    ("there's a ding in one blade, the other three are spot on", ("blade", "sound", 3, 4)),
    ("a dozen cogs are loose", ("cog", "loose", 12, None)),
    ("injectors two dribbling, one blocked", ("injector", "leaking", 2, None)),
]  # fmt: skip


@pytest.mark.parametrize(("remark", "expected"), COUNTS, ids=[r[0] for r in COUNTS])
def test_how_many_of_how_many(remark: str, expected: tuple[str, str, int, int | None]) -> None:
    found = {(f.component, f.condition, f.count, f.of) for f in findings_of(remark)}
    assert expected in found, found


POSITIONS = [
    ("cam lobes three and six are scored", "three and six"),
    ("the wheel cylinder on the left is seized", "left"),
    ("right arm's seized on its pin", "right"),
]


@pytest.mark.parametrize(("remark", "position"), POSITIONS, ids=[r[0] for r in POSITIONS])
def test_which_one_counts_before_where_on_it(remark: str, position: str) -> None:
    assert [f.position for f in findings_of(remark)] == [position]


@given(
    part=st.sampled_from("wallower damsel skeg tumbler escutcheon trunnion quoin fusee shroud runner".split()),
    said=st.sampled_from([("cracked", "cracked"), ("bent", "bent"), ("pitted", "pitted"), ("knackered", "worn out")]),
    opening=st.sampled_from(["the {} is {}", "{}'s {}", "that {} has gone, it's {}", "found the {} {}"]),
)
def test_a_part_of_no_list_is_taken_as_said(part: str, said: tuple[str, str], opening: str) -> None:
    found = findings_of(opening.format(part, said[0]))
    assert (part, said[1], "present") in {(f.component, f.condition, f.presence) for f in found}
