"""A bench with a virtual microphone: WAV played in, what the bench says out.

In: sound files. Out: the messages of a real `teardown bench --json`, in a program of its own. Nothing is injected and
nothing is faked between the loudspeaker of a private sound server and the archive.
Needs Debian's `pulseaudio` and `pulseaudio-utils`; `available` says whether they are there.
"""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
import wave
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

ROOT = Path(__file__).parents[2]
SCRIPT = ROOT / "tests" / "tools" / "virtual_microphone.sh"
HUMAN = Path("/usr/share/pocketsphinx/test/data")
WAIT_S = 90.0
AHEAD = ["nice", "-n", "-15"] if os.geteuid() == 0 and shutil.which("nice") else []
"""Before other tests: a sound server that waits for the processor drops sound, as no sound card does."""
RATE_HZ = 16000


def available() -> bool:
    """Tell whether a virtual microphone can be had here."""
    return all(shutil.which(tool) for tool in ("pulseaudio", "paplay", "pactl", "bash"))


class VirtualMicrophone:
    """A private sound server whose loudspeaker is its microphone."""

    def __init__(self, folder: Path) -> None:
        self.environment = {**os.environ, "VMIC_DIR": str(folder)}
        said = subprocess.run(
            ["bash", str(SCRIPT), "env"], env=self.environment, capture_output=True, text=True, check=True
        ).stdout
        for word in said.replace("export", "").split():
            name, _, value = word.partition("=")
            self.environment[name] = value

    def start(self) -> None:
        """Start the sound server."""
        subprocess.run([*AHEAD, "bash", str(SCRIPT), "start"], env=self.environment, check=True)

    def stop(self) -> None:
        """Kill the sound server, as if the microphone were pulled."""
        subprocess.run(["bash", str(SCRIPT), "stop"], env=self.environment, check=True)

    def play(self, path: Path) -> None:
        """Play a file and wait until it has been played."""
        subprocess.run([*AHEAD, "paplay", str(path)], env=self.environment, check=True)

    def start_playing(self, path: Path) -> subprocess.Popen[bytes]:
        """Start to play a file."""
        return subprocess.Popen([*AHEAD, "paplay", str(path)], env=self.environment)


class BenchProgram:
    """A running `teardown bench --json`."""

    def __init__(self, microphone: VirtualMicrophone, shop: Path, number: str, *options: str) -> None:
        self.messages: list[dict[str, Any]] = []
        self._more = threading.Condition()
        self._program = subprocess.Popen(
            [sys.executable, "-m", "notebook", "bench", number, "--json", "--shop", str(shop), *options],
            env={**microphone.environment, "PYTHONPATH": str(ROOT)}, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
        self.pid = self._program.pid
        self._reading = threading.Thread(target=self._read, daemon=True)
        self._reading.start()

    def _read(self) -> None:
        assert self._program.stdout is not None
        for line in self._program.stdout:
            with self._more:
                self.messages.append({**json.loads(line), "_at_s": time.monotonic()})
                self._more.notify_all()

    def wait_for(
        self, what: str, wanted: Callable[[dict[str, Any]], bool] = lambda _m: True, *, after: int = 0
    ) -> dict[str, Any]:
        """Give the first message of a kind from a place on; raises TimeoutError when none comes."""
        until_s = time.monotonic() + WAIT_S
        with self._more:
            while True:
                for message in self.messages[after:]:
                    if message["what"] == what and wanted(message):
                        return message
                if self._program.poll() is not None and self._program.stderr is not None:
                    raise TimeoutError(f"the bench ended: {self._program.stderr.read()}")
                if not self._more.wait(min(1.0, until_s - time.monotonic())) and time.monotonic() > until_s:
                    raise TimeoutError(f"no {what} among {[m['what'] for m in self.messages]}")

    def wait_until_listening(self) -> None:
        """Wait until the microphone is open and the ear is loaded."""
        self.wait_for("StateChanged", lambda m: m["state"] == "listening")
        self.wait_for("BenchReady")

    def kill(self) -> None:
        """Kill it without a word."""
        self._program.kill()
        self._close()

    def end(self) -> int:
        """End the sitting as Ctrl-C does."""
        self._program.send_signal(signal.SIGINT)
        return self._close()

    def _close(self) -> int:
        status = self._program.wait(WAIT_S)
        self._reading.join(WAIT_S)
        for stream in (self._program.stdout, self._program.stderr):
            if stream is not None:
                stream.close()
        return status


def read_wav(path: Path) -> NDArray[np.int16]:
    """Read mono 16-bit samples at 16 kHz."""
    with wave.open(str(path)) as sound:
        assert (sound.getnchannels(), sound.getsampwidth(), sound.getframerate()) == (1, 2, RATE_HZ)
        return np.frombuffer(sound.readframes(sound.getnframes()), np.int16)


def write_wav(path: Path, samples: NDArray[np.int16]) -> Path:
    """Write mono 16-bit samples at 16 kHz."""
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE_HZ)
        out.writeframes(samples.tobytes())
    return path


def read_flac(path: Path) -> NDArray[np.int16]:
    """Read the sound of a stored remark, by PyAV in this process."""
    import av

    with av.open(str(path)) as box:
        return np.concatenate([frame.to_ndarray().reshape(-1) for frame in box.decode(audio=0)])


def find_samples(part: NDArray[np.int16], whole: NDArray[np.int16]) -> int:
    """Give where a stretch of samples lies in a sound, bit for bit; -1 where it does not."""
    at = whole.tobytes().find(part.tobytes())
    while at >= 0 and at % 2:
        at = whole.tobytes().find(part.tobytes(), at + 1)
    return at // 2 if at >= 0 else -1


def open_shop_with_job(shop: Path, number: str = "7", machine: str = "forestry winch") -> None:
    """Open a job in a shop of its own."""
    subprocess.run(
        [sys.executable, "-m", "notebook", "new", number, "--machine", machine, "--shop", str(shop)],
        env={**os.environ, "PYTHONPATH": str(ROOT)}, check=True, capture_output=True,
    )  # fmt: skip


def log_of(shop: Path, number: str = "7") -> dict[str, Any]:
    """Give the log as the command line gives it."""
    said = subprocess.run(
        [sys.executable, "-m", "notebook", "log", number, "--json", "--shop", str(shop)],
        env={**os.environ, "PYTHONPATH": str(ROOT)}, check=True, capture_output=True, text=True,
    )  # fmt: skip
    log: dict[str, Any] = json.loads(said.stdout)
    return log


def sounds_of(shop: Path) -> list[NDArray[np.int16]]:
    """Give the sound of every stored remark."""
    return [read_flac(path) for path in sorted(shop.glob("jobs/*/sound/*.flac"))]
