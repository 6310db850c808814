"""Three looks of the bench: dark, light and high contrast.

Out: themes. Blue stands for what is well and orange for what needs a look, which people who cannot tell red from green
still tell apart; and nothing is told by colour alone: every state has its word and its sign.
Source of the two hues: Okabe and Ito, "Color Universal Design" (2008), blue and orange.
"""

from __future__ import annotations

from textual.theme import Theme

LOOKS = {
    "dark": Theme(
        name="bench-dark", primary="#56B4E9", secondary="#8FA6B8", accent="#E69F00", warning="#E69F00", error="#E69F00",
        success="#56B4E9", foreground="#E8E6E1", background="#14181B", surface="#1C2226", panel="#262E33", dark=True,
    ),
    "light": Theme(
        name="bench-light", primary="#00538A", secondary="#48565F", accent="#8F4A00", warning="#8F4A00", error="#8F4A00",
        success="#00538A", foreground="#15191C", background="#F4F1EA", surface="#E9E5DB", panel="#DCD7CA", dark=False,
    ),
    "contrast": Theme(
        name="bench-contrast", primary="#FFFFFF", secondary="#FFFFFF", accent="#FFD400", warning="#FFD400", error="#FFD400",
        success="#FFFFFF", foreground="#FFFFFF", background="#000000", surface="#000000", panel="#000000", dark=True,
    ),
}  # fmt: skip
NEXT_LOOK = {"dark": "light", "light": "contrast", "contrast": "dark"}
