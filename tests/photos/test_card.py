"""The sync card is read off pictures by zxing-cpp, however it was held."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
import zxingcpp
from PIL import Image, ImageFilter

from notebook.photos.card import draw_code, picture_code, read_card, show_code, write_card

MOMENT = datetime(2026, 3, 4, 9, 12, 5, tzinfo=UTC)


def on_a_bench(share: float, turned: int, blur: float, bright: int) -> Image.Image:
    """Make a picture of the card: so large, turned, out of focus, on a noisy bench."""
    dice = np.random.default_rng(turned)
    bench = Image.fromarray(dice.integers(bright - 50, bright + 50, (960, 1280, 3), dtype=np.uint8))
    side = round(960 * share)
    card = picture_code(write_card(MOMENT)).resize((side, side)).rotate(turned, expand=True, fillcolor=255)
    bench.paste(card.convert("RGB"), (120, 30))
    return bench.filter(ImageFilter.GaussianBlur(blur))


@pytest.mark.parametrize("turned", [0, 12, 45, 90, 181, 300])
@pytest.mark.parametrize(("share", "blur", "bright"), [(0.3, 0.0, 120), (0.5, 2.5, 80), (0.6, 4.0, 180)])
def test_the_time_is_read_off_a_picture(share: float, turned: int, blur: float, bright: int) -> None:
    assert read_card(on_a_bench(share, turned, blur, bright)) == MOMENT


def test_another_code_is_no_card_and_neither_is_no_code() -> None:
    assert read_card(picture_code("https://192.168.1.20/#abc")) is None
    assert read_card(picture_code("TEARDOWN TIME 20261399T996099Z")) is None
    assert read_card(Image.new("RGB", (640, 480), "grey")) is None


def test_the_lines_for_a_terminal_are_the_code() -> None:
    """Every module is two spaces with a background, so that lines with gaps do no harm; zxing-cpp reads it again."""
    lines = show_code("TEARDOWN")
    rows = []
    for line in lines:
        row: list[int] = []
        colour = 255
        for piece in line.replace("\x1b[0m", "").split("\x1b[48;2;")[1:]:
            red, text = piece.split(";", 1)[0], piece.split("m", 1)[1]
            colour = int(red)
            assert set(text) == {" "}
            assert len(text) % 2 == 0
            row += [colour] * (len(text) // 2)
        rows.append(row)
    drawn = np.array(rows, dtype=np.uint8)
    assert (drawn < 128).tolist() == draw_code("TEARDOWN", 3).tolist()
    found = zxingcpp.read_barcodes(np.kron(drawn, np.ones((6, 6), dtype=np.uint8)))
    assert [code.text for code in found] == ["TEARDOWN"]
