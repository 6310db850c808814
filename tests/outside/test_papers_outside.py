"""The documents before judges of their own: qpdf, pdfinfo and pdftotext (Debian) for paper, a browser and axe-core for HTML.

Outside: qpdf, poppler-utils and chromium of Debian, Playwright, and axe-core (Deque's rules for WCAG 2), put by
`.ci/run` into `build/node` with npm. Each is skipped with a word where it is not to be had.
"""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from notebook.documents.make_html import make_html
from notebook.documents.make_pdf import make_pdf
from notebook.documents.order_sheet import make_order_sheet
from notebook.documents.paper import job_day
from notebook.documents.rebuild_sheet import make_rebuild_sheet
from notebook.documents.strip_report import make_strip_report
from notebook.history.training import make_training_pack
from notebook.jobs.paperwork import load_pictures
from notebook.log.facts import gather_facts
from notebook.log.order_list import list_orders
from notebook.log.rebuild import plan_rebuild
from notebook.log.standing import find_proposals
from notebook.nouns import Log
from notebook.reading.names import table_name
from notebook.shop import PaperSettings
from tests.conftest import ROOT
from tests.documents.paper_job import make_paper_log

SETTINGS = PaperSettings(name="Bench and Sons", address=("1 Mill Lane",))
AXE = ROOT / "build" / "node" / "node_modules" / "axe-core" / "axe.min.js"
NAMES = ("report", "order", "rebuild", "train")


def _documents(log: Log) -> dict[str, tuple[Any, Any]]:
    from dataclasses import replace

    parts = gather_facts(log)
    report = make_strip_report(log, parts, SETTINGS)
    rebuild = make_rebuild_sheet(log, plan_rebuild(log, parts), SETTINGS)
    order = make_order_sheet([log.job], list_orders(log, parts, find_proposals(parts)), job_day(log), SETTINGS)
    pack = make_training_pack("winch", [(log, parts)], SETTINGS, table_name)
    tips = tuple(replace(t, sound="s001.mp3") for t in pack.pack.tips)
    return {
        "report": report,
        "rebuild": rebuild,
        "order": (order, None),
        "train": (replace(pack.pack, tips=tips), pack.book),
    }


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make the four documents of an invented job in a folder."""
    folder = tmp_path_factory.mktemp("papers")
    log = make_paper_log(folder, pictures=8)
    for name, (values, book) in _documents(log).items():
        pictures = load_pictures([log], book)
        pdf = make_pdf(
            name, values, pictures.content, pictures.sizes, paper="a4", day=job_day(log), has_appendix=name == "report"
        )
        (folder / f"{name}.pdf").write_bytes(pdf)
        html = make_html(
            name,
            values,
            pictures.content,
            pictures.sizes,
            paper="a4",
            has_appendix=name == "report",
            sounds={"s001.mp3": _tone()},
        )
        (folder / f"{name}.html").write_text(html, "utf-8")
    return folder


def _tone() -> bytes:
    """Give half a second of a tone as the pack holds voices."""
    import numpy as np

    from notebook.audio.clip import make_clip

    return make_clip((np.sin(np.arange(8000) / 8) * 8000).astype(np.int16))


def test_a_clip_is_as_long_as_its_sound_and_the_same_every_time() -> None:
    """Read back by ffmpeg's decoder through PyAV; an MP3 frame is 576 samples at 16 kHz (ISO/IEC 13818-3)."""
    av = pytest.importorskip("av")
    clip = _tone()
    assert clip == _tone()
    with av.open(io.BytesIO(clip)) as file:
        samples = sum(frame.samples for frame in file.decode(audio=0))
    assert 8000 <= samples <= 8000 + 4 * 576


@pytest.mark.parametrize("name", NAMES)
def test_the_pdf_is_whole_and_tagged(name: str, made: Path) -> None:
    for tool, package in (("qpdf", "qpdf"), ("pdfinfo", "poppler-utils")):
        if shutil.which(tool) is None:
            pytest.skip(f"{tool} is not here: apt-get install {package}")
    path = str(made / f"{name}.pdf")
    checked = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
    assert checked.returncode == 0, checked.stdout + checked.stderr
    told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    assert [line.split()[-1] for line in told.splitlines() if line.startswith("Tagged:")] == ["yes"]


