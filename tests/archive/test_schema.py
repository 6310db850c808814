"""The schema that lies in the archive says of every table and every column what it means."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

import pytest

from notebook.archive.database import open_database
from notebook.archive.rows import KIND_TABLES


@pytest.fixture(scope="module")
def schema(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[str, list[str]]]:
    """Give for each table of the archive its SQL and its columns."""
    path: Path = tmp_path_factory.mktemp("schema") / "archive.db"
    open_database(path).close()
    connection = sqlite3.connect(path)
    tables = connection.execute(
        "SELECT name, sql FROM sqlite_schema WHERE type = 'table' AND sql LIKE 'CREATE TABLE%' AND name NOT LIKE 'remark_words%'"
        " AND name NOT LIKE '%sqlite_%'"
    ).fetchall()
    found = {n: (s, [r[1] for r in connection.execute(f"PRAGMA table_info({n})")]) for n, s in tables}
    connection.close()
    return found


def test_every_kind_of_entry_has_its_table(schema: dict[str, tuple[str, list[str]]]) -> None:
    assert set(KIND_TABLES) <= set(schema)
    assert len(set(KIND_TABLES)) == len(KIND_TABLES)


def test_every_column_is_explained_beside_it(schema: dict[str, tuple[str, list[str]]]) -> None:
    silent = [
        f"{table}.{column}"
        for table, (sql, columns) in schema.items()
        for column in columns
        if not re.search(rf"^\s*{column} [A-Z][^\n]*-- \w[^\n]+$", sql, re.MULTILINE)
        and not re.search(rf", {column} [A-Z][^/]*/\* \w[^*]+\*/", sql)  # a column of a later migration
    ]
    assert not silent


def test_every_table_is_explained(schema: dict[str, tuple[str, list[str]]]) -> None:
    assert not [table for table, (sql, _) in schema.items() if not re.match(r"CREATE TABLE \w+ \( *-- \w+", sql)]


def test_every_table_is_strict(schema: dict[str, tuple[str, list[str]]]) -> None:
    assert not [table for table, (sql, _) in schema.items() if "STRICT" not in sql.rsplit(")", 1)[1]]
