"""Stamp the demonstration pictures as a camera would: rendered pictures, an invented camera, a clock that is wrong.

    stamp_pictures.py PICTURES_DIR PICTURES.jsonl SOUND_TRUTH.jsonl OUT_DIR [--stand-in]

In: pictures, and for each a line with `file`, `shows`, `after_remark`, `delay_s` (seconds from the end of
that remark to the shutter), `remark` (the one it belongs to), `cue` (whether it was asked for aloud); and
where each remark lies in the recording. Out: `OUT_DIR/photos/` with EXIF, and `OUT_DIR/photo_truth.jsonl`
(what the camera says, when it really was, what belongs to what). The camera's clock is CLOCK_AHEAD ahead
and names no zone, as on many cameras. With --stand-in a picture that is missing becomes a plain grey one
that says so. Never part of what the notebook runs.

Needs: Python packages pillow and pillow-heif.
"""

from __future__ import annotations

import argparse
import io
import json
import sys
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pillow_heif
from PIL import ExifTags, Image, ImageDraw

STARTED = datetime(2026, 3, 4, 9, 12, tzinfo=UTC)
"""When the recording began."""
CLOCK_AHEAD = timedelta(minutes=3, seconds=40)
MAKE, MODEL = "Bench", "Pocket camera (invented)"
DESCRIPTION = "rendered picture of an invented part"
OTHER_FORMATS = {"bush_oval.jpg": ".heic", "pinion_good.jpg": ".png"}
TURNED = "pawl_chipped.jpg"
"""Stored lying on its side, with the EXIF orientation that stands it up."""
UPRIGHT, QUARTER_TURN = 1, 6
LARGEST_BYTES = {".jpg": 250_000, ".heic": 250_000, ".png": 600_000}


@dataclass(frozen=True, slots=True, kw_only=True)
class Shot:
    """One picture and when it was taken."""

    file: str
    shows: str
    remark: int
    cue: bool
    true_time: datetime

    @property
    def camera_time(self) -> datetime:
        """What the camera's clock showed, without a zone."""
        return (self.true_time + CLOCK_AHEAD).replace(tzinfo=None)

    @property
    def written_as(self) -> str:
        """The name in the folder of photos."""
        return str(Path(self.file).with_suffix(OTHER_FORMATS.get(self.file, ".jpg")))


def read_lines(path: Path) -> list[dict[str, object]]:
    """Read JSON lines."""
    return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]


def time_shots(pictures: list[dict[str, object]], remarks: list[dict[str, object]]) -> list[Shot]:
    """Work out when each picture was taken, to a hundredth of a second."""
    end_s = {remark["n"]: float(str(remark["end_s"])) for remark in remarks}
    shots = []
    for picture in pictures:
        at_s = end_s[picture["after_remark"]] + float(str(picture["delay_s"]))
        shots.append(
            Shot(
                file=str(picture["file"]),
                shows=str(picture["shows"]),
                remark=int(str(picture["remark"])),
                cue=bool(picture["cue"]),
                true_time=STARTED + timedelta(milliseconds=10 * round(100 * at_s)),
            )
        )
    return shots


def draw_stand_in(file: str) -> Image.Image:
    """Draw a plain grey picture that says which one is missing."""
    grey = Image.new("RGB", (1024, 768), (128, 128, 128))
    ImageDraw.Draw(grey).text((40, 40), f"stand-in for {file}", fill=(230, 230, 230), font_size=40)
    return grey


def build_exif(shot: Shot, orientation: int, description: str) -> bytes:
    """Build the EXIF block: the time as the camera writes it, hundredths of a second apart, no offset."""
    exif = Image.Exif()
    exif[ExifTags.Base.ImageDescription] = description
    exif[ExifTags.Base.Make] = MAKE
    exif[ExifTags.Base.Model] = MODEL
    exif[ExifTags.Base.Orientation] = orientation
    exif.get_ifd(ExifTags.IFD.Exif).update(
        {
            ExifTags.Base.ExifVersion: b"0232",
            ExifTags.Base.DateTimeOriginal: f"{shot.camera_time:%Y:%m:%d %H:%M:%S}",
            ExifTags.Base.SubsecTimeOriginal: f"{shot.camera_time.microsecond // 10_000:02d}",
        }
    )
    return exif.tobytes()


