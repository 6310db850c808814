"""The demonstration's shop as the notebook of today makes it, for the documents that show it.

In: the package and `demo_session`. Out: a shop folder under `build`, heard and read anew whenever either changed, so that
what is shown is what a fresh clone gives.
"""

from __future__ import annotations

import fcntl
import hashlib
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]
SHOP = ROOT / "build" / "documents_shop"
_STAMP = SHOP.with_suffix(".stamp")
_LEFT_OUT = {"screen", "documents", "templates", "page", "__pycache__"}
"""Rooms that change nothing of what is heard, read or kept."""


def fresh_demo_shop() -> Path:
    """Give the shop of the demonstration, made anew where the package or the session changed since."""
    SHOP.parent.mkdir(exist_ok=True)
    with SHOP.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        print_now = _fingerprint()
        if not _STAMP.is_file() or _STAMP.read_text() != print_now or not (SHOP / "archive.db").is_file():
            _STAMP.unlink(missing_ok=True)
            shutil.rmtree(SHOP, ignore_errors=True)
            done = subprocess.run(
                [sys.executable, "-m", "notebook", "demo", "--shop", str(SHOP)],
                cwd=ROOT,
                env={**os.environ, "PYTHONPATH": str(ROOT)},
                capture_output=True,
                text=True,
                check=False,
            )
            if done.returncode:
                raise RuntimeError(f"the demonstration did not run: {done.stderr[-2000:]}")
            _STAMP.write_text(print_now)
    return SHOP


def _fingerprint() -> str:
    told = hashlib.sha256()
    for top in ("notebook", "demo_session"):
        for path in sorted((ROOT / top).rglob("*")):
            if path.is_file() and not _LEFT_OUT & set(path.relative_to(ROOT).parts):
                told.update(str(path.relative_to(ROOT)).encode())
                told.update(path.read_bytes())
    return told.hexdigest()
