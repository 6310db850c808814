"""The log: what was found wrong stands first, then the parts as they came off, with every doubt marked."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from notebook.documents.log_text import log_text
from notebook.entries import Disposition, Fastener, Finding, Measurement
from notebook.nouns import Link, Mend
from tests.documents.logs import EVERYDAY, JOB, OPENED, make_log, make_photo


def sections(text: str) -> dict[str, list[str]]:
    """Give the lines of the log under each of its headings."""
    found: dict[str, list[str]] = {"": []}
    at = ""
    for line in text.splitlines():
        if line and not line.startswith(" "):
            at = line
            found[at] = []
        elif line.strip():
            found[at].append(line.strip())
    return found


def test_the_whole_log_of_an_everyday_job() -> None:
    text = log_text(make_log(*EVERYDAY))
    assert text.startswith("Job 2041 | winch | ST-118 | 1860 h | opened 2026-03-04 | 11 remarks, 0 photos | Maren\n")
    found = sections(text)
    assert list(found)[2:5] == ["What was found wrong", "In the order it came off", "Also spoken of"]
    assert found["What was found wrong"] == [
        "drum: slightly worn  [remark 3]",
        "? keyway: perhaps cracked  (which keyway?)  [remark 7]",
    ]
    assert found["In the order it came off"] == [
        "1  guard",
        "removed  [remark 2]",
        "2  drum, off the shaft",
        "removed off the shaft  [remark 3]",
        "slightly worn  [remark 3]",
    ]
    assert "= 7.2 mm, limit 6.5 mm: 0.7 mm left" in found["Also spoken of"]
    assert "not loose  [remark 6]" in found["Also spoken of"]
    assert found["Struck out"] == ["hub: cracked  (struck out)  [remark 4]"]
    assert found["Taken back"] == ["takes back the remark before  [remark 5]"]
    assert found["Cautions"] == ["Mind the spring.  [remark 10]"]
    assert found["Tips"] == ["Warm it first.  [remark 11]"]
    assert found["Tools"] == ["two-leg puller  [remark 11]"]
    assert found["Where things are"] == ["springs, shims in bag 7  [remark 11]"]
    assert found["The machine"] == ["clock shows 1860 h  [remark 1]"]
    assert found["Which part is not plain"] == ["? part not named: 2 sound  (which part is not plain)  [remark 9]"]
    assert len(found["To look at"]) == 2


def test_a_job_without_a_fault_says_so() -> None:
    assert sections(log_text(make_log()))["What was found wrong"] == ["nothing"]


@pytest.mark.parametrize(
    ("finding", "is_wrong"),
    [
        (Finding(component="hub", condition="cracked"), True),
        (Finding(component="hub", condition="missing"), True),
        (Finding(component="hub", condition="cracked", presence="possible"), True),
        (Finding(component="hub", condition="cracked", presence="absent"), False),
        (Finding(component="hub", condition="cracked", struck=True), False),
        (Finding(component="hub", condition="sound"), False),
        (Finding(component="hub", condition="not inspected"), False),
    ],
)
def test_what_counts_as_wrong(finding: Finding, is_wrong: bool) -> None:
    found = sections(log_text(make_log(("said", (finding,)))))
    assert (found["What was found wrong"] != ["nothing"]) == is_wrong


def test_a_line_leads_to_the_second_of_its_recording_and_to_its_photo() -> None:
    log = make_log(
        ("Hub is cracked.", (Finding(component="hub", condition="cracked"),)),
        photos=(make_photo("hub.jpg"), make_photo("loose.jpg", "p2")),
    )
    heard = replace(log.remarks[0], recording_sha256="ab", first_sample=48000 * 3725 + 24000)
    log = replace(log, remarks=(heard,), links=(Link(photo_id="p1", remark_id="r1", how="cue", confidence=1),))
    found = sections(log_text(log))
    assert found["What was found wrong"] == ["hub: cracked  [1:02:05]  hub.jpg"]
    assert found["Photos without a remark"] == ["loose.jpg"]


def test_ids_lead_to_the_mend() -> None:
    text = log_text(make_log(("Hub is cracked.", (Finding(component="hub", condition="cracked"),))), with_ids=True)
    assert "hub: cracked  [remark 1]  1:10abcdef" in text


def test_a_mend_that_no_longer_fits_is_shown() -> None:
    mend = Mend(
        id="m",
        remark_id="r1",
        kind="finding",
        entry_id="x",
        action="set",
        made=OPENED,
        conflict="no finding is read here any more",
    )
    found = sections(log_text(make_log(("Hub.", ()), mends=(mend, replace(mend, id="m2", conflict=None)))))
    assert found["To look at"] == ["mend of a finding: no finding is read here any more  [remark 1]"]


def test_a_remark_that_the_ear_guessed_is_shown() -> None:
    log = make_log(("Thanks for watching.", ()))
    log = replace(log, remarks=(replace(log.remarks[0], doubt="hardly any voice"),))
    assert sections(log_text(log))["To look at"] == ['"Thanks for watching."  (hardly any voice)  [remark 1]']


def test_what_a_person_mended_is_marked() -> None:
    finding = Finding(component="hub", condition="cracked", mended=True)
    assert sections(log_text(make_log(("x", (finding,)))))["What was found wrong"] == [
        "hub: cracked  (mended)  [remark 1]"
    ]


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (Finding(component="p", condition="cracked", count=2, of=6), "2 of 6 cracked"),
        (Finding(component="p", condition="cracked", count=4, of=4, degree="severe"), "all 4 badly cracked"),
        (Measurement(component="p", low=Decimal(5), high=Decimal("8.50"), unit="thou", role="nominal", quantity="gap"), "gap should be 5 to 8.5 thou"),
        (Measurement(component="p", value=Decimal("0.3"), unit="mm", about=True), "about 0.3 mm"),
        (Measurement(component="p", value=Decimal("1E+3"), unit="rpm", role="limit"), "limit 1000 rpm"),
        (Measurement(component="p", value=Decimal(45), unit="N·m", role="required", quantity="torque"), "torque set to 45 N·m"),
        (Fastener(component="p", count=8, thread="M6", form="countersunk screw", length=Decimal("20.0"), driver="4 mm hex key", state=("tight",), heat=True), "8 M6 x 20 mm countersunk screw; 4 mm hex key; tight; needed heat"),
        (Disposition(component="p", action="reuse"), "goes again"),
        (Disposition(component="p", action="order", count=4), "4 to be ordered"),
        (Disposition(component="p", action="clean", done=True), "cleaned"),
    ],
)  # fmt: skip
def test_an_entry_in_words(entry: Finding | Measurement | Fastener | Disposition, words: str) -> None:
    assert f"    {words}  [remark 1]\n" in log_text(make_log(("x", (entry,))))


def test_the_head_leaves_out_what_is_not_known() -> None:
    bare = replace(JOB, machine=replace(JOB.machine, plate=None), reading=None)
    log = replace(make_log(job=bare), sittings=())
    assert log_text(log).splitlines()[0] == "Job 2041 | winch | opened 2026-03-04 | 0 remarks, 0 photos"
