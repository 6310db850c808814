"""What is read from pictures equals what `exiftool` prints for the same files.

Outside: exiftool (Debian `libimage-exiftool-perl`), an EXIF reader and writer of its own; tag
numbers as in EXIF 2.32 (CIPA DC-008-2019), 4.6.4 and 4.6.5.
"""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
import pillow_heif
import pytest
from PIL import Image

from notebook.photos.take import Taken, take_photo
from notebook.photos.when import EXIF_CLOCKS

EXIFTOOL = shutil.which("exiftool")
pytestmark = pytest.mark.skipif(EXIFTOOL is None, reason="exiftool is not here: apt-get install libimage-exiftool-perl")

pillow_heif.register_heif_opener()

# EXIF 2.32: 4.6.4 for the first four, 4.6.5 for the rest; names as exiftool has them.
EXIF_TAGS = {
    0x010F: "Make", 0x0110: "Model", 0x0112: "Orientation", 0x0132: "ModifyDate",
    0x9003: "DateTimeOriginal", 0x9004: "CreateDate",
    0x9010: "OffsetTime", 0x9011: "OffsetTimeOriginal", 0x9012: "OffsetTimeDigitized",
    0x9290: "SubSecTime", 0x9291: "SubSecTimeOriginal", 0x9292: "SubSecTimeDigitized",
    0xA431: "SerialNumber",
}  # fmt: skip
FORMATS = {".jpg": "JPEG", ".png": "PNG", ".webp": "WEBP", ".heic": "HEIF"}

WRITTEN = {
    "all clocks": {
        "EXIF:DateTimeOriginal": "2026:03:04 10:11:12", "EXIF:SubSecTimeOriginal": "0457",
        "EXIF:OffsetTimeOriginal": "-05:30", "EXIF:CreateDate": "2026:03:04 10:11:13",
        "EXIF:ModifyDate": "2026:03:04 10:11:14", "EXIF:OffsetTime": "+02:00",
        "EXIF:Make": "Acme", "EXIF:Model": "Box 4", "EXIF:SerialNumber": "00123",
    },
    "no original": {
        "EXIF:CreateDate": "2025:12:31 23:59:59", "EXIF:SubSecTimeDigitized": "999999",
        "EXIF:OffsetTimeDigitized": "+14:00", "EXIF:ModifyDate": "2026:03:04 10:11:14", "EXIF:Model": "Box 4",
    },
    "change only": {
        "EXIF:ModifyDate": "2024:02:29 00:00:00", "EXIF:SubSecTime": "5", "EXIF:OffsetTime": "+00:00",
        "EXIF:Make": "Ünïcode shop",
    },
}  # fmt: skip


