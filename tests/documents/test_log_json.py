"""The JSON of a log has every field that the contract names, for stored and for unlinked things alike."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime
from decimal import Decimal

from notebook.documents.log_json import log_json
from notebook.entries import Finding, Measurement
from notebook.log.parts import gather_parts
from notebook.nouns import Log
from tests.conftest import MORNING, make_link, make_log, make_mend, make_photo, make_recording, make_remark

CRACKED = Finding(
    component="drum", position="inner", condition="cracked", from_="remark-1", span=(0, 4), confidence=0.91
)
SIZED = Measurement(
    component="drum",
    quantity="diameter",
    value=Decimal("7.20"),
    unit="mm",
    si=Decimal("0.00720"),
    said="seven point two mil",
)

# What the contract of `teardown log --json` and of `teardown read --json` promises; more may be added.
JOB = {"id", "number", "machine", "plate", "owner_ref", "reading", "opened", "closed"}
REMARK = {"id", "at", "text", "tidied", "entries", "changes", "heard"}
PART = {"id", "component", "position", "of", "order", "entries", "verdicts"}
PHOTO = {"name", "taken", "remark", "remarks", "how", "confidence"}
ENTRY = {"kind", "span", "confidence", "id", "struck", "mended"}


def make_full_log() -> Log:
    heard = make_remark(
        "Drum is cracked.", CRACKED, SIZED, at=MORNING, seconds=2.5, person="Maren", recording_sha256="sound-1", first_sample=24000,
        sample_count=40000, changes=(((0, 4), (0, 5), "slip"),),
    )  # fmt: skip
    typed = make_remark("Nothing else.", order=2)
    linked, loose = make_photo(), make_photo("IMG_2.jpg", photo_id="photo-2", taken=None)
    links = (make_link(linked, heard), replace(make_link(linked, typed), how="time", confidence=0.4))
    parts, _ = gather_parts("job-1", [heard, typed], links, lambda _: None)
    mend = make_mend(heard, "set", heard.entries[0], field="condition", old="bent", new="cracked", conflict="now worn")
    return make_log(
        heard, typed, photos=(linked, loose), links=links, parts=tuple(parts), mends=(mend,), recordings=(make_recording(),)
    )  # fmt: skip


def test_every_promised_field_is_there() -> None:
    written = json.loads(json.dumps(log_json(make_full_log()), allow_nan=False))
    assert set(written["job"]) >= JOB
    for name, fields, count in (("remarks", REMARK, 2), ("parts", PART, 2), ("photos", PHOTO, 2)):
        assert len(written[name]) == count
        assert all(set(row) >= fields for row in written[name])
    assert all(set(e) >= ENTRY for r in written["remarks"] for e in r["entries"])


def test_an_entry_is_written_as_the_reader_writes_it() -> None:
    cracked, sized = log_json(make_full_log())["remarks"][0]["entries"]
    assert cracked == {
        "kind": "finding", "component": "drum", "position": "inner", "condition": "cracked", "presence": "present", "span": [0, 4],
        "confidence": 0.91, "from": "remark-1", "id": "remark-1-entry-1", "struck": False, "mended": False,
    }  # fmt: skip
    assert (sized["value"], sized["si"], sized["said"], sized["unit"]) == (7.2, 0.0072, "seven point two mil", "mm")


def test_a_remark_leads_to_its_second_and_to_what_was_heard() -> None:
    heard, typed = log_json(make_full_log())["remarks"]
    assert (heard["second"], heard["seconds"], heard["person"], heard["recording"]) == (1.5, 2.5, "Maren", "sound-1")
    assert heard["changes"] == [[[0, 4], [0, 5], "slip"]]
    assert datetime.fromisoformat(heard["at"]) == MORNING
    assert (typed["second"], typed["at"], typed["recording"]) == (None, None, None)


def test_a_part_leads_to_its_entries_and_photos() -> None:
    written = log_json(make_full_log())
    cracked, sized = (e["id"] for e in written["remarks"][0]["entries"])
    assert [(p["component"], p["position"], p["order"], p["entries"], p["photos"]) for p in written["parts"]] == [
        ("drum", "inner", None, [cracked], ["photo-1"]),
        ("drum", None, None, [sized], ["photo-1"]),
    ]


def test_a_photo_names_every_remark_and_its_first_link() -> None:
    linked, loose = log_json(make_full_log())["photos"]
    assert (linked["remark"], linked["remarks"], linked["how"], linked["confidence"]) == (
        "remark-1", ["remark-1", "remark-2"], "cue", 0.9,
    )  # fmt: skip
    assert (loose["remark"], loose["remarks"], loose["how"], loose["confidence"], loose["taken"]) == (
        None,
        [],
        None,
        None,
        None,
    )


def test_a_conflict_of_a_mend_is_shown() -> None:
    (mend,) = log_json(make_full_log())["mends"]
    assert (mend["remark"], mend["kind"], mend["action"], mend["field"]) == ("remark-1", "finding", "set", "condition")
    assert (json.loads(mend["old"]), json.loads(mend["new"]), mend["conflict"]) == ("bent", "cracked", "now worn")
