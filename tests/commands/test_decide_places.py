"""Deciding, places, labels and handing over, from the command line as a mechanic does it."""

from __future__ import annotations

import io
import json
import math
import random
import sqlite3
from pathlib import Path

import pytest
from PIL import Image, ImageEnhance, ImageFilter

from notebook.archive.store import Archive
from tests.conftest import Teardown

SAID = """Outer bearing is pitted, replace it.
Brake lining is 1.2 mm, limit is 2, replace it.
Wire rope is frayed.
Springs are in bag 7, shims in bag 4.
Ratchet wheel is cracked.
Scratch that last one.
Told the owner it'd be ready by Friday.
"""


@pytest.fixture
def job(teardown: Teardown, tmp_path: Path) -> Teardown:
    (tmp_path / "said.txt").write_text(SAID)
    assert teardown("new", "31", "--machine", "forestry winch").status == 0
    assert teardown("add", "31", tmp_path / "said.txt", "--person", "Maren").status == 0
    return teardown


def say(job: Teardown, tmp_path: Path, number: str, words: str, person: str = "Idris") -> None:
    path = tmp_path / f"{abs(hash(words))}.txt"
    path.write_text(words + "\n")
    assert job("add", number, path, "--person", person).status == 0


def states(job: Teardown) -> dict[str, str]:
    return {p["part"]: p["state"] for p in json.loads(job("decide", "31", "--json").out)["parts"]}


def test_what_is_found_is_advised_then_decided_and_the_papers_follow(job: Teardown, tmp_path: Path) -> None:
    assert states(job) == {"bearing (outer)": "advised", "brake lining": "advised", "wire rope": "found"}
    assert "Nothing to order" in job("order", "31", "--to", tmp_path / "out").out
    said = job("decide", "31", "outer bearing", "--approved", "--person", "Maren", "--at", "2026-03-05")
    assert said.out == "bearing (outer): approved by the owner, 5 March 2026, noted by Maren\n"
    assert job("decide", "31", "brake lining", "--declined", "--note", "no money").status == 0
    ordered = job("order", "31", "--to", tmp_path / "out").out
    assert "Bearing (outer): pitted  [approved by the owner, 5 March 2026, noted by Maren]" in ordered
    assert "lining" not in ordered.lower()
    job("report", "31", "--to", tmp_path / "out")
    page = next((tmp_path / "out").glob("*report.html")).read_text()
    declined = page.index("Declined, and it matters for safety")
    assert declined < page.index("no money")
    assert "it can hurt somebody" in page
    log = job("log", "31").out
    assert "brake lining: declined by the owner" in log
    assert "to be replaced" in log


def test_a_spoken_word_of_the_owner_is_a_decision_and_lasts_over_a_reread(job: Teardown, tmp_path: Path) -> None:
    say(job, tmp_path, "31", "He wants the bearings done.")
    assert states(job)["bearing (outer)"] == "approved"
    assert job("reread", "31").status == 0
    assert states(job)["bearing (outer)"] == "approved"
    say(job, tmp_path, "31", "Scratch that last one.")
    assert states(job)["bearing (outer)"] == "advised"


def test_two_people_who_decide_differently_are_both_kept_and_shown(job: Teardown, tmp_path: Path) -> None:
    job("decide", "31", "outer bearing", "--approved", "--person", "Maren", "--at", "2026-03-05")
    job("decide", "31", "outer bearing", "--declined", "--person", "Idris", "--at", "2026-03-06")
    assert states(job)["bearing (outer)"] == "differ"
    shown = job("decide", "31").out
    assert (
        "approved by the owner, 5 March 2026, noted by Maren and declined by the owner, 6 March 2026, noted by Idris"
        in shown
    )
    assert "bearing (outer): approved (owner) and declined (owner)" in job("gaps", "31").out
    assert "Nothing to order" in job("order", "31", "--to", tmp_path / "out").out
    job("decide", "31", "outer bearing", "--approved", "--settle", "--person", "Idris", "--at", "2026-03-07")
    assert states(job)["bearing (outer)"] == "approved"
    with sqlite3.connect(tmp_path / "shop" / "archive.db") as db:
        assert db.execute("SELECT count(*) FROM decision").fetchone() == (3,)


