"""The documents in `demo_session/documents` are those that the demonstration job gives now."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest

from .audio.sounds import need_ear
from .making_documents import KEPT, forms, make_documents

LARGEST_MB = 12


def words_of(name: str, content: bytes, folder: Path) -> str:
    """Give what a document says, without pictures and sound: their bytes are those of the encoder at hand."""
    if name.endswith(".pdf"):
        if shutil.which("pdftotext") is None:
            pytest.skip("pdftotext is not here: apt-get install poppler-utils")
        path = folder / name
        path.write_bytes(content)
        return subprocess.run(
            ["pdftotext", "-layout", str(path), "-"], capture_output=True, text=True, check=True
        ).stdout
    return re.sub(r'"data:[^"]*"', '""', content.decode("utf-8", "replace"))


@pytest.mark.speech
def test_what_is_kept_is_what_is_made_now(tmp_path: Path) -> None:
    need_ear()
    made = dict(forms(make_documents(tmp_path)))
    assert {p.name for p in KEPT.iterdir()} == {*made, "pages.jpg"}
    stale = []
    for name, content in made.items():
        if name.endswith(".xlsx"):
            continue
        kept = (KEPT / name).read_bytes()
        if words_of(name, content, tmp_path) != words_of(name, kept, tmp_path):
            stale.append(name)
    assert not stale, f"out of date: {stale}; make them again with: make documents"


def test_the_demonstration_stays_small() -> None:
    size = sum(p.stat().st_size for p in KEPT.parent.rglob("*") if p.is_file())
    assert size < LARGEST_MB * 1_000_000
