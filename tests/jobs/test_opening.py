"""A job number is only a label: whatever is typed, a job is opened under it or one line says why not, and no path is made of it."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from notebook.errors import COULD_NOT, NOTHING_FOUND, WRONG_USE, NotebookError
from notebook.jobs.opening import LONGEST_NUMBER, find_job, open_archive, open_job
from notebook.shop import open_shop
from tests.jobs.bench import OPENED, Bench, is_one_line, open_bench, rows_of, try_it

TAKEN = ["2042", "'; DROP TABLE job; --", '"quoted"', "../../etc/passwd", "/etc/passwd", "C:\\NUL", "a/b\\c", "%s %d {0}", "--help", "Ærø 7", "  7 ", "x" * LONGEST_NUMBER, "NULL", "\U0001f527"]  # fmt: skip
REFUSED = [
    "",
    "   ",
    "\n",
    "a\nb",
    "a\tb",
    "a\0b",
    "\x1b[31m",
    "\u202e12",
    "x" * (LONGEST_NUMBER + 1),
    "\ud800",
    "\u2028",
]


def files_of(folder: Path) -> set[str]:
    return {str(p.relative_to(folder)) for p in folder.rglob("*") if "archive.db" not in p.name}


@pytest.mark.parametrize("number", TAKEN)
def test_a_strange_number_is_a_label_like_any_other(tmp_path: Path, number: str) -> None:
    with open_bench(tmp_path) as bench:
        before = files_of(tmp_path)
        job = open_job(bench.archive, bench.shop, number=number, machine="winch", opened=OPENED)
        new = files_of(tmp_path) - before
        assert new == {f"shop/jobs/{job.id}{rest}" for rest in ("", "/sound", "/photos")}
        assert find_job(bench.archive, number.strip()) == find_job(bench.archive, job.id) == job
        assert {j.number for j in bench.archive.all_jobs()} == {"2041", number.strip()}


@pytest.mark.parametrize("number", REFUSED)
def test_what_is_no_number_is_refused_in_one_line(tmp_path: Path, number: str) -> None:
    with open_bench(tmp_path) as bench:
        before, files = rows_of(bench.shop.folder), files_of(tmp_path)
        with pytest.raises(NotebookError) as told:
            open_job(bench.archive, bench.shop, number=number, machine="winch", opened=OPENED)
        assert (told.value.exit_status, is_one_line(str(told.value))) == (WRONG_USE, True)
        assert "nothing was opened" in told.value.message
        assert (rows_of(bench.shop.folder), files_of(tmp_path)) == (before, files)


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Bench:
    with open_bench(tmp_path_factory.mktemp("numbers")) as opened:
        shop, job = opened.shop, opened.job
    return Bench(shop=shop, archive=open_archive(shop), job=job)


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.text(), st.text())
def test_any_number_and_machine_is_taken_or_refused(bench: Bench, number: str, machine: str) -> None:
    job = try_it(lambda: open_job(bench.archive, bench.shop, number=number, machine=machine, opened=OPENED))
    if isinstance(job, NotebookError):
        assert job.exit_status == WRONG_USE
        assert is_one_line(str(job))
    else:
        assert find_job(bench.archive, job.number) == job
        assert is_one_line(job.number + job.machine.kind)


@pytest.mark.parametrize("number", ["2041", " 2041 ", "id"])
def test_a_number_in_use_is_refused(tmp_path: Path, number: str) -> None:
    with open_bench(tmp_path) as bench:
        with pytest.raises(NotebookError, match="already a job") as told:
            open_job(
                bench.archive,
                bench.shop,
                number=bench.job.id if number == "id" else number,
                machine="mixer",
                opened=OPENED,
            )
        assert told.value.exit_status == WRONG_USE
        assert bench.archive.all_jobs() == [bench.job]


@pytest.mark.parametrize("machine", ["", "  ", "\n"])
def test_a_machine_has_a_name(tmp_path: Path, machine: str) -> None:
    with open_bench(tmp_path) as bench, pytest.raises(NotebookError, match="nothing was opened") as told:
        open_job(bench.archive, bench.shop, number="7", machine=machine, opened=OPENED)
    assert told.value.exit_status == WRONG_USE


@pytest.mark.parametrize("plate", [None, "", "  "])
def test_two_machines_without_a_plate_are_two(tmp_path: Path, plate: str | None) -> None:
    with open_bench(tmp_path) as bench:
        jobs = [
            open_job(bench.archive, bench.shop, number=n, machine=n, plate=plate, opened=OPENED)
            for n in ("mixer", "winch")
        ]
        assert [find_job(bench.archive, n).machine.kind for n in ("mixer", "winch")] == ["mixer", "winch"]
        assert jobs[0].machine.id != jobs[1].machine.id


def test_one_plate_is_one_machine_over_the_years(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench:
        first, second = (
            open_job(bench.archive, bench.shop, number=n, machine="mixer", plate=p, opened=OPENED)
            for n, p in (("1", "MX-3"), ("2", " MX-3 "))
        )
        assert first.machine == second.machine


def test_a_job_that_is_not_there_names_those_that_are(tmp_path: Path) -> None:
    with open_bench(tmp_path) as bench, pytest.raises(NotebookError) as told:
        find_job(bench.archive, "9\x1b[31m")
    assert told.value.exit_status == NOTHING_FOUND
    assert "2041" in told.value.remedy
    assert is_one_line(str(told.value))


def test_several_jobs_of_one_number_are_told_apart(tmp_path: Path) -> None:
    from dataclasses import replace

    with open_bench(tmp_path) as bench:
        bench.archive.add_job(replace(bench.job, id="another", opened=OPENED + timedelta(days=2)))
        with pytest.raises(NotebookError) as told:
            find_job(bench.archive, "2041")
        assert told.value.exit_status == WRONG_USE
        assert "another" in told.value.remedy
        assert bench.job.id in told.value.remedy
        assert find_job(bench.archive, bench.job.id) == bench.job


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ('zone = "Mars/Base"', "time zone"),
        ('zone = "America"', "time zone"),
        ('zone = "../../etc/passwd"', "time zone"),
        ("zone = ", "cannot be read"),
        ('habit = "cubits"', "cubits"),
        ("keep_sound_days = -1", "-1"),
        ('keep_sound_days = "many"', "many"),
        ("\xff", "cannot be read"),
    ],
)
def test_settings_that_cannot_be_are_told_and_left(tmp_path: Path, text: str, says: str) -> None:
    open_shop(tmp_path)
    (tmp_path / "shop.toml").write_bytes(text.encode("latin-1"))
    with pytest.raises(NotebookError) as told:
        open_shop(tmp_path)
    assert says in told.value.message
    assert (told.value.exit_status, is_one_line(str(told.value)), bool(told.value.remedy)) == (COULD_NOT, True, True)
    assert (tmp_path / "shop.toml").read_bytes() == text.encode("latin-1")


def test_what_a_person_wrote_into_the_shop_stays(tmp_path: Path) -> None:
    open_shop(tmp_path)
    (tmp_path / "shop.toml").write_text('zone = "Europe/Oslo"\nhabit = "inch"\nkeep_sound_days = 30\n', "utf-8")
    (tmp_path / "vocabulary.toml").write_text("# mine\n", "utf-8")
    shop = open_shop(tmp_path)
    assert (shop.settings.zone, shop.settings.habit, shop.settings.keep_sound_days) == ("Europe/Oslo", "inch", 30)
    assert (tmp_path / "vocabulary.toml").read_text("utf-8") == "# mine\n"


def test_a_file_in_the_place_of_the_shop_is_told(tmp_path: Path) -> None:
    (tmp_path / "shop\n").write_text("not a folder")
    with pytest.raises(NotebookError) as told:
        open_shop(tmp_path / "shop\n")
    assert (told.value.exit_status, is_one_line(str(told.value))) == (COULD_NOT, True)
    assert "nothing was changed" in told.value.message
