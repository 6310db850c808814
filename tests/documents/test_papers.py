"""What leaves the bench: every figure is the archive's, what was said is printed as said, and twice is the same."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from dataclasses import asdict, replace
from datetime import UTC, datetime
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from notebook.documents.make_html import css_string, make_html
from notebook.documents.make_pdf import make_pages, make_pdf
from notebook.documents.order_sheet import make_order_sheet, order_csv, order_text
from notebook.documents.paper import job_day, list_words, make_bar
from notebook.documents.prices import price_work, read_prices
from notebook.documents.rebuild_sheet import make_rebuild_sheet, torque_words
from notebook.documents.spreadsheet import order_xlsx
from notebook.documents.strip_report import StripReport, make_strip_report
from notebook.documents.words import amount_words, plain_number
from notebook.entries import Entry, Fastener, Finding, Measurement, Tip
from notebook.errors import NotebookError
from notebook.history.training import PackMade, make_training_pack
from notebook.jobs.paperwork import load_pictures
from notebook.log.facts import gather_facts
from notebook.log.order_list import list_orders
from notebook.log.rebuild import plan_rebuild
from notebook.log.standing import find_proposals
from notebook.log.verdicts import verdicts_of
from notebook.nouns import Log
from notebook.reading.names import table_name
from notebook.shop import PaperSettings

from .logs import make_log
from .paper_job import SAID, make_paper_log

SETTINGS = PaperSettings(name="Bench & Sons")
NASTY = (
    '<script>alert("x")</script> #import "x": * $ x $ `raw` *bold* _under_ [brackets] {{ 7 * 7 }} {% raw %} \\ @ref "quotes"',
    "הקפיץ שבור لا تفتح 🔩🧰 ½ µm “quoted”",
    "word " * 2000,
)


class _Text(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [v or "" for k, v in attrs if k in ("src", "href")]

    def handle_data(self, data: str) -> None:
        self.words.append(data)


def read_html(html: str) -> _Text:
    page = _Text()
    page.feed(html)
    return page


def report_of(log: Log) -> StripReport:
    return make_strip_report(log, gather_facts(log), SETTINGS)[0]


def every_form(log: Log, folder: Path) -> dict[str, bytes]:
    """Make all four documents in every form."""
    parts = gather_facts(log)
    report, report_book = make_strip_report(log, parts, SETTINGS)
    sheet, sheet_book = make_rebuild_sheet(log, plan_rebuild(log, parts), SETTINGS)
    order = make_order_sheet([log.job], list_orders(log, parts, find_proposals(parts)), job_day(log), SETTINGS)
    made = make_training_pack("winch", [(log, parts)], SETTINGS, table_name)
    out: dict[str, bytes] = {"order.csv": order_csv(order).encode(), "order.xlsx": order_xlsx(order, job_day(log))}
    documents: list[tuple[str, Any, Any]] = [("report", report, report_book), ("rebuild", sheet, sheet_book), ("order", order, None), ("train", made.pack, made.book)]  # fmt: skip
    for name, values, book in documents:
        pictures = load_pictures([log], book)
        out[f"{name}.pdf"] = make_pdf(name, values, pictures.content, pictures.sizes, paper="a4", day=job_day(log), has_appendix=name == "report")  # fmt: skip
        out[f"{name}.html"] = make_html(name, values, pictures.content, pictures.sizes, paper="a4", has_appendix=name == "report").encode()  # fmt: skip
    del folder
    return out


def test_made_twice_the_bytes_are_the_same(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path)
    assert every_form(log, tmp_path) == every_form(log, tmp_path)


def test_no_form_holds_the_time_it_was_made(tmp_path: Path) -> None:
    made = every_form(make_paper_log(tmp_path), tmp_path)
    today = f"{datetime.now(UTC):%Y-%m-%d}".encode()
    assert not [name for name, content in made.items() if today in content]
    with zipfile.ZipFile(io.BytesIO(made["order.xlsx"])) as book:
        assert {i.date_time for i in book.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert not [n for n in book.namelist() if today in book.read(n)]


@pytest.mark.parametrize("text", NASTY, ids=["markup", "scripts and emoji", "two thousand words"])
def test_what_was_said_is_printed_as_said(text: str, tmp_path: Path) -> None:
    said: tuple[tuple[str, tuple[Entry, ...]], ...] = ((text, (Finding(component="hub", condition="cracked", position=text[:60]), Tip(text=text))), *SAID)  # fmt: skip
    log = make_paper_log(tmp_path, said=said, pictures=1)
    log = replace(
        log, job=replace(log.job, number='2041 "</style><script>x', machine=replace(log.job.machine, kind=text[:50]))
    )
    made = every_form(log, tmp_path)
    for name in ("report", "train", "rebuild"):
        page = read_html(made[f"{name}.html"].decode())
        assert "script" not in page.tags
        assert " ".join(text.split()).casefold() in " ".join(" ".join(page.words).split()).casefold()
        assert made[f"{name}.pdf"].startswith(b"%PDF")


def test_a_page_asks_for_nothing_from_anywhere(tmp_path: Path) -> None:
    for name, content in every_form(make_paper_log(tmp_path), tmp_path).items():
        if name.endswith(".html"):
            page = read_html(content.decode())
            assert all(link.startswith(("data:", "#")) for link in page.links)
            assert "url(" not in content.decode()
            assert "default-src 'none'" in content.decode()


def test_a_line_leads_to_the_remark_that_said_it(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path)
    html = make_html("report", report_of(log), {}, {}, paper="a4", has_appendix=True)
    targets = set(re.findall(r'id="(r\d+)"', html))
    assert {link[1:] for link in read_html(html).links} <= targets
    assert len(targets) == len(log.remarks)


amounts = st.decimals(min_value=0, max_value=9999, places=3)
said_measurements = st.lists(
    st.builds(
        Measurement, component=st.sampled_from(["lining", "pinion", "bush"]), quantity=st.sampled_from(["thickness", "backlash", "diameter"]), value=amounts,
        unit=st.sampled_from(["mm", "thou"]), role=st.sampled_from(["measured", "limit"]),
    ),
    min_size=1, max_size=8,
)  # fmt: skip


@given(said_measurements, st.integers(1, 9), st.integers(0, 9))
@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_every_figure_is_the_one_that_was_said(said: list[Measurement], count: int, more: int) -> None:
    found = Finding(component="spring", condition="broken", count=count, of=count + more)
    log = make_log(*((f"remark {n}", (e,)) for n, e in enumerate([*said, found])))
    report = report_of(log)
    words = " ".join(str(v) for v in _strings(asdict(report)))
    for measured in said:
        assert plain_number(measured.value or Decimal(0)) in words
    assert f"{'all ' if not more else ''}{count if more else count + more}" in words
    known = {plain_number(m.value or Decimal(0)) for m in said}
    for bar in (b for a in report.found for p in a.parts for b in p.bars):
        assert bar.value.split()[0] in known
        assert 0 <= bar.at <= 1
        assert bar.is_past == bar.verdict.startswith("past")


def _strings(value: object) -> list[str]:
    if isinstance(value, dict):
        return [s for v in value.values() for s in _strings(v)]
    if isinstance(value, (list, tuple)):
        return [s for v in value for s in _strings(v)]
    return [value] if isinstance(value, str) else []


def test_every_defect_is_in_the_report(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path)
    report = report_of(log)
    told = " ".join(_strings(asdict(report)["found"])).lower()
    for facts in gather_facts(log):
        for said in facts.defects:
            assert said.entry.condition in told


def test_summary_counts_what_is_there(tmp_path: Path) -> None:
    summary = " ".join(report_of(make_paper_log(tmp_path)).summary)
    assert "4 parts came off." in summary
    assert (
        "1 measurement was laid beside a limit; 1 past it: brake lining, 1.2 mm, limit 2 mm: past it by 0.8 mm"
        in summary
    )
    assert "Checked and found good: pinion." in summary


def test_a_grave_fault_that_nobody_decided_is_among_what_must_be_done(tmp_path: Path) -> None:
    report = report_of(make_paper_log(tmp_path))
    assert [(w.part, w.action) for w in report.must] == [("Brake lining", "replace 2"), ("Spring", "to be decided")]
    assert not report.undecided


def test_not_looked_at_is_never_good(tmp_path: Path) -> None:
    report = report_of(make_paper_log(tmp_path))
    assert ["hub" in line.words for line in report.not_looked_at] == [True]
    assert not [line for line in report.good if "ub:" in line.words]


def test_a_bar_stands_where_the_value_is() -> None:
    said = [Measurement(quantity="thickness", value=Decimal("1.2"), unit="mm"), Measurement(quantity="thickness", value=Decimal(2), unit="mm", role="limit")]  # fmt: skip
    bar = make_bar(verdicts_of(said)[0])
    assert bar is not None
    assert (bar.at, bar.low, bar.is_past) == (0.48, 0.8, True)


@pytest.mark.parametrize("pictures", [0, 1, 130])
def test_any_number_of_pictures(pictures: int, tmp_path: Path) -> None:
    log = make_paper_log(tmp_path, pictures=pictures)
    report, book = make_strip_report(log, gather_facts(log), SETTINGS)
    assert len(book.taken) == pictures
    html = make_html("report", report, {}, {}, paper="a4", has_appendix=True)
    assert html.count("<figure>") == pictures


def test_a_missing_and_a_broken_picture_are_told_and_the_rest_is_made(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path, pictures=3)
    kept = sorted((tmp_path / "photos").glob("*.jpg"))
    kept[0].unlink()
    kept[1].write_bytes(b"no picture")
    report, book = make_strip_report(log, gather_facts(log), SETTINGS)
    pictures = load_pictures([log], book)
    assert len(pictures.content) == 1
    assert [p.about for p in pictures.problems] == ["IMG_0.jpg", "IMG_1.jpg"]
    html = make_html("report", report, pictures.content, pictures.sizes, paper="a4", has_appendix=True)
    assert html.count("The picture file is missing.") == 2


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_pages_have_the_size_asked_for(paper: str, tmp_path: Path) -> None:
    """A4 is 210 by 297 mm (ISO 216), US letter 8.5 by 11 in (ASME Y14.1)."""
    log = make_paper_log(tmp_path)
    report, book = make_strip_report(log, gather_facts(log), SETTINGS)
    pictures = load_pictures([log], book)
    page = make_pages("report", report, pictures.content, pictures.sizes, paper=paper, day=job_day(log), has_appendix=True, dots_per_inch=72)[0]  # fmt: skip
    width, height = (int.from_bytes(page[at : at + 4]) for at in (16, 20))
    wanted = (595, 842) if paper == "a4" else (612, 792)
    assert abs(width - wanted[0]) <= 1
    assert abs(height - wanted[1]) <= 1


def test_list_holds_formulas_as_words(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path)
    lines = [replace(x, component='=HYPERLINK("x")', reason="+1") for x in list_orders(log, gather_facts(log), find_proposals(gather_facts(log)))]  # fmt: skip
    sheet = make_order_sheet([log.job], lines, job_day(log), SETTINGS)
    assert all(not cell.startswith(("=", "+")) for row in csv.reader(io.StringIO(order_csv(sheet))) for cell in row)
    page = load_workbook(io.BytesIO(order_xlsx(sheet, job_day(log)))).active
    assert page is not None
    assert {c.data_type for row in page.iter_rows(min_row=2) for c in row if c.value is not None} <= {"s", "n"}


def test_list_of_several_jobs_says_which(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path)
    lines = list_orders(log, gather_facts(log), find_proposals(gather_facts(log)))
    other = replace(log.job, number="77")
    sheet = make_order_sheet([log.job, other], [*lines, *(replace(x, job_number="77") for x in lines)], job_day(log), SETTINGS, left_out=2)  # fmt: skip
    assert sheet.several_jobs
    assert {r.job for r in sheet.rows} == {"2041", "77"}
    assert "2 lines more wait for the owner's word. Show it with --all." in order_text(sheet)


def test_prices_add_up() -> None:
    """19 % of 3 x 12.35 + 1 x 100 + 1.5 h at 40: worked by hand, 197.05 net, 37.44 tax, 234.49 together."""
    prices, problems = read_prices("Part,Price\nspring,12.35\nbrake lining,100\nhub,no\n", "list.csv")
    assert [str(p) for p in problems] == ["list.csv, line 4: is no part with a price. The rest is used."]
    made = price_work(
        [("return spring", 3, "advised"), ("brake lining", None, ""), ("hub", 1, "")], Decimal("1.5"), prices, lambda n: (n, n.split()[-1]),
        currency="EUR", hourly_rate=Decimal(40), tax_name="VAT", tax_percent=Decimal(19),
    )  # fmt: skip
    assert (made.net, made.tax, made.total, made.missing) == ("EUR 197.05", "EUR 37.44", "EUR 234.49", ("hub",))


def test_what_is_no_price_list_is_said_in_one_line() -> None:
    with pytest.raises(NotebookError, match="no columns part and price"):
        read_prices("a,b\n1,2\n", "x.csv")


def test_torque_is_what_was_said_else_the_guide_else_the_makers() -> None:
    """M8 8.8 dry: K 0.20, three quarters of 36.6 mm² at 580 MPa (ISO 898-1), 8 mm: 25.48 N·m."""
    bolt = Fastener(thread="M8", form="8.8 hexagon bolt")
    assert torque_words(bolt, "45 N·m", is_safety_critical=False) == "45 N·m (said)"
    assert torque_words(bolt, None, is_safety_critical=False).startswith("about 25 N·m")
    assert "get the maker's figure" in torque_words(bolt, None, is_safety_critical=True)
    assert "class not said" in torque_words(replace(bolt, form="hexagon bolt"), None, is_safety_critical=False)
    assert torque_words(Fastener(form="circlip"), None, is_safety_critical=False) == ""


def pack_of(log: Log, *voices: str) -> PackMade:
    return make_training_pack("winch", [(log, gather_facts(log))], SETTINGS, table_name, voices=voices)


def test_the_pack_keeps_owner_plate_person_and_number_to_itself(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path)
    log = replace(log, job=replace(log.job, owner_ref="Secret Ltd", number="9876543"), remarks=tuple(replace(r, person="Wenna") for r in log.remarks))  # fmt: skip
    told = " ".join(_strings(asdict(pack_of(log).pack)))
    assert not [word for word in ("Secret", "9876543", "ST-118", "Maren", "Wenna") if word in told]


def test_a_voice_is_heard_only_where_its_person_said_yes(tmp_path: Path) -> None:
    log = make_paper_log(tmp_path)
    log = replace(log, remarks=tuple(replace(r, first_sample=0, sample_count=16000) for r in log.remarks))
    assert not pack_of(log).voices
    assert not pack_of(log, "Idris").voices
    assert len(pack_of(log, "maren").voices) == 2


def test_how_often_it_is_found() -> None:
    logs = [make_log(("a", (Finding(component="spring", condition=c),))) for c in ("broken", "broken", "sound")]
    logs = [replace(log, job=replace(log.job, id=f"job-{n}")) for n, log in enumerate(logs)]
    made = make_training_pack("winch", [(log, gather_facts(log)) for log in logs], SETTINGS, table_name)
    assert [(f.part, f.condition, f.jobs, f.seen) for f in made.pack.found] == [("Spring", "broken", 2, 3)]


def test_words() -> None:
    assert list_words(["a"]) == "a"
    assert list_words(["a", "b", "c"]) == "a, b and c"
    assert list_words(["a", "b", "c", "d"], most=3) == "a, b and 2 more"
    assert str(css_string('a"</style>')) == '"a\\000022\\00003c\\00002fstyle\\00003e"'
    assert amount_words(Measurement(value=Decimal("7.20"), unit="mm")) == "7.2 mm"
