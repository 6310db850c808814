"""Words are found as they were tidied, and a word is a word: nothing that is looked for is run as a query."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from notebook.archive.search import find_findings, find_words
from notebook.archive.store import Archive
from notebook.entries import Finding
from notebook.nouns import Remark
from tests.archive.test_store import JOB, SITTING, make_remark, open_archive

TEXTS = {
    "thread": "The stud is 3/8 BSF, 20 tpi.",
    "hyphen": "A two-leg puller took the end-cap off.",
    "quote": 'Label says "do not open", the owner\'s words.',
    "or": "Either the spring or the pawl is near the end.",
    "near": "Near the hub, not on it, and nowhere else.",
    "spring": "Return springs are cracked.",
    "colon": "tidied: hub* ^drum",
    "accent": "Das Gehäuse ist gerissen, café side.",
    "emoji": "Hub is \U0001f468\u200d\U0001f527 fine.",
}


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Archive]:
    with open_archive(tmp_path_factory.mktemp("search")) as opened:
        for n, (name, text) in enumerate(TEXTS.items(), 1):
            opened.add_remark(JOB.id, make_remark(name, text, order=n), source_key=name)
        yield opened


def found(archive: Archive, *words: str) -> set[str]:
    return {hit.remark_id for hit in find_words(archive, words)}


@pytest.mark.parametrize(
    ("words", "names"),
    [
        (["3/8"], {"thread"}),
        (["3/8", "bsf"], {"thread"}),
        (["8/3"], set()),
        (["two-leg"], {"hyphen"}),
        (["leg-two"], set()),
        (['"do', "not", 'open"'], {"quote"}),
        (["owner's"], {"quote"}),
        (["OR"], {"or"}),
        (["spring", "OR", "hub"], set()),
        (["spring", "or", "pawl"], {"or"}),
        (["NEAR"], {"or", "near"}),
        (["NEAR(hub", "drum)"], set()),
        (["NOT", "hub"], {"near"}),
        (["hub", "NOT", "drum"], set()),
        (["AND"], {"near"}),
        (["spring"], {"or", "spring"}),
        (["springs", "crack"], {"spring"}),
        (["hu*"], set()),
        (["^drum"], {"colon"}),
        (["tidied:hub"], {"colon"}),
        (["tidied:spring"], set()),
        (["-hub"], {"near", "colon", "emoji"}),
        (["gehause"], {"accent"}),
        (["hub", "?"], {"near", "colon", "emoji"}),
        (["hub", "\U0001f468\u200d\U0001f527"], {"near", "colon", "emoji"}),
        (["?", "--", '"', "'", "*"], set()),
        ([], set()),
    ],
)
def test_words_are_looked_for_as_words(archive: Archive, words: list[str], names: set[str]) -> None:
    assert found(archive, *words) == names


_PIECES = [
    "OR",
    "NEAR/3",
    "NOT",
    "AND",
    '"',
    '""',
    "(",
    ")",
    "*",
    "^",
    ":",
    "-",
    "{",
    "}",
    "+",
    ",",
    "\0",
    "hub",
    "'",
    ";",
    "\ud800",
    "\u202e",
]


@settings(max_examples=50, deadline=None)
@given(st.lists(st.lists(st.sampled_from(_PIECES), max_size=4).map("".join) | st.text(), max_size=5))
def test_no_words_break_the_search(archive: Archive, words: list[str]) -> None:
    for hit in find_words(archive, words):
        assert hit.remark_id in TEXTS


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(TEXTS)), st.randoms(use_true_random=False))
def test_any_words_of_a_remark_find_it(archive: Archive, name: str, chance: st.DataObject) -> None:
    words = TEXTS[name].split()
    some = [w for w in words if chance.random() < 0.5]  # type: ignore[attr-defined]
    if any(c.isalnum() for w in some for c in w):
        assert name in found(archive, *some)


def sync_check(archive: Archive) -> None:
    """Let SQLite compare the index with the remarks; it raises where they differ."""
    archive.db.execute("INSERT INTO remark_words(remark_words, rank) VALUES ('integrity-check', 1)")


def test_the_index_follows_what_is_read_again_and_what_is_taken_out(tmp_path: Path) -> None:
    with open_archive(tmp_path) as archive:
        first, second = make_remark("a", "Hub is cracked."), make_remark("b", "Drum is fine.", order=2)
        for remark in (first, second):
            archive.add_remark(JOB.id, remark, source_key=remark.id)
        again = replace(first, tidied="Axle is 12 mm.")
        archive.replace_derived(JOB.id, [again, second], [], {}, [], "v2")
        assert (found(archive, "hub"), found(archive, "axle"), found(archive, "12"), found(archive, "drum")) == (
            set(),
            {"a"},
            {"a"},
            {"b"},
        )
        sync_check(archive)
        archive.db.execute("DELETE FROM remark WHERE id = 'a'")
        archive.db.conn.commit()
        assert (found(archive, "axle"), found(archive, "drum")) == (set(), {"b"})
        sync_check(archive)


def test_a_remark_that_was_not_stored_is_not_found(tmp_path: Path) -> None:
    with open_archive(tmp_path) as archive:
        archive.db.execute("CREATE TEMP TRIGGER stop AFTER INSERT ON main.entry BEGIN SELECT RAISE(ABORT, 'stop'); END")
        with pytest.raises(Exception, match="stop"):
            archive.add_remark(
                JOB.id, make_remark("a", entries=(Finding(component="hub", condition="cracked"),)), source_key="a"
            )
        assert found(archive, "hub") == set()
        sync_check(archive)


def test_findings_are_found_by_any_name_of_the_part_and_struck_ones_are_not(tmp_path: Path) -> None:
    finding = Finding(component="return spring", condition="broken", count=1, of=4)
    with open_archive(tmp_path) as archive:
        for n, entry in enumerate(
            [
                finding,
                replace(finding, struck=True),
                replace(finding, presence="absent"),
                replace(finding, condition="bent"),
            ]
        ):
            archive.add_remark(JOB.id, make_remark(f"r{n}", order=n + 1, entries=(entry,)), source_key=str(n))

        def hits(*names: str, conditions: tuple[str, ...] = ("broken",), presence: str = "present") -> list[str]:
            return [
                h.remark_id for h in find_findings(archive, names=names, conditions=conditions, presences=(presence,))
            ]

        assert hits("spring") == hits("return spring") == hits("hub", "spring") == ["r0"]
        assert hits("hub") == hits("sprin") == []
        assert hits("spring", presence="absent") == ["r2"]
        assert hits("spring", conditions=()) == ["r0", "r3"]
        (hit,) = find_findings(archive, names=["spring"], conditions=["broken"], presences=["present"])
        assert (hit.job_number, hit.machine, hit.opened, hit.second) == ("2041", "winch", JOB.opened, None)
        assert hit.entry == replace(finding, id="r0-e0")


def test_a_hit_tells_the_second_of_the_recording(tmp_path: Path) -> None:
    from notebook.nouns import Recording

    with open_archive(tmp_path) as archive:
        recording = Recording(
            sha256="s" * 64, name="a.ogg", rate_hz=48000, sample_count=0, started=None, started_how="not known"
        )
        archive.add_recording(JOB.id, SITTING.id, recording, None)
        heard: Remark = replace(make_remark("a"), recording_sha256="s" * 64, first_sample=72000, sample_count=10)
        archive.add_remark(JOB.id, heard, source_key="a")
        (hit,) = find_words(archive, ["cracked"])
        assert hit.second == 1.5
