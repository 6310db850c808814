"""On a terminal, in a pipe and on a full disk: answers on one stream, talk on the other, the right exit status, and nothing that drives the terminal."""

from __future__ import annotations

import io
import json
import os
import select
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import ROOT, Answered, Teardown, run_teardown
from tests.jobs.bench import HOSTILE, TERMINAL, write_lines

pty = pytest.importorskip("pty", reason="no terminals to open here")
COLOURS = b"\x1b[3", b"\x1b[9", b"\x1b[4", b"\x1b[1;3", b"\x1b[38"


class Terminal(io.TextIOWrapper):
    """A stream that says it is a terminal, so that nothing is taken out of what is written to it."""

    def isatty(self) -> bool:
        return True


def on_terminal(*arguments: str | Path, shop: Path) -> tuple[int, str]:
    """Run a command whose two streams are a terminal; give its status and all that was written to it."""
    from notebook.commands.main import run

    written = io.BytesIO()
    with pytest.MonkeyPatch.context() as patch:
        streams = [Terminal(written, "utf-8", newline="\n", write_through=True) for _ in range(2)]
        patch.setattr(sys, "stdout", streams[0])
        patch.setattr(sys, "stderr", streams[1])
        patch.setattr(sys, "argv", ["teardown", *map(str, arguments)])
        patch.setenv("TEARDOWN_SHOP", str(shop))
        patch.setenv("TERM", "dumb")
        with pytest.raises(SystemExit) as left:
            run()
        text = written.getvalue().decode()
        for stream in streams:
            stream.detach()
    return int(left.value.code or 0), text


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a shop in whose one job every hostile text was said, and one of them was mended in."""
    folder = tmp_path_factory.mktemp("terminal")
    shop = folder / "shop"
    said = write_lines(
        folder / "said.jsonl",
        json.dumps({"text": "Hub is cracked."}),
        *(json.dumps({"text": t}) for t in HOSTILE.values()),
    )
    run_teardown("new", "2041", "--machine", f"winch {HOSTILE['colour']}", "--plate", HOSTILE["one byte"], shop=shop)
    assert run_teardown("add", "2041", said, "--person", HOSTILE["over"], shop=shop).status == 0
    for field, text in (
        ("component", HOSTILE["colour"]),
        ("condition", HOSTILE["one byte"]),
        ("position", HOSTILE["over"]),
    ):
        assert run_teardown("mend", "2041", "1", "--set", f"{field}={text.replace(chr(0), '')}", shop=shop).status == 0
    return shop


@pytest.mark.parametrize(
    "arguments",
    [
        ("log", "2041"), ("log", "2041", "--ids"), ("log", "2041", "--markdown"), ("log", "2041", "--json"), ("find", "red"), ("find", "--json", "red"),
        ("find", "what", HOSTILE["colour"]), ("mend", "2041", "3", "--text", HOSTILE["colour"]), ("reread", "2041"), ("doctor",), ("close", "2041"),
        ("log", HOSTILE["colour"]), ("mend", "2041", HOSTILE["over"], "--strike"), ("mend", "2041", "1", "--set", HOSTILE["colour"]),
        ("mend", "2041", "1", "--set", f"{HOSTILE['bell'].replace(chr(0), '')}=x"), ("play", "2041", HOSTILE["one byte"]), ("add", "2041", HOSTILE["colour"]),
        ("read", HOSTILE["over"]), ("new", HOSTILE["colour"], "--machine", "x"), ("new", "7", "--machine", "x", "--opened", HOSTILE["one byte"]),
        (HOSTILE["colour"],), ("log", "2041", f"--{HOSTILE['one byte']}"), ("hear", HOSTILE["colour"], "--model", HOSTILE["one byte"]),
    ],
)  # fmt: skip
def test_nothing_that_was_said_or_typed_drives_the_terminal(shop: Path, arguments: tuple[str, ...]) -> None:
    _, text = on_terminal(*arguments, shop=shop)
    assert text.strip()
    assert not TERMINAL.search(text.replace("\t", " "))


def test_a_terminal_would_get_an_escape_that_was_let_through(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The check above must see one: `Terminal` takes nothing out."""
    import click

    from notebook.commands import main

    monkeypatch.setattr(main, "__version__", "1")
    monkeypatch.setattr(main.teardown, "main", lambda **_: click.echo("\x1b[31mred"))
    assert on_terminal("log", shop=tmp_path)[1] == "\x1b[31mred\n"


