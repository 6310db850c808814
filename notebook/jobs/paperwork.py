"""Makes what leaves the bench: loads a job, puts its facts together, and writes PDF, HTML and lists into a folder.

In: a job of the archive, the shop, a folder. Out: files, and beside them what could not be done. Nothing in the
archive is changed. Made twice, the bytes are the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import Any

from notebook.archive.store import Archive
from notebook.archive.walked import rebuild_sittings
from notebook.documents.deciding_words import state_words
from notebook.documents.order_sheet import OrderSheet, make_order_sheet, order_csv
from notebook.documents.paper import Head, PictureBook, job_day
from notebook.documents.prices import PriceList, price_work, read_prices
from notebook.documents.rebuild_sheet import RebuildSheet, make_rebuild_sheet
from notebook.documents.strip_report import StripReport, make_strip_report
from notebook.errors import NOTHING_FOUND, NotebookError, Problem, one_line
from notebook.history.training import Voice, make_training_pack
from notebook.jobs.limits import limits_for
from notebook.log.facts import PartFacts, gather_facts, group_by_assembly
from notebook.log.gaps import Gap, find_gaps
from notebook.log.labour import Labour, estimate_labour
from notebook.log.order_list import OrderLine, is_wanted, list_orders
from notebook.log.places import follow_places
from notebook.log.rebuild import plan_rebuild
from notebook.log.rebuilding import without_rebuild
from notebook.log.standing import CHANGES_A_PART, find_proposals
from notebook.nouns import Job, Log, Photo
from notebook.reading.names import names_of, table_name
from notebook.shop import PaperSettings, Shop
from notebook.tables.cautions import cautions_for

PRINT_PX = 1000
"""Longest side of a picture: 66 mm wide that is 385 dots an inch, sharp at arm's length."""
FEWER_PX = ((60, 640), (24, 800))
"""Above so many pictures in one document each is made smaller, so that the file can still be sent: 800 are 308 dots an inch."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """A document in every form it was made in."""

    values: Any
    files: Mapping[str, bytes]
    """Content by the end of the file's name: `pdf`, `html`, `csv`, `xlsx`."""
    problems: tuple[Problem, ...] = ()