def test_bad_decisions_are_answered_in_one_line(job: Teardown) -> None:
    for asked, words in (
        (("ratchet wheel", "--approved"), "was struck out (remark 5)"),
        (("gearbox", "--approved"), "There is no gearbox in job 31"),
        (("outer bearing",), "Name the part and what was decided"),
        (("outer bearing", "--approved", "--action", "polish"), "is nothing that is done"),
    ):
        answer = job("decide", "31", *asked)
        assert answer.status in (1, 2), asked
        assert words in answer.err
        assert answer.err.count("\n") == 1


def test_decisions_travel_in_a_share_and_two_benches_keep_both(job: Teardown, tmp_path: Path) -> None:
    job("decide", "31", "outer bearing", "--approved", "--person", "Maren", "--at", "2026-03-05")
    assert job("share", "export", tmp_path / "share.zip", "31").status == 0
    other = ("--shop", str(tmp_path / "other"))
    assert job("share", "import", tmp_path / "share.zip", *other).status == 0
    job("decide", "31", "outer bearing", "--declined", "--person", "Idris", "--at", "2026-03-06", *other)
    assert job("share", "export", tmp_path / "back.zip", "31", *other).status == 0
    assert job("share", "import", tmp_path / "back.zip").status == 0
    assert states(job)["bearing (outer)"] == "differ"


def test_a_place_is_live_over_all_open_jobs(job: Teardown, tmp_path: Path) -> None:
    def inside() -> dict[str, list[str]]:
        return {p["place"]: [t["thing"] for t in p["things"]] for p in json.loads(job("places", "--json").out or "[]")}

    assert inside() == {"bag 4": ["shims"], "bag 7": ["springs"]}
    job("new", "32", "--machine", "pump")
    say(job, tmp_path, "32", "Valve is in bag 7.")
    assert "bag 7 holds things of jobs 31 and 32" in job("places", "bag 7").out
    assert "bag 7 holds things of jobs 31 and 32" in job("gaps", "31").out
    say(job, tmp_path, "31", "Moved the springs from bag 7 to bag 9.")
    assert inside() == {"bag 4": ["shims"], "bag 7": ["valve"], "bag 9": ["spring"]}
    assert job("places", "bag 4", "--emptied").status == 0
    assert "bag 4" not in inside()
    say(job, tmp_path, "31", "Used bag 9 again for the pawl.")
    assert inside()["bag 9"] == ["pawl"]
    job("close", "32")
    assert "bag 7" not in inside()
    answer = job("places", "bag 99")
    assert answer.status == 1
    assert answer.err == "teardown: No open job has anything in bag 99. There is something in: bag 9.\n"


def photographed(page: Image.Image, seed: int) -> Image.Image:
    """Give a page as a hand-held camera sees it: turned, from aside, a little blurred, dim, grainy, as JPEG."""
    dice = random.Random(seed)
    width, height = page.size
    page = page.rotate(dice.uniform(-12, 12), expand=True, fillcolor=(90, 80, 70), resample=Image.Resampling.BICUBIC)
    wide, tall = page.size
    aside = [dice.uniform(0, 0.06) for _ in range(8)]
    corners = (
        -aside[0] * wide, -aside[1] * tall, -aside[2] * wide, tall * (1 + aside[3]),
        wide * (1 + aside[4]), tall * (1 + aside[5]), wide * (1 + aside[6]), -aside[7] * tall,
    )  # fmt: skip
    page = page.transform((wide, tall), Image.Transform.QUAD, corners, Image.Resampling.BICUBIC, fillcolor=(90, 80, 70))
    page = ImageEnhance.Brightness(page).enhance(dice.uniform(0.55, 0.9)).filter(ImageFilter.GaussianBlur(width / 900))
    grain = Image.effect_noise(page.size, 24).convert("RGB")
    page = Image.blend(page, grain, 0.12)
    out = io.BytesIO()
    page.save(out, "JPEG", quality=70)
    assert math.isclose(width / height, 210 / 297, rel_tol=0.02)
    return Image.open(out)


