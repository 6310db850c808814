"""What is made again keeps what lasts: mends, ids, links by hand, and the order in which things were said."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given

from notebook.archive.store import Archive
from notebook.entries import KINDS, Entry, Finding, Step, entry_from_json
from notebook.log.parts import gather_parts
from notebook.nouns import Link, Log
from tests.archive.test_store import entries_of_any_kind
from tests.conftest import Teardown, make_job, make_link, make_mend, make_photo, make_remark

JOB = make_job()
CRACKED = Finding(component="drum", condition="cracked")
WORN = Finding(component="gear", condition="worn")
OFF = Step(action="removed", component="drum")


def test_replacing_what_is_derived_keeps_the_mends_and_notes_their_conflicts(stocked: Archive) -> None:
    remark = make_remark("Drum is cracked.", CRACKED)
    stocked.add_remark(JOB.id, remark, source_key="1")
    fits = make_mend(
        remark, "set", remark.entries[0], field="condition", old="cracked", new="bent", person="Maren", at_s=1.5
    )
    other = make_mend(remark, "text", new="Drum is bent.", old="Drum is cracked.", minute=1)
    for mend in (fits, other):
        stocked.add_mend(JOB.id, mend)
    judged = replace(fits, conflict="no finding is read here any more")
    stocked.replace_derived(JOB.id, [replace(remark, entries=())], [], {}, [judged, other], "reader-2")
    assert stocked.load_log(JOB).mends == (judged, other)
    stocked.replace_derived(JOB.id, [remark], [], {}, [fits, other], "reader-2")
    assert stocked.load_log(JOB).mends == (fits, other)


def test_links_made_by_hand_stay_and_win(stocked: Archive) -> None:
    first, second = make_remark("Photo."), make_remark("Another.", order=2)
    photo, loose = make_photo(), make_photo("IMG_2.jpg", photo_id="photo-2")
    for remark in (first, second):
        stocked.add_remark(JOB.id, remark, source_key=remark.id)
    for taken in (photo, loose):
        stocked.add_photo(JOB.id, taken, taken.name, taken.name)
    by_hand = Link(photo_id=photo.id, remark_id=second.id, how="hand", confidence=1.0)
    stocked.replace_links(JOB.id, [by_hand])
    stocked.replace_links(JOB.id, [make_link(photo, first), make_link(loose, first)])
    assert stocked.load_log(JOB).links == (by_hand, make_link(loose, first))
    stocked.replace_links(JOB.id, [])
    assert stocked.load_log(JOB).links == (by_hand,)


def test_parts_come_back_as_they_were_gathered(stocked: Archive) -> None:
    """In the order said, whatever the ids; and a photo of a remark is one of every part spoken of in it."""
    remarks = [
        replace(make_remark("Drum and gear.", CRACKED, WORN, OFF), id="zz"),
        replace(make_remark("Both again.", replace(WORN, id="b1"), replace(CRACKED, id="b2"), order=2), id="aa"),
        replace(make_remark("Gear.", replace(WORN, id="c1"), order=3), id="mm"),
    ]
    photo = make_photo()
    for remark in remarks:
        stocked.add_remark(JOB.id, remark, source_key=remark.id)
    stocked.add_photo(JOB.id, photo, "a", "b")
    links = [make_link(photo, remarks[0])]
    stocked.replace_links(JOB.id, links)
    parts, part_of = gather_parts(JOB.id, remarks, links, lambda _: None)
    stocked.replace_derived(JOB.id, remarks, parts, part_of, [], "reader-1")
    log = stocked.load_log(JOB)
    assert log.parts == tuple(parts)
    assert log.remarks == tuple(remarks)
    assert [p.photo_ids for p in log.parts] == [(photo.id,), (photo.id,)]


def ids_of(log: Log) -> tuple[list[str], list[str | None], list[str], list[str]]:
    entries = [e.id for r in log.remarks for e in r.entries]
    return [r.id for r in log.remarks], entries, [p.id for p in log.parts], [p.id for p in log.photos]


def test_ids_last_over_a_reread(teardown: Teardown, tmp_path: Path) -> None:
    said = tmp_path / "said.txt"
    said.write_text("Drum bearing is cracked.\nGear is worn.\nGear is worn.\nGuard is off.\n")
    teardown("new", "2041", "--machine", "winch")
    teardown("add", "2041", said)
    with Archive(tmp_path / "shop") as archive:
        (job,) = archive.find_jobs("2041")
        before = ids_of(archive.load_log(job))
        assert teardown("reread", "2041").status == 0
        assert teardown("reread", "--all").status == 0
        assert ids_of(archive.load_log(job)) == before
    assert all(before[:3])
    assert len(set(before[1])) == len(before[1])


@given(entries_of_any_kind())
def test_an_entry_comes_back_from_its_json(entry: Entry) -> None:
    assert entry_from_json(entry.to_json()) == entry


@pytest.mark.parametrize("kind", KINDS)
def test_an_entry_of_every_kind_leaves_out_what_was_not_said(kind: str) -> None:
    needed = {"condition": "worn", "action": "removed", "text": "x", "name": "x", "place": "x", "scope": "value"}
    needed |= {"state": "approved"} if kind == "decision" else {}
    entry = entry_from_json({"kind": kind, **needed, "from": "3", "a field of a later version": 1})
    written = entry.to_json()
    assert written["kind"] == kind
    assert written["from"] == "3"
    assert None not in written.values()
    assert not {"struck", "mended", "id", "a field of a later version"} & set(written)


def test_words_of_ten_thousand_characters_are_looked_for(stocked: Archive) -> None:
    from notebook.archive.search import find_words

    long = "gear" * 2500
    stocked.add_remark(JOB.id, make_remark(f"The {long} is worn."), source_key="1")
    assert [hit.remark_id for hit in find_words(stocked, [long, "worn"])] == ["remark-1"]
    assert find_words(stocked, [long + "s" * 10_000]) == []
    assert [hit.remark_id for hit in find_words(stocked, ["worn"] * 5000)] == ["remark-1"]
