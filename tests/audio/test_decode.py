"""Sound of every kind is read block by block in a process of its own, and bad files are told in one line."""

from __future__ import annotations

import errno
import os
import struct
import subprocess
import sys
import textwrap
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from notebook.audio import decode
from notebook.audio.decode import RATE_HZ, OpenSound, open_sound
from notebook.errors import COULD_NOT, NOTHING_FOUND, WRONG_USE, NotebookError

from .sounds import Sound, make_noise, make_tone, strongest_hz, write_sound, write_wav

KINDS = {
    "wav": ("pcm_s16le", "a.wav", 44100),
    "flac": ("flac", "a.flac", 48000),
    "mp3": ("libmp3lame", "a.mp3", 44100),
    "m4a": ("aac", "a.m4a", 44100),
    "ogg opus": ("libopus", "a.ogg", 48000),
    "opus": ("libopus", "a.opus", 48000),
    "ogg vorbis": ("vorbis", "a.oga", 22050),
    "webm": ("libopus", "a.webm", 48000),
    "mka": ("flac", "a.mka", 32000),
    "aiff": ("pcm_s16be", "a.aiff", 11025),
    "caf": ("pcm_s16le", "a.caf", 8000),
    "aac": ("aac", "a.aac", 32000),
}


def read_sound(path: Path) -> tuple[Sound, OpenSound]:
    with open_sound(path) as sound:
        return np.concatenate(list(sound.blocks())), sound


def check_refused(path: Path, exit_status: int, *words: str) -> NotebookError:
    with pytest.raises(NotebookError) as told:
        read_sound(path)
    line = str(told.value)
    assert told.value.exit_status == exit_status
    assert line.isprintable()
    assert "Traceback" not in line
    for word in words:
        assert word in line, line
    return told.value


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_of_sound_file_is_read(tmp_path: Path, kind: str) -> None:
    codec, name, rate_hz = KINDS[kind]
    path = write_sound(tmp_path / name, make_tone(2.0, 440, rate_hz), codec, rate_hz=rate_hz, channels=2)
    samples, sound = read_sound(path)
    assert samples.dtype == np.int16
    assert len(samples) == sound.sample_count == pytest.approx(2 * RATE_HZ, abs=0.1 * RATE_HZ)
    assert strongest_hz(samples) == pytest.approx(440, abs=2)
    assert np.abs(samples[8000:24000].astype(int)).max() == pytest.approx(0.3 * 32767, rel=0.1)
    assert not sound.problems
    assert "2 channels" in sound.made_of


@pytest.mark.parametrize(("codec", "name"), [("pcm_s16le", "a.wav"), ("flac", "a.flac"), ("alac", "a.m4a")])
def test_lossless_sound_at_16_khz_comes_through_bit_for_bit(tmp_path: Path, codec: str, name: str) -> None:
    noise = make_noise(3.21)
    samples, sound = read_sound(write_sound(tmp_path / name, noise, codec))
    assert np.array_equal(samples, noise)
    assert sound.length_s == pytest.approx(3.21, abs=0.001)


@pytest.mark.parametrize("rate_hz", [8000, 44100, 96000])
def test_every_rate_becomes_16_khz(tmp_path: Path, rate_hz: int) -> None:
    samples, _ = read_sound(write_wav(tmp_path / "a.wav", make_tone(1.0, 1000, rate_hz), rate_hz))
    assert len(samples) == pytest.approx(RATE_HZ, abs=40)
    assert strongest_hz(samples) == pytest.approx(1000, abs=3)


def test_channels_are_mixed(tmp_path: Path) -> None:
    tone = make_tone(1.0)
    both = np.stack([tone, np.zeros_like(tone)], axis=1)
    samples, _ = read_sound(write_wav(tmp_path / "a.wav", both))
    assert np.allclose(samples, tone / 2, atol=2)


