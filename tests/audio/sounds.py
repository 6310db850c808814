"""Sounds made for tests, the demonstration's sound, and the ear where its weights are in place."""

from __future__ import annotations

import json
import wave
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from numpy.typing import NDArray

from notebook.audio.ear import Ear
from notebook.audio.weights import find_model
from notebook.errors import NotebookError

RATE_HZ = 16000
DEMO = Path(__file__).parents[2] / "demo_session"
DEMO_SOUND = DEMO / "sound" / "winch-2026-03-04.ogg"

Sound = NDArray[np.int16]


def make_tone(seconds: float, tone_hz: float = 440.0, rate_hz: int = RATE_HZ, level: float = 0.3) -> Sound:
    t_s = np.arange(round(seconds * rate_hz)) / rate_hz
    return np.round(level * 32767 * np.sin(2 * np.pi * tone_hz * t_s)).astype(np.int16)


def make_noise(seconds: float, level: float = 0.1, seed: int = 5) -> Sound:
    numbers = np.random.default_rng(seed).standard_normal(round(seconds * RATE_HZ))
    return np.clip(level * 32767 * numbers, -32768, 32767).astype(np.int16)


def make_workshop(seconds: float, seed: int = 11) -> Sound:
    """Make a compressor's hum, hiss, clanks of metal and bursts of blows; nobody speaks."""
    numbers = np.random.default_rng(seed)
    t_s = np.arange(round(seconds * RATE_HZ)) / RATE_HZ
    sound = 0.02 * numbers.standard_normal(len(t_s))
    for tone_hz, level in ((50, 1.0), (100, 0.9), (150, 0.4), (300, 0.3), (600, 0.1)):
        sound += 0.04 * level * np.sin(2 * np.pi * tone_hz * t_s + numbers.uniform(0, 6))
    for at in np.arange(1.0, seconds - 1.0, 1.7):
        after_s = t_s[: RATE_HZ // 2]
        clank = sum(
            np.sin(2 * np.pi * f_hz * after_s) * np.exp(-18 * after_s) for f_hz in numbers.uniform(700, 6000, 6)
        )
        first = round(at * RATE_HZ)
        sound[first : first + len(after_s)] += 0.06 * clank
        blows = np.exp(-4 * ((after_s * 22) % 1)) * numbers.standard_normal(len(after_s))
        sound[first + 8000 : first + 16000] += 0.15 * blows[: len(sound[first + 8000 : first + 16000])]
    return np.clip(sound * 32767, -32768, 32767).astype(np.int16)


def write_wav(path: Path, sound: Sound, rate_hz: int = RATE_HZ) -> Path:
    """Write 16-bit WAV; a sound of two dimensions has its channels in columns."""
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1 if sound.ndim == 1 else sound.shape[1])
        out.setsampwidth(2)
        out.setframerate(rate_hz)
        out.writeframes(np.ascontiguousarray(sound).tobytes())
    return path


def write_sound(
    path: Path,
    sound: Sound,
    codec: str,
    *,
    rate_hz: int = RATE_HZ,
    channels: int = 1,
    tags: dict[str, str] | None = None,
    stream_tags: dict[str, str] | None = None,
    picture: bool = False,
    box_format: str | None = None,
) -> Path:
    """Write mono samples as PyAV encodes them, on every channel, if asked with a moving picture beside."""
    channels = 2 if codec == "vorbis" else channels
    layout = {1: "mono", 2: "stereo"}[channels]
    with av.open(str(path), "w", format=box_format) as box:
        box.metadata.update(tags or {})
        video: Any = box.add_stream("mpeg4", rate=10) if picture else None
        # The Vorbis encoder at hand calls itself experimental and takes two channels only.
        options = {"strict": "experimental"} if codec == "vorbis" else {}
        stream: Any = box.add_stream(codec, rate=rate_hz, layout=layout, options=options)
        stream.metadata.update(stream_tags or {})
        if video is not None:
            video.width, video.height, video.pix_fmt = 64, 48, "yuv420p"
            for _ in range(round(len(sound) / rate_hz * 10)):
                box.mux(video.encode(av.VideoFrame.from_ndarray(np.zeros((48, 64, 3), np.uint8), format="rgb24")))
            box.mux(video.encode(None))
        tool = av.AudioResampler(format=stream.format.name, layout=layout, rate=rate_hz, frame_size=stream.frame_size)
        whole = av.AudioFrame.from_ndarray(np.repeat(sound, channels).reshape(1, -1), format="s16", layout=layout)
        whole.sample_rate, whole.pts, whole.time_base = rate_hz, 0, Fraction(1, rate_hz)
        for frame in [*tool.resample(whole), *tool.resample(None)]:
            box.mux(stream.encode(frame))
        box.mux(stream.encode(None))
    return path


def strongest_hz(sound: Sound, rate_hz: int = RATE_HZ) -> float:
    """Give the strongest frequency of the middle of a sound."""
    middle = sound[len(sound) // 4 : 3 * len(sound) // 4].astype(float)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    return float(np.fft.rfftfreq(len(middle), 1 / rate_hz)[int(spectrum.argmax())])


@cache
def read_demo() -> Sound:
    """Give the demonstration's sound at 16 kHz, read by PyAV in this process and not by the notebook."""
    with av.open(str(DEMO_SOUND)) as box:
        tool = av.AudioResampler(format="s16", layout="mono", rate=RATE_HZ)
        frames = [piece for frame in box.decode(audio=0) for piece in tool.resample(frame)]
        return np.concatenate([piece.to_ndarray()[0] for piece in [*frames, *tool.resample(None)]])


@cache
def demo_truth() -> tuple[dict[str, Any], ...]:
    """Give what was said in the demonstration, and when."""
    lines = (DEMO / "truth" / "remarks.jsonl").read_text("utf-8").splitlines()
    return tuple(json.loads(line) for line in lines)


@cache
def _load_ear(name: str) -> Ear | str:
    try:
        find_model(name)
    except NotebookError as error:
        return str(error)
    return Ear(name, threads=1)


def need_ear(name: str = "whisper-base") -> Ear:
    """Give a loaded ear, once a run; skip the test where its weights are not in place."""
    ear = _load_ear(name)
    if isinstance(ear, str):
        pytest.skip(f"no speech weights: {ear}")
    return ear
