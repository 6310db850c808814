"""Nothing opens a connection: every system call of the everyday commands, as the kernel sees it (Debian's `strace`)."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.audio.sounds import RATE_HZ, need_ear, read_demo
from tests.bench.virtual import write_wav
from tests.conftest import ROOT

TO_ANYWHERE = re.compile(r"\blisten\([^\n]*|\b(?:connect|sendto|sendmsg)\([^\n]*sa_family=AF_INET6?\b[^\n]*")
"""A socket bound to nothing and closed, as a library does to see whether the machine knows IPv6, reaches nobody."""
HEARD_S = 12


@pytest.mark.speech
def test_the_everyday_commands_open_no_connection(tmp_path: Path) -> None:
    if shutil.which("strace") is None:
        pytest.skip("strace is not here: apt-get install strace")
    need_ear()
    sound = write_wav(tmp_path / "said.wav", read_demo()[: HEARD_S * RATE_HZ])
    photo = next((ROOT / "demo_session").rglob("*.jpg"))
    shop = tmp_path / "shop"
    commands: list[list[str | Path]] = [
        ["new", "1", "--machine", "skidding winch"], ["add", "1", sound, photo], ["log", "1"], ["gaps", "1"],
        ["find", "which jobs had broken springs"], ["look-up", "3/8 BSF"], ["report", "1"], ["rebuild", "1"],
        ["close", "1"], ["backup", tmp_path / "backup"], ["check"], ["doctor"],
    ]  # fmt: skip
    for number, words in enumerate(commands):
        told = tmp_path / f"{number}.strace"
        done = subprocess.run(
            ["strace", "-f", "-qq", "-e", "trace=%net", "-o", told, sys.executable, "-m", "notebook", *words],
            cwd=ROOT,
            env={
                "PATH": "/usr/bin:/bin",
                "HOME": str(Path.home()),
                "TEARDOWN_SHOP": str(shop),
                "PYTHONPATH": str(ROOT),
            },
            capture_output=True,
            text=True,
            check=False,
        )
        assert "Traceback" not in done.stderr, done.stderr[-1000:]
        assert [m[0] for m in TO_ANYWHERE.finditer(told.read_text(errors="replace"))] == [], words


def test_a_connection_would_be_seen(tmp_path: Path) -> None:
    if shutil.which("strace") is None:
        pytest.skip("strace is not here: apt-get install strace")
    told = tmp_path / "told"
    code = "import socket; s = socket.socket(socket.AF_INET, socket.SOCK_DGRAM); s.connect(('192.0.2.1', 9))"
    subprocess.run(["strace", "-f", "-qq", "-e", "trace=%net", "-o", told, sys.executable, "-c", code], check=False)
    assert TO_ANYWHERE.search(told.read_text())
