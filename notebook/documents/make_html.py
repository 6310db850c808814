"""Writes the documents as HTML: one file each, with its pictures inside, that asks for nothing.

In: the same values that go on paper, pictures as JPEG, sound. Out: text, the same every time for the same values.
There is no script in it, and a policy in its head forbids it to fetch anything from anywhere.
"""

from __future__ import annotations

import base64
import re
from collections.abc import Mapping
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup


def make_html(
    template: str, values: Any, pictures: Mapping[str, bytes], sizes: Mapping[str, tuple[int, int]], *, paper: str, has_appendix: bool = False,
    sounds: Mapping[str, bytes] | None = None,
) -> str:  # fmt: skip
    """Write a document; everything that was said is escaped, and each piece stands in its own direction of writing."""
    return _environment().get_template(f"{template}.html").render(
        d=values, pictures={name: _inline(content, "image/jpeg") for name, content in pictures.items()}, sizes=sizes, paper=paper,
        has_appendix=has_appendix, is_wide=template == "order",
        sounds={name: _inline(content, "audio/mpeg" if name.endswith(".mp3") else "audio/flac") for name, content in (sounds or {}).items()},
    )  # fmt: skip


@cache
def _environment() -> Environment:
    made = Environment(
        loader=PackageLoader("notebook.documents"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["css_string"] = css_string
    return made


def css_string(text: str) -> Markup:
    """Write text as a string of a style sheet; every sign that is no letter, digit or space is spelt by its number."""
    return Markup('"' + re.sub(r"[^A-Za-z0-9 ]", lambda m: f"\\{ord(m[0]):06x}", text) + '"')


def _inline(content: bytes, kind: str) -> str:
    return f"data:{kind};base64,{base64.b64encode(content).decode('ascii')}"
