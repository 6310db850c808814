"""SCHEMA.md tells the schema as it is, a note beside every column, and its examples run."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

from notebook.archive.database import open_database
from tests.conftest import ROOT
from tests.schema_page import schema_page


def test_the_page_is_the_schema() -> None:
    page = (ROOT / "notebook" / "archive" / "SCHEMA.md").read_text("utf-8")
    assert page == schema_page(), "Make it again: python -m tests.schema_page > notebook/archive/SCHEMA.md"
    assert "no note" not in page


def test_its_examples_and_every_view_run(tmp_path: Path) -> None:
    open_database(tmp_path / "archive.db").close()
    db = sqlite3.connect(tmp_path / "archive.db")
    (examples,) = re.findall(r"```sql\n(.*?)```", schema_page(), re.DOTALL)
    for sql in examples.split(";\n"):
        assert db.execute(sql).fetchall() == []
    views = [n for (n,) in db.execute("SELECT name FROM sqlite_schema WHERE type = 'view'")]
    assert len(views) >= 7
    for view in views:
        assert db.execute(f"SELECT * FROM {view}").fetchall() == []
    db.close()