def encode_picture(picture: Image.Image, suffix: str, exif: bytes) -> bytes:
    """Encode as JPEG, HEIC or PNG, as well as the size limit allows, smaller where it must be.

    Raises ValueError where even the smallest is too large.
    """
    small = picture.copy()
    small.thumbnail((800, 800))
    if suffix == ".png":
        tries = [(picture, 0), (small, 0), *((small.quantize(colours), 0) for colours in (256, 128, 64))]
    else:
        tries = [(picture, quality) for quality in (90, 85, 80, 75, 70, 60)] + [(small, 75), (small, 50)]
    for image, quality in tries:
        out = io.BytesIO()
        if suffix == ".png":
            image.save(out, "PNG", exif=exif, optimize=True)
        else:
            image.save(out, "HEIF" if suffix == ".heic" else "JPEG", exif=exif, quality=quality)
        if out.tell() <= LARGEST_BYTES[suffix]:
            return out.getvalue()
    raise ValueError(f"cannot be brought under {LARGEST_BYTES[suffix]} bytes")


def stamp_picture(shot: Shot, folder: Path, *, stand_in: bool) -> bytes | None:
    """Give the stamped file for a shot, or None where there is no picture.

    Raises OSError where the picture cannot be read, ValueError where it cannot be made small enough.
    """
    source = folder / shot.file
    if source.exists():
        with Image.open(source) as opened:
            picture, description = opened.convert("RGB"), DESCRIPTION
    elif stand_in:
        picture, description = draw_stand_in(shot.file), f"plain grey stand-in, not yet a {DESCRIPTION}"
    else:
        return None
    # Pillow copies what it read from the source (its EXIF, its comment) into what it writes.
    picture.info.clear()
    orientation = UPRIGHT
    if shot.file == TURNED:
        # Orientation 6 asks the viewer for a quarter turn clockwise; Pillow's ROTATE_90 is anticlockwise.
        picture, orientation = picture.transpose(Image.Transpose.ROTATE_90), QUARTER_TURN
    return encode_picture(picture, Path(shot.written_as).suffix, build_exif(shot, orientation, description))


def describe_shot(shot: Shot) -> str:
    """Write one line of the truth."""
    row = {
        "file": shot.written_as,
        "taken_by_camera": shot.camera_time.isoformat(timespec="milliseconds"),
        "true_time": shot.true_time.isoformat(timespec="milliseconds"),
        "remark": shot.remark,
        "cue": shot.cue,
        "shows": shot.shows,
    }
    return json.dumps(row, ensure_ascii=False) + "\n"


def main() -> None:
    """Stamp every picture there is, write the truth, and end with status 3 where one is missing or bad."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("pictures_folder", type=Path)
    parser.add_argument("pictures", type=Path)
    parser.add_argument("sound_truth", type=Path)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--stand-in", action="store_true")
    args = parser.parse_args()
    pillow_heif.register_heif_opener()
    photos = args.folder / "photos"
    photos.mkdir(parents=True, exist_ok=True)
    truth, wanting = [], []
    for shot in time_shots(read_lines(args.pictures), read_lines(args.sound_truth)):
        if not (args.pictures_folder / shot.file).exists():
            wanting.append(f"{shot.file}: missing")
        try:
            stamped = stamp_picture(shot, args.pictures_folder, stand_in=args.stand_in)
        except (OSError, ValueError) as error:
            wanting.append(f"{shot.file}: {error}")
            continue
        if stamped is not None:
            (photos / shot.written_as).write_bytes(stamped)
            truth.append(describe_shot(shot))
    (args.folder / "photo_truth.jsonl").write_text("".join(truth), encoding="utf-8")
    sys.stderr.write(f"{len(truth)} pictures in {photos}\n")
    if wanting:
        sys.stderr.write("".join(f"{line}\n" for line in wanting))
        sys.exit(3)


if __name__ == "__main__":
    main()
