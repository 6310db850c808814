"""Measures pictures at full count: how many find their remark on 1,000 made sessions, and how quickly they are taken in.

Run: python -m tests.speed.photos [sessions]. Prints a Markdown table, then the speed of 12-megapixel JPEGs and of linking.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
from PIL import Image

from tests.photos.measuring import (
    by_notebook,
    by_plain_way,
    by_plain_way_clock_put_right,
    count_sessions,
    share,
)
from tests.photos.simulate import simulate_session

SESSIONS = 1000
WAYS = {
    "the notebook, from what was said": (by_notebook, False, 1.0),
    "the notebook, with a sync card": (by_notebook, True, 1.0),
    "nearest in time, clock taken as right": (by_plain_way, False, 1.0),
    "nearest in time, clock put right by hand": (by_plain_way_clock_put_right, False, 1.0),
    "the notebook, hands twice as slow": (by_notebook, False, 2.0),
}
_BLOCK = 10


def count_way(name: str, sessions: int) -> Counter[str]:
    """Count over all sessions, on two processes."""
    total: Counter[str] = Counter()
    with ProcessPoolExecutor(2) as pool:
        for part in pool.map(_count_block, [(name, first) for first in range(0, sessions, _BLOCK)]):
            total.update(part)
    return total


def _count_block(asked: tuple[str, int]) -> Counter[str]:
    name, first = asked
    way, card, slowness = WAYS[name]
    return count_sessions(range(first, first + _BLOCK), way, card=card, slowness=slowness)


def table(sessions: int) -> str:
    """Give the figures of every way as a Markdown table."""
    lines = [
        "| way | cued pictures right | all pictures right | clock within 2 s: 6 cued pictures or more | 10 or more | off by more than claimed | clocks sure |",
        "| --- | --: | --: | --: | --: | --: | --: |",
    ]
    for name in WAYS:
        c = count_way(name, sessions)
        own = "notebook" in name
        lines.append(
            f"| {name} | {share(c, 'cued right', 'cued'):.1%} | {share(c, 'photos right', 'photos'):.1%} |"
            + (
                f" {share(c, 'clocks with enough within', 'clocks with enough'):.1%} |"
                f" {share(c, 'clocks with many within', 'clocks with many'):.1%} |"
                f" {share(c, 'clocks sure beyond claim', 'clocks sure'):.1%} | {share(c, 'clocks sure', 'clocks'):.1%} |"
                if own
                else " | | | |"
            )
        )
        sys.stderr.write(f"{name}: {dict(c)}\n{lines[-1]}\n")
    return "\n".join(lines)


def measure_taking_in(count: int) -> str:
    """Take in 12-megapixel JPEGs on two threads; give pictures a second and the most memory."""
    from datetime import UTC, datetime

    from notebook.jobs.opening import open_archive, open_job
    from notebook.jobs.pictures import take_pictures
    from notebook.shop import open_shop

    with tempfile.TemporaryDirectory() as where:
        folder = Path(where)
        dice = np.random.default_rng(3)
        rough = Image.fromarray(dice.integers(0, 255, (94, 125, 3), dtype=np.uint8)).resize((4000, 3000))
        rough.save(folder / "p.jpg", quality=92)
        content = (folder / "p.jpg").read_bytes()
        paths = []
        for n in range(count):
            paths.append(folder / f"p{n}.jpg")
            paths[-1].write_bytes(content + n.to_bytes(4))  # a tail after the end mark makes each one different
        shop = open_shop(folder / "shop")
        with open_archive(shop) as archive:
            job = open_job(archive, shop, number="1", machine="winch", opened=datetime(2026, 3, 4, tzinfo=UTC))
            begun = time.perf_counter()
            take_pictures(archive, shop, job, paths, lambda _outcome: None, lambda _what, _done, _of: None)
            took_s = time.perf_counter() - begun
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return f"{count / took_s:.0f} pictures of 12 megapixels ({len(content) / 1e6:.1f} MB) a second on two threads, at most {peak_mb:.0f} MB"


def measure_linking() -> str:
    """Link a job of about a hundred pictures."""
    session = next(s for s in map(simulate_session, range(500)) if 98 <= len(s.photos) <= 102)
    begun = time.perf_counter()
    by_notebook(session)
    took_s = time.perf_counter() - begun
    return f"{len(session.photos)} pictures and {len(session.remarks)} remarks linked in {took_s:.2f} s"


if __name__ == "__main__":
    print(measure_taking_in(60), flush=True)  # noqa: T201
    print(measure_taking_in(240), flush=True)  # noqa: T201
    print(measure_linking(), flush=True)  # noqa: T201
    print(table(int(sys.argv[1]) if len(sys.argv) > 1 else SESSIONS))  # noqa: T201
