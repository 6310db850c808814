"""What must not be in the project is not in it, and what is not needed yet is not loaded; nothing reaches for a network."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from .conftest import EARLIER, ROOT

LEFT_OUT = {"__pycache__", "build", "dist", "htmlcov", "weights"}
LARGEST_MB = 3
HEAVY = {"PIL", "av", "ctranslate2", "faster_whisper", "miniaudio", "onnxruntime", "pillow_heif", "spacy", "textual"}


def project_files() -> Iterator[Path]:
    """Give every file of the project, without what is made in it."""
    for folder, inside, files in os.walk(ROOT):
        inside[:] = [
            d
            for d in inside
            if d not in LEFT_OUT and (not d.startswith(".") or d == ".ci") and not d.endswith(".egg-info")
        ]
        yield from (Path(folder) / f for f in files if not f.startswith(".coverage"))


FILES = sorted(project_files())
WRITTEN = [p for p in FILES if p.suffix in {".py", ".md", ".toml", ".lock", ""} and "data" not in p.parts]


def joined(*pieces: str) -> str:
    """Put a word together that must not stand in this file either."""
    return "".join(pieces)


def named_in(word: bytes, files: list[Path]) -> list[str]:
    return [str(p.relative_to(ROOT)) for p in files if word in p.read_bytes()]


def test_the_files_are_found() -> None:
    names = {p.relative_to(ROOT).as_posix() for p in FILES}
    assert {
        "README.md",
        "Makefile",
        ".ci/run",
        "requirements.lock",
        "notebook/reading/data/cues.toml",
        "demo_session/contact.jpg",
    } <= names
    assert not [n for n in names if n.startswith((".git/", ".venv"))]


@pytest.mark.parametrize(
    "host",
    [
        joined("py", "pi.org"), joined("python", "hosted.org"), joined("npm", "js.org"), joined("npm", "js.com"), joined("ana", "conda.org"),
        joined("hugging", "face.co/"), joined("//h", "f.co"), joined("crates", ".io"), joined("go", "lang.org"), joined("index", "-url ="),
        joined("extra-", "index"), joined("deb.", "debian"),
    ],
)  # fmt: skip
def test_no_file_names_the_host_of_a_registry(host: str) -> None:
    assert not named_in(host.encode(), FILES)


@pytest.mark.parametrize("place", [joined("/ho", "me/"), joined("/Us", "ers/"), joined("\\Us", "ers\\"), joined("/ro", "ot/"), joined("/scr", "atch"), joined("/t", "mp/"), f"{Path.home()}/", f"{ROOT}"])  # fmt: skip
def test_no_file_names_a_place_of_a_machine(place: str) -> None:
    if len(place) < 4:
        pytest.skip("the home folder here is the top of the disk")
    assert not named_in(place.encode(), FILES)


@pytest.mark.parametrize(
    "words",
    [
        joined("hel", r"pers?\b"), joined(r"this ses", "sion"), joined(r"(earlier|previous|other|another) ses", "sions?"), joined("sub-?", "agent"),
        joined("other wor", "ker"), joined("the le", "ad (said|asked|wants)"), joined("work", "place"), joined("owner", "_rules"), joined("the br", r"ief\b"),
        joined(r"issue #", r"\d"), joined("chat", "bot"), joined("language mod", "el"),
    ],
)  # fmt: skip
def test_no_file_speaks_of_how_it_was_made(words: str) -> None:
    found = [
        f"{p.relative_to(ROOT)}: {m[0]}"
        for p in WRITTEN
        for m in re.finditer(rf"\b{words}", p.read_text("utf-8"), re.IGNORECASE)
    ]
    assert not found


def test_no_weights_and_nothing_large_is_in_it() -> None:
    assert not [p.name for p in FILES if p.suffix in {".bin", ".onnx", ".pt", ".safetensors", ".gguf", ".db", ".whl"}]
    assert not [p.name for p in FILES if p.stat().st_size > LARGEST_MB * 1_000_000]


def test_every_module_says_what_it_is_for() -> None:
    modules = [p for p in FILES if p.suffix == ".py" and p.stat().st_size]
    assert not [str(p.relative_to(ROOT)) for p in modules if '"""' not in p.read_text("utf-8").lstrip("#!")[:120]]


ASKED = """
import json, sys
reached = []
def watch(event, given):
    if event in ("socket.connect", "socket.getaddrinfo", "socket.gethostbyname", "socket.sendto", "urllib.Request"):
        reached.append([event, repr(given)])
sys.addaudithook(watch)
from notebook.commands.main import run
answers = {}
for arguments in json.loads(sys.argv[1]):
    sys.argv = ["teardown", *arguments]
    try:
        run()
    except SystemExit as left:
        status = left.code
    answers[arguments[0]] = [status, sorted({name.split(".")[0] for name in sys.modules})]
print(json.dumps([answers, reached]))
"""


@pytest.fixture(scope="module")
def asked(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, tuple[int, list[str]]], list[list[str]]]:
    """Run commands one after the other in one process; give status and what was loaded after each, and what reached for a network."""
    commands = [
        ["new", "1", "--machine", "band saw mill"], ["log", "1"], ["close", "1"], ["add", "1", str(EARLIER / "1041.txt")], ["find", "broken springs"],
        ["mend", "1", "1", "--text", "Hub is cracked."], ["reread", "1"], ["play", "1", "1"], ["doctor"],
    ]  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", ASKED, json.dumps(commands)], capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT), "TEARDOWN_SHOP": str(tmp_path_factory.mktemp("asked"))},
    )  # fmt: skip
    answers, reached = json.loads(done.stdout.splitlines()[-1])
    assert [answers[c[0]][0] for c in commands][:7] == [0] * 7, done.stderr
    assert len(answers) == len(commands)
    return answers, reached


@pytest.mark.parametrize("command", ["new", "log", "close"])
def test_a_command_loads_no_library_that_it_does_not_need(
    asked: tuple[dict[str, tuple[int, list[str]]], list[list[str]]], command: str
) -> None:
    assert not set(asked[0][command][1]) & HEAVY


def test_words_are_taken_in_and_found_without_the_libraries_of_sound(
    asked: tuple[dict[str, tuple[int, list[str]]], list[list[str]]],
) -> None:
    loaded = set(asked[0]["reread"][1])
    assert "spacy" in loaded
    assert not loaded & (HEAVY - {"spacy", "PIL", "pillow_heif"})


def test_nothing_reaches_for_a_network(asked: tuple[dict[str, tuple[int, list[str]]], list[list[str]]]) -> None:
    assert not asked[1]


def test_a_reach_for_a_network_would_be_seen() -> None:
    program = ASKED.split("from notebook")[0] + (
        "import socket\ntry:\n    socket.create_connection(('127.0.0.1', 9), timeout=0.01)\nexcept OSError:\n    pass\nprint(len(reached))"
    )
    done = subprocess.run([sys.executable, "-S", "-c", program], capture_output=True, text=True, check=True)
    assert int(done.stdout) > 0
