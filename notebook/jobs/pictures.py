"""Takes pictures into a job: from files, folders, cards and a folder that is watched; safe to stop and to run again.

In: paths. Out: counts and problems, in the intake. Two pictures are read at a time and no more are held in memory.
Originals are kept byte for byte; a twin is taken once; of a whole card only the pictures of the job's days are taken.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Generator, Iterable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from notebook.archive.store import Archive
from notebook.errors import NotebookError, Problem
from notebook.jobs.opening import lasting_id
from notebook.nouns import Job, Photo
from notebook.shop import Shop

if TYPE_CHECKING:
    from notebook.photos.take import Taken

WHOLE_CARD_PICTURES = 200
"""A folder of more than this is looked through for the job's days, as is any with a DCIM folder in it."""
DAYS_AROUND = timedelta(hours=50)
"""A clock may be 26 h off, and what came the day before or after is offered too."""
_AT_ONCE = 2


def take_pictures(
    archive: Archive, shop: Shop, job: Job, pictures: Sequence[Path], tell: Callable[[Photo | Problem | None], None], progress: Callable[[str, float, float], None],
) -> None:  # fmt: skip
    """Take each picture in; `tell` gets the photo, the problem, or None for a twin. A full disk stops it."""
    for n, (path, taken) in enumerate(_read_ahead(pictures, shop.settings.zone)):
        progress("photos", n, len(pictures))
        if isinstance(taken, Problem):
            tell(taken)
            continue
        try:
            tell(keep_photo(archive, shop, job, path, taken))
        except NotebookError as error:
            if "disk is full" in error.message.lower():
                raise
            tell(Problem(about=path.name, message=error.message, remedy=error.remedy))
    progress("photos", len(pictures), len(pictures))


def keep_photo(archive: Archive, shop: Shop, job: Job, path: Path, taken: Taken) -> Photo | None:
    """Keep a picture that was read: original, thumbnail, row; None for a twin of one that is there."""
    from notebook.photos.keep import keep_original, keep_thumbnail

    if archive.has_photo(job.id, taken.sha256):
        return None
    folder = shop.job_folder(job.id) / "photos"
    original = keep_original(path, folder, taken.sha256)
    small = keep_thumbnail(taken.thumbnail, folder, taken.sha256)
    photo = taken.as_photo(lasting_id(job.id, taken.sha256))
    is_new = archive.add_photo(
        job.id, photo, str(original.relative_to(shop.folder)), str(small.relative_to(shop.folder))
    )
    return photo if is_new else None


def leave_other_days(
    archive: Archive, shop: Shop, job: Job, folder: Path, pictures: Sequence[Path]
) -> tuple[list[Path], Problem | None]:
    """Give the pictures of a card that are of the job's days, or have no time; and a word about the rest."""
    from notebook.photos.take import peek_moment

    is_card = any(part.upper() == "DCIM" for path in pictures for part in path.relative_to(folder.parent).parts)
    if len(pictures) <= WHOLE_CARD_PICTURES and not is_card:
        return list(pictures), None
    first, last = days_of_job(archive, job)
    kept: list[Path] = []
    left: list[datetime] = []
    for path in pictures:
        moment = peek_moment(path, shop.settings.zone)
        if moment is None or first - DAYS_AROUND <= moment <= last + DAYS_AROUND:
            kept.append(path)
        else:
            left.append(moment)
    if not left:
        return kept, None
    return kept, Problem(
        about=folder.name or str(folder),
        message=f"{len(left)} of its {len(pictures)} pictures are of other days ({min(left):%Y-%m-%d} to {max(left):%Y-%m-%d}) and were left;"
        f" the {len(kept)} of the job's days, {first:%Y-%m-%d} to {last:%Y-%m-%d}, were looked at.",
        remedy="Take all of them with --all-days.",
    )  # fmt: skip


def days_of_job(archive: Archive, job: Job) -> tuple[datetime, datetime]:
    """Give the first and last moment of a job that is known."""
    said = [r.at for r in archive.load_log(job).remarks if r.at is not None]
    known = [*said, job.opened, job.closed or (job.opened if said else datetime.now(UTC))]
    return min(known), max(known)


def _read_ahead(pictures: Iterable[Path], zone: str) -> Iterator[tuple[Path, Taken | Problem]]:
    """Read pictures on two threads, never more than two ahead, so that memory stays flat."""
    from notebook.photos.take import take_photo

    waiting: deque[tuple[Path, Future[Taken | Problem]]] = deque()
    with ThreadPoolExecutor(_AT_ONCE, thread_name_prefix="pictures") as pool:
        try:
            for path in pictures:
                waiting.append((path, pool.submit(take_photo, path, zone)))
                if len(waiting) > _AT_ONCE:
                    done, future = waiting.popleft()
                    yield done, future.result()
            while waiting:
                done, future = waiting.popleft()
                yield done, future.result()
        finally:
            for _, future in waiting:
                future.cancel()


def watch_pictures(
    folder: Path, stop: Callable[[], bool], *, settle_s: float = 1.0, walk_s: float = 3.0
) -> Generator[list[Path], None, None]:
    """Give pictures that come into a folder, in batches, each once it has stood still and is whole.

    A file written at once into a folder just made gives no event, so the tree is also walked every few seconds.
    A half-copied file waits; one that never gets whole is given after a minute of standing still, to be told of.
    Ends when `stop` says so.
    """
    from watchfiles import watch

    from notebook.photos.find import find_pictures
    from notebook.photos.whole import is_whole_file

    if not folder.is_dir():
        raise NotebookError(f"There is no folder {folder} to watch.", "Make it, or name another.")
    given: dict[Path, tuple[int, int]] = {}
    seen: dict[Path, tuple[tuple[int, int], float]] = {}
    for _ in watch(
        folder, step=100, debounce=400, rust_timeout=round(min(walk_s, settle_s) * 1000), yield_on_timeout=True, raise_interrupt=False,
    ):  # fmt: skip
        if stop():
            return
        now_s = _monotonic_s()
        ready = []
        for path in find_pictures([folder]):
            state = _state_of(path)
            if state is None or given.get(path) == state:
                continue
            if path not in seen or seen[path][0] != state:
                seen[path] = (state, now_s)
                continue
            waited_s = now_s - seen[path][1]
            if waited_s >= 60.0 or (waited_s >= settle_s and is_whole_file(path)):
                given[path] = state
                ready.append(path)
        if ready:
            yield ready


def _monotonic_s() -> float:
    import time

    return time.monotonic()


def _state_of(path: Path) -> tuple[int, int] | None:
    with suppress(OSError):
        found = path.stat()
        return found.st_size, found.st_mtime_ns
    return None
