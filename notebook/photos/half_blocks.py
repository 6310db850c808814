"""A picture for the terminal: two points of colour a character.

In: a thumbnail's path and a size in columns and lines. Out: rows of (upper, lower) colours. Keeps nothing.
"""

from __future__ import annotations

from pathlib import Path

Colour = tuple[int, int, int]


def read_half_blocks(path: Path, columns: int, lines: int) -> list[list[tuple[Colour, Colour]]]:
    """Give the points of a picture that fits the size, its sides kept in proportion; none where it cannot be read."""
    from PIL import Image

    try:
        with Image.open(path) as picture:
            small = picture.convert("RGB")
            small.thumbnail((columns, 2 * lines))
            width, height = small.size
            raw = small.tobytes()
    except OSError:
        return []
    points: list[list[Colour]] = [
        [(raw[at], raw[at + 1], raw[at + 2]) for at in range(3 * width * y, 3 * width * (y + 1), 3)]
        for y in range(height)
    ]
    return [list(zip(points[y], points[y + 1], strict=True)) for y in range(0, height - 1, 2)]
