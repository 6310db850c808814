"""A question over all jobs is answered by what was found on each: not by what was denied, guessed, told of another job or taken back."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from notebook.archive.store import Archive
from notebook.history.ask import Answer, answer_json, answer_question
from notebook.jobs.mending import mend_entry
from notebook.jobs.opening import open_job
from tests.jobs.bench import OPENED, Bench, is_one_line, open_bench

JOBS = {
    "broken": ["Pedal spring is broken."],
    "snapped": ["Return spring has snapped in two."],
    "two of four": ["Two of the four return springs are broken."],
    "denied": ["No broken springs in this one.", "The springs are not broken.", "None of the return springs is broken."],
    "doubted": ["The return spring might be broken."],
    "told": ["The last one I did had a broken spring."],
    "usual": ["The springs often break on these."],
    "asked": ["Is the spring broken?"],
    "taken back": ["Return spring is broken.", "Scratch that last one."],
    "struck by hand": ["Return spring is broken."],
    "another part": ["Hub is broken."],
    "another fault": ["Return spring is bent."],
    "good": ["All four springs are fine."],
    "words": ["Kettle is on the shelf, 3/8 spanner beside it.", "OR NEAR AND NOT \"quoted\" hand-made."],
    "moved": ["Springs are in bag two.", "Shims are in tray nine."],
}  # fmt: skip


@pytest.fixture(scope="module")
def archive(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Archive]:
    with open_bench(tmp_path_factory.mktemp("history"), number="first") as first:
        for n, (number, remarks) in enumerate(JOBS.items()):
            job = open_job(first.archive, first.shop, number=number, machine="winch", opened=OPENED + timedelta(days=n))
            bench = Bench(shop=first.shop, archive=first.archive, job=job)
            bench.say(*remarks, name=f"{n}.txt")
            if number == "struck by hand":
                mend_entry(
                    bench.archive,
                    job,
                    bench.log().remarks[0],
                    None,
                    action="strike",
                    changes={},
                    person=None,
                    now=OPENED,
                    shop=bench.shop,
                )
        yield first.archive


def jobs_of(archive: Archive, question: str) -> set[str]:
    return set(answer_question(archive, question).jobs)


BROKEN = {"broken", "snapped", "two of four"}


@pytest.mark.parametrize(
    ("question", "jobs"),
    [
        ("which jobs had broken springs", BROKEN),
        ("Which jobs had broken springs?", BROKEN),
        ("broken springs", BROKEN),
        ("have we ever had a spring snap", BROKEN),
        ("broken return springs", BROKEN - {"broken"}),
        ("broken pedal springs", {"broken"}),
        ("springs not broken", {"denied"}),
        ("springs that might be broken", {"doubted"}),
        ("broken hubs", {"another part"}),
        ("bent springs", {"another fault"}),
        ("what was broken", BROKEN | {"another part"}),
        ("cracked springs", set()),
        ("broken gears", set()),
    ],
)
def test_who_is_a_hit(archive: Archive, question: str, jobs: set[str]) -> None:
    answer = answer_question(archive, question)
    assert set(answer.jobs) == jobs
    assert answer.count == len(jobs)
    assert answer.of == len(JOBS) + 1
    assert not answer.notes


@pytest.mark.parametrize(
    "number", ["denied", "doubted", "told", "usual", "asked", "taken back", "struck by hand", "good", "another fault"]
)
def test_who_is_no_hit(archive: Archive, number: str) -> None:
    assert "broken" in jobs_of(archive, "broken springs")
    assert number not in jobs_of(archive, "which jobs had broken springs")


def test_the_newest_job_stands_first_and_every_hit_shows_what_was_said(archive: Archive) -> None:
    answer = answer_question(archive, "broken springs")
    assert [h.job_number for h in answer.hits] == ["two of four", "snapped", "broken"]
    assert [h.text for h in answer.hits] == [JOBS[h.job_number][0] for h in answer.hits]
    assert answer.sentence == f"3 of {len(JOBS) + 1} jobs: two of four, snapped, broken."
    assert all(h.entry is not None and not h.entry.struck for h in answer.hits)


@pytest.mark.parametrize(
    ("question", "jobs"),
    [
        ("kettle", {"words"}),
        ("where is the kettle", {"words"}),
        ("3/8 beside", {"words"}),
        ("hand-made", {"words"}),
        ('"quoted"', {"words"}),
        ("OR NEAR", {"words"}),
    ],
)
def test_what_is_not_understood_is_looked_for_as_words_and_that_is_said(
    archive: Archive, question: str, jobs: set[str]
) -> None:
    answer = answer_question(archive, question)
    assert set(answer.jobs) == jobs
    assert any("as words" in note for note in answer.notes)
    assert answer.question.in_words().startswith("remarks with the words: ")


def test_a_part_without_any_finding_is_not_called_unknown(archive: Archive) -> None:
    answer = answer_question(archive, "shims")
    assert set(answer.jobs) == {"moved"}
    assert answer.notes == ("Looked for as words; no finding of a shim is on record.",)


def test_where_asks_for_the_place_that_was_said(archive: Archive) -> None:
    answer = answer_question(archive, "where are the shims")
    assert (answer.jobs, answer.notes) == (("moved",), ())
    assert answer.question.in_words() == "shim, where it was put; where"
    assert answer_question(archive, "what is in bag two").jobs == ("moved",)
    assert answer_question(archive, "what is in tray two").jobs == ()


def test_a_closer_name_that_no_list_holds_is_asked_for_first_and_a_wider_answer_says_so(archive: Archive) -> None:
    assert answer_question(archive, "broken pedal springs").notes == ()
    wider = answer_question(archive, "broken bonnet springs")
    assert set(wider.jobs) == BROKEN
    assert wider.notes == ("Nothing is on record of a bonnet spring; looked for any spring.",)


@pytest.mark.parametrize(
    "question", ["flux capacitor", "which jobs", "the", "?", "*", '"', "", "   ", "\0", "\x1b[31m", "\u202e"]
)
def test_nothing_found_is_said(archive: Archive, question: str) -> None:
    answer = answer_question(archive, question)
    assert (answer.hits, answer.jobs, answer.count) == ((), (), 0)
    assert is_one_line(answer.sentence)


def check(answer: Answer) -> None:
    assert is_one_line(answer.question.in_words())
    written = json.loads(json.dumps(answer_json(answer), allow_nan=False))
    assert set(written) == {"asked", "answer", "count", "of", "hits", "jobs", "notes"}
    assert written["jobs"] == list(dict.fromkeys(h["job"] for h in written["hits"]))


_SPOKEN = st.lists(
    st.sampled_from(
        "which broken springs not no 3/8 OR NEAR NOT ( ) * ^ \" ' - : hub weren't might and kettle".split()
    ),
    max_size=8,
)


@settings(max_examples=60, deadline=None)
@given(_SPOKEN.map(" ".join) | st.text())
@example("bore is 5 mm\u00b2")
@example("\u00b2")
def test_no_question_breaks_the_answer(archive: Archive, question: str) -> None:
    check(answer_question(archive, question))


def test_a_very_long_question_is_answered(archive: Archive) -> None:
    check(answer_question(archive, "broken springs " * 20_000))


def test_the_answer_follows_a_mend_and_a_reread(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.say("Return spring is bent.")
        assert jobs_of(bench.archive, "broken springs") == set()
        mend_entry(
            bench.archive,
            bench.job,
            bench.log().remarks[0],
            None,
            action="set",
            changes={"condition": "broken"},
            person="Maren",
            now=OPENED,
            shop=bench.shop,
        )
        assert jobs_of(bench.archive, "broken springs") == {"2041"}
        bench.reread()
        assert jobs_of(bench.archive, "broken springs") == {"2041"}
        assert jobs_of(bench.archive, "bent springs") == set()


@pytest.mark.parametrize(
    ("question", "line"),
    [
        ("broken springs on 30 February 2024", "No answer: there is no 30 February 2024. Give another date."),
        ("what did we replace in 2024-13-01", "No answer: there is no 2024-13-01. Give another date."),
        ("jobs between 2024 and 2019", "No answer: between 2024 and 2019 ends before it begins. Give another date."),
        ("the of and", "Nothing found (nothing to look for)."),
        ("\U0001f527\U0001f527", "Nothing found (nothing to look for)."),
        ("'; DROP TABLE job; --", "Nothing found (remarks with the words: drop table)."),
    ],
)
def test_what_cannot_be_answered_gets_one_clear_line(archive: Archive, question: str, line: str) -> None:
    answer = answer_question(archive, question, now=OPENED)
    assert (answer.sentence, answer.jobs) == (line, ())
    assert archive.find_jobs("broken")


@pytest.mark.parametrize(
    ("question", "understood"),
    [
        ("end float over five thou", "any part, end float, over 5 thou"),
        ("brake lining thinner than 2 mm", "brake lining, thickness, under 2 mm"),
        ("what did we replace on winches last year", "any part, replaced; machine winch, 2025-01-01 to 2025-12-31"),
        ("where did we meet 3/8 BSF", "fasteners, 3/8 BSF; where"),
        ("what is in bag seven", "what is in bag 7"),
        ("how often were pawls chipped", "pawl, chipped; how often"),
        ("when did we last have a winch in", "jobs; machine winch; when last"),
        ("jobs over 2,000 hours", "jobs; clock over 2000 hours"),
        ("springs we couldn't get a look at", "spring, not inspected"),
    ],
)
def test_it_says_how_the_question_was_understood(archive: Archive, question: str, understood: str) -> None:
    assert answer_question(archive, question, now=OPENED).question.in_words() == understood
