"""Cards with years of pictures, twins, a folder that is watched, links by hand, the sync card, the phone page."""

from __future__ import annotations

import http.client
import threading
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from notebook.archive.store import Archive
from notebook.errors import NotebookError, Problem
from notebook.jobs.dropping import open_drop_for
from notebook.jobs.intake import take_in
from notebook.jobs.opening import find_job, open_archive, open_job
from notebook.jobs.pictures import watch_pictures
from notebook.jobs.pictures_out import contact_sheet, find_photo, link_photo_by_hand, original_path
from notebook.jobs.watching import watch_folder
from notebook.nouns import Job, Photo
from notebook.photos.card import picture_code, write_card
from notebook.shop import Shop, open_shop
from tests.photos.pictures import draw_noise, make_exif, save_picture

MORNING = datetime(2026, 3, 4, 9, 0, tzinfo=UTC)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return open_shop(tmp_path / "shop")


@pytest.fixture
def archive(shop: Shop) -> Iterator[Archive]:
    with open_archive(shop) as opened:
        yield opened


@pytest.fixture
def job(archive: Archive, shop: Shop, tmp_path: Path) -> Job:
    made = open_job(archive, shop, number="7", machine="winch", opened=MORNING)
    words = tmp_path / "said.jsonl"
    words.write_text(
        '{"at": "2026-03-04T09:10:00+00:00", "seconds": 4, "text": "The pawl is chipped. Photo."}\n'
        '{"at": "2026-03-04T09:20:00+00:00", "seconds": 4, "text": "The drum is scored."}\n'
    )
    take_in(archive, shop, made, [words])
    return made


def picture(path: Path, at: datetime, seed: int = 1, camera: str = "Box") -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    exif = make_exif(original=f"{at:%Y:%m:%d %H:%M:%S}", offset="+00:00", camera={0x0110: camera})
    return save_picture(path, draw_noise(24, 16, seed), exif)


def test_of_a_card_only_the_days_of_the_job_are_taken_and_that_is_told(archive: Archive, shop: Shop, job: Job, tmp_path: Path) -> None:  # fmt: skip
    card = tmp_path / "card"
    for n in range(12):
        picture(card / "DCIM" / "100BOX" / f"OLD{n}.JPG", MORNING - timedelta(days=30 * (n + 1)), n)
    picture(card / "DCIM" / "101BOX" / "NEW.JPG", MORNING + timedelta(minutes=11), 99)
    intake = take_in(archive, shop, job, [card])
    assert (intake.photos, intake.known_photos) == (1, 0)
    (told,) = [p for p in intake.problems if p.about == "card"]
    assert told.message.startswith("12 of its 13 pictures are of other days")
    assert "--all-days" in told.remedy
    assert take_in(archive, shop, job, [card], all_days=True).photos == 12


def test_a_small_folder_is_taken_whole_whatever_its_days(archive: Archive, shop: Shop, job: Job, tmp_path: Path) -> None:  # fmt: skip
    for n in range(3):
        picture(tmp_path / "pictures" / f"p{n}.jpg", MORNING - timedelta(days=400), n)
    assert take_in(archive, shop, job, [tmp_path / "pictures"]).photos == 3


def test_twins_under_any_name_are_taken_once(archive: Archive, shop: Shop, job: Job, tmp_path: Path) -> None:
    one = picture(tmp_path / "a" / "p.jpg", MORNING)
    two = tmp_path / "b" / "q.JPG"
    two.parent.mkdir()
    two.write_bytes(one.read_bytes())
    intake = take_in(archive, shop, job, [one, two])
    assert (intake.photos, intake.known_photos) == (1, 1)
    kept = original_path(archive.load_log(job), archive.load_log(job).photos[0])
    assert kept.read_bytes() == one.read_bytes()


def test_a_picture_of_the_sync_card_sets_the_clock(archive: Archive, shop: Shop, job: Job, tmp_path: Path) -> None:
    """One cue would never do; with the card the offset is known, and the picture finds its remark."""
    ahead = timedelta(hours=3, minutes=7)
    card = tmp_path / "card.jpg"
    exif = make_exif(original=f"{MORNING + ahead:%Y:%m:%d %H:%M:%S}", offset="+00:00", camera={0x0110: "Box"})
    picture_code(write_card(MORNING)).convert("RGB").save(card, exif=exif)
    shot = picture(tmp_path / "shot.jpg", MORNING + timedelta(minutes=10, seconds=7) + ahead)
    log = take_in(archive, shop, job, [card, shot]).log
    assert log is not None
    by_name = {p.name: p for p in log.photos}
    assert by_name["card.jpg"].card_shown == MORNING
    (link,) = log.links
    assert (link.photo_id, link.remark_id, link.how) == (by_name["shot.jpg"].id, log.remarks[0].id, "cue")
    assert link.confidence > 0.5


