"""Labels of bags and trays: what their code says, the code as a picture, and the link of a photo that shows one.

In: a job's id and a place, or photos and remarks. Out: words, pictures, links. A code says "TEARDOWN PLACE", the first
eight signs of the job's id and the place, in capitals, which a QR code holds in the fewest modules.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import timedelta
from io import BytesIO

from notebook.entries import Storage
from notebook.nouns import Link, Photo, Remark
from notebook.photos.card import picture_code

_SAYS = re.compile(r"TEARDOWN PLACE ([0-9A-F]{8}) (\S.{0,60})")
LABEL_SURE = 0.98
_CLOCK_MAY_BE_OFF = timedelta(minutes=10)


def write_label(job_id: str, place: str) -> str:
    """Give what the code of a place says."""
    return f"TEARDOWN PLACE {job_id[:8].upper()} {place.upper()}"


def label_said(text: str) -> str | None:
    """Give job and place off the words of a code: "3F2A9C1B BAG 7"; None where it is no label."""
    said = _SAYS.fullmatch(text)
    return f"{said[1]} {said[2]}" if said else None


def picture_label(job_id: str, place: str) -> bytes:
    """Give the code of a place as PNG."""
    out = BytesIO()
    picture_code(write_label(job_id, place), module_px=8).save(out, "PNG")
    return out.getvalue()


def link_labels(job_id: str, photos: Sequence[Photo], remarks: Sequence[Remark], links: Sequence[Link]) -> list[Link]:
    """Link each photo that shows a label of this job to the remark that says what was put there; spoken cues stay beside it.

    Of several remarks about one place it is the last that was said before the picture, as far as its clock tells.
    """
    labelled: list[Link] = []
    for photo in photos:
        for shown in dict.fromkeys(photo.labels_shown):
            job, _, place = shown.partition(" ")
            remark = _put_there(remarks, place, photo) if job_id.upper().startswith(job) else None
            if remark is not None:
                labelled.append(Link(photo_id=photo.id, remark_id=remark.id, how="label", confidence=LABEL_SURE))
    known = {link.photo_id for link in labelled}
    pairs = {(link.photo_id, link.remark_id) for link in labelled}
    others = [
        k for k in links if k.photo_id not in known or (k.how == "cue" and (k.photo_id, k.remark_id) not in pairs)
    ]  # fmt: skip
    return [*labelled, *others]


def _put_there(remarks: Sequence[Remark], place: str, photo: Photo) -> Remark | None:
    found = [
        r for r in remarks
        if any(isinstance(e, Storage) and not e.struck and e.contents and e.action != "taken out" and e.place.upper() == place for e in r.entries)
    ]  # fmt: skip
    before = [r for r in found if r.at is None or photo.taken is None or r.at <= photo.taken + _CLOCK_MAY_BE_OFF]
    return (before or found[:1])[-1] if found else None
