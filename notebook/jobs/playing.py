"""Plays the sound of a remark, or writes it to a file.

In: a job's log and a remark. Out: sound from the loudspeaker, or a FLAC file. The original is never touched.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from notebook.archive.search import Hit
from notebook.archive.store import Archive
from notebook.errors import NOTHING_FOUND, NotebookError
from notebook.jobs.mending import find_remark
from notebook.nouns import Log, Remark
from notebook.shop import Shop


def play_remark(archive: Archive, shop: Shop, log: Log, which: str) -> None:
    """Play a remark through the loudspeaker; raises NotebookError when it has no sound or there is no loudspeaker."""
    from notebook.audio.loudspeaker import play_samples

    play_samples(_samples(archive, shop, log, which))


def save_remark(archive: Archive, shop: Shop, log: Log, which: str, path: Path) -> float:
    """Write the sound of a remark as FLAC; give its seconds."""
    from notebook.audio.decode import RATE_HZ
    from notebook.audio.keep import write_flac

    samples = _samples(archive, shop, log, which)
    write_flac(path, samples)
    return len(samples) / RATE_HZ


def _samples(archive: Archive, shop: Shop, log: Log, which: str) -> Any:
    return sound_of_remark(archive, shop, find_remark(log, which))


def sound_of_remark(archive: Archive, shop: Shop, remark: Remark) -> Any:
    """Give the samples of a remark; raises NotebookError when it was taken in as words."""
    from notebook.audio.hear import read_stretch

    path = archive.sound_path(remark.id)
    if path is None or remark.first_sample is None or remark.sample_count is None:
        raise NotebookError(f"Remark {remark.order} was taken in as words; there is no sound of it.", "", NOTHING_FOUND)
    return read_stretch(shop.folder / path, remark.first_sample, remark.sample_count)


def play_hit(archive: Archive, shop: Shop, hits: Sequence[Hit], n: int) -> None:
    """Play the remark of the Nth hit of an answer; raises NotebookError when there is none or it has no sound."""
    hit = _nth(hits, n)
    log = archive.load_log(archive.find_jobs(hit.job_id)[0])
    play_remark(archive, shop, log, hit.remark_id)


def open_hit(archive: Archive, shop: Shop, hits: Sequence[Hit], n: int) -> Path:
    """Show the photo of the Nth hit in whatever the system shows pictures with; give its file."""
    hit = _nth(hits, n)
    path = archive.photo_path_of(hit.remark_id)
    if path is None:
        raise NotebookError(f"Remark {hit.order} of job {hit.job_number} has no photo.", "", NOTHING_FOUND)
    _show(shop.folder / path)
    return shop.folder / path


def _show(file: Path) -> None:
    import shutil
    import subprocess
    import sys

    if sys.platform == "win32":
        import os

        os.startfile(file)
        return
    opener = shutil.which("open" if sys.platform == "darwin" else "xdg-open")
    if opener is not None:
        subprocess.Popen([opener, str(file)], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def _nth(hits: Sequence[Hit], n: int) -> Hit:
    if not 1 <= n <= len(hits):
        there = f"The answer has {len(hits)}." if hits else "The answer has none."
        raise NotebookError(f"There is no remark {n} in the answer.", there, NOTHING_FOUND)
    return hits[n - 1]
