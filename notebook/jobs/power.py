"""Keeps the machine awake while the bench listens, and reads its battery.

In: nothing. Out: whether it could be kept awake; the charge in percent. Never raises: where the system does not let it
or does not say, the bench goes on without.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

LOW_PERCENT = 15
_SUPPLIES = Path("/sys/class/power_supply")


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery:
    """The charge of the battery."""

    percent: int
    plugged: bool


class KeptAwake:
    """The machine kept awake until closed, where the system allows."""

    def __init__(self) -> None:
        self._keeper: subprocess.Popen[bytes] | None = None
        self.works = False
        if sys.platform == "win32":
            import ctypes

            # ES_CONTINUOUS | ES_SYSTEM_REQUIRED | ES_DISPLAY_REQUIRED
            self.works = bool(ctypes.windll.kernel32.SetThreadExecutionState(0x80000003))
            return
        order = _order_to_keep_awake()
        if order is not None:
            with suppress(OSError):
                self._keeper = subprocess.Popen(
                    order, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
                )
                self.works = True

    def close(self) -> None:
        """Let the machine sleep again."""
        if self._keeper is not None:
            self._keeper.terminate()
            with suppress(subprocess.TimeoutExpired):
                self._keeper.wait(1.0)
            self._keeper = None


def _order_to_keep_awake() -> list[str] | None:
    if sys.platform == "darwin":
        return ["caffeinate", "-di", "-w", str(os.getpid())]
    if shutil.which("systemd-inhibit"):
        # It ends by itself when this program is gone, because `tail` watches it.
        return [
            "systemd-inhibit", "--what=idle:sleep", "--who=teardown notebook", "--why=listening at the bench",
            "tail", f"--pid={os.getpid()}", "-f", "/dev/null",
        ]  # fmt: skip
    return None


def read_battery(supplies: Path = _SUPPLIES) -> Battery | None:
    """Read the charge; None where there is no battery or the system does not say."""
    if sys.platform == "darwin":
        return _read_mac_battery()
    plugged, percents = False, []
    with suppress(OSError, ValueError):
        for supply in sorted(supplies.iterdir()):
            kind = (supply / "type").read_text().strip()
            scope = supply / "scope"
            if kind == "Battery" and not (scope.is_file() and scope.read_text().strip() == "Device"):
                percents.append(int((supply / "capacity").read_text()))
                plugged |= (supply / "status").read_text().strip() in ("Charging", "Full")
            elif kind == "Mains":
                plugged |= (supply / "online").read_text().strip() == "1"
    return Battery(percent=min(percents), plugged=plugged) if percents else None


def _read_mac_battery() -> Battery | None:
    import re

    with suppress(OSError, subprocess.SubprocessError):
        said = subprocess.run(["pmset", "-g", "batt"], capture_output=True, text=True, timeout=2, check=True).stdout
        if match := re.search(r"(\d+)%", said):
            return Battery(percent=int(match[1]), plugged="AC Power" in said)
    return None
