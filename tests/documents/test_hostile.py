"""What was said is printed as said; nothing in it drives a terminal, a page or a program that reads the JSON."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from notebook.documents.log_json import log_json
from notebook.documents.log_text import log_markdown, log_text
from notebook.entries import Caution, Finding, Step, Storage, entry_from_json
from notebook.nouns import Job, Link, Log, Machine, Mend
from tests.documents.logs import EVERYDAY, JOB, OPENED, make_log, make_photo
from tests.jobs.bench import HOSTILE, TERMINAL

SPEAKABLE = {name: text for name, text in HOSTILE.items() if not TERMINAL.search(text)}


def log_of(text: str) -> Log:
    """Make a log with a text in every place that holds words from outside."""
    entries = (
        Finding(component=text, position=text, condition=text, doubt=text), Step(component=text, action="removed", off=text),
        Caution(topic=text, text=text), Storage(place=text, contents=(text,)), Finding(condition=text),
    )  # fmt: skip
    job = Job(
        id="j", number=text, machine=Machine(id="m", kind=text, plate=text), reading=text, owner_ref=text, opened=OPENED
    )
    mend = Mend(id="m", remark_id="r1", kind="finding", entry_id=None, action="set", made=OPENED, conflict=text)
    photos = (make_photo(text), make_photo(text, "p2"))
    log = make_log(
        (text, entries),
        job=job,
        mends=(mend,),
        photos=photos,
        links=(Link(photo_id="p1", remark_id="r1", how="cue", confidence=1),),
    )
    sittings = tuple(replace(s, person=text) for s in log.sittings)
    return replace(log, remarks=(replace(log.remarks[0], doubt=text),), sittings=sittings)


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_nothing_that_was_said_drives_a_terminal(text: str) -> None:
    for written in (log_text(log_of(text), with_ids=True), log_markdown(log_of(text))):
        assert not TERMINAL.search(written)
        assert len(written.splitlines()) == len(
            log_text(log_of("x"), with_ids=True).splitlines()
        ) or written.startswith("#")


@pytest.mark.parametrize("text", SPEAKABLE.values(), ids=SPEAKABLE)
def test_text_that_drives_nothing_is_printed_as_said(text: str) -> None:
    written = log_text(log_of(text))
    assert written.count(text) >= 15
    assert f"  {text}: perhaps" not in written


def test_letters_of_all_scripts_and_joined_pictures_stay_whole() -> None:
    said = "\u05e9\u05c1 \u200fright\u200e \u0928\u094d\u200d\u0928 \U0001f468\u200d\U0001f527 \u2764\ufe0f \u00e9 e\u0301 \u4e2d"
    assert said in log_text(log_of(said))


def rendered(markdown: str) -> str:
    """Give the words of a page as a reader of CommonMark with tables and strike-through sees them."""
    words = []
    for token in MarkdownIt("gfm-like", {"linkify": False}).parse(markdown):
        for inline in token.children or ():
            assert inline.type in ("text", "text_special", "code_inline"), (inline.type, token.content)
            words.append(inline.content)
        words.append("\n")
        assert token.type.split("_")[0] in ("heading", "bullet", "list", "paragraph", "inline"), token
    return "".join(words)


@pytest.mark.parametrize("text", SPEAKABLE.values(), ids=SPEAKABLE)
def test_markdown_shows_what_was_said_and_takes_none_of_it_for_its_own(text: str) -> None:
    assert rendered(log_markdown(log_of(text))).count(text) >= 15


_WORDS = st.text(st.sampled_from("ab1 .-+*_`~#|<>&[](){}\\!:/=\"'"), min_size=1, max_size=20)


@settings(max_examples=50, deadline=None)
@given(_WORDS)
def test_markdown_shows_any_signs_as_said(text: str) -> None:
    log = make_log((text, (Caution(topic=None, text=text), Finding(component=f"hub {text}", condition="cracked"))))
    shown = rendered(log_markdown(log))
    assert shown.count(text.strip()) >= 3


@settings(max_examples=50, deadline=None)
@given(st.text(max_size=30))
def test_no_text_at_all_drives_a_terminal(text: str) -> None:
    for written in (log_text(log_of(text)), log_markdown(log_of(text))):
        assert not TERMINAL.search(written)
        assert {c for c in written if not c.isprintable()} <= set("\n\u200c\u200d\u200e\u200f\u00ad\u061c\u2060")


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_json_holds_exactly_what_was_said(text: str) -> None:
    written = json.loads(json.dumps(log_json(log_of(text))))
    (remark,) = written["remarks"]
    assert (remark["text"], remark["heard"], remark["doubt"]) == (text, text, text)
    assert (written["job"]["number"], written["photos"][0]["name"], written["mends"][0]["conflict"]) == (
        text,
        text,
        text,
    )
    assert (remark["entries"][0]["condition"], written["parts"][0]["component"]) == (text, text)


def test_json_of_an_everyday_job() -> None:
    log = make_log(
        *EVERYDAY,
        photos=(make_photo("a.jpg"),),
        links=(Link(photo_id="p1", remark_id="r3", how="cue", confidence=0.9),),
    )
    written = json.loads(json.dumps(log_json(log), allow_nan=False))
    assert set(written) == {
        "cautions",
        "job",
        "sittings",
        "recordings",
        "remarks",
        "parts",
        "photos",
        "mends",
        "decisions",
    }
    assert written["job"] | {"closed": None} == {
        "id": "job-1", "number": "2041", "machine": "winch", "plate": "ST-118", "owner_ref": None, "reading": "1860 h", "opened": "2026-03-04T08:30:00+00:00",
        "closed": None,
    }  # fmt: skip
    for given_remark, remark in zip(log.remarks, written["remarks"], strict=True):
        assert [replace(entry_from_json(e), id=e["id"]) for e in remark["entries"]] == list(given_remark.entries)
    struck = [e["id"] for r in written["remarks"] for e in r["entries"] if e["struck"]]
    assert struck == [log.remarks[3].entries[0].id]
    assert [(p["component"], p["order"]) for p in written["parts"][:3]] == [("guard", 1), ("drum", 2), ("hub", None)]
    assert written["photos"][0] | {"sha256": ""} == {
        "id": "p1", "name": "a.jpg", "sha256": "", "taken": "2026-03-04T08:30:00+00:00", "taken_how": "camera", "camera": "none", "remark": "r3",
        "remarks": ["r3"], "how": "cue", "confidence": 0.9,
    }  # fmt: skip
    assert JOB.number == written["job"]["number"]
