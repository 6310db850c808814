"""The phone page in a real browser: headless Chromium (Debian `chromium`) through Playwright, with a fake camera."""

from __future__ import annotations

import base64
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.photos.pictures import draw_noise, save_picture
from tests.photos.test_drop import Page, serve

if TYPE_CHECKING:
    from playwright.sync_api import Browser, ViewportSize
    from playwright.sync_api import Page as Phone

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
playwright = pytest.importorskip(
    "playwright.sync_api", reason="playwright is not installed; the phone page is not tried"
)
playwright.expect.set_options(timeout=30_000)  # a busy machine is slow, not wrong
pytestmark = pytest.mark.skipif(
    CHROMIUM is None, reason="chromium is not installed; the phone page is not tried in a browser"
)

OLD_PHONE: ViewportSize = {"width": 320, "height": 568}
SHOOT = """async () => {
  const stream = await navigator.mediaDevices.getUserMedia({video: {width: 640, height: 480}});
  const video = document.createElement('video');
  video.srcObject = stream; await video.play();
  const canvas = document.createElement('canvas');
  canvas.width = 640; canvas.height = 480;
  canvas.getContext('2d').drawImage(video, 0, 0, 640, 480);
  stream.getTracks().forEach((track) => track.stop());
  return canvas.toDataURL('image/jpeg').split(',')[1];
}"""


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    made = serve(tmp_path)
    yield made
    made.server.stop()
    made.thread.join(15)


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with playwright.sync_playwright() as player:
        started = player.chromium.launch(
            executable_path=CHROMIUM,
            args=["--no-sandbox", "--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"],
        )
        yield started
        started.close()


@pytest.fixture
def phone(browser: Browser) -> Iterator[Phone]:
    context = browser.new_context(viewport=OLD_PHONE, has_touch=True, permissions=["camera"])
    opened = context.new_page()
    opened.set_default_timeout(15_000)
    yield opened
    context.close()


def test_a_picture_of_the_camera_goes_straight_into_the_job(page: Page, phone: Phone) -> None:
    asked: list[str] = []
    phone.on("request", lambda request: asked.append(request.url))
    phone.goto(page.server.address.url)
    playwright.expect(phone.locator("#job")).to_have_text("Job 1, winch")
    shot = base64.b64decode(phone.evaluate(SHOOT))
    phone.set_input_files("#camera", {"name": "image.jpg", "mimeType": "image/jpeg", "buffer": shot})
    playwright.expect(phone.locator("#state")).to_have_text("1 picture in the job")
    playwright.expect(phone.locator("#sent li")).to_have_text(["In the job"])
    assert phone.evaluate("document.querySelector('#sent img').naturalWidth") > 0
    assert page.taken == ["image.jpg"]
    own = f"http://{page.server.address.authority}/"
    assert all(url.startswith((own, "data:")) for url in asked)
    assert not any(page.token in url.split("#", 1)[0] for url in asked)


def test_one_gloved_thumb_finds_the_button(page: Page, phone: Phone) -> None:
    """The lower third of the screen takes the picture, edge to edge, with the rear camera and no script for it."""
    phone.goto(page.server.address.url)
    box = phone.locator("#take").bounding_box()
    assert box is not None
    assert box["width"] == OLD_PHONE["width"]
    assert box["height"] >= OLD_PHONE["height"] / 3
    assert box["y"] + box["height"] == pytest.approx(OLD_PHONE["height"], abs=1)
    with phone.expect_file_chooser() as chooser:
        phone.touchscreen.tap(160, 500)
    assert chooser.value.element.get_attribute("capture") == "environment"
    assert phone.evaluate("document.documentElement.scrollWidth") <= OLD_PHONE["width"]


def test_without_the_token_it_says_to_scan_again(page: Page, phone: Phone) -> None:
    phone.goto(f"http://{page.server.address.authority}/#wrong")
    playwright.expect(phone.locator("#state")).to_have_text("Scan the code at the bench again.")
    playwright.expect(phone.locator("#job")).to_have_text("\u00a0")


def test_what_is_no_picture_is_told_and_runs_nothing(page: Page, phone: Phone) -> None:
    phone.goto(page.server.address.url)
    phone.on("dialog", lambda _: pytest.fail("a script ran"))
    svg = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
    phone.set_input_files("#camera", {"name": "a.svg", "mimeType": "image/svg+xml", "buffer": svg})
    playwright.expect(phone.locator("#state")).to_contain_text("not a JPEG")
    assert page.taken == []


def test_when_the_bench_is_gone_the_picture_waits(page: Page, phone: Phone, tmp_path: Path) -> None:
    """The network is cut, and is back when the mechanic taps "Send again"."""
    phone.goto(page.server.address.url)
    playwright.expect(phone.locator("#job")).to_have_text("Job 1, winch")
    phone.evaluate(
        "window.setTimeout = (again) => { Promise.resolve().then(again); return 0; }"
    )  # no waiting in a test
    phone.context.set_offline(True)
    picture = save_picture(tmp_path / "p.jpg", draw_noise()).read_bytes()
    phone.set_input_files("#camera", {"name": "p.jpg", "mimeType": "image/jpeg", "buffer": picture})
    playwright.expect(phone.locator("#state")).to_contain_text("Your picture is still here")
    phone.context.set_offline(False)
    phone.get_by_role("button", name="Send again").tap()
    playwright.expect(phone.locator("#state")).to_have_text("1 picture in the job")
    assert page.taken == ["p.jpg"]
