"""A job with pictures on disk, for the documents that leave the bench. Everything in it is invented."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

from PIL import Image

from notebook.entries import Caution, Disposition, Entry, Fastener, Finding, Mark, Measurement, Step, Storage, Tip, Tool
from notebook.nouns import Link, Log, Photo

from .logs import make_log, make_photo

SAID: tuple[tuple[str, tuple[Entry, ...]], ...] = (
    ("Guard's off, six M8 by 25 bolts, 13 mm socket, they're in bag 1.", (
        Step(component="guard", action="removed"), Fastener(component="guard", count=6, thread="M8", form="hexagon bolt", length=Decimal(25), driver="13 mm socket", state=("threadlocked",)),
        Storage(place="bag 1", contents=("guard bolts",)))),
    ("Drum's off, torque to 45 newton metres.", (Step(component="drum", action="removed"), Measurement(component="drum", quantity="torque", value=Decimal(45), unit="N·m", role="required"))),
    ("Drum shaft's out, dot faces the gap.", (Step(component="drum shaft", action="removed", off="drum"), Mark(component="drum shaft", text="dot faces the gap"))),
    ("Lining is 1.2, limit 2, replace it.", (
        Measurement(component="brake lining", quantity="thickness", value=Decimal("1.2"), unit="mm"), Measurement(component="brake lining", quantity="thickness", value=Decimal(2), unit="mm", role="limit"),
        Finding(component="brake lining", condition="worn"), Disposition(component="brake lining", action="replace", count=2))),
    ("One of four springs is broken, the other two fine.", (Finding(component="spring", condition="broken", count=1, of=4), Finding(component="spring", condition="sound", count=2, of=4))),
    ("No play in the pinion, it goes again.", (Finding(component="pinion", condition="play", presence="absent"), Disposition(component="pinion", action="reuse"))),
    ("Couldn't see the hub.", (Finding(component="hub", condition="not inspected"),)),
    ("Never lift the pawl under load.", (Caution(topic="pawl", text="never lift the pawl under load"),)),
    ("Warm the drum and it drops.", (Tip(topic="drum", text="warm the drum and it drops"), Tool(name="two-leg puller", for_="drum"))),
    ("Seal's out, clip's had it.", (Step(component="oil seal", action="removed"), Fastener(component="oil seal", count=1, form="circlip"))),
)  # fmt: skip


def make_paper_log(
    folder: Path, *, pictures: int = 3, said: tuple[tuple[str, tuple[Entry, ...]], ...] = SAID, is_fresh: bool = True
) -> Log:
    """Make the log, with pictures written where the shop keeps them; picture n belongs to remark n, then round again.

    Pictures that are there already are kept where it is not `is_fresh`.
    """
    kept = folder / "photos"
    kept.mkdir(parents=True, exist_ok=True)
    photos: list[Photo] = []
    links: list[Link] = []
    for n in range(pictures):
        photo = replace(make_photo(f"IMG_{n}.jpg", f"p{n}"), sha256=f"{n:064x}")
        if is_fresh:
            Image.new("RGB", (400, 300), (40 + n % 200, 90, 120)).save(kept / f"{photo.sha256}.jpg")
        photos.append(photo)
        links.append(Link(photo_id=photo.id, remark_id=f"r{n % len(said) + 1}", how="cue", confidence=0.9))
    log = make_log(*said, photos=tuple(photos), links=tuple(links))
    return replace(log, folder=folder)
