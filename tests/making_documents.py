"""Makes the documents of the demonstration job again: what `demo_session/documents` holds.

In: the demonstration, and `demo_session/corrections.toml`, what its mechanic puts right. Out: the documents.
Run it after anything changes what is heard or read: python -m tests.making_documents
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
import tomllib
from collections.abc import Iterator, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from notebook.archive.store import Archive
from notebook.entries import Entry
from notebook.jobs.mending import mend_entry, mend_text
from notebook.jobs.opening import find_job, open_archive
from notebook.jobs.paperwork import Papers, order_papers, rebuild_papers, report_papers, training_papers
from notebook.nouns import Log
from notebook.shop import Shop, open_shop
from tests.demo_shop import fresh_demo_shop

ROOT = Path(__file__).parents[1]
SESSION = ROOT / "demo_session"
KEPT = SESSION / "documents"
FORMS = {"report": ("pdf", "html"), "order": ("pdf", "csv", "xlsx"), "rebuild": ("pdf",), "training": ("pdf", "html")}
SETTINGS = """
[paper]
name = "An invented workshop"
address = ["Invented job: synthetic voices,", "rendered pictures"]
currency = "EUR"
tax_percent = 20
hourly_rate = 60
voices = ["Maren"]
"""


def make_documents(folder: Path) -> dict[str, Papers]:
    """Make the documents of the demonstration's job, put right."""
    shop = corrected_shop(folder)
    with open_archive(shop) as archive:
        job = find_job(archive, "2041")
        return {
            "report": report_papers(archive, shop, job, prices=SESSION / "prices.csv"),
            "order": order_papers(archive, shop, [job], with_all=True),
            "rebuild": rebuild_papers(archive, shop, job),
            "training": training_papers(archive, shop, "skidding winch"),
        }


def corrected_shop(folder: Path) -> Shop:
    """Put right in a copy of the demonstration's shop what its mechanic puts right."""
    shutil.copytree(fresh_demo_shop(), folder / "shop")
    (folder / "shop" / "shop.toml").write_text(SETTINGS, "utf-8")
    shop = open_shop(folder / "shop")
    with open_archive(shop) as archive:
        correct(archive, shop, tomllib.loads((SESSION / "corrections.toml").read_text("utf-8")))
    return shop


def correct(archive: Archive, shop: Shop, said: dict[str, Any]) -> None:
    """Make every correction that is not there already."""
    job = find_job(archive, "2041")
    log = archive.load_log(job)
    now = datetime(2026, 3, 4, 17, 0, tzinfo=UTC)
    for words in said["words"]:
        remark = log.remarks[words["remark"] - 1]
        if remark.text != words["text"]:
            log = mend_text(archive, job, remark, words["text"], person="Maren", now=now, shop=shop)
    for entry in said["entry"]:
        for found in _entries(log, entry):
            remark = log.remarks[entry["remark"] - 1]
            action = "strike" if entry.get("strike") else "set"
            changes = {} if entry.get("strike") else {entry["field"]: entry["value"]}
            log = mend_entry(
                archive, job, remark, found.id, action=action, changes=changes, person="Maren", now=now, shop=shop
            )


def _entries(log: Log, wanted: dict[str, Any]) -> Sequence[Entry]:
    return [
        e
        for e in log.remarks[wanted["remark"] - 1].entries
        if not e.struck and e.kind == wanted["kind"] and _is_of(e, wanted)
    ]


def _is_of(entry: Entry, wanted: dict[str, Any]) -> bool:
    parts = (getattr(entry, "component", None), *getattr(entry, "contents", ()))
    if wanted["part"] not in parts:
        return False
    return bool(wanted.get("strike")) or str(getattr(entry, wanted["field"], None) or "") != wanted["value"]


def forms(made: dict[str, Papers]) -> Iterator[tuple[str, bytes]]:
    """Give the file name and content of each form that is kept."""
    for name, papers in made.items():
        for form in FORMS[name]:
            yield f"winch-{name}.{form}", papers.files[form]


def main() -> int:
    """Write the documents of the demonstration."""
    KEPT.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        made = make_documents(Path(folder))
        for name, papers in made.items():
            for problem in papers.problems:
                print(f"{name}: {problem}", file=sys.stderr)  # noqa: T201
        for file, content in forms(made):
            (KEPT / file).write_bytes(content)
            print(f"{len(content):>9}  {file}")  # noqa: T201
    draw_pages()
    return 0


def draw_pages() -> None:
    """Draw the first page of each document side by side, for the README; needs pdftoppm (Debian poppler-utils)."""
    import io

    from PIL import Image

    pages = []
    for name in FORMS:
        drawn = subprocess.run(
            ["pdftoppm", "-png", "-r", "68", "-singlefile", str(KEPT / f"winch-{name}.pdf")],
            capture_output=True,
            check=True,
        ).stdout
        pages.append(Image.open(io.BytesIO(drawn)).convert("RGB"))
    gap = 14
    columns = [[pages[0]], [pages[2]], [pages[3]]]
    width = sum(max(p.width for p in column) for column in columns) + gap * 4
    tallest = max(p.height for p in pages)
    sheet = Image.new("RGB", (width, tallest + pages[1].height + gap * 3), (205, 205, 205))
    at = gap
    for column in columns:
        sheet.paste(column[0], (at, gap))
        at += column[0].width + gap
    sheet.paste(pages[1], ((width - pages[1].width) // 2, tallest + gap * 2))
    sheet.save(KEPT / "pages.jpg", quality=80, optimize=True)


if __name__ == "__main__":
    sys.exit(main())
