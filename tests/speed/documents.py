"""How long documents take: reports with 40 and 500 photos of 12 megapixels, a training pack of 20 jobs.

In: nothing; the jobs are invented and made in a folder that is thrown away. Out: seconds and peak memory, each in a
process of its own. Run it with: make speed-documents
"""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np
from PIL import Image

from notebook.documents.make_html import make_html
from notebook.documents.make_pdf import make_pdf
from notebook.documents.paper import job_day
from notebook.documents.strip_report import make_strip_report
from notebook.history.training import make_training_pack
from notebook.jobs.paperwork import load_pictures
from notebook.log.facts import gather_facts
from notebook.reading.names import table_name
from notebook.shop import PaperSettings
from tests.documents.paper_job import make_paper_log

SETTINGS = PaperSettings(name="Bench")
PHOTOS, MANY_PHOTOS = 40, 500
HEAD = (
    "| document | photos | s | processor s | peak MB | PDF MB | HTML MB |\n| --- | --: | --: | --: | --: | --: | --: |"
)
JOBS = 20


def _fill(folder: Path, pictures: int, big: Image.Image) -> None:
    """Make a job whose pictures are of 12 megapixels, each another."""
    make_paper_log(folder, pictures=pictures)
    for n, path in enumerate(sorted((folder / "photos").glob("*.jpg"))):
        big.paste((n * 6 % 256, 90, 120), (0, 0, 1500, 1500))
        big.save(path, quality=88)


def _draw_big() -> Image.Image:
    """Draw a picture of 4000 by 3000 that is about as hard to pack as a camera's."""
    rough = np.random.default_rng(5).integers(60, 190, (375, 500, 3), dtype=np.uint8)
    return Image.fromarray(rough).resize((4000, 3000), Image.Resampling.BICUBIC)


def measure(what: str, folder: Path) -> None:
    """Make one thing in this process and print seconds and peak memory."""
    if what.startswith("report"):
        count = MANY_PHOTOS if "many" in what else PHOTOS
        log = make_paper_log(folder / ("many" if "many" in what else "job"), pictures=count, is_fresh=False)
        started, spent = time.perf_counter(), time.process_time()
        report, book = make_strip_report(log, gather_facts(log), SETTINGS)
        pictures = load_pictures([log], book)
        pdf = make_pdf(
            "report", report, pictures.content, pictures.sizes, paper="a4", day=job_day(log), has_appendix=True
        )
        html = make_html("report", report, pictures.content, pictures.sizes, paper="a4", has_appendix=True)
    else:
        logs = []
        for n in range(JOBS):
            one = make_paper_log(folder / f"job{n}", pictures=4, is_fresh=False)
            photos = tuple(replace(p, id=f"{n}-{p.id}") for p in one.photos)
            links = tuple(replace(k, photo_id=f"{n}-{k.photo_id}") for k in one.links)
            parts = tuple(replace(p, photo_ids=tuple(f"{n}-{i}" for i in p.photo_ids)) for p in one.parts)
            logs.append(replace(one, job=replace(one.job, id=f"job-{n}"), photos=photos, links=links, parts=parts))
        started, spent = time.perf_counter(), time.process_time()
        made = make_training_pack("winch", [(log, gather_facts(log)) for log in logs], SETTINGS, table_name)
        pictures = load_pictures(logs, made.book)
        pdf = make_pdf("train", made.pack, pictures.content, pictures.sizes, paper="a4", day=job_day(logs[0]))
        html = make_html("train", made.pack, pictures.content, pictures.sizes, paper="a4")
    seconds, spent = time.perf_counter() - started, time.process_time() - spent
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    count = len(pictures.content)
    sizes_mb = f"{len(pdf) / 1e6:.1f} | {len(html) / 1e6:.1f}"
    print(f"| {what} | {count} | {seconds:.1f} | {spent:.1f} | {peak_mb:.0f} | {sizes_mb} |")  # noqa: T201


def main() -> int:
    """Make the pictures, then measure each document in a process of its own."""
    with tempfile.TemporaryDirectory() as folder:
        big = _draw_big()
        _fill(Path(folder) / "job", PHOTOS, big)
        _fill(Path(folder) / "many", MANY_PHOTOS, big)
        for n in range(JOBS):
            _fill(Path(folder) / f"job{n}", 4, big)
        print(HEAD, flush=True)  # noqa: T201
        for what in ("report", "report of many photos", "training pack"):
            subprocess.run([sys.executable, "-m", "tests.speed.documents", what, folder], check=True)
    return 0


if __name__ == "__main__":
    if len(sys.argv) > 2:
        measure(sys.argv[1], Path(sys.argv[2]))
        sys.exit()
    sys.exit(main())
