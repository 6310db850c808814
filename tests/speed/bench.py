"""Measure the bench through a virtual microphone: latency, memory, processor while it only listens, and kills.

    python -m tests.speed.bench [--remarks 40] [--kills 50] [--idle-s 60]

In: the demonstration's remarks, cut from its sound, of 4 to 6 s. Out: a table. Latency is counted from the last voiced
sound to the first line, to the stored text, and to the entries in the archive. The voices are synthetic.
"""

from __future__ import annotations

import argparse
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from notebook.audio.hear import cut_stretches
from tests.audio.sounds import RATE_HZ, read_demo
from tests.bench.killing import kill_benches
from tests.bench.virtual import HUMAN, BenchProgram, VirtualMicrophone, available, open_shop_with_job, write_wav

BETWEEN_S = 2.5


def measure(remarks: int, kills: int, idle_s: float) -> int:
    """Measure and print; give the exit status."""
    if not available():
        say("No virtual microphone: install Debian's pulseaudio and pulseaudio-utils.")
        return 3
    folder = Path(tempfile.mkdtemp(prefix="bench-"))
    microphone = VirtualMicrophone(folder / "microphone")
    microphone.start()
    try:
        open_shop_with_job(folder / "shop")
        _measure_latency(microphone, folder, remarks, idle_s)
        if kills:
            open_shop_with_job(folder / "killed")
            lost = kill_benches(microphone, folder / "killed", sorted((HUMAN / "cards").glob("*.wav")), kills)
            say(
                f"{lost.kills} kills: {lost.finished} remarks had ended, {lost.lost} lost; at most {max(0.0, lost.most_lost_s):.2f} s of"
                f" sound not on disk; {lost.half_heard} broken off and found again"
            )  # fmt: skip
    finally:
        microphone.stop()
        shutil.rmtree(folder, ignore_errors=True)
    return 0


def _measure_latency(microphone: VirtualMicrophone, folder: Path, remarks: int, idle_s: float) -> None:
    pieces = [s for _, s in cut_stretches(iter([read_demo()])) if 4 * RATE_HZ <= len(s) <= 7 * RATE_HZ]
    quiet = np.zeros(int(BETWEEN_S * RATE_HZ), np.int16)
    bench = BenchProgram(microphone, folder / "shop", "7", "--quiet")
    bench.wait_until_listening()
    before_s, began_s = _processor_s(bench.pid), time.monotonic()
    time.sleep(idle_s)
    idle = (_processor_s(bench.pid) - before_s) / (time.monotonic() - began_s)
    lengths = []
    for n in range(remarks):
        piece = pieces[n % len(pieces)]
        lengths.append(len(piece) / RATE_HZ)
        microphone.play(write_wav(folder / "piece.wav", np.concatenate([piece, quiet])))
    time.sleep(4.0)
    memory_mb = _memory_mb(bench.pid)
    bench.end()
    first = [m["after_s"] for m in bench.messages if m["what"] == "FirstLineHeard"]
    # A first line that speech went on after has another of the same key behind it; the last counts.
    last_first = {m["key"]: m["after_s"] for m in bench.messages if m["what"] == "FirstLineHeard"}
    stored = [m for m in bench.messages if m["what"] == "RemarkStored"]
    say(
        f"{len(stored)} remarks stored of {remarks} said, {statistics.mean(lengths):.1f} s long on average; {len(first)} first lines"
    )
    say(f"{'from the last voiced sound':<34}{'median s':>10}{'95 % s':>10}")
    for what, values in (
        ("to the first line", [last_first[m["key"]] for m in stored if m["key"] in last_first]),
        ("to the stored text", [m["text_after_s"] for m in stored]),
        ("to text and entries in the archive", [m["after_s"] for m in stored]),
    ):
        say(f"{what:<34}{statistics.median(values):>10.2f}{np.percentile(values, 95):>10.2f}")
    say(f"memory {memory_mb:.0f} MB at its peak; processor while only listening {100 * idle:.1f} % of a core")


def _processor_s(pid: int) -> float:
    fields = Path(f"/proc/{pid}/stat").read_text().rsplit(")", 1)[1].split()
    return (int(fields[11]) + int(fields[12])) / 100


def _memory_mb(pid: int) -> float:
    for line in Path(f"/proc/{pid}/status").read_text().splitlines():
        if line.startswith("VmHWM"):
            return int(line.split()[1]) / 1000
    return 0.0


def say(line: str) -> None:
    """Write a line."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--remarks", type=int, default=40)
    parser.add_argument("--kills", type=int, default=50)
    parser.add_argument("--idle-s", type=float, default=60.0)
    given = parser.parse_args()
    sys.exit(measure(given.remarks, given.kills, given.idle_s))