def run_exiftool(*arguments: str) -> str:
    assert EXIFTOOL is not None
    done = subprocess.run(
        [EXIFTOOL, "-charset", "exif=utf8", *arguments], capture_output=True, text=True, check=False, encoding="utf-8"
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def read_exiftool(path: Path, *arguments: str) -> dict[str, Any]:
    values: dict[str, Any] = json.loads(run_exiftool("-json", *arguments, str(path)))[0]
    return values


def make_picture(path: Path, exif: bytes | None = None) -> Path:
    pixels = np.random.default_rng(3).integers(0, 255, (48, 64, 3), dtype=np.uint8)
    out = BytesIO()
    options = {} if exif is None else {"exif": exif}
    Image.fromarray(pixels).save(out, FORMATS[path.suffix], **options)
    path.write_bytes(out.getvalue())
    return path


def take(path: Path) -> Taken:
    found = take_photo(path, "UTC")
    assert isinstance(found, Taken), str(found)
    return found


def read_moment(said: str) -> datetime:
    """Read a time as exiftool prints it: 2026:03:04 10:11:12.0457-05:30."""
    found = re.fullmatch(r"(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)(?:\.(\d+))?([+-]\d\d:\d\d|Z)?", said)
    assert found is not None, said
    year, month, day, clock, fraction, offset = found.groups()
    text = f"{year}-{month}-{day}T{clock}.{(fraction or '0')[:6].ljust(6, '0')}{offset or '+00:00'}"
    return datetime.fromisoformat(text).astimezone(UTC)


def check_against_exiftool(path: Path) -> None:
    told = read_exiftool(path, "-n", "-s", "-EXIF:all", "-Composite:all", "-FileType", "-File:ImageWidth")
    found = take(path)
    for composite, plain in (
        ("SubSecDateTimeOriginal", "DateTimeOriginal"),
        ("SubSecCreateDate", "CreateDate"),
        ("SubSecModifyDate", "ModifyDate"),
    ):
        if plain in told:
            assert found.taken == read_moment(str(told.get(composite, told[plain])))
            break
    else:
        pytest.fail("exiftool found no time at all")
    named = [str(told[tag]).strip() for tag in ("Make", "Model") if tag in told]
    named += [f"serial {told['SerialNumber']}"] if "SerialNumber" in told else []
    assert found.camera == " ".join(named)
    assert FORMATS[path.suffix] == found.picture_format
    assert found.picture_format.rstrip("FC") in str(told["FileType"])  # HEIC is one kind of HEIF


@pytest.mark.parametrize("suffix", sorted(FORMATS))
@pytest.mark.parametrize("which", sorted(WRITTEN))
def test_what_exiftool_wrote_is_read_the_same(tmp_path: Path, suffix: str, which: str) -> None:
    path = make_picture(tmp_path / f"a{suffix}")
    run_exiftool("-q", "-overwrite_original", *(f"-{k}={v}" for k, v in WRITTEN[which].items()), str(path))
    check_against_exiftool(path)


@pytest.mark.parametrize("suffix", sorted(FORMATS))
def test_every_tag_number_is_the_one_exiftool_names(tmp_path: Path, suffix: str) -> None:
    exif = Image.Exif()
    inner = exif.get_ifd(0x8769)
    for tag in EXIF_TAGS:
        folder = exif if tag < 0x8769 else inner
        folder[tag] = 1 if tag == 0x0112 else "2026:03:04 10:11:12" if tag in (0x0132, 0x9003, 0x9004) else "+01:00"
    exif[0x010F], exif[0x0110] = "Acme", "Box 4"
    inner.update({0x9290: "1", 0x9291: "2", 0x9292: "3", 0xA431: "A77"})
    path = make_picture(tmp_path / f"a{suffix}", exif.tobytes())
    printed = run_exiftool("-s", "-H", "-EXIF:all", str(path))
    named = {int(n, 16): name for n, name in re.findall(r"^(0x[0-9a-f]{4}) (\w+)", printed, re.MULTILINE)}
    assert {tag: named.get(tag) for tag in EXIF_TAGS} == EXIF_TAGS
    check_against_exiftool(path)


def test_the_clocks_asked_are_those_tags() -> None:
    exiftool_names = {"DateTimeDigitized": "CreateDate", "DateTime": "ModifyDate"}
    for name, time_tag, fraction_tag, offset_tag in EXIF_CLOCKS:
        end = name.removeprefix("DateTime")
        assert EXIF_TAGS[time_tag] == exiftool_names.get(name, name)
        assert EXIF_TAGS[fraction_tag] == f"SubSecTime{end}"
        assert EXIF_TAGS[offset_tag] == f"OffsetTime{end}"


@pytest.mark.parametrize("orientation", range(1, 9))
def test_size_is_that_of_the_upright_picture(tmp_path: Path, orientation: int) -> None:
    path = make_picture(tmp_path / "a.jpg")
    run_exiftool("-q", "-overwrite_original", "-n", f"-EXIF:Orientation={orientation}", str(path))
    told = read_exiftool(path, "-n", "-Orientation", "-ImageWidth", "-ImageHeight", "-Composite:all")
    stored = (told["ImageWidth"], told["ImageHeight"])
    assert told["Orientation"] == orientation
    found = take(path)
    assert (found.width_px, found.height_px) == (stored if orientation < 5 else stored[::-1])


def test_png_change_time_is_the_one_exiftool_wrote(tmp_path: Path) -> None:
    path = make_picture(tmp_path / "a.png")
    run_exiftool("-q", "-overwrite_original", "-PNG:ModifyDate=2026:03:04 10:11:12", str(path))
    assert take(path).taken == read_moment(read_exiftool(path, "-PNG:ModifyDate")["ModifyDate"])


def test_no_tag_of_the_original_is_in_the_thumbnail(tmp_path: Path) -> None:
    path = make_picture(tmp_path / "a.jpg")
    run_exiftool(
        "-q", "-overwrite_original", "-EXIF:GPSLatitude=51.5", "-EXIF:GPSLatitudeRef=N", "-XMP:GPSLongitude=0.1",
        "-IPTC:City=Somewhere", "-Comment=Somewhere", "-EXIF:Make=Acme", str(path),
    )  # fmt: skip
    groups = read_exiftool(path, "-G")
    assert {"EXIF", "XMP", "IPTC"} <= {key.split(":")[0] for key in groups}
    small = tmp_path / "small.jpg"
    small.write_bytes(take(path).thumbnail)
    left = {key.split(":")[0] for key in read_exiftool(small, "-G")}
    assert left <= {"SourceFile", "ExifTool", "File", "JFIF", "Composite"}
    assert "Comment" not in str(read_exiftool(small, "-G"))
