"""Copies that may leave the shop, marks on them, and contact sheets."""

from __future__ import annotations

import shutil
import subprocess
from hashlib import sha256
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from notebook.errors import NotebookError
from notebook.photos.look import (
    MARK_COLOUR,
    PictureMark,
    SheetPicture,
    copy_without_position,
    make_contact_sheet,
    read_place,
    save_contact_sheet,
)
from tests.photos.pictures import draw_corners, make_exif, save_picture


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("0.4,0.6", (0.4, 0.6)), ("40%, 60%", (0.4, 0.6)), ("top left", (0.2, 0.2)), ("the lower right", (0.8, 0.8)),
        ("middle", (0.5, 0.5)), ("left", (0.2, 0.5)), ("bottom", (0.5, 0.8)),
    ],
)  # fmt: skip
def test_a_place_in_words_or_numbers(said: str, place: tuple[float, float]) -> None:
    assert read_place(said) == pytest.approx(place)


@pytest.mark.parametrize("said", ["", "1.2,0.5", "over there", "left of nowhere", "0.4", "-1,0.5"])
def test_what_is_no_place_is_told(said: str) -> None:
    with pytest.raises(NotebookError) as told:
        read_place(said)
    assert told.value.exit_status == 2


@pytest.mark.parametrize("suffix", [".jpg", ".png", ".webp", ".heic"])
def test_a_copy_says_nothing_of_where_it_was_taken_and_the_original_stays(tmp_path: Path, suffix: str) -> None:
    """Looked at with exiftool: no GPS tag, nothing but the picture."""
    exif = make_exif(original="2026:03:04 09:12:00", camera={0x010F: "Acme"}, position=True)
    path = save_picture(tmp_path / f"p{suffix}", draw_corners(), exif)
    before = sha256(path.read_bytes()).digest()
    copy = tmp_path / "copy.jpg"
    copy.write_bytes(copy_without_position(path, [PictureMark(shape="ring", x=0.5, y=0.5)]))
    assert sha256(path.read_bytes()).digest() == before
    with Image.open(copy) as opened:
        assert len(opened.getexif()) == 0
    if shutil.which("exiftool"):
        told = subprocess.run(["exiftool", "-a", "-G1", str(copy)], capture_output=True, text=True, check=True).stdout
        assert "GPS" not in told
        assert "Acme" not in told
    kept = copy_without_position(path, keep_position=True)
    assert dict(Image.open(BytesIO(kept)).getexif().get_ifd(0x8825))


@pytest.mark.parametrize("shape", ["ring", "arrow"])
def test_a_mark_is_where_it_was_asked_for(tmp_path: Path, shape: str) -> None:
    path = save_picture(tmp_path / "p.png", draw_corners(800, 600))
    mark = PictureMark(shape="ring" if shape == "ring" else "arrow", x=0.75, y=0.25)
    marked = np.array(Image.open(BytesIO(copy_without_position(path, [mark]))).convert("RGB")).astype(int)
    down, across = np.nonzero((abs(marked - np.array(MARK_COLOUR)) < 40).all(axis=2))
    yellow = [(int(x), int(y)) for x, y in zip(across, down, strict=True)]
    assert len(yellow) > 300
    middle = sum(x for x, _ in yellow) / len(yellow), sum(y for _, y in yellow) / len(yellow)
    if shape == "ring":
        assert middle == pytest.approx((600, 150), abs=4)
    else:  # the tip is at the place, the shaft comes from where there is room
        assert min((x - 600) ** 2 + (y - 150) ** 2 for x, y in yellow) < 200
        assert middle[0] < 600
        assert middle[1] > 150


def test_a_turned_picture_is_copied_upright(tmp_path: Path) -> None:
    exif = make_exif()
    exif[0x0112] = 6
    path = save_picture(tmp_path / "p.jpg", draw_corners(320, 200), exif)
    assert Image.open(BytesIO(copy_without_position(path))).size == (200, 320)


def test_a_contact_sheet_has_every_picture_and_its_pages(tmp_path: Path) -> None:
    small = save_picture(tmp_path / "s.jpg", draw_corners(640, 480))
    pictures = [
        SheetPicture(thumbnail=small if n else tmp_path / "gone.jpg", name=f"p{n}.jpg", lines=("brake band", "a" * 400))
        for n in range(14)
    ]
    pages = make_contact_sheet("Job 1", pictures)
    assert len(pages) == 2
    assert save_contact_sheet(pages, tmp_path / "c.jpg") == [tmp_path / "c-1.jpg", tmp_path / "c-2.jpg"]
    save_contact_sheet(pages, tmp_path / "c.pdf")
    content = (tmp_path / "c.pdf").read_bytes()
    assert content.startswith(b"%PDF")
    assert content.count(b"/Type /Page\n") + content.count(b"/Type /Page ") + content.count(b"/Type /Page/") == 2
    with pytest.raises(NotebookError):
        save_contact_sheet(pages, tmp_path / "c.gif")
