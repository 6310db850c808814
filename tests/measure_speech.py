"""Measure the ear and print a small table: how quick, how much memory, how many words wrong.

    python tests/measure_speech.py [MODEL ...]

In: the speech models that are in place (or folders), the demonstration's recording with what was said in it, and, where
Debian's `pocketsphinx-testdata` is installed, recorded human speech with its transcripts (BSD-2, read aloud in quiet
rooms). Out: one row a model. The demonstration's voices are synthetic, and so is every figure from them.

Each model is measured in a process of its own, warmed up, with two threads. The demonstration is heard as `teardown hear`
hears it, with the prompt that follows the job; the human speech without a prompt. Words wrong are the word error rate by
`jiwer`, over all the words in one, after `normalise`: lower case, figures in words by `num2words`, hyphens and slashes as
blanks, apostrophes and other marks dropped, "mr" as "mister".
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
import wave
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

import jiwer
import num2words

from notebook.errors import NotebookError

if TYPE_CHECKING:
    from notebook.audio.ear import Ear

ROOT = Path(__file__).resolve().parents[1]
HUMAN = Path("/usr/share/pocketsphinx/test/data")
"""Where Debian's `pocketsphinx-testdata` puts its recordings."""
DEMO = ROOT / "demo_session"
THREADS = 2
RATE_HZ = 16000


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """A recording of one sentence: raw 16-bit samples, mono, 16 kHz, and what was said."""

    name: str
    samples: bytes
    said: str


def read_human_speech() -> list[Spoken]:
    """Give the recordings of `pocketsphinx-testdata` that come with their words; none where it is not installed."""
    spoken = []
    for folder, table in (("librivox", "transcription"), ("cards", "cards.transcription")):
        if not (HUMAN / folder / table).is_file():
            return []
        for line in (HUMAN / folder / table).read_text("ascii").splitlines():
            said, name = re.fullmatch(r"<s> (.*?) *</s> \((\S+)\)", line).groups()  # type: ignore[union-attr]
            with wave.open(str(HUMAN / folder / f"{name}.wav")) as sound:
                assert (sound.getnchannels(), sound.getsampwidth(), sound.getframerate()) == (1, 2, RATE_HZ)
                spoken.append(Spoken(name=name, samples=sound.readframes(sound.getnframes()), said=said))
    # The package has no transcript of this one; it is the sentence of its grammar, goforward.gram.
    go_forward = (HUMAN / "goforward.raw").read_bytes()
    return [*spoken, Spoken(name="goforward", samples=go_forward, said="go forward ten meters")]


def normalise(text: str) -> str:
    """Write what is the same when said the same way, as the head of this module says."""
    low = re.sub(r"(?<=\d),(?=\d{3})", "", text.lower())
    low = re.sub(r"\d+(?:\.\d+)?", lambda figure: f" {num2words.num2words(figure[0])} ", low)
    low = re.sub(r"[-/\N{EN DASH}\N{EM DASH}]", " ", low)
    low = re.sub(r"\bmr\b", "mister", low)
    return " ".join(re.sub(r"[^a-z ]", "", low).split())


def rate_words(said: Sequence[str], heard: Sequence[str]) -> jiwer.WordOutput:
    """Compare words by `jiwer`, all of them in one, so that a remark cut elsewhere costs nothing."""
    return jiwer.process_words(normalise(" ".join(said)), normalise(" ".join(heard)))


def hear_human_speech(ear: Ear, spoken: Sequence[Spoken], folder: Path) -> Iterator[str]:
    """Hear each recording as the notebook hears a file, without a prompt; the files are written into a folder."""
    from notebook.audio.hear import hear_sound

    for sentence in spoken:
        path = folder / f"{sentence.name}.wav"
        with wave.open(str(path), "wb") as out:
            out.setnchannels(1)
            out.setsampwidth(2)
            out.setframerate(RATE_HZ)
            out.writeframes(sentence.samples)
        with hear_sound(path, ear, lambda: "") as hearing:
            yield " ".join(remark.transcript.text for remark in hearing if remark.transcript)


def measure_model(model: str) -> dict[str, float | None]:
    """Measure one model in this process."""
    from notebook.audio.ear import Ear
    from notebook.errors import Problem
    from notebook.jobs.listening import hear_files

    began_s = time.perf_counter()
    ear = Ear(model, threads=THREADS)
    ear.warm_up()
    load_s = time.perf_counter() - began_s

    (recording,) = (DEMO / "sound").iterdir()
    truth = [json.loads(line)["text"] for line in (DEMO / "truth" / "remarks.jsonl").read_text("utf-8").splitlines()]
    problems: list[Problem] = []
    began_s = time.perf_counter()
    heard = list(hear_files([recording], ear, machine="skidding winch", habit=None, problems=problems))
    hearing_s = time.perf_counter() - began_s
    assert not problems, problems

    spoken = read_human_speech()
    human = None
    if spoken:
        with TemporaryDirectory() as folder:
            heard_human = list(hear_human_speech(ear, spoken, Path(folder)))
        human = 100 * rate_words([s.said for s in spoken], heard_human).wer
    return {
        "load_s": load_s,
        "times_real": _length_s(recording) / hearing_s,
        "peak_mb": _peak_mb(),
        "demo_percent": 100 * rate_words(truth, [said["text"] for said in heard]).wer,
        "human_percent": human,
    }


def _length_s(recording: Path) -> float:
    from notebook.audio.decode import open_sound

    with open_sound(recording) as sound:
        return sum(map(len, sound.blocks())) / RATE_HZ


def _peak_mb() -> float | None:
    if sys.platform == "win32":
        return None
    import resource

    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return peak / (1e6 if sys.platform == "darwin" else 1e3)  # Linux counts in kilobytes, macOS in bytes


def run(models: Sequence[str]) -> int:
    """Measure each model in a process of its own and print the table; give the exit status."""
    columns = ("load s", "s of sound a s", "peak MB", "demo % wrong", "human % wrong")
    say(f"{'model':<18}" + "".join(f"{name:>16}" for name in columns))
    failed = 0
    for model in models:
        done = subprocess.run(
            [sys.executable, __file__, "--one", model], stdout=subprocess.PIPE, text=True, cwd=ROOT, check=False
        )
        if done.returncode:
            failed = done.returncode
            continue
        row = json.loads(done.stdout)
        say(f"{model:<18}" + "".join(f"{'-' if x is None else format(x, '.1f'):>16}" for x in row.values()))
    if not read_human_speech():
        say("No recorded human speech: Debian's pocketsphinx-testdata is not installed.")
    say("demo: synthetic voices and made noise, with the job's prompt; human: read aloud in quiet rooms, no prompt.")
    return failed


def say(line: str) -> None:
    """Write a line."""
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    if sys.argv[1:2] == ["--one"]:
        try:
            say(json.dumps(measure_model(sys.argv[2])))
        except NotebookError as error:
            sys.exit(f"{sys.argv[2]}: {error}")
    else:
        sys.exit(run(sys.argv[1:] or ["whisper-base", "whisper-tiny-en"]))
