"""Pictures are taken in with the right time, camera, size and thumbnail, and bad ones are told."""

from __future__ import annotations

import hashlib
import os
import struct
import subprocess
import sys
import textwrap
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image, PngImagePlugin

from notebook.errors import WRONG_USE, NotebookError, Problem
from notebook.photos.take import LARGEST_FILE_BYTES, Taken, take_photo

from .pictures import (
    BLUE,
    GREEN,
    RED,
    WHITE,
    Pixels,
    corner_colours,
    draw_corners,
    draw_noise,
    make_exif,
    picture_bytes,
    png_chunk,
    save_picture,
)

SUFFIXES = (".jpg", ".png", ".webp", ".heic")
FILE_CHANGED = datetime(2026, 3, 5, 18, 0, 0, 250000, tzinfo=UTC)


def taken(path: Path, zone: str = "UTC", now: datetime | None = None) -> Taken:
    result = take_photo(path, zone, now=now)
    assert isinstance(result, Taken), str(result)
    return result


def refused(path: Path) -> str:
    result = take_photo(path, "UTC")
    assert isinstance(result, Problem)
    said = str(result)
    assert "\n" not in said
    assert "Nothing was changed" in said
    assert result.remedy
    return said


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_time_has_fraction_and_offset_in_every_format(tmp_path: Path, suffix: str) -> None:
    exif = make_exif(original="2026:03:04 10:11:12", fraction="123456", offset="+01:00")
    found = taken(save_picture(tmp_path / f"a{suffix}", exif=exif), "America/New_York")
    assert found.taken == datetime(2026, 3, 4, 9, 11, 12, 123456, tzinfo=UTC)
    assert "+01:00" in found.taken_how
    assert "assumed" not in found.taken_how
    assert found.picture_format == {".jpg": "JPEG", ".png": "PNG", ".webp": "WEBP", ".heic": "HEIF"}[suffix]


@pytest.mark.parametrize(
    ("fraction", "microsecond"),
    [("5", 500_000), ("05", 50_000), ("07 ", 70_000), ("123456789", 123_456), ("", 0), ("  ", 0), ("abc", 0)],
)
def test_fraction_is_digits_after_the_point(tmp_path: Path, fraction: str, microsecond: int) -> None:
    exif = make_exif(original="2026:03:04 10:11:12", fraction=fraction, offset="+00:00")
    found = taken(save_picture(tmp_path / "a.jpg", exif=exif))
    assert found.taken == datetime(2026, 3, 4, 10, 11, 12, microsecond, tzinfo=UTC)


@pytest.mark.parametrize("offset", [None, "   :  ", "+99:00", "rubbish"])
def test_zone_of_the_job_is_assumed_and_told_without_an_offset(tmp_path: Path, offset: str | None) -> None:
    path = save_picture(tmp_path / "a.jpg", exif=make_exif(original="2026:07:04 10:11:12", offset=offset))
    found = taken(path, "Europe/London")
    assert found.taken == datetime(2026, 7, 4, 9, 11, 12, tzinfo=UTC)
    assert "zone Europe/London assumed" in found.taken_how


