"""What README.md and DEVELOPERS.md show is what the notebook prints now."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from notebook.commands.main import COMMANDS

from .audio.sounds import need_ear
from .conftest import ROOT

DOCUMENTS = ("README.md", "DEVELOPERS.md")
BLOCK = re.compile(r"<!-- \[\[\[cog\n(.*?)\]\]\] -->\n.*?<!-- \[\[\[end\]\]\] -->\n", re.DOTALL)


def blocks() -> list[tuple[str, str, str]]:
    """Give document, code and the whole of every block."""
    return [(name, m[1], m[0]) for name in DOCUMENTS for m in BLOCK.finditer((ROOT / name).read_text("utf-8"))]


def test_no_block_is_passed_over() -> None:
    texts = [(ROOT / name).read_text("utf-8") for name in DOCUMENTS]
    assert sum(t.count("[[[cog") for t in texts) == sum(len(BLOCK.findall(t)) for t in texts)
    assert {"explained", "commands", "scores"} <= {
        m[0] for _, code, _ in blocks() for m in [re.findall(r"(\w+)\(", code)]
    }


@pytest.mark.parametrize(
    ("name", "code", "block"), blocks(), ids=[f"{n}-{c.splitlines()[-1][:30]}" for n, c, _ in blocks()]
)
def test_a_block_shows_what_is_printed_now(name: str, code: str, block: str, tmp_path: Path) -> None:
    if "demo_" in code:
        need_ear()
    cog = pytest.importorskip("cogapp").Cog()
    (tmp_path / name).write_text(block, "utf-8")
    assert not cog.callable_main(["cog", "-P", "-r", "-I", str(ROOT), str(tmp_path / name)])
    assert (tmp_path / name).read_text("utf-8") == block, (
        f"{name} is out of date ({code.strip()}); write it again with: make docs"
    )


def test_every_command_is_in_the_readme_and_every_command_in_it_is_one() -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    table = re.findall(r"^\| `([\w-]+)` \| (.+) \|$", readme, re.MULTILINE)
    assert table == list(COMMANDS.items())
    used = set(re.findall(r"^(?:\$ )?teardown ([a-z-]+)", readme, re.MULTILINE)) | set(
        re.findall(r"`teardown ([a-z-]+)", readme)
    )
    assert used <= set(COMMANDS)
    assert {"new", "add", "log", "find", "mend", "hear", "read", "doctor"} <= used


def options_used() -> list[tuple[str, str]]:
    """Give each command and option that a line of a document shows."""
    found = set()
    for name in DOCUMENTS:
        text = (ROOT / name).read_text("utf-8")
        lines = re.findall(r"^(?:\$ )?teardown [^\n]+$", text, re.MULTILINE) + re.findall(r"`(teardown [^`]+)`", text)
        for line in lines:
            words = line.removeprefix("$ ").split("   ")[0].split()
            found |= {(words[1], w) for w in words if w.startswith("--") and words[1] in COMMANDS}
    return sorted(found)


@pytest.mark.parametrize(("command", "option"), options_used())
def test_every_option_that_is_shown_is_one(command: str, option: str) -> None:
    import importlib

    found = importlib.import_module(f"notebook.commands.{command.replace('-', '_')}").command
    known = {o for c in (found, *getattr(found, "commands", {}).values()) for p in c.params for o in p.opts}
    assert option in known | {"--help"}


def test_files_and_folders_that_are_named_are_there() -> None:
    """Paths in backquotes that begin with a folder of the project lead somewhere."""
    tops = {p.name for p in ROOT.iterdir() if p.is_dir() and p.name in ("notebook", "tests", "models", "demo_session")}
    missing = []
    for name in DOCUMENTS:
        for path in re.findall(r"`([\w./-]+/[\w./-]*)`", (ROOT / name).read_text("utf-8")):
            places = [ROOT / path, ROOT / "notebook" / path]
            if Path(path).parts[0] in tops | {p.name for p in (ROOT / "notebook").iterdir()} and not any(
                p.exists() for p in places
            ):
                missing.append(f"{name}: {path}")
    assert not missing
