"""Reads the word lists that come with the package.

In: a file name of the folder `data`. Out: its rows or tables.
"""

from __future__ import annotations

import csv
import io
import tomllib
from collections.abc import Iterator
from importlib import resources
from typing import Any


def read_rows(name: str) -> Iterator[dict[str, str]]:
    """Give the rows of a CSV file of the package."""
    text = resources.files("notebook.reading").joinpath("data", name).read_text("utf-8")
    yield from csv.DictReader(io.StringIO(text))


def read_toml(name: str) -> dict[str, Any]:
    """Give the contents of a TOML file of the package."""
    return tomllib.loads(resources.files("notebook.reading").joinpath("data", name).read_text("utf-8"))