@dataclass(slots=True, kw_only=True)
class _Pictures:
    content: dict[str, bytes] = field(default_factory=dict)
    sizes: dict[str, tuple[int, int]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def job_facts(shop: Shop, log: Log) -> tuple[PartFacts, ...]:
    """Sort what was said about each part of a job, with the limits of its machine."""
    return gather_facts(log, limits_for(shop, log.job.machine))


def job_gaps(archive: Archive, shop: Shop, job: Job) -> tuple[Gap, ...]:
    """Give what has not been said about a job; a usual caution that nobody has read yet stands among them."""
    log = archive.load_log(job)
    parts = job_facts(shop, log)
    return (*find_gaps(log, parts, unread_cautions(archive, job, parts)), *shared_places(archive, job))


def shared_places(archive: Archive, job: Job) -> tuple[Gap, ...]:
    """Give the places of a job that hold things of another open job too."""
    if job.closed is not None:
        return ()
    places = follow_places([archive.load_log(j) for j in reversed(archive.all_jobs()) if j.closed is None])
    return tuple(
        Gap(kind="shared", about=p.name, words=p.doubt)
        for p in places
        if p.doubt and any(k.job_id == job.id for k in p.things)
    )


def unread_cautions(archive: Archive, job: Job, parts: Iterable[PartFacts]) -> list[str]:
    """Give the grave usual cautions for the parts of a job that were not read yet."""
    read = archive.cautions_read(job.id)
    return [c for c in _grave_cautions(parts) if c not in read]


def read_cautions(archive: Archive, shop: Shop, job: Job, *, person: str | None, now: datetime) -> list[str]:
    """Note that the cautions still unread were read, and give them."""
    unread = unread_cautions(archive, job, job_facts(shop, archive.load_log(job)))
    archive.add_cautions_read(job.id, unread, person, now)
    return unread


def _grave_cautions(parts: Iterable[PartFacts]) -> list[str]:
    return [c.text for c in cautions_for(p.part.component for p in parts) if c.level == "high"]


def report_papers(
    archive: Archive,
    shop: Shop,
    job: Job,
    *,
    paper: str | None = None,
    prices: Path | None = None,
    with_labour: bool = False,
) -> Papers:
    """Make the strip report of a job; raises NotebookError where the price list cannot be read."""
    log = archive.load_log(job)
    parts = job_facts(shop, log)
    settings = _settings(shop, paper)
    assemblies = group_by_assembly(parts)
    labour = estimate_labour(log, assemblies) if with_labour else ()
    problems: list[Problem] = []
    estimate = None
    if prices is not None:
        listed, wrong = _load_prices(prices)
        problems.extend(wrong)
        wanted = [
            (p.facts.name, _how_many(p.count, p.facts), state_words(p))
            for p in find_proposals(parts)
            if CHANGES_A_PART & {p.action, *p.also} and p.state != "declined"
        ]
        estimate = price_work(
            wanted, _hours(labour), listed, names_of, currency=settings.currency, hourly_rate=settings.hourly_rate if with_labour else Decimal(0),
            tax_name=settings.tax_name, tax_percent=settings.tax_percent,
        )  # fmt: skip
    usual = _grave_cautions(parts)
    report, book = make_strip_report(log, parts, settings, labour=labour, estimate=estimate, usual_cautions=usual)
    return _set("report", report, [log], book, shop, settings, job_day(log), problems, has_appendix=True)


def order_papers(
    archive: Archive, shop: Shop, jobs: Sequence[Job], *, paper: str | None = None, with_all: bool = False
) -> Papers:
    """Make the order list of one job or several."""
    lines: list[OrderLine] = []
    days = []
    for job in jobs:
        log = archive.load_log(job)
        parts = job_facts(shop, log)
        lines.extend(list_orders(log, parts, find_proposals(parts)))
        days.append(job_day(log))
    shown = [x for x in lines if is_wanted(x) or (with_all and x.state not in ("declined", "done"))]
    left_out = len([x for x in lines if x not in shown and x.state not in ("declined", "done")])
    settings = _settings(shop, paper)
    sheet = make_order_sheet(jobs, shown, max(days), settings, left_out=left_out)
    papers = _set("order", sheet, [], None, shop, settings, max(days), [])
    from notebook.documents.spreadsheet import order_xlsx

    files = {**papers.files, "csv": order_csv(sheet).encode("utf-8-sig"), "xlsx": order_xlsx(sheet, max(days))}
    return replace(papers, files=files)


def rebuild_papers(archive: Archive, shop: Shop, job: Job, *, paper: str | None = None) -> Papers:
    """Make the rebuild sheet of a job; what was said while it went together is no part of it."""
    log = without_rebuild(archive.load_log(job), rebuild_sittings(archive, job.id))
    parts = job_facts(shop, log)
    settings = _settings(shop, paper)
    sheet, book = make_rebuild_sheet(log, plan_rebuild(log, parts), settings, usual_cautions_by_part(parts))
    return _set("rebuild", sheet, [log], book, shop, settings, job_day(log), [])


def training_papers(
    archive: Archive, shop: Shop, kind: str, *, paper: str | None = None, voices: Sequence[str] = ()
) -> Papers:
    """Make the training pack of every job whose machine is of a kind; raises NotebookError where there is none."""
    jobs = jobs_of_kind(archive, kind)
    loaded = [(log, job_facts(shop, log)) for log in (archive.load_log(job) for job in jobs)]
    settings = _settings(shop, paper)
    usual = _grave_cautions(p for _, parts in loaded for p in parts)
    made = make_training_pack(
        kind, loaded, settings, table_name, voices=[*settings.voices, *voices], usual_cautions=usual
    )
    problems: list[Problem] = []
    sounds = _cut_voices(archive, shop, made.voices, problems)
    logs = [log for log, _ in loaded]
    day = max(job_day(log) for log in logs)
    return _set("train", made.pack, logs, made.book, shop, settings, day, problems, sounds=sounds)


def jobs_of_kind(archive: Archive, kind: str) -> list[Job]:
    """Give the jobs whose machine is of a kind ("winch" is in "forestry winch"); raises NotebookError for none."""
    jobs = archive.all_jobs()
    wanted = _plain(kind)
    found = [j for j in jobs if wanted.strip() and wanted in _plain(j.machine.kind)]
    if not found:
        kinds = sorted({one_line(j.machine.kind) for j in jobs})
        near = f"There are: {', '.join(kinds[:12])}." if kinds else "Open one with: teardown new NUMBER --machine TEXT"
        raise NotebookError(f"There is no job on a {one_line(kind)}.", near, NOTHING_FOUND)
    return found


def _plain(kind: str) -> str:
    return f" {' '.join(kind.casefold().replace('-', ' ').replace('_', ' ').split())} "


def _cut_voices(archive: Archive, shop: Shop, voices: Sequence[Voice], problems: list[Problem]) -> dict[str, bytes]:
    """Cut the sound of remarks; one whose sound is gone becomes a problem, and its words stay."""
    if not voices:
        return {}
    from notebook.audio.clip import make_clip
    from notebook.jobs.playing import sound_of_remark

    out = {}
    for voice in voices:
        try:
            out[voice.file] = make_clip(sound_of_remark(archive, shop, voice.remark))
        except NotebookError as error:
            about = f"voice of remark {voice.remark.order}"
            problems.append(Problem(about=about, message=error.message, remedy="Its words are there."))
    return out


def usual_cautions_by_part(parts: Iterable[PartFacts]) -> dict[str, tuple[str, ...]]:
    """Give the usual cautions of each part by its id, each caution with the part that goes on first."""
    shown: set[str] = set()
    out = {}
    for facts in sorted(parts, key=lambda p: -(p.part.order or 0)):
        fresh = [c for c in _grave_cautions([facts]) if c not in shown]
        shown.update(fresh)
        out[facts.part.id] = tuple(fresh)
    return out


def write_papers(papers: Papers, folder: Path, stem: str) -> list[Path]:
    """Write every form of a document, each whole or not at all; raises NotebookError where the folder cannot be used."""
    written = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for end, content in papers.files.items():
            path = folder / f"{stem}.{end}"
            part = path.with_name(f".{path.name}.part")
            part.write_bytes(content)
            part.replace(path)
            written.append(path)
    except OSError as error:
        raise NotebookError(
            f"The document cannot be written to {one_line(str(folder))} ({error.strerror}).",
            "Free some room, or name another folder with --to.",
        ) from error
    return written


def file_stem(*words: str) -> str:
    """Make a file name of a job number and what it is, whatever the number holds."""
    return "-".join(re.sub(r"[^\w.]+", "-", w).strip("-.")[:60] or "job" for w in words)


def papers_folder(shop: Shop, to: Path | None) -> Path:
    """Give the folder for documents: the one named, else `documents` of the shop folder."""
    return to.expanduser() if to is not None else shop.folder / "documents"


def _settings(shop: Shop, paper: str | None) -> PaperSettings:
    return replace(shop.settings.paper, size=paper) if paper else shop.settings.paper


def _load_prices(path: Path) -> tuple[PriceList, list[Problem]]:
    try:
        return read_prices(path.read_text("utf-8-sig"), path.name)
    except (OSError, UnicodeDecodeError) as error:
        said = error.strerror if isinstance(error, OSError) else "it is no text"
        raise NotebookError(
            f"The price list {one_line(str(path))} cannot be read ({said}).",
            "Save it as CSV in UTF-8 and name it again.",
        ) from error


def _how_many(count: int | None, facts: PartFacts) -> int | None:
    found = [s.entry.count for s in facts.defects if s.entry.count is not None]
    return count if count is not None else max(found, default=None)


def _hours(labour: Sequence[Labour]) -> Decimal:
    seconds = sum(int(row.spent.total_seconds()) for row in labour)
    return (Decimal(seconds) / 3600).quantize(Decimal("0.1"))


def _set(
    template: str, values: StripReport | OrderSheet | RebuildSheet | Any, logs: Sequence[Log], book: PictureBook | None, shop: Shop,
    settings: PaperSettings, day: datetime, problems: Sequence[Problem], *, has_appendix: bool = False, sounds: Mapping[str, bytes] | None = None,
) -> Papers:  # fmt: skip
    """Set a document as PDF and HTML; where the typesetter is missing or fails, the HTML is made all the same."""
    from notebook.documents.make_html import make_html
    from notebook.documents.make_pdf import make_pdf

    head: Head = values.head
    pictures = load_pictures(logs, book)
    told = [*problems, *pictures.problems]
    if head.mark is not None:
        _load_mark(shop, settings, head.mark, pictures)
        if head.mark not in pictures.content:
            values = replace(values, head=replace(head, mark=None))
    files: dict[str, bytes] = {}
    try:
        files["pdf"] = make_pdf(
            template, values, pictures.content, pictures.sizes, paper=settings.size, day=day, has_appendix=has_appendix
        )
    except NotebookError as error:
        told.append(Problem(about="PDF", message=error.message, remedy=error.remedy))
    files["html"] = make_html(
        template,
        values,
        pictures.content,
        pictures.sizes,
        paper=settings.size,
        has_appendix=has_appendix,
        sounds=sounds,
    ).encode()
    return Papers(values=values, files=files, problems=tuple(told))


def load_pictures(logs: Sequence[Log], book: PictureBook | None) -> _Pictures:
    """Make the prints of the pictures in the book of a document; one that is missing or broken becomes a problem."""
    from notebook.photos.take import make_print, picture_size

    photos = {photo.id: (log, photo) for log in logs for photo in log.photos}
    listed = book.taken.values() if book is not None else ()
    wanted = [
        (picture.file, _original(log, photo), photo.name)
        for picture in listed
        for log, photo in [photos[picture.photo_id]]
    ]
    out = _Pictures()
    longest_px = next((px for above, px in FEWER_PX if len(wanted) > above), PRINT_PX)
    with ThreadPoolExecutor(max_workers=2) as pool:
        made = pool.map(lambda w: make_print(w[1], longest_px) if w[1] is not None else None, wanted)
        for (file, _, name), content in zip(wanted, made, strict=True):
            if isinstance(content, bytes):
                out.content[file] = content
                out.sizes[file] = picture_size(content)
            else:
                why = content.message if isinstance(content, Problem) else "The picture file is missing."
                out.problems.append(
                    Problem(about=one_line(name), message=why, remedy="The document is made without it.")
                )
    return out


def _original(log: Log, photo: Photo) -> Path | None:
    if log.folder is None:
        return None
    kept = (log.folder / "photos").glob(f"{photo.sha256}.*")
    return next((p for p in sorted(kept) if not p.name.endswith(".small.jpg")), None)


def _load_mark(shop: Shop, settings: PaperSettings, file: str, pictures: _Pictures) -> None:
    from notebook.photos.take import make_print, picture_size

    made = make_print(shop.folder / Path(settings.mark).name, PRINT_PX)
    if isinstance(made, bytes):
        pictures.content[file], pictures.sizes[file] = made, picture_size(made)
    else:
        pictures.problems.append(replace(made, about="the shop's mark"))
