"""Every command can be asked what it does, and the front page names them all."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import notebook.commands
from notebook import __version__
from notebook.commands.main import COMMANDS
from tests.conftest import Teardown

SHARED = {"__init__", "common", "main", "papers"}


def flat(text: str) -> str:
    return re.sub(r"\s+", " ", text)


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_says_what_it_does(teardown: Teardown, name: str) -> None:
    for asked in ("--help", "-h"):
        answer = teardown(name, asked)
        assert (answer.status, answer.err) == (0, "")
        assert answer.out.startswith(f"Usage: teardown {name} ")
        described = answer.out.split("Options:")[0].split("\n\n")[1]
        assert len(described.split()) >= 3


def test_the_front_page_names_every_command_with_its_sentence(teardown: Teardown) -> None:
    answer = teardown("--help")
    assert answer.status == 0
    listed = flat(answer.out.split("Commands:")[1])
    for name, sentence in COMMANDS.items():
        assert f" {name} {sentence}" in listed


def test_every_module_is_a_command_and_every_command_a_module() -> None:
    folder = Path(notebook.commands.__file__).parent
    assert {p.stem.replace("_", "-") for p in folder.glob("*.py") if p.stem not in SHARED} == set(COMMANDS)


def test_the_version_is_that_of_the_package(teardown: Teardown) -> None:
    assert teardown("--version").out.strip() == f"teardown, version {__version__}"


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("strip",),
        ("--no-such-option",),
        ("new", "1"),
        ("new", "--machine", "winch"),
        ("log",),
        ("log", "1", "2"),
        ("log", "1", "--colour"),
        ("add", "1"),
        ("find",),
        ("read",),
        ("read", "-", "--habit", "cubits"),
        ("reread",),
        ("reread", "1", "--all"),
        ("mend", "1"),
        ("mend", "1", "1"),
        ("mend", "1", "1", "--strike", "--accept"),
        ("mend", "1", "1", "--set", "condition"),
        ("mend", "1", "1", "--set", "=worn"),
    ],
)
def test_wrong_use_is_told_and_leaves_with_2(teardown: Teardown, arguments: tuple[str, ...]) -> None:
    answer = teardown(*arguments)
    assert answer.status == 2
    assert answer.out == ""
    assert answer.err
    assert "Traceback" not in answer.err
