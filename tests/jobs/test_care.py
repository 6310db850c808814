"""A backup is whole or refused; a check finds what is lost; a forgotten job is gone to the last byte; an export holds it all."""

from __future__ import annotations

import csv
import json
import random
import sqlite3
import threading
import zipfile
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image

from notebook.archive.care import find_damage, find_stale
from notebook.errors import NotebookError
from notebook.history.ask import answer_question
from notebook.jobs.backing_up import look_into_backup, make_backup, restore_backup
from notebook.jobs.checking import check_shop, make_again
from notebook.jobs.exporting import TABLES, export_jobs, export_tables
from notebook.jobs.forgetting import forget_job, still_held_in
from notebook.jobs.opening import open_archive, open_job
from notebook.shop import open_shop
from tests.conftest import Teardown
from tests.jobs.bench import OPENED, Bench, open_bench

NOW = datetime(2026, 3, 5, 18, 0, tzinfo=UTC)
SECRET = ["Zanzibar spring is broken.", "Quokka pawl measures 7.3 mm.", "Wombat shims are in bag nine."]


@pytest.fixture
def bench(tmp_path: Path) -> Iterator[Bench]:
    with open_bench(tmp_path) as opened:
        picture = tmp_path / "one.jpg"
        Image.new("RGB", (64, 48), (200, 30, 30)).save(picture)
        opened.say("Return spring is broken.", "Drum is not cracked.", "=2+2 is on the label.")
        opened.take(picture)
        yield opened


def other_job(bench: Bench, tmp_path: Path) -> Bench:
    job = open_job(bench.archive, bench.shop, number="77", machine="okapi press", plate="ZZ-9", opened=OPENED)
    other = Bench(shop=bench.shop, archive=bench.archive, job=job)
    other.say(*SECRET, name="secret.txt")
    picture = tmp_path / "secret.png"
    Image.new("RGB", (32, 32), (1, 2, 3)).save(picture)
    other.take(picture)
    return other


def tree(folder: Path) -> dict[str, bytes]:
    return {
        p.relative_to(folder).as_posix(): p.read_bytes()
        for p in sorted(folder.rglob("*"))
        if p.is_file() and not p.name.startswith("archive.db")
    }


def rows_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    db = sqlite3.connect(path)
    names = [
        n
        for (n,) in db.execute("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'remark_words%'")
    ]
    found = {n: sorted(db.execute(f"SELECT * FROM {n}").fetchall(), key=repr) for n in names if n != "backup"}
    db.close()
    return found


# --- backup and restore ------------------------------------------------------------------------------------


def test_a_backup_put_back_is_the_shop_again(bench: Bench, tmp_path: Path) -> None:
    made = make_backup(bench.archive, bench.shop, tmp_path / "b", NOW)
    assert made.problems == ()
    back = tmp_path / "back"
    assert restore_backup(made.path, back) == made.file_count
    assert tree(back) == tree(bench.shop.folder)
    assert rows_of(back / "archive.db") == rows_of(bench.shop.folder / "archive.db")
    with open_archive(open_shop(back)) as archive:
        assert answer_question(archive, "broken springs").jobs == (bench.job.number,)
        assert check_shop(archive, open_shop(back)).is_whole


def test_any_unzip_program_reads_a_backup(bench: Bench, tmp_path: Path) -> None:
    made = make_backup(bench.archive, bench.shop, tmp_path / "b.zip", NOW)
    with zipfile.ZipFile(made.path) as box:
        assert box.testzip() is None
        assert {"archive.db", "contents.json", "shop.toml"} <= set(box.namelist())
    assert look_into_backup(made.path)["made"] == NOW.isoformat()


