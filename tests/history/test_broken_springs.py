"""Which jobs had broken springs: asked over the invented earlier jobs, through the command line.

The truth is `demo_session/earlier/earlier.toml`, written beside the remarks and before the reader.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import EARLIER, Answered, earlier_jobs, run_teardown

QUESTION = "which jobs had broken springs"
JOBS = {job["number"]: job for job in earlier_jobs()}
BROKEN = [number for number, job in JOBS.items() if job["broken_springs"]]
WHOLE = [number for number, job in JOBS.items() if not job["broken_springs"]]


def ask(shop: Path, *question: str) -> Answered:
    return run_teardown("find", *question, "--json", shop=shop)


def test_the_truth_has_both_kinds_of_job() -> None:
    assert len(BROKEN) >= 3
    assert len(WHOLE) >= 5
    assert sorted(JOBS) == sorted(p.stem for p in EARLIER.glob("*.txt"))


@pytest.mark.parametrize("number", BROKEN)
def test_a_job_with_a_broken_spring_is_a_hit(earlier_shop: Path, number: str) -> None:
    assert number in ask(earlier_shop, QUESTION).json["jobs"], JOBS[number]["why"]


@pytest.mark.parametrize("number", WHOLE)
def test_a_job_whose_springs_were_not_broken_is_never_a_hit(earlier_shop: Path, number: str) -> None:
    answer = ask(earlier_shop, QUESTION).json
    assert number not in answer["jobs"], JOBS[number]["why"]
    assert number not in [hit["job"] for hit in answer["hits"]], JOBS[number]["why"]


@pytest.mark.parametrize(
    "question",
    [
        "Which jobs had broken springs?",
        "broken springs",
        "what machines had a broken spring",
        "show me the ones with broken springs",
        "BROKEN SPRINGS",
        "did any job have a broken spring",
    ],
)
def test_the_question_may_be_put_in_other_words(earlier_shop: Path, question: str) -> None:
    answer = ask(earlier_shop, question).json
    assert answer["jobs"] == ask(earlier_shop, QUESTION).json["jobs"]


def test_the_answer_counts_the_jobs_and_says_which(earlier_shop: Path) -> None:
    answer = ask(earlier_shop, QUESTION)
    assert answer.status == 0
    found = answer.json
    assert (found["count"], found["of"]) == (len(found["jobs"]), len(JOBS))
    assert found["answer"].startswith(f"{len(found['jobs'])} of {len(JOBS)} jobs: ")
    assert all(number in found["answer"] for number in found["jobs"])
    assert found["asked"] == "spring, broken"


def test_every_hit_leads_to_its_words(earlier_shop: Path) -> None:
    found = ask(earlier_shop, QUESTION).json
    assert found["jobs"] == list(dict.fromkeys(hit["job"] for hit in found["hits"]))
    assert [hit["date"] for hit in found["hits"]] == sorted((hit["date"] for hit in found["hits"]), reverse=True)
    for hit in found["hits"]:
        job = JOBS[hit["job"]]
        assert (hit["machine"], hit["date"]) == (job["machine"], job["opened"].isoformat())
        assert hit["text"] in (EARLIER / f"{hit['job']}.txt").read_text("utf-8").splitlines()
        assert "spring" in hit["text"]
        assert (hit["photo"], hit["second"]) == (None, None)
        assert (hit["entry"]["kind"], hit["entry"]["condition"], hit["entry"]["presence"]) == (
            "finding",
            "broken",
            "present",
        )
        log = run_teardown("log", hit["job"], "--json", shop=earlier_shop).json
        (remark,) = [r for r in log["remarks"] if r["id"] == hit["remark"]]
        assert hit["entry"]["id"] in [e["id"] for e in remark["entries"]]


def test_the_answer_in_words_names_job_machine_date_and_remark(earlier_shop: Path) -> None:
    answer = run_teardown("find", QUESTION, shop=earlier_shop)
    assert answer.out.splitlines()[0] == "Asked: spring, broken"
    for number in ask(earlier_shop, QUESTION).json["jobs"]:
        lines = [line for line in answer.out.splitlines() if line.startswith(f"  {number}  ")]
        assert lines
        for line in lines:
            assert f"{JOBS[number]['machine']}  {JOBS[number]['opened']}" in line
            assert "[remark " in line


def test_a_question_of_the_other_kind_gets_none_of_the_broken(earlier_shop: Path) -> None:
    """A job that said its springs are not broken may answer this; one that said they are must not by that remark."""
    for hit in ask(earlier_shop, "which springs were not broken").json["hits"]:
        assert hit["entry"]["presence"] == "absent"


def test_what_no_job_had_is_nothing_found_and_still_has_every_field(earlier_shop: Path) -> None:
    answer = ask(earlier_shop, "which jobs had a rusty flywheel")
    assert answer.status == 1
    assert answer.json["hits"] == answer.json["jobs"] == []
    assert (answer.json["count"], answer.json["of"]) == (0, len(JOBS))
    assert set(answer.json) >= {"asked", "answer", "count", "of", "hits", "jobs"}
