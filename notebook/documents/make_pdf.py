"""Sets the documents in type: PDF or PNG through typst.

In: the values of a document, its pictures as JPEG. Out: bytes, the same every time for the same values.
The values go in as JSON beside the template, so that nothing that was said can break out into markup.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Mapping
from dataclasses import asdict
from datetime import datetime
from importlib import resources
from pathlib import Path
from typing import Any

from notebook.errors import NotebookError

TEMPLATES = ("common", "report", "order", "rebuild", "train", "labels")


class NoTypesetterError(NotebookError):
    """Say that the typesetter is not installed; the HTML is made all the same."""


def make_pdf(
    template: str, values: Any, pictures: Mapping[str, bytes], sizes: Mapping[str, tuple[int, int]], *, paper: str, day: datetime,
    has_appendix: bool = False,
) -> bytes:  # fmt: skip
    """Set a document as a tagged PDF; raises NoTypesetterError without typst."""
    made = _compile(template, values, pictures, sizes, paper=paper, day=day, has_appendix=has_appendix, kind="pdf")
    assert isinstance(made, bytes)
    return made


def make_pages(
    template: str, values: Any, pictures: Mapping[str, bytes], sizes: Mapping[str, tuple[int, int]], *, paper: str, day: datetime,
    has_appendix: bool = False, dots_per_inch: float = 80,
) -> list[bytes]:  # fmt: skip
    """Draw each page of a document as PNG, to look at."""
    made = _compile(
        template,
        values,
        pictures,
        sizes,
        paper=paper,
        day=day,
        has_appendix=has_appendix,
        kind="png",
        ppi=dots_per_inch,
    )
    return made if isinstance(made, list) else [made]


def _compile(
    template: str, values: Any, pictures: Mapping[str, bytes], sizes: Mapping[str, tuple[int, int]], *, paper: str, day: datetime,
    has_appendix: bool, kind: str, ppi: float | None = None,
) -> bytes | list[bytes]:  # fmt: skip
    try:
        import typst
    except ImportError as error:
        raise NoTypesetterError(
            "There is no PDF, for typst is not installed; the HTML is made.", "Install it with: pip install typst"
        ) from error
    page = {**asdict(values), "sizes": {name: list(size) for name, size in sizes.items()}}
    with tempfile.TemporaryDirectory(prefix="teardown-") as folder:
        root = Path(folder)
        for name in TEMPLATES:
            source = resources.files("notebook.documents").joinpath("templates", f"{name}.typ")
            if source.is_file():
                (root / f"{name}.typ").write_text(source.read_text("utf-8"), "utf-8")
        for name, content in pictures.items():
            (root / name).write_bytes(content)
        inputs = {
            "page": json.dumps(page, ensure_ascii=False),
            "paper": paper,
            "appendix": "yes" if has_appendix else "no",
        }
        extra: dict[str, Any] = {"ppi": ppi} if ppi is not None else {}
        try:
            made: bytes | list[bytes] = typst.compile(  # type: ignore[call-overload]
                str(root / f"{template}.typ"), root=folder, format=kind, sys_inputs=inputs, timestamp=int(day.timestamp()), **extra
            )  # fmt: skip
        except RuntimeError as error:
            said = str(error).splitlines()[0] if str(error) else "it does not say why"
            raise NotebookError(
                f"The PDF could not be set: {said}. The HTML is made.", "Use the HTML, and tell who keeps this program."
            ) from error
    return made