def test_blocks_are_half_a_second_and_the_last_is_the_rest(tmp_path: Path) -> None:
    with open_sound(write_wav(tmp_path / "a.wav", make_noise(1.75))) as sound:
        assert [len(block) for block in sound.blocks()] == [8000, 8000, 8000, 4000]


def test_the_sound_of_a_video_is_read(tmp_path: Path) -> None:
    path = write_sound(tmp_path / "a.mp4", make_tone(2.0, 700, 44100), "aac", rate_hz=44100, picture=True)
    samples, sound = read_sound(path)
    assert strongest_hz(samples) == pytest.approx(700, abs=2)
    assert "mp4" in sound.made_of


def test_a_video_without_sound_is_told(tmp_path: Path) -> None:
    import av

    path = tmp_path / "a.mp4"
    with av.open(str(path), "w") as box:
        video = box.add_stream("mpeg4", rate=10)
        video.width, video.height, video.pix_fmt = 64, 48, "yuv420p"
        box.mux(video.encode(av.VideoFrame.from_ndarray(np.zeros((48, 64, 3), np.uint8), format="rgb24")))
        box.mux(video.encode(None))
    check_refused(path, COULD_NOT, "no sound")


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="memory is read from /proc")
def test_half_an_hour_takes_no_more_memory_than_a_minute(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "long.wav", make_tone(0.5))
    size = 1800 * RATE_HZ * 2
    with path.open("r+b") as file:
        file.seek(40)
        file.write(struct.pack("<I", size))
        file.truncate(44 + size)  # the rest is silence that takes no room on the disk

    def resident_mb() -> float:
        return int(Path("/proc/self/statm").read_text("ascii").split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6

    with open_sound(path) as sound:
        blocks = sound.blocks()
        for _ in range(120):
            next(blocks)
        before_mb = most_mb = resident_mb()
        for _ in blocks:
            most_mb = max(most_mb, resident_mb())
    assert sound.sample_count == 1800 * RATE_HZ
    assert most_mb - before_mb < 8  # the whole of it would be 57 MB


# --- files that are not whole, or not sound ------------------------------------------------------------


def test_a_recording_cut_off_gives_what_is_there_and_says_so(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(10.0))
    path.write_bytes(path.read_bytes()[: 44 + 4 * 2 * RATE_HZ])
    samples, sound = read_sound(path)
    assert len(samples) == 4 * RATE_HZ
    assert "4.0 s of 10.0 s" in str(sound.problems[0])


@pytest.mark.parametrize("size", [0xFFFFFFFF, 0x7FFFF000])
def test_a_wav_that_does_not_know_its_length_is_not_called_cut(tmp_path: Path, size: int) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(1.0))
    whole = path.read_bytes()
    path.write_bytes(whole[:40] + struct.pack("<I", size) + whole[44:])
    samples, sound = read_sound(path)
    assert len(samples) == RATE_HZ
    assert not sound.problems


@pytest.mark.parametrize(
    ("codec", "name"), [("flac", "a.flac"), ("libmp3lame", "a.mp3"), ("libopus", "a.ogg"), ("vorbis", "a.ogg")]
)
def test_half_a_file_gives_about_half_and_says_so(tmp_path: Path, codec: str, name: str) -> None:
    path = write_sound(tmp_path / name, make_noise(8.0), codec)
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    samples, sound = read_sound(path)
    assert len(samples) == pytest.approx(4 * RATE_HZ, rel=0.3)  # Ogg pages hold up to a second
    assert len(sound.problems) == 1
    assert "are used" in str(sound.problems[0])