def test_no_color_is_kept_to(tmp_path: Path) -> None:
    """The environment of no-color.org, on a terminal that has colours; the progress of `add` would use them."""
    run_teardown("new", "2041", "--machine", "winch", shop=tmp_path / "shop")
    said = write_lines(tmp_path / "said.txt", *(f"Hub {n} is cracked." for n in range(20)))
    master, slave = pty.openpty()
    environment = {k: v for k, v in os.environ.items() if k != "FORCE_COLOR"}
    environment |= {
        "PYTHONPATH": str(ROOT),
        "TEARDOWN_SHOP": str(tmp_path / "shop"),
        "TERM": "xterm-256color",
        "NO_COLOR": "1",
    }
    program = subprocess.Popen(
        [sys.executable, "-m", "notebook", "add", "2041", str(said)],
        stdout=slave,
        stderr=slave,
        stdin=slave,
        env=environment,
    )
    os.close(slave)
    written = b""
    while select.select([master], [], [], 60)[0]:
        try:
            written += os.read(master, 65536)
        except OSError:  # Linux says so when the other side is closed
            break
    os.close(master)
    assert program.wait(60) == 0
    assert b"Job 2041: 20 remarks and 0 photos taken in." in written
    assert b"reading" in written
    assert not [c for c in COLOURS if c in written]


# --- exit statuses and streams ----------------------------------------------------------------------------


def is_refusal(answer: Answered, status: int) -> bool:
    return (
        answer.status == status
        and not answer.out
        and len(answer.err.splitlines()) == 1
        and answer.err.startswith("teardown: ")
    )


def test_nothing_found_is_1_wrong_use_2_and_could_not_3(teardown: Teardown, tmp_path: Path) -> None:
    assert teardown("new", "2041", "--machine", "winch").status == 0
    assert teardown("find", "kettle").status == 1
    assert is_refusal(teardown("log", "9"), 1)
    assert is_refusal(teardown("new", "2041", "--machine", "winch"), 2)
    assert is_refusal(teardown("mend", "2041", "1"), 2)
    assert is_refusal(teardown("reread"), 2)
    assert is_refusal(teardown("reread", "2041", "--all"), 2)
    assert is_refusal(teardown("read", tmp_path / "gone.txt"), 3)
    assert is_refusal(teardown("demo", "--session", tmp_path), 3)
    assert teardown("add", "2041", tmp_path / "gone.txt").status == 3
    assert teardown("log").status == teardown("tear").status == teardown("log", "--tear", "1").status == 2


def test_the_process_leaves_with_the_status(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "notebook", "log", "9"], capture_output=True, text=True, check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT), "TEARDOWN_SHOP": str(tmp_path)},
    )  # fmt: skip
    assert (done.returncode, done.stdout) == (1, "")
    assert done.stderr.startswith("teardown: There is no job 9.")


