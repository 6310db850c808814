"""The page that tells the archive's schema: every table and column with its note, made from the schema itself.

    python -m tests.schema_page > notebook/archive/SCHEMA.md

In: a fresh archive. Out: the page. A column without a note shows as such.
"""

from __future__ import annotations

import re
import sqlite3
import sys
import tempfile
from pathlib import Path

from notebook.archive.database import open_database

_TOP = """\
# The archive's schema

`archive.db` in the shop folder is an SQLite database that any SQLite browser opens. Begin with the views: each is a
table of plain lines, newest first. Times are ISO 8601 in UTC; sizes are kept exact as text, beside a number in the SI
unit to compare by. What is read from the words (entries and parts) can be made again by `teardown reread`; remarks,
sound, photos and mends are the record. Look, but write with the notebook only.

This page is made from the schema itself: `python -m tests.schema_page > notebook/archive/SCHEMA.md`.
"""
_EXAMPLES = """\
## Asking it yourself

```sql
-- every broken spring
SELECT job, machine, opened, component, words FROM all_findings WHERE found = 'broken' AND component LIKE '%spring' AND struck = 0;
-- the same through the names that parts answer to, as `teardown find` does it
SELECT DISTINCT job.number FROM told JOIN job ON job.n = told.job_n
 WHERE told.name = 'spring' AND told.kind = 'finding' AND told.what = 'broken' AND told.how = 'present';
-- remarks with a word
SELECT job.number, remark.text FROM remark_words JOIN remark ON remark.n = remark_words.rowid JOIN job ON job.id = remark.job_id
 WHERE remark_words MATCH 'keyway';
```
"""


def schema_page() -> str:
    """Give the page."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "archive.db"
        open_database(path).close()
        db = sqlite3.connect(path)
        listed = db.execute(
            "SELECT type, name, sql FROM sqlite_schema WHERE type IN ('table', 'view') AND sql LIKE 'CREATE %' AND name NOT LIKE 'remark_words_%'"
            " AND name NOT LIKE '%sqlite_%' ORDER BY type DESC, rowid"
        ).fetchall()
        columns = {name: [r[1:3] for r in db.execute(f'PRAGMA table_xinfo("{name}")')] for _, name, _ in listed}
        db.close()
    views = [_view(name, sql, columns[name]) for kind, name, sql in listed if kind == "view"]
    tables = [_table(name, sql, columns[name]) for kind, name, sql in listed if kind == "table"]
    return "\n".join([_TOP, "## Views for people\n", *views, _EXAMPLES, "## Tables\n", *tables]).rstrip() + "\n"


def _view(name: str, sql: str, columns: list[tuple[str, str]]) -> str:
    note = re.search(r"AS -- ([^\n]+)", sql)
    return f"**`{name}`**: {note[1] if note else ''}. Columns: {', '.join(f'`{c}`' for c, _ in columns)}.\n"


def _table(name: str, sql: str, columns: list[tuple[str, str]]) -> str:
    if sql.startswith("CREATE VIRTUAL"):
        return f"### `{name}`\n\nFull-text index (FTS5) over `remark.tidied`; its `rowid` is `remark.n`.\n"
    note = re.match(r"CREATE TABLE \"?\w+\"? ?\( *-- ([^\n]+)", sql)
    lines = [
        f"### `{name}`\n",
        f"{note[1][:1].upper()}{note[1][1:]}.\n" if note else "",
        "| column | type | what it is |",
        "| --- | --- | --- |",
    ]
    for column, kind in columns:
        said = re.search(rf"^\s*{column} [A-Z][^\n]*?-- (\w[^\n]*)$", sql, re.MULTILINE) or re.search(
            rf"[,(] ?{column} [A-Z][^/]*/\* ([^*]+?) \*/", sql
        )
        lines.append(f"| `{column}` | {kind} | {said[1].replace('|', '/') if said else 'no note'} |")
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema_page())
