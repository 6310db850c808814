"""Plays the sound of a remark, or writes it to a file.

In: a job's log and a remark. Out: sound from the loudspeaker, or a FLAC file. The original is never touched.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

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
