"""The command line starts light: no heavy library is loaded until a command needs it."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from notebook.commands.main import COMMANDS
from tests.conftest import ROOT

HEAVY = {"PIL", "av", "ctranslate2", "faster_whisper", "numpy", "pillow_heif", "spacy", "sqlite_utils", "textual"}
AFTER = "\nimport json; print(json.dumps(sorted({name.split('.')[0] for name in sys.modules})))"


def loaded_by(program: str) -> set[str]:
    done = subprocess.run(
        [sys.executable, "-c", f"import sys\n{program}{AFTER}"], capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    return set(json.loads(done.stdout.splitlines()[-1]))


def run_program(*arguments: str) -> str:
    return (
        f"sys.argv = {['teardown', *arguments]!r}\n"
        "from notebook.commands.main import run\ntry:\n    run()\nexcept SystemExit:\n    pass"
    )


def test_the_check_sees_a_library_that_is_loaded() -> None:
    assert "sqlite_utils" in loaded_by("import notebook.archive.store") & HEAVY


def test_the_command_line_loads_nothing_heavy() -> None:
    loaded = loaded_by("import notebook.commands.main")
    assert "click" in loaded
    assert not loaded & HEAVY


@pytest.mark.parametrize("arguments", [("--help",), ("--version",), ("no-such-command",)])
def test_the_front_page_loads_nothing_heavy(arguments: tuple[str, ...]) -> None:
    assert not loaded_by(run_program(*arguments)) & HEAVY


def test_the_help_of_the_commands_loads_nothing_heavy() -> None:
    program = "\n".join(run_program(name, "--help") for name in COMMANDS)
    assert not loaded_by(program) & HEAVY


def test_the_same_command_starts_as_a_module() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "notebook", "--help"], capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )  # fmt: skip
    assert all(f"  {name} " in done.stdout for name in COMMANDS)