def test_the_text_of_the_pdf_holds_every_defect_and_every_page_its_head(made: Path) -> None:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not here: apt-get install poppler-utils")
    text = subprocess.run(
        ["pdftotext", "-layout", str(made / "report.pdf"), "-"], capture_output=True, text=True, check=True
    ).stdout
    for facts in gather_facts(make_paper_log(made, pictures=8)):
        for said in facts.defects:
            assert said.entry.condition in text.lower()
            assert facts.part.component in text.lower()
    pages = [p for p in text.split("\f") if p.strip()]
    for n, page in enumerate(pages, 1):
        assert "2041" in page
        assert "winch" in page
        assert "4 March 2026" in page
        assert f"page {n} of {len(pages)}" in page


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Give Debian's chromium, driven by Playwright."""
    driver = pytest.importorskip("playwright.sync_api")
    chromium = shutil.which("chromium")
    if chromium is None:
        pytest.skip("chromium is not here: apt-get install chromium")
    with driver.sync_playwright() as play:
        found = play.chromium.launch(
            executable_path=chromium, args=["--no-sandbox", "--autoplay-policy=no-user-gesture-required"]
        )
        yield found
        found.close()


@pytest.mark.parametrize("name", NAMES)
def test_the_page_opens_without_an_error_and_asks_for_nothing(name: str, made: Path, browser: Any) -> None:
    page = browser.new_page()
    asked: list[str] = []
    errors: list[str] = []
    page.on("request", lambda r: asked.append(r.url))
    page.on("pageerror", lambda e: errors.append(str(e)))
    page.on("console", lambda m: errors.append(m.text) if m.type in ("error", "warning") else None)
    page.goto((made / f"{name}.html").as_uri())
    page.wait_for_load_state("load")
    assert not errors
    assert [u for u in asked if not u.startswith(("data:", "file:"))] == []
    assert len([u for u in asked if u.startswith("file:")]) == 1
    assert page.evaluate("[...document.images].every(i => i.complete && i.naturalWidth > 0)")
    page.close()


@pytest.mark.parametrize("name", NAMES)
def test_axe_finds_nothing_serious(name: str, made: Path, browser: Any) -> None:
    if not AXE.is_file():
        pytest.skip("axe-core is not here: npm install --prefix build/node --no-save axe-core")
    context = browser.new_context(bypass_csp=True)
    page = context.new_page()
    page.goto((made / f"{name}.html").as_uri())
    page.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    page.add_script_tag(path=str(AXE))
    found = page.evaluate(
        "axe.run().then(r => r.violations.map(v => [v.impact, v.id, v.nodes.map(n => n.html).slice(0, 3)]))"
    )
    assert [v for v in found if v[0] in ("serious", "critical")] == []
    context.close()


def test_the_voice_plays_and_the_answers_unfold_by_keyboard(made: Path, browser: Any) -> None:
    page = browser.new_page()
    page.goto((made / "train.html").as_uri())
    seconds = page.evaluate("""async () => {
        const sound = document.querySelector('audio');
        await sound.play();
        await new Promise((done, failed) => { sound.onended = done; sound.onerror = failed; });
        return sound.currentTime;
    }""")
    assert seconds == pytest.approx(0.5, abs=0.2)
    page.focus("details summary")
    page.keyboard.press("Enter")
    assert page.evaluate("document.querySelector('details').open")
    page.close()


@pytest.mark.parametrize("name", NAMES)
def test_the_page_prints_to_sane_pages(name: str, made: Path, browser: Any) -> None:
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not here: apt-get install poppler-utils")
    page = browser.new_page()
    page.goto((made / f"{name}.html").as_uri())
    printed = made / f"{name}-printed.pdf"
    printed.write_bytes(page.pdf(prefer_css_page_size=True))
    page.close()
    text = subprocess.run(
        ["pdftotext", "-layout", str(printed), "-"], capture_output=True, text=True, check=True
    ).stdout
    pages = [p for p in text.split("\f") if p.strip()]
    assert 1 <= len(pages) <= 9
    assert all(f"page {n} of {len(pages)}" in p for n, p in enumerate(pages, 1))