def test_a_newer_archive_is_refused_by_every_command_and_left(teardown: Teardown, tmp_path: Path) -> None:
    teardown("new", "2041", "--machine", "winch")
    path = tmp_path / "shop" / "archive.db"
    connection = sqlite3.connect(path)
    with connection:
        connection.execute(
            "INSERT INTO _sqlite_migrations(migration_set, name, applied_at) VALUES ('teardown-notebook', 'm999_later', 't')"
        )
    connection.close()
    before = path.read_bytes()
    said = write_lines(tmp_path / "said.txt", "Hub is cracked.")
    for arguments in (
        ("log", "2041"), ("add", "2041", said), ("find", "hub"), ("new", "7", "--machine", "winch"), ("close", "2041"), ("reread", "--all"),
        ("mend", "2041", "1", "--strike"), ("play", "2041", "1"), ("log", "2041", "--json"),
    ):  # fmt: skip
        answer = teardown(*arguments)
        assert is_refusal(answer, 3), arguments
        assert "newer Teardown Notebook" in answer.err
        assert path.read_bytes() == before
    doctor = teardown("doctor")
    assert doctor.status == 3
    assert "newer Teardown Notebook" in doctor.out


def test_talk_and_problems_stay_out_of_the_answer(teardown: Teardown, tmp_path: Path) -> None:
    teardown("new", "2041", "--machine", "winch")
    (tmp_path / "bad.txt").write_bytes(b"\xff\xfe")
    answer = teardown(
        "add", "2041", write_lines(tmp_path / "said.txt", "Hub is cracked."), tmp_path / "bad.txt", "--json"
    )
    assert answer.status == 0
    assert answer.json["remarks"] == 1
    assert answer.err.splitlines() == [f"! {p}" for p in answer.json["problems"]]
    assert "bad.txt" in answer.err


@pytest.mark.parametrize(
    "stop",
    [KeyboardInterrupt, OSError(28, "No space left on device")],
    ids=["stopped", "full"],
)
def test_what_ends_a_command_from_outside_is_no_trace(
    teardown: Teardown, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stop: BaseException
) -> None:
    from notebook.archive.store import Archive

    teardown("new", "2041", "--machine", "winch")

    def end(*_: object, **__: object) -> None:
        raise stop

    monkeypatch.setattr(Archive, "add_remark", end)
    answer = teardown("add", "2041", write_lines(tmp_path / "said.txt", "Hub is cracked."))
    assert (answer.status, answer.out) == (3, "")
    (line,) = answer.err.strip().splitlines()
    assert "stored" in line
    assert "run the same command again" in line


# --- a full disk ------------------------------------------------------------------------------------------


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """Give a disk of its own with little room; needs root and the right to mount."""
    place = tmp_path / "disk"
    place.mkdir()
    if not hasattr(os, "geteuid") or os.geteuid() != 0 or shutil.which("mount") is None:
        pytest.skip("a small disk of its own needs root")
    if subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=20m", "tmpfs", place], capture_output=True, check=False
    ).returncode:
        pytest.skip("no disk may be mounted here")
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", place], check=True)


def test_a_disk_that_fills_up_is_told_and_after_making_room_the_same_command_goes_on(
    small_disk: Path, tmp_path: Path
) -> None:
    said = write_lines(
        tmp_path / "said.txt", *(f"Bolt {n} of the hub is loose and the drum is worn." for n in range(150))
    )
    for place in (small_disk, tmp_path):
        assert (
            run_teardown("new", "2041", "--machine", "winch", "--opened", "2026-03-04", shop=place / "shop").status == 0
        )
    room = os.statvfs(small_disk)
    (small_disk / "other").write_bytes(bytes(room.f_bavail * room.f_frsize - 300_000))
    full = run_teardown("add", "2041", said, shop=small_disk / "shop")
    assert is_refusal(full, 3)
    assert "disk is full" in full.err
    assert "safe" in full.err
    (small_disk / "other").unlink()
    stored = run_teardown("log", "2041", "--json", shop=small_disk / "shop").json["remarks"]
    assert 0 < len(stored) < 80
    assert [r["text"] for r in stored] == said.read_text("utf-8").splitlines()[: len(stored)]
    for place in (small_disk, tmp_path):
        assert run_teardown("add", "2041", said, shop=place / "shop").status == 0
    whole, filled = (run_teardown("log", "2041", shop=place / "shop").out for place in (tmp_path, small_disk))
    assert filled == whole