def test_an_hour_that_comes_twice_is_told(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg", exif=make_exif(original="2026:10:25 01:30:00"))
    assert "clocks change" in taken(path, "Europe/London").taken_how
    assert "clocks change" not in taken(path, "UTC").taken_how


def test_weaker_clocks_are_asked_in_turn(tmp_path: Path) -> None:
    digitized = {0x9004: "2026:03:04 11:00:00", 0x9292: "25", 0x9012: "+02:00"}
    changed = {0x0132: "2026:03:04 12:00:00"}
    path = tmp_path / "a.jpg"
    blank = "    :  :     :  :  "
    found = taken(save_picture(path, exif=make_exif(original=blank, more=digitized, camera=changed)))
    assert found.taken == datetime(2026, 3, 4, 9, 0, 0, 250_000, tzinfo=UTC)
    assert found.taken_how.startswith("DateTimeDigitized")
    found = taken(save_picture(path, exif=make_exif(more={0x9010: "-05:00", 0x9290: "5"}, camera=changed)))
    assert found.taken == datetime(2026, 3, 4, 17, 0, 0, 500_000, tzinfo=UTC)
    assert found.taken_how.startswith("DateTime,")
    save_picture(path)
    os.utime(path, (FILE_CHANGED.timestamp(), FILE_CHANGED.timestamp()))
    found = taken(path)
    assert found.taken == FILE_CHANGED
    assert found.taken_how == "time of change of the file"


@pytest.mark.parametrize(
    "said",
    [
        "0000:00:00 00:00:00",
        "1970:01:01 00:00:00",
        "2099:12:31 23:59:59",
        "2026:13:01 00:00:00",
        "2026:02:30 00:00:00",
        "2026:02:03 25:00:00",
        "0001:01:01 00:00:00",
        "9999:12:31 23:59:59",
        "last tuesday",
    ],
)
@pytest.mark.parametrize("offset", [None, "-12:00"])
def test_a_time_that_cannot_be_true_gives_none_and_says_why(tmp_path: Path, said: str, offset: str | None) -> None:
    exif = make_exif(original=said, offset=offset, camera={0x0132: "2026:03:04 12:00:00"})
    found = taken(save_picture(tmp_path / "a.jpg", exif=exif), "Pacific/Auckland")
    assert found.taken is None
    assert "cannot be true" in found.taken_how
    assert "DateTimeOriginal" in found.taken_how


def test_a_time_far_ahead_of_now_is_not_believed(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg", exif=make_exif(original="2026:03:07 12:00:00", offset="+00:00"))
    assert taken(path, now=datetime(2026, 3, 4, 9, tzinfo=UTC)).taken is None
    assert taken(path, now=datetime(2026, 3, 6, 11, tzinfo=UTC)).taken is not None


@pytest.mark.parametrize("changed_s", [0, 4_102_444_800])
def test_a_file_time_that_cannot_be_true_gives_none(tmp_path: Path, changed_s: int) -> None:
    path = save_picture(tmp_path / "a.jpg")
    os.utime(path, (changed_s, changed_s))
    found = taken(path)
    assert found.taken is None
    assert "cannot be true" in found.taken_how


def test_png_change_time_is_in_utc(tmp_path: Path) -> None:
    """PNG, third edition, 11.3.5: tIME is year (two bytes), month, day, hour, minute, second, in UTC."""
    path = save_picture(tmp_path / "a.png")
    whole = path.read_bytes()
    time = png_chunk(b"tIME", struct.pack(">H5B", 2026, 3, 4, 10, 11, 12))
    path.write_bytes(whole[:33] + time + whole[33:])
    found = taken(path, "Europe/Paris")
    assert found.taken == datetime(2026, 3, 4, 10, 11, 12, tzinfo=UTC)
    assert "tIME" in found.taken_how


@pytest.mark.parametrize(
    ("said", "hour"),
    [
        ("Wed, 04 Mar 2026 10:11:12 +0100", 9),  # RFC 1123, as the standard asks
        ("2026-03-04T10:11:12+01:00", 9),
        ("2026-03-04T10:11:12Z", 10),
        ("2026:03:04 10:11:12", 15),
    ],
)
@pytest.mark.parametrize("behind", [False, True])
def test_png_text_gives_the_time(tmp_path: Path, said: str, hour: int, behind: bool) -> None:
    path = tmp_path / "a.png"
    if behind:  # text may stand after the picture itself
        whole = save_picture(path).read_bytes()
        path.write_bytes(whole[:-12] + png_chunk(b"tEXt", b"Creation Time\0" + said.encode()) + whole[-12:])
    else:
        text = PngImagePlugin.PngInfo()
        text.add_text("Creation Time", said)
        save_picture(path, pnginfo=text)
    found = taken(path, "America/New_York")
    assert found.taken == datetime(2026, 3, 4, hour, 11, 12, tzinfo=UTC)


def test_png_exif_goes_before_its_text(tmp_path: Path) -> None:
    text = PngImagePlugin.PngInfo()
    text.add_text("Creation Time", "2020-01-01T00:00:00Z")
    exif = make_exif(original="2026:03:04 10:11:12", offset="+00:00")
    found = taken(save_picture(tmp_path / "a.png", exif=exif, pnginfo=text))
    assert found.taken == datetime(2026, 3, 4, 10, 11, 12, tzinfo=UTC)


def test_unknown_zone_is_told(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg")
    for zone in ("Mars/Crater", "Europe", "../etc", ""):
        with pytest.raises(NotebookError) as told:
            take_photo(path, zone)
        assert told.value.exit_status == WRONG_USE


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_camera_is_make_model_and_serial(tmp_path: Path, suffix: str) -> None:
    exif = make_exif(camera={0x010F: "Acme ", 0x0110: "Box 4"}, more={0xA431: "00123"})
    assert taken(save_picture(tmp_path / f"a{suffix}", exif=exif)).camera == "Acme Box 4 serial 00123"


def test_camera_without_a_name_is_its_folder(tmp_path: Path) -> None:
    folder = tmp_path / "DCIM" / "100SHOP"
    folder.mkdir(parents=True)
    assert taken(save_picture(folder / "a.jpg")).camera == "folder DCIM/100SHOP"
    exif = make_exif(camera={0x010F: "Acme", 0x0110: "ACME Box 4"})
    assert taken(save_picture(folder / "b.jpg", exif=exif)).camera == "ACME Box 4"
    exif = make_exif(camera={0x010F: "Ac\nme\x1b[2J", 0x0110: ""})
    assert taken(save_picture(folder / "c.jpg", exif=exif)).camera.isprintable()


def store_turned(upright: Pixels, orientation: int) -> Pixels:
    """Store an upright picture as a camera with this orientation does.

    EXIF 2.32 (CIPA DC-008-2019), 4.6.4, Orientation: which side of the picture the 0th row and the
    0th column are.
    """
    row, column = {
        1: ("top", "left"), 2: ("top", "right"), 3: ("bottom", "right"), 4: ("bottom", "left"),
        5: ("left", "top"), 6: ("right", "top"), 7: ("right", "bottom"), 8: ("left", "bottom"),
    }[orientation]  # fmt: skip
    stored = upright if row in ("top", "bottom") else upright.transpose(1, 0, 2)
    if row in ("bottom", "right"):
        stored = stored[::-1]
    if column in ("right", "bottom"):
        stored = stored[:, ::-1]
    return np.ascontiguousarray(stored)


@pytest.mark.parametrize("suffix", SUFFIXES)
@pytest.mark.parametrize("orientation", range(1, 9))
def test_every_orientation_comes_out_upright(tmp_path: Path, suffix: str, orientation: int) -> None:
    stored = store_turned(draw_corners(1280, 800), orientation)
    path = save_picture(tmp_path / f"a{suffix}", stored, make_exif(camera={0x0112: orientation}))
    found = taken(path)
    assert (found.width_px, found.height_px) == (1280, 800)
    thumbnail = Image.open(BytesIO(found.thumbnail))
    assert thumbnail.size == (640, 400)
    for seen, wanted in zip(corner_colours(thumbnail), (RED, GREEN, BLUE, WHITE), strict=True):
        assert max(abs(a - b) for a, b in zip(seen, wanted, strict=True)) < 25


@pytest.mark.parametrize("orientation", [0, 9, 65535])
def test_an_orientation_that_is_none_turns_nothing(tmp_path: Path, orientation: int) -> None:
    found = taken(save_picture(tmp_path / "a.jpg", exif=make_exif(camera={0x0112: orientation})))
    assert (found.width_px, found.height_px) == (320, 200)


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_thumbnail_carries_nothing_but_the_picture(tmp_path: Path, suffix: str) -> None:
    exif = make_exif(original="2026:03:04 10:11:12", camera={0x010F: "Acme"}, position=True)
    options: dict[str, Any] = {"comment": b"51.5034 N"} if suffix == ".jpg" else {}
    path = save_picture(tmp_path / f"a{suffix}", exif=exif, xmp=b"<x:xmpmeta>51.5034 N</x:xmpmeta>", **options)
    with Image.open(path) as original:
        assert original.getexif().get_ifd(0x8825)
    found = taken(path)
    thumbnail = Image.open(BytesIO(found.thumbnail))
    assert thumbnail.format == "JPEG"
    assert not thumbnail.getexif()
    assert set(thumbnail.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert not any(mark in found.thumbnail for mark in (b"Exif", b"xmpmeta", b"51.5", b"Acme", b"ICC_PROFILE"))


@pytest.mark.parametrize(("size", "small"), [((3000, 60), (640, 13)), ((60, 3000), (13, 640)), ((50, 40), (50, 40))])
def test_thumbnail_keeps_the_shape(tmp_path: Path, size: tuple[int, int], small: tuple[int, int]) -> None:
    found = taken(save_picture(tmp_path / "a.jpg", draw_corners(*size)))
    assert (found.width_px, found.height_px) == size
    assert Image.open(BytesIO(found.thumbnail)).size == small


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGB", "RGBA", "I;16"])
def test_every_kind_of_png_gives_a_thumbnail(tmp_path: Path, mode: str) -> None:
    grey = np.full((80, 100), 0x8000, dtype=np.uint16)
    picture = Image.fromarray(grey) if mode == "I;16" else Image.new("L", (100, 80), 128).convert(mode)
    picture.save(tmp_path / "a.png")
    shown = Image.open(BytesIO(taken(tmp_path / "a.png").thumbnail)).convert("L")
    low, high = shown.getextrema()
    assert 120 <= (float(str(low)) + float(str(high))) / 2 <= 136


def test_what_is_see_through_is_white(tmp_path: Path) -> None:
    Image.new("RGBA", (100, 80), (255, 0, 0, 0)).save(tmp_path / "a.png")
    chosen = Image.new("P", (100, 80), 3)
    chosen.putpalette([10, 20, 30] * 4)
    chosen.save(tmp_path / "b.png", transparency=bytes([255, 255, 255, 0]))
    Image.new("CMYK", (100, 80), (0, 0, 0, 0)).save(tmp_path / "c.jpg")
    for name in ("a.png", "b.png", "c.jpg"):
        assert min(corner_colours(Image.open(BytesIO(taken(tmp_path / name).thumbnail)))) >= (250, 250, 250)


def test_a_picture_with_a_second_one_inside_is_a_jpeg(tmp_path: Path) -> None:
    first, second = Image.fromarray(draw_corners()), Image.fromarray(draw_noise(64, 48))
    first.save(tmp_path / "a.jpg", "MPO", save_all=True, append_images=[second])
    found = taken(tmp_path / "a.jpg")
    assert (found.picture_format, found.width_px) == ("JPEG", 320)


def test_values_are_those_of_the_file(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg")
    found = taken(path)
    assert found.sha256 == hashlib.sha256(path.read_bytes()).hexdigest()
    photo = found.as_photo("p1")
    assert (photo.id, photo.name, photo.sha256, photo.taken) == ("p1", "a.jpg", found.sha256, found.taken)


@pytest.mark.parametrize("name", ["-rf.jpg", 'it\'s "it".jpg', "two\nlines\t.jpg", "--help.JPG", "ünïcode \u2028.jpg"])
def test_odd_names_are_kept_as_they_came(tmp_path: Path, name: str) -> None:
    path = save_picture(tmp_path / "a.jpg").rename(tmp_path / name)
    assert taken(path).name == name
    path.write_text("no picture")
    assert "not a JPEG" in refused(path)


def test_a_name_that_is_no_text_can_still_be_stored(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg").rename(tmp_path / os.fsdecode(b"b\xff.jpg"))
    assert taken(path).name.encode() == "b\N{REPLACEMENT CHARACTER}.jpg".encode()


@pytest.mark.parametrize("suffix", SUFFIXES)
@pytest.mark.parametrize("share", [0.02, 0.5, 0.95])
def test_a_picture_cut_off_is_found(tmp_path: Path, suffix: str, share: float) -> None:
    path = save_picture(tmp_path / f"a{suffix}", draw_noise(), make_exif(original="2026:03:04 10:11:12"))
    whole = path.read_bytes()
    kept = int(len(whole) * share)
    path.write_bytes(whole[:kept])
    assert "cut off or damaged" in refused(path)
    path.write_bytes(whole[:kept] + bytes(len(whole) - kept))  # the length was set aside, the rest never came
    assert "cut off or damaged" in refused(path)


def test_a_progressive_picture_cut_off_is_found(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg", draw_noise(), progressive=True)
    whole = path.read_bytes()
    assert taken(path).width_px == 400
    path.write_bytes(whole[: len(whole) // 2])
    assert "cut off or damaged" in refused(path)


def test_a_thumbnail_inside_a_heic_does_not_stand_for_it(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.heic", draw_noise(720, 540), thumbnails=[660])
    whole = path.read_bytes()
    assert taken(path).width_px == 720
    path.write_bytes(whole[: len(whole) * 3 // 4])
    assert "cut off or damaged" in refused(path)


def test_one_wrong_byte_in_a_png_is_found(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.png", compress_level=0)
    whole = bytearray(path.read_bytes())
    whole[len(whole) // 2] ^= 0x40
    path.write_bytes(whole)
    assert "cut off or damaged" in refused(path)


def test_zeros_after_the_end_of_a_jpeg_are_allowed(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg")
    path.write_bytes(path.read_bytes() + bytes(20_000))
    assert taken(path).width_px == 320


def test_a_picture_with_broken_exif_is_still_taken(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg", exif=make_exif(original="2026:03:04 10:11:12"))
    whole = path.read_bytes()
    at = whole.index(b"Exif\0\0") + 10
    path.write_bytes(whole[:at] + b"\xff" * 40 + whole[at + 40 :])
    os.utime(path, (FILE_CHANGED.timestamp(), FILE_CHANGED.timestamp()))
    assert taken(path).taken == FILE_CHANGED


def test_what_is_no_picture_is_told(tmp_path: Path) -> None:
    text, empty, folder = tmp_path / "text.jpg", tmp_path / "empty.jpg", tmp_path / "folder.jpg"
    text.write_text("brake band's off\n" * 40)
    empty.touch()
    folder.mkdir()
    film = tmp_path / "film.heic"
    film.write_bytes(struct.pack(">I", 24) + b"ftypisom" + bytes(200))
    drawing = tmp_path / "drawing.png"
    drawing.write_text("<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>")
    Image.new("RGB", (20, 20)).save(tmp_path / "bitmap.jpg", "BMP")
    for path in (text, film, drawing, tmp_path / "bitmap.jpg"):
        assert "not a JPEG, PNG, HEIC or WebP" in refused(path)
    assert "empty" in refused(empty)
    assert "folder" in refused(folder)
    assert "no such file" in refused(tmp_path / "gone.jpg")
    assert "no such file" in refused(tmp_path / "gone" / "\n.jpg")
    assert "could not be read" in refused(text / "inside.jpg")
    assert "could not be read" in refused(tmp_path / ("n" * 300 + ".jpg"))


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes with a name")
def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.jpg")
    assert "pipe" in refused(tmp_path / "pipe.jpg")


def test_a_file_one_may_not_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = save_picture(tmp_path / "a.jpg")

    def deny(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", deny)  # root may read everything, so it is not asked
    assert "not allowed" in refused(path)


def test_a_file_too_large_is_not_opened(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.jpg")
    with path.open("r+b") as file:
        file.truncate(LARGEST_FILE_BYTES)
    assert taken(path).width_px == 320
    with path.open("r+b") as file:
        file.truncate(LARGEST_FILE_BYTES + 1)
    assert "over 60 MB" in refused(path)
    with path.open("r+b") as file:
        file.truncate(7_000_000_000)
    assert "7000 MB" in refused(path)


def claim_size(content: bytes, width: int, height: int) -> bytes:
    """Make a small picture claim to be a large one, in the head of its file."""
    if content.startswith(b"\x89PNG"):
        return content[:8] + png_chunk(b"IHDR", struct.pack(">II", width, height) + content[24:29]) + content[33:]
    if content.startswith(b"\xff\xd8"):
        at = content.index(b"\xff\xc0") + 5
        return content[:at] + struct.pack(">HH", height, width) + content[at + 4 :]
    at = content.index(b"ispe") + 8
    return content[:at] + struct.pack(">II", width, height) + content[at + 8 :]


@pytest.mark.parametrize("suffix", [".jpg", ".png", ".heic"])
@pytest.mark.parametrize("size", [(20_000, 15_000), (10_001, 10_000)])
def test_too_many_pixels_are_refused_before_decoding(
    tmp_path: Path, suffix: str, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    path = save_picture(tmp_path / f"a{suffix}")
    path.write_bytes(claim_size(path.read_bytes(), *size))

    def decode(*_: object) -> None:
        raise AssertionError("a picture that is too large was decoded")

    monkeypatch.setattr("notebook.photos.take._load_picture", decode)
    assert "over 100 megapixels" in refused(path)


def test_a_large_picture_is_taken_and_the_limit_of_others_is_left_alone(tmp_path: Path) -> None:
    """95 megapixels are over Pillow's own limit, which would warn; warnings fail a test here."""
    before = Image.MAX_IMAGE_PIXELS
    assert before is not None
    assert before < 95_000_000
    Image.new("L", (10_000, 9_500), 90).save(tmp_path / "a.jpg")
    assert taken(tmp_path / "a.jpg").width_px == 10_000
    assert before == Image.MAX_IMAGE_PIXELS
    path = save_picture(tmp_path / "b.png")
    path.write_bytes(claim_size(path.read_bytes(), 20_000, 15_000))
    refused(path)
    assert before == Image.MAX_IMAGE_PIXELS


@pytest.mark.skipif(sys.platform != "linux", reason="memory can be fenced in on Linux only")
def test_a_large_jpeg_needs_little_memory(tmp_path: Path) -> None:
    """96 megapixels of colour are 288 MB when decoded whole; the fence is at 150 MB more."""
    Image.new("RGB", (12_000, 8_000), (90, 60, 30)).save(tmp_path / "a.jpg")
    program = textwrap.dedent("""
        import resource, sys
        from pathlib import Path
        from notebook.photos.take import take_photo
        used = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
        resource.setrlimit(resource.RLIMIT_AS, (used + 150_000_000, -1))
        print(take_photo(Path(sys.argv[1]), "UTC").width_px)
    """)
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path / "a.jpg")],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        check=False,
    )
    assert done.stdout.strip() == "12000", done.stderr


def test_the_original_is_never_written_to(tmp_path: Path) -> None:
    path = save_picture(tmp_path / "a.heic", exif=make_exif(original="2026:03:04 10:11:12"))
    before = path.read_bytes(), path.stat().st_mtime_ns, sorted(tmp_path.iterdir())
    path.chmod(0o400)
    taken(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns, sorted(tmp_path.iterdir())) == before


WHOLE = {kind: picture_bytes(kind) for kind in ("JPEG", "PNG", "WEBP", "HEIF")}


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    kind=st.sampled_from(sorted(WHOLE)),
    places=st.lists(st.tuples(st.integers(0, 10_000), st.integers(0, 255)), max_size=12),
    kept=st.integers(0, 10_000),
)
def test_damage_anywhere_never_raises(tmp_path: Path, kind: str, places: list[tuple[int, int]], kept: int) -> None:
    content = bytearray(WHOLE[kind])
    for place, value in places:
        content[place % len(content)] = value
    path = tmp_path / "a.jpg"
    path.write_bytes(content[: max(1, len(content) - kept % len(content))] if kept % 3 == 0 else content)
    result = take_photo(path, "UTC")
    assert isinstance(result, Taken | Problem)
    if isinstance(result, Taken):
        Image.open(BytesIO(result.thumbnail)).load()


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(content=st.binary(max_size=300))
def test_any_bytes_never_raise(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(content)
    assert isinstance(take_photo(path, "UTC"), Problem)
