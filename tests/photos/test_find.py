"""Pictures are found in cards and folders, and nothing else is."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from notebook.errors import Problem
from notebook.photos.find import find_pictures
from notebook.photos.take import take_photo


def touch(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.touch()
    return path


def test_a_card_is_walked_and_sorted(tmp_path: Path) -> None:
    wanted = [
        touch(tmp_path / "card" / "DCIM" / place)
        for place in ("100SHOP/IMG_2.JPG", "100SHOP/IMG_10.jpeg", "101SHOP/a.HeIc", "101SHOP/b.png", "c.webp", "d.HIF")
    ]
    for place in (
        "100SHOP/._IMG_2.JPG", "100SHOP/.hidden.jpg", ".thumbnails/1.jpg", "100SHOP/film.mp4", "100SHOP/jpg",
        "notes.txt", "x.jpg.part", ".jpg",
    ):  # fmt: skip
        touch(tmp_path / "card" / "DCIM" / place)
    (tmp_path / "card" / "DCIM" / "album.jpg").mkdir()
    wanted.append(touch(tmp_path / "card" / "DCIM" / "album.jpg" / "e.jpg"))
    assert find_pictures([tmp_path / "card"]) == sorted(wanted)


def test_files_and_folders_are_given_once(tmp_path: Path) -> None:
    one = touch(tmp_path / "job" / "one.jpg")
    sound = touch(tmp_path / "job" / "sound.wav")
    assert find_pictures([one, sound, tmp_path / "job", one]) == [one]
    assert find_pictures([]) == []


def test_a_folder_may_be_named_in_any_way(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    one = touch(tmp_path / ".hidden place" / "-r 'x'\n.jpg")
    assert find_pictures([tmp_path / ".hidden place"]) == [one]
    monkeypatch.chdir(one.parent)
    assert find_pictures([Path()]) == [Path(one.name)]


def test_what_is_missing_is_given_back_to_be_told(tmp_path: Path) -> None:
    assert find_pictures([tmp_path / "gone.jpg"]) == [tmp_path / "gone.jpg"]
    (tmp_path / "link.jpg").symlink_to(tmp_path / "nowhere")
    assert find_pictures([tmp_path]) == [tmp_path / "link.jpg"]


def test_links_that_go_round_end(tmp_path: Path) -> None:
    one = touch(tmp_path / "one.jpg")
    (tmp_path / "round").symlink_to(tmp_path, target_is_directory=True)
    assert find_pictures([tmp_path]) == [one]


def test_a_closed_folder_is_given_back_to_be_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    closed = touch(tmp_path / "closed" / "one.jpg").parent
    two = touch(tmp_path / "two.jpg")
    real = os.scandir

    def deny(path: str) -> object:
        if Path(path) == closed:
            raise PermissionError(13, "Permission denied", str(path))
        return real(path)

    monkeypatch.setattr(os, "scandir", deny)  # root may open every folder, so it is not asked
    assert find_pictures([tmp_path]) == [closed, two]
    assert isinstance(take_photo(closed, "UTC"), Problem)


def test_finding_keeping_and_linking_load_no_picture_library() -> None:
    program = (
        "import sys, notebook.photos.find, notebook.photos.keep, notebook.photos.link; print('PIL' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        check=True,
    )
    assert done.stdout.strip() == "False"