def test_what_is_said_by_hand_wins_for_ever(archive: Archive, shop: Shop, job: Job, tmp_path: Path) -> None:
    shot = picture(tmp_path / "shot.jpg", MORNING + timedelta(minutes=10, seconds=7))
    log = take_in(archive, shop, job, [shot]).log
    assert log is not None
    photo = find_photo(log, "shot.jpg")
    assert [k.remark_id for k in log.links] == [log.remarks[0].id]
    link_photo_by_hand(archive, shop, job, photo, ("2",), loose=False, free=False)
    more = picture(tmp_path / "more.jpg", MORNING + timedelta(minutes=20, seconds=9), 2)
    log = take_in(archive, shop, job, [more]).log
    assert log is not None
    assert [(k.remark_id, k.how) for k in log.links if k.photo_id == photo.id] == [(log.remarks[1].id, "hand")]
    log = link_photo_by_hand(archive, shop, job, photo, (), loose=True, free=False)
    assert [k for k in log.links if k.photo_id == photo.id] == []
    log = link_photo_by_hand(archive, shop, job, photo, (), loose=False, free=True)
    assert [k.remark_id for k in log.links if k.photo_id == photo.id] == [log.remarks[0].id]


def test_a_watched_folder_gives_whole_files_and_lets_half_copied_ones_wait(tmp_path: Path) -> None:
    """The half is completed only once the whole one was given, and comes then."""
    folder = tmp_path / "inbox"
    folder.mkdir()
    content = picture(tmp_path / "p.jpg", MORNING).read_bytes()
    (folder / "whole.jpg").write_bytes(content)
    (folder / "half.jpg").write_bytes(content[: len(content) // 2])
    (folder / "notes.txt").write_text("no picture")
    calls = iter(range(400))
    batches = watch_pictures(folder, lambda: next(calls) == 399, settle_s=0.05, walk_s=0.05)
    assert [p.name for p in next(batches)] == ["whole.jpg"]
    (folder / "half.jpg").write_bytes(content + b"\0")
    deep = folder / "new" / "deep"
    deep.mkdir(parents=True)
    assert [p.name for p in next(batches)] == ["half.jpg"]
    (deep / "later.jpg").write_bytes(content)
    assert [p.name for p in next(batches)] == ["later.jpg"]
    batches.close()


def test_watching_takes_in_and_links(archive: Archive, shop: Shop, job: Job, tmp_path: Path) -> None:
    folder = tmp_path / "inbox"
    picture(folder / "shot.jpg", MORNING + timedelta(minutes=10, seconds=7))
    (folder / "bad.jpg").write_bytes(b"\xff\xd8\xff rubbish \xff\xd9")
    told: list[Photo | Problem] = []
    count = watch_folder(shop, "7", folder, stop=lambda: len(told) >= 2, tell=told.append)
    assert count == 1
    assert sorted(t.name if isinstance(t, Photo) else Path(t.about).name for t in told) == ["bad.jpg", "shot.jpg"]
    assert len(archive.load_log(job).links) == 1
    with pytest.raises(NotebookError):
        watch_folder(shop, "7", tmp_path / "nowhere")


def test_a_picture_from_the_phone_page_is_stored_and_linked(shop: Shop, archive: Archive, job: Job, tmp_path: Path) -> None:  # fmt: skip
    log_lines: list[str] = []
    server, _ = open_drop_for(shop, job, host="127.0.0.1", log=log_lines.append)
    serving = threading.Thread(target=server.run)
    serving.start()
    try:
        content = picture(tmp_path / "p.jpg", MORNING + timedelta(minutes=10, seconds=7)).read_bytes()
        for said in ("In the job", "It is in the job already"):
            connection = http.client.HTTPConnection("127.0.0.1", server.address.port, timeout=30)
            connection.request(
                "POST", "/photo", content, {"X-Drop-Token": server.address.token, "X-File-Name": "p.jpg"}
            )
            assert said in connection.getresponse().read().decode()
            connection.close()
    finally:
        server.stop()
        serving.join(20)
    log = archive.load_log(find_job(archive, "7"))
    assert [p.name for p in log.photos] == ["p.jpg"]
    assert [k.remark_id for k in log.links] == [log.remarks[0].id]
    assert not list((shop.job_folder(job.id) / "photos").glob(".*"))
    assert log_lines == []


def test_the_contact_sheet_of_a_job(archive: Archive, shop: Shop, job: Job, tmp_path: Path) -> None:
    with pytest.raises(NotebookError):
        contact_sheet(archive.load_log(job), tmp_path / "c.pdf")
    log = take_in(archive, shop, job, [picture(tmp_path / "p.jpg", MORNING)]).log
    assert log is not None
    assert contact_sheet(log, tmp_path / "c.pdf") == [tmp_path / "c.pdf"]
    with pytest.raises(NotebookError, match="no photo"):
        find_photo(log, "other.jpg")