@pytest.mark.parametrize("seed", range(4))
def test_a_photographed_label_is_read_and_links_the_photo_to_its_place(
    seed: int, job: Teardown, tmp_path: Path
) -> None:
    """The sheet as set by typst, drawn, distorted with Pillow and read back by zxing-cpp."""
    zxingcpp = pytest.importorskip("zxingcpp")
    from notebook.documents.labels_sheet import make_labels
    from notebook.documents.make_pdf import make_pages
    from notebook.log.places import follow_places
    from notebook.photos.labels import picture_label, write_label

    assert job("labels", "31", "--to", tmp_path).status == 0
    assert (tmp_path / "31-labels.pdf").read_bytes().startswith(b"%PDF")
    assert "Bag 7\nJob 31\nforestry winch\nsprings\nTEARDOWN PLACE " in (tmp_path / "31-labels.txt").read_text()
    with Archive(tmp_path / "shop") as archive:
        (stored,) = archive.find_jobs("31")
        places = follow_places([archive.load_log(stored)])
    sheet = make_labels(stored, [(p, write_label(stored.id, p.name)) for p in places])
    pictures = {label.file: picture_label(stored.id, label.place) for label in sheet.labels}
    (drawn,) = make_pages("labels", sheet, pictures, {}, paper="a4", day=stored.opened, dots_per_inch=200)
    page = Image.open(io.BytesIO(drawn)).convert("RGB")
    taken = photographed(page, seed)
    read = {code.text for code in zxingcpp.read_barcodes(taken)}
    assert read == {label.says for label in sheet.labels}
    bag = photographed(
        page.crop((page.width // 3, 0, page.width * 2 // 3, page.height // 8)).resize((1240, 1754)), seed
    )
    bag.save(tmp_path / "bag.jpg", quality=80)
    assert job("add", "31", tmp_path / "bag.jpg").status == 0
    log = json.loads(job("log", "31", "--json").out)
    (photo,) = log["photos"]
    assert photo["how"] == "label"
    assert next(r["text"] for r in log["remarks"] if r["id"] == photo["remark"]).startswith("Springs are in bag 7")


def test_a_label_for_a_place_that_holds_nothing_is_answered(job: Teardown, tmp_path: Path) -> None:
    answer = job("labels", "31", "bag 99", "--to", tmp_path)
    assert answer.status == 1
    assert answer.err == "teardown: Nothing of job 31 is in bag 99. Its places are: bag 4, bag 7.\n"


def test_two_sittings_make_one_log_and_who_said_what_stays(job: Teardown, tmp_path: Path) -> None:
    say(job, tmp_path, "31", "Drum's off.")
    log = job("log", "31").out
    assert "Idris, Maren" in log.splitlines()[0]
    assert "frayed  [remark 3, Maren]" in log
    assert "removed  [remark 8, Idris]" in log


def test_where_it_was_left_takes_at_most_ten_lines(job: Teardown, tmp_path: Path) -> None:
    say(job, tmp_path, "31", "Drum's off.")
    job("decide", "31", "outer bearing", "--approved", "--person", "Maren")
    lines = job("log", "31", "--left").out.splitlines()
    assert len(lines) <= 10
    told = "\n".join(lines)
    for words in (
        "8 remarks in 2 sittings (Maren 7, Idris 1)", 'Last said: "Drum\'s off." (Idris', "Came off last: drum",
        "\"Told the owner it'd be ready by Friday\" (Maren, remark 7)", "Approved: bearing (outer).", "Waits for the owner: brake lining, wire rope.",
        "Not said yet: ", "In: bag 4 (shims), bag 7 (springs)",
    ):  # fmt: skip
        assert words in told, words


def test_a_wider_name_is_every_such_part_with_work_and_no_other_kind(job: Teardown, tmp_path: Path) -> None:
    say(
        job,
        tmp_path,
        "31",
        "Pinion is chipped, replace it. Drum gear is chipped, replace it. Inner bearing is fine.",
        "Maren",
    )
    say(job, tmp_path, "31", "Owner wants the gears done, and the bearings, but he'll leave the hub.")
    found = states(job)
    assert found["drum gear"] == "approved"
    assert found["pinion"] == "advised"
    assert found["bearing (outer)"] == "approved"
    assert "bearing (inner)" not in found


def test_a_decision_about_a_part_without_work_is_not_lost(job: Teardown, tmp_path: Path) -> None:
    say(job, tmp_path, "31", "He wants the piston done.")
    assert "piston: approved, and nothing was found or advised on such a part  [remark 8]" in job("gaps", "31").out
