"""The wheel is built once and holds what the notebook needs to run, and nothing that belongs to the workshop floor."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from zipfile import ZipFile

import pytest

from notebook import __version__
from notebook.commands.main import COMMANDS

from .conftest import ROOT

LARGEST_MB = 1


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ZipFile]:
    if importlib.util.find_spec("hatchling") is None:
        pytest.skip("hatchling, which builds the wheel, is not installed")
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "--target", "wheel", "--directory", str(folder)]
    done = subprocess.run(build, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (path,) = folder.glob("*.whl")
    with ZipFile(path) as opened:
        yield opened


def files_under(folder: str, *suffixes: str) -> list[Path]:
    return sorted(p for p in (ROOT / folder).rglob("*") if p.suffix in suffixes)


def test_its_name_and_version_are_those_of_the_package(wheel: ZipFile) -> None:
    assert Path(str(wheel.filename)).name == f"teardown_notebook-{__version__}-py3-none-any.whl"


@pytest.mark.parametrize("folder", ["notebook/reading", "notebook/tables", "notebook"])
def test_every_list_and_module_is_in_it_byte_for_byte(wheel: ZipFile, folder: str) -> None:
    wanted = files_under(folder, ".csv", ".toml", ".py")
    assert {".csv", ".py"} <= {p.suffix for p in wanted}
    for path in wanted:
        assert wheel.read(path.relative_to(ROOT).as_posix()) == path.read_bytes()


def test_every_model_card_and_the_lock_of_the_weights_are_in_it(wheel: ZipFile) -> None:
    cards = files_under("models", ".toml", ".lock")
    assert {p.suffix for p in cards} == {".toml", ".lock"}
    for card in cards:
        assert wheel.read(f"notebook/audio/cards/{card.name}") == card.read_bytes()


def test_nothing_else_is_in_it(wheel: ZipFile) -> None:
    tops = {name.split("/")[0] for name in wheel.namelist()}
    assert tops == {"notebook", f"teardown_notebook-{__version__}.dist-info"}
    suffixes = {Path(name).suffix for name in wheel.namelist() if name.startswith("notebook/")}
    assert suffixes <= {".py", ".csv", ".toml", ".md", ".lock", ".typ", ".html", ".css", ".tcss", ".js"}
    assert not [name for name in wheel.namelist() if "test" in name.lower() or "demo_session" in name]


def test_no_weights_are_in_it(wheel: ZipFile) -> None:
    large = {i.filename: i.file_size for i in wheel.infolist() if i.file_size > LARGEST_MB * 1_000_000}
    assert not large


def test_it_says_how_it_is_started_and_under_which_licence(wheel: ZipFile) -> None:
    about = f"teardown_notebook-{__version__}.dist-info"
    assert "teardown = notebook.commands.main:run" in wheel.read(f"{about}/entry_points.txt").decode()
    assert wheel.read(f"{about}/licenses/LICENSE") == (ROOT / "LICENSE").read_bytes()


def test_it_reads_a_remark_away_from_the_tree(wheel: ZipFile, tmp_path: Path) -> None:
    wheel.extractall(tmp_path / "unpacked")
    done = subprocess.run(
        [sys.executable, "-m", "notebook", "read", "-"], cwd=tmp_path, input="Drum bearing is cracked.\n", capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "unpacked")}, check=False,
    )  # fmt: skip
    assert done.stdout.splitlines()[1].split() == ["finding", "drum", "bearing:", "cracked"], done.stderr
    where = subprocess.run(
        [sys.executable, "-c", "import notebook; print(notebook.__file__)"], cwd=tmp_path, capture_output=True, text=True,
        env={**os.environ, "PYTHONPATH": str(tmp_path / "unpacked")}, check=True,
    )  # fmt: skip
    assert Path(where.stdout.strip()).is_relative_to(tmp_path)


def test_every_command_has_its_module_in_it(wheel: ZipFile) -> None:
    names = set(wheel.namelist())
    assert not [name for name in COMMANDS if f"notebook/commands/{name.replace('-', '_')}.py" not in names]