def test_one_wrong_byte_anywhere_or_a_cut_is_refused_whole(bench: Bench, tmp_path: Path) -> None:
    whole = make_backup(bench.archive, bench.shop, tmp_path / "b.zip", NOW).path.read_bytes()
    chance = random.Random(5)
    places = [
        0,
        10,
        len(whole) // 2,
        len(whole) - 65,
        len(whole) - 64,
        len(whole) - 1,
        *(chance.randrange(len(whole)) for _ in range(40)),
    ]
    spoiled = [whole[:at] + bytes([whole[at] ^ (1 << chance.randrange(8))]) + whole[at + 1 :] for at in places]
    spoiled += [whole[:-1], whole[: len(whole) // 2], whole[:64], b"", whole + b"x"]
    for n, wrong in enumerate(spoiled):
        file, back = tmp_path / f"wrong{n}.zip", tmp_path / f"back{n}"
        file.write_bytes(wrong)
        with pytest.raises(NotebookError, match="no whole backup"):
            restore_backup(file, back)
        assert not back.exists()
        assert not list(tmp_path.glob(".back*"))


def test_nothing_is_put_over_a_shop_that_is_there(bench: Bench, tmp_path: Path) -> None:
    made = make_backup(bench.archive, bench.shop, tmp_path / "b.zip", NOW)
    before = tree(bench.shop.folder)
    with pytest.raises(NotebookError, match="not empty"):
        restore_backup(made.path, bench.shop.folder)
    with pytest.raises(NotebookError, match="there already"):
        make_backup(bench.archive, bench.shop, made.path, NOW)
    assert tree(bench.shop.folder) == before


def test_a_backup_is_whole_while_others_write(bench: Bench, tmp_path: Path) -> None:
    done = threading.Event()
    wrong: list[BaseException] = []

    def write() -> None:
        try:
            with open_archive(bench.shop) as archive:
                own = Bench(shop=bench.shop, archive=archive, job=bench.job)
                n = 0
                while not done.is_set() or n < 3:
                    own.say(f"Hub {n} is worn.", name=f"w{n}.txt")
                    n += 1
        except BaseException as error:
            wrong.append(error)

    writer = threading.Thread(target=write)
    writer.start()
    try:
        made = [make_backup(bench.archive, bench.shop, tmp_path / f"b{n}.zip", NOW) for n in range(3)]
    finally:
        done.set()
        writer.join()
    assert not wrong
    for n, one in enumerate(made):
        restore_backup(one.path, tmp_path / f"back{n}")
        with open_archive(open_shop(tmp_path / f"back{n}")) as archive:
            assert find_damage(archive) == []
            assert find_stale(archive) == []


def test_a_picture_that_has_changed_is_told_when_backed_up(bench: Bench, tmp_path: Path) -> None:
    (photo,) = (p for p in bench.shop.folder.glob("jobs/*/photos/*.jpg") if not p.name.endswith(".small.jpg"))
    photo.chmod(0o600)
    photo.write_bytes(photo.read_bytes()[:-1] + b"!")
    made = make_backup(bench.archive, bench.shop, tmp_path / "b.zip", NOW)
    assert ["bytes have changed" in str(p) for p in made.problems] == [True]


# --- check -------------------------------------------------------------------------------------------------


def test_a_whole_shop_is_whole(bench: Bench) -> None:
    checked = check_shop(bench.archive, bench.shop)
    assert (checked.is_whole, checked.strays, checked.again) == (True, (), ())
    assert checked.file_count == 2


def test_check_tells_what_is_gone_what_has_changed_and_what_lies_about(bench: Bench) -> None:
    photos = bench.shop.job_folder(bench.job.id) / "photos"
    small = next(photos.glob("*.small.jpg"))
    large = next(p for p in photos.glob("*.jpg") if p != small)
    small.unlink()
    large.chmod(0o600)
    large.write_bytes(b"other")
    (photos / "stray.jpg").write_bytes(b"x")
    (bench.shop.folder / "jobs" / "nobody").mkdir()
    checked = check_shop(bench.archive, bench.shop)
    assert not checked.is_whole
    assert [large.name in line for line in checked.changed] == [True]
    assert [small.name in line for line in checked.again] == [True]
    assert sorted(line.split("/")[-1] for line in checked.strays) == ["nobody (no such job)", "stray.jpg"]
    large.unlink()
    assert [large.name in line for line in check_shop(bench.archive, bench.shop).missing] == [True]


def test_what_was_laid_out_wrongly_is_found_and_made_again(bench: Bench) -> None:
    db = bench.archive.db
    db.execute("DELETE FROM told WHERE what = 'broken'")
    db.execute("INSERT INTO remark_words(remark_words) VALUES ('delete-all')")
    db.conn.commit()
    assert find_stale(bench.archive) == ["the index of words", "the entries laid out for asking"]
    assert answer_question(bench.archive, "broken springs").jobs == ()
    make_again(bench.archive)
    assert find_stale(bench.archive) == []
    assert answer_question(bench.archive, "broken springs").jobs == (bench.job.number,)
    assert answer_question(bench.archive, "label").jobs == (bench.job.number,)


# --- forget ------------------------------------------------------------------------------------------------


def test_a_forgotten_job_is_gone_to_the_last_byte_and_its_backups_are_named(bench: Bench, tmp_path: Path) -> None:
    other = other_job(bench, tmp_path)
    early = make_backup(bench.archive, bench.shop, tmp_path / "early.zip", NOW)
    folder = bench.shop.job_folder(other.job.id)
    assert folder.exists()
    needles = [w.lower().encode() for w in ("zanzibar", "quokka", "wombat", "okapi", "ZZ-9", other.job.id)]
    assert all(any(n in data for data in files(bench)) for n in needles)
    held = still_held_in(bench.archive, other.job)
    assert [(h.backup.path, h.is_there) for h in held] == [(str(early.path.resolve()), True)]
    kept = bench.log()
    forget_job(bench.archive, bench.shop, other.job)
    assert not folder.exists()
    for data in files(bench):
        assert [n for n in needles if n in data] == []
    assert bench.log() == kept
    assert bench.archive.find_jobs("77") == []
    assert answer_question(bench.archive, "quokka").jobs == ()
    assert answer_question(bench.archive, "broken springs").jobs == (bench.job.number,)
    assert check_shop(bench.archive, bench.shop).is_whole
    late = make_backup(bench.archive, bench.shop, tmp_path / "late.zip", NOW)
    restore_backup(late.path, tmp_path / "late")
    assert all(n not in (tmp_path / "late" / "archive.db").read_bytes().lower() for n in needles)


def files(bench: Bench) -> list[bytes]:
    """Give the bytes of the database and its journals."""
    return [p.read_bytes().lower() for p in bench.shop.folder.glob("archive.db*")]


def test_forget_asks_for_the_number(teardown: Teardown, tmp_path: Path) -> None:
    said = tmp_path / "said.txt"
    said.write_text("Return spring is broken.\n", "utf-8")
    teardown("new", "5", "--machine", "winch")
    teardown("add", "5", said)
    kept = teardown("forget", "5", say="yes\n")
    assert (kept.status, "nothing was forgotten" in kept.err) == (2, True)
    assert teardown("log", "5").status == 0
    backup = teardown("backup", tmp_path / "b.zip")
    assert backup.status == 0
    gone = teardown("forget", "5", say="5\n")
    assert (gone.status, "forgotten" in gone.out, "b.zip" in gone.out) == (0, True, True)
    assert teardown("log", "5").status == 1
    assert teardown("forget", "5", "--yes").status == 1


# --- export and the command line ---------------------------------------------------------------------------


def test_an_export_holds_every_row_and_no_formula(bench: Bench, tmp_path: Path) -> None:
    written = export_tables(bench.archive, tmp_path / "csv")
    assert set(written) == set(TABLES)
    with (tmp_path / "csv" / "findings.csv").open(encoding="utf-8", newline="") as file:
        found = list(csv.DictReader(file))
    assert [(r["component"], r["found"]) for r in found] == [("return spring", "broken"), ("drum", "not cracked")]
    with (tmp_path / "csv" / "remarks.csv").open(encoding="utf-8", newline="") as file:
        assert [r["words"] for r in csv.DictReader(file)][2].startswith("'=2+2")
    export_jobs(bench.archive, tmp_path / "json")
    (job,) = map(json.loads, (tmp_path / "json" / "jobs.jsonl").read_text("utf-8").splitlines())
    assert len(job["remarks"]) == 3
    with pytest.raises(NotebookError, match="not empty"):
        export_tables(bench.archive, tmp_path / "csv")


def test_the_commands_back_up_restore_and_check(teardown: Teardown, tmp_path: Path) -> None:
    said = tmp_path / "said.txt"
    said.write_text("Return spring is broken.\n", "utf-8")
    teardown("new", "5", "--machine", "winch")
    teardown("add", "5", said)
    assert teardown("backup", tmp_path / "b.zip").status == 0
    assert teardown("check").status == 0
    assert teardown("check", "--make-again", "--json").json["whole"] is True
    back = teardown("restore", tmp_path / "b.zip", "--shop", tmp_path / "back")
    assert back.status == 0
    assert teardown("find", "broken spring", "--shop", tmp_path / "back", "--json").json["jobs"] == ["5"]
    assert teardown("restore", tmp_path / "none.zip", "--shop", tmp_path / "n").status == 3
    assert teardown("restore", tmp_path / "b.zip", "--shop", tmp_path / "back").status == 2
    assert teardown("export", tmp_path / "out").status == 0
    assert teardown("find", "broken spring", "--play", "1").status == 1
    assert teardown("find", "broken spring", "--open", "9").status == 1
