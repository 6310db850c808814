"""Letters that can be read from two metres: five points high, drawn in half blocks, three lines of the terminal.

In: words and a width. Out: lines of text, wrapped, or fewer words where they do not fit. The letters are our own.
"""

from __future__ import annotations

_GLYPHS = """
A .#. #.# ### #.# #.#
B ##. #.# ##. #.# ##.
C .## #.. #.. #.. .##
D ##. #.# #.# #.# ##.
E ### #.. ##. #.. ###
F ### #.. ##. #.. #..
G .## #.. #.# #.# .##
H #.# #.# ### #.# #.#
I # # # # #
J ..# ..# ..# #.# .#.
K #.# #.# ##. #.# #.#
L #.. #.. #.. #.. ###
M #...# ##.## #.#.# #...# #...#
N #..# ##.# #.## #..# #..#
O .#. #.# #.# #.# .#.
P ##. #.# ##. #.. #..
Q .##. #..# #..# #.## .###
R ##. #.# ##. #.# #.#
S .## #.. .#. ..# ##.
T ### .#. .#. .#. .#.
U #.# #.# #.# #.# ###
V #.# #.# #.# #.# .#.
W #...# #...# #.#.# ##.## #...#
X #.# #.# .#. #.# #.#
Y #.# #.# .#. .#. .#.
Z ### ..# .#. #.. ###
0 ### #.# #.# #.# ###
1 .# ## .# .# .#
2 ##. ..# .#. #.. ###
3 ##. ..# .#. ..# ##.
4 #.# #.# ### ..# ..#
5 ### #.. ##. ..# ##.
6 .## #.. ### #.# ###
7 ### ..# .#. .#. .#.
8 ### #.# ### #.# ###
9 ### #.# ### ..# ##.
. . . . . #
, .. .. .. .# #.
' # # . . .
? ##. ..# .#. ... .#.
! # # # . #
- .. .. ## .. ..
+ ... .#. ### .#. ...
/ ..# ..# .#. #.. #..
: . # . # .
= ... ### ... ### ...
% #.# ..# .#. #.. #.#
( .# #. #. #. .#
) #. .# .# .# #.
\u00b7 . . # . .
"""
_SPACE = 2
ROWS = 3
"""Lines of the terminal that a line of block letters takes."""


def _read_glyphs() -> dict[str, tuple[str, ...]]:
    glyphs = {}
    for line in _GLYPHS.strip().splitlines():
        letter, *points = line.split(" ")
        glyphs[letter] = tuple(points)
    return glyphs


GLYPHS = _read_glyphs()


def letters_width(text: str) -> int:
    """Give how many columns a text takes."""
    return sum(_SPACE if c == " " else len(_glyph(c)[0]) + 1 for c in text.upper())


def block_lines(text: str, width: int, most_lines: int) -> tuple[list[str], bool]:
    """Give the terminal lines of a text, and whether all of it was shown.

    Words that do not fit are left out at the end; a word wider than the screen is cut.
    """
    lines: list[str] = []
    current = ""
    whole = True
    for word in text.upper().split():
        while letters_width(word) > width:
            word, whole = word[:-1], False
        tried = f"{current} {word}".strip()
        if letters_width(tried) <= width:
            current = tried
            continue
        if len(lines) + 1 >= most_lines:
            whole = False
            break
        lines.append(current)
        current = word
    lines.append(current)
    return [row for line in lines for row in _draw(line)], whole


def _draw(text: str) -> list[str]:
    points = ["", "", "", "", "", ""]
    for letter in text.upper():
        glyph = ("." * (_SPACE - 1),) * 5 if letter == " " else _glyph(letter)
        for row in range(5):
            points[row] += glyph[row] + "."
        points[5] += "." * (len(glyph[0]) + 1)
    rows = []
    for top, bottom in ((0, 1), (2, 3), (4, 5)):
        pairs = zip(points[top], points[bottom], strict=True)
        rows.append("".join(_HALVES[a == "#", b == "#"] for a, b in pairs).rstrip())
    return rows


_HALVES = {
    (True, True): "\N{FULL BLOCK}", (True, False): "\N{UPPER HALF BLOCK}", (False, True): "\N{LOWER HALF BLOCK}", (False, False): " ",
}  # fmt: skip


def _glyph(letter: str) -> tuple[str, ...]:
    return GLYPHS.get(letter) or GLYPHS["\N{MIDDLE DOT}"]