def test_a_recorder_that_died_left_a_header_of_no_length(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", make_noise(3.0))
    whole = path.read_bytes()
    path.write_bytes(whole[:4] + struct.pack("<I", 36) + whole[8:40] + struct.pack("<I", 0) + whole[44:])
    samples, _ = read_sound(path)
    assert len(samples) == 3 * RATE_HZ


def test_a_telephone_recording_without_its_index_is_told(tmp_path: Path) -> None:
    path = write_sound(tmp_path / "a.m4a", make_noise(4.0), "aac")
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    check_refused(path, COULD_NOT, "cut off before its index")


def test_silence_is_read_and_told(tmp_path: Path) -> None:
    samples, sound = read_sound(write_wav(tmp_path / "a.wav", np.zeros(RATE_HZ, np.int16)))
    assert len(samples) == RATE_HZ
    assert "silent" in str(sound.problems[0])
    assert "microphone" in sound.problems[0].remedy


def test_an_empty_file_is_told(tmp_path: Path) -> None:
    (tmp_path / "a.wav").touch()
    check_refused(tmp_path / "a.wav", NOTHING_FOUND, "empty")


def test_a_header_without_sound_is_told(tmp_path: Path) -> None:
    check_refused(write_wav(tmp_path / "a.wav", np.zeros(0, np.int16)), NOTHING_FOUND, "no sound")


def test_text_and_pictures_are_not_sound(tmp_path: Path) -> None:
    (tmp_path / "text.wav").write_text("Pinion's out.\n" * 200, "utf-8")
    Image.new("RGB", (64, 48)).save(tmp_path / "picture.wav", "PNG")
    Image.new("RGB", (64, 48)).save(tmp_path / "photo.wav", "JPEG")
    (tmp_path / "few.wav").write_bytes(b"RIFF")
    for name in ("text.wav", "picture.wav", "photo.wav", "few.wav"):
        check_refused(tmp_path / name, COULD_NOT, name, "is not a sound file")


def test_a_play_list_is_not_followed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    # Named from the folder it is read in, as the decoder alone would follow it.
    monkeypatch.chdir(tmp_path)
    write_wav(tmp_path / "a.wav", make_tone(1.0))
    (tmp_path / "list.wav").write_text("ffconcat version 1.0\nfile a.wav\n", "utf-8")
    check_refused(tmp_path / "list.wav", COULD_NOT, "is not a sound file")
    streamed = "#EXTM3U\n#EXT-X-VERSION:3\n#EXT-X-TARGETDURATION:1\n#EXTINF:1.0,\na.wav\n#EXT-X-ENDLIST\n"
    (tmp_path / "list.m4a").write_text(streamed, "utf-8")
    check_refused(tmp_path / "list.m4a", COULD_NOT, "is not a sound file")


@pytest.mark.parametrize("seed", range(1, 5))
def test_damaged_bytes_never_raise_anything_else(tmp_path: Path, seed: int) -> None:
    codec, name, rate_hz = list(KINDS.values())[seed]
    path = write_sound(tmp_path / name, make_noise(2.0), codec, rate_hz=rate_hz)
    numbers = np.random.default_rng(seed)
    damaged = np.frombuffer(path.read_bytes(), np.uint8).copy()
    places = numbers.integers(0, len(damaged), len(damaged) // 50)
    damaged[places] = numbers.integers(0, 256, len(places))
    path.write_bytes(damaged.tobytes())
    with suppress(NotebookError):
        samples, _ = read_sound(path)
        assert len(samples)


def test_what_is_no_plain_file_is_told(tmp_path: Path) -> None:
    check_refused(tmp_path / "gone.wav", WRONG_USE, "no file", "gone.wav")
    check_refused(tmp_path, WRONG_USE, "is a folder")
    check_refused(Path("a\0b.wav"), COULD_NOT, "cannot be opened")
    check_refused(tmp_path / ("x" * 300 + ".wav"), COULD_NOT, "cannot be opened")
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe.wav")
        check_refused(tmp_path / "pipe.wav", WRONG_USE, "not a plain file")


def test_a_file_that_may_not_be_read_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_wav(tmp_path / "a.wav", make_tone(0.2))

    def refuse(*_: object) -> None:
        raise PermissionError(errno.EACCES, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    check_refused(path, COULD_NOT, "may not be read")


@pytest.mark.parametrize("name", ["-v.wav", 'it\'s "so".wav', "a\nb\x1b[31m.wav", "ünï ⚙ %s {0}; ls.wav", "file:a.wav"])
def test_any_file_name_is_only_a_name(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    monkeypatch.chdir(tmp_path)
    write_wav(tmp_path / name, make_tone(0.5))
    assert len(read_sound(Path(name))[0]) == RATE_HZ // 2
    Path(name).write_bytes(b"")
    check_refused(Path(name), NOTHING_FOUND, "is empty")


def test_the_file_is_left_as_it_was(tmp_path: Path) -> None:
    path = write_sound(tmp_path / "a.flac", make_noise(1.0), "flac")
    before = (path.read_bytes(), path.stat().st_mtime_ns)
    read_sound(path)
    assert (path.read_bytes(), path.stat().st_mtime_ns) == before


# --- the fence -----------------------------------------------------------------------------------------


def put_child(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, body: str) -> Path:
    """Put another decoder in the place of the real one, which it may import; give a sound file."""
    (tmp_path / "real_child.py").symlink_to(Path(decode.__file__).with_name("decode_child.py"))
    head = f"import sys, time\nsys.path.insert(0, {str(tmp_path)!r})\nimport real_child\n"
    (tmp_path / "decode_child.py").write_text(head + textwrap.dedent(body), "utf-8")
    monkeypatch.setattr(decode, "__file__", str(tmp_path / "decode.py"))
    return write_wav(tmp_path / "a.wav", make_noise(30.0))


def test_a_decoder_that_hangs_is_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = put_child(tmp_path, monkeypatch, "time.sleep(600)")
    monkeypatch.setattr(decode, "STUCK_AFTER_S", 0.2)
    check_refused(path, COULD_NOT, "took too long to decode")


def test_a_decoder_that_hangs_on_the_way_keeps_what_was_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    body = """
        send = real_child.send
        count = []
        def slow(out, letter, body):
            count.append(1)
            if len(count) > 5:
                time.sleep(600)
            send(out, letter, body)
        real_child.send = slow
        real_child.run(sys.argv[1:])
    """
    path = put_child(tmp_path, monkeypatch, body)
    with open_sound(path) as sound:
        blocks = sound.blocks()
        for _ in range(4):
            next(blocks)
        monkeypatch.setattr(decode, "STUCK_AFTER_S", 0.1)
        assert list(blocks) == []
    assert sound.sample_count == 4 * RATE_HZ // 2
    assert "took too long" in str(sound.problems[0])


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of memory to set here")
def test_a_decoder_that_wants_all_memory_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    body = """
        real_child.decode = lambda file, out: bytearray(8 << 30)
        real_child.run(sys.argv[1:])
    """
    check_refused(put_child(tmp_path, monkeypatch, body), COULD_NOT, "more memory")


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of processor time to set here")
def test_a_decoder_that_spins_is_ended(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    body = """
        def spin(file, out):
            while True:
                pass
        real_child.decode = spin
        real_child.run(sys.argv[1:])
    """
    path = put_child(tmp_path, monkeypatch, body)
    monkeypatch.setattr(decode, "PROCESSOR_S", 1)
    monkeypatch.setattr(decode, "PROCESSOR_S_PER_MB", 0)
    check_refused(path, COULD_NOT, "took too long")


@pytest.mark.skipif(sys.platform == "win32", reason="no limit of file size to set here")
def test_a_decoder_can_write_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    body = f"""
        def write(file, out):
            with open({str(tmp_path / "written")!r}, "wb") as out:
                out.write(b"x" * 100)
        real_child.decode = write
        real_child.run(sys.argv[1:])
    """
    check_refused(put_child(tmp_path, monkeypatch, body), COULD_NOT, "could not be decoded")
    assert not (tmp_path / "written").exists() or (tmp_path / "written").stat().st_size == 0


def test_a_decoder_that_dies_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    check_refused(put_child(tmp_path, monkeypatch, "import os\nos.abort()"), COULD_NOT, "could not be decoded")


def test_no_decoder_is_left_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[subprocess.Popen[bytes]] = []
    real = subprocess.Popen

    def remember(*given: object, **named: object) -> subprocess.Popen[bytes]:
        started.append(real(*given, **named))  # type: ignore[call-overload]
        return started[-1]

    monkeypatch.setattr(subprocess, "Popen", remember)
    with open_sound(write_wav(tmp_path / "a.wav", make_noise(60.0))) as sound:
        next(sound.blocks())
    (tmp_path / "b.wav").write_text("no sound", "utf-8")
    check_refused(tmp_path / "b.wav", COULD_NOT)
    assert [child.returncode is not None for child in started] == [True, True]


def test_no_decoder_is_loaded_into_this_process(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", make_tone(0.5))
    program = """
        import sys
        from pathlib import Path
        from notebook.audio.decode import open_sound
        with open_sound(Path(sys.argv[1])) as sound:
            print(sum(map(len, sound.blocks())), "av" in sys.modules)
    """
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(program), str(path)], capture_output=True, text=True, check=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip
    assert done.stdout.split() == ["8000", "False"]


# --- when it began -------------------------------------------------------------------------------------

BEGAN = datetime(2026, 3, 4, 9, 12, tzinfo=UTC)


@pytest.mark.parametrize("kind", ["ogg opus", "ogg vorbis", "m4a", "flac"])
def test_the_time_in_the_file_is_found_on_container_or_stream(tmp_path: Path, kind: str) -> None:
    codec, name, rate_hz = KINDS[kind]
    tags = {"creation_time": "2026-03-04T09:12:00.000000Z"}
    on_stream = kind.startswith("ogg")  # Ogg keeps its tags on the stream (Vorbis I specification, section 5)
    path = write_sound(
        tmp_path / name, make_tone(1.0, 440, rate_hz), codec, rate_hz=rate_hz,
        tags=None if on_stream else tags, stream_tags=tags if on_stream else None,
    )  # fmt: skip
    with open_sound(path) as sound:
        assert (sound.began, sound.began_how) == (BEGAN, "in the file")


def test_the_time_of_a_broadcast_wav_is_found(tmp_path: Path) -> None:
    # EBU Tech 3285: description 256, originator 32, reference 32, date yyyy-mm-dd 10, time hh:mm:ss 8, then the rest.
    chunk = bytes(320) + b"2026-03-04" + b"09:12:00" + bytes(8 + 2 + 64 + 190)
    whole = write_wav(tmp_path / "a.wav", make_tone(1.0)).read_bytes()
    riff = b"WAVE" + b"bext" + struct.pack("<I", len(chunk)) + chunk + whole[12:]
    (tmp_path / "a.wav").write_bytes(b"RIFF" + struct.pack("<I", len(riff)) + riff)
    with open_sound(tmp_path / "a.wav", UTC) as sound:
        assert (sound.began, sound.began_how) == (BEGAN, "in the file")


def test_the_time_in_the_name_comes_next(tmp_path: Path) -> None:
    with open_sound(write_wav(tmp_path / "REC_20260304_091200.wav", make_tone(0.5)), UTC) as sound:
        assert (sound.began, sound.began_how) == (BEGAN, "in its name")


def test_the_time_of_change_less_the_length_comes_last(tmp_path: Path) -> None:
    path = write_wav(tmp_path / "a.wav", make_tone(20.0))
    os.utime(path, (BEGAN.timestamp() + 20, BEGAN.timestamp() + 20))
    with open_sound(path) as sound:
        assert sound.began == BEGAN
        assert "time of change" in sound.began_how


def test_a_time_of_change_outside_the_calendar_is_no_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = write_wav(tmp_path / "a.wav", make_tone(0.5))
    real = os.fstat

    def far_off(handle: int) -> os.stat_result:
        told = list(real(handle))
        return os.stat_result([*told[:8], 10**12, *told[9:10]])

    monkeypatch.setattr(os, "fstat", far_off)
    with open_sound(path) as sound:
        assert sound.began is None
