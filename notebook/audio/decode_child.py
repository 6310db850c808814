"""Decode one sound file in a process of its own, so that a bad file can hurt nothing else.

In: the file, open on standard input, and two limits as arguments (bytes of memory, seconds of processor).
Out, on standard output: what the file says of itself, then its sound as mono 16 kHz 16-bit samples, then how it ended,
each as one letter (H, S, E), four bytes of length (little-endian) and that many bytes (JSON or samples).
Never opens another file, never writes one, and imports nothing of the notebook.
"""

from __future__ import annotations

import json
import struct
import sys
from collections.abc import Iterator
from typing import Any, BinaryIO

RATE_HZ = 16000
BLOCK_BYTES = RATE_HZ  # half a second of 16-bit samples
FORMATS = "wav,w64,aiff,au,caf,flac,mp3,aac,ogg,mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,amr,asf"
"""Only these are tried: none of them is a play list, which could point at other files or at the network."""
MOST_CHUNKS = 100
NO_SIZE = 0x7FFF0000
"""Recorders that do not know the length yet write the largest number there is, or nearly."""
MOST_TAGS = 100
LONGEST_TAG = 300


class RefusedError(Exception):
    """The file cannot be decoded; the word says why."""


def limit_process(memory_bytes: int, processor_s: int) -> None:
    """Set hard limits on memory, processor time and files written, where the system has them."""
    if sys.platform == "win32":
        return
    import resource

    for which, most in (
        (resource.RLIMIT_AS, memory_bytes),
        (resource.RLIMIT_CPU, processor_s),
        (resource.RLIMIT_FSIZE, 0),
        (resource.RLIMIT_CORE, 0),
    ):
        try:
            _, hard = resource.getrlimit(which)
            most = most if hard == resource.RLIM_INFINITY else min(most, hard)
            resource.setrlimit(which, (most, most))
        except (OSError, ValueError):
            # Some systems refuse a limit on memory; the parent's watch on time still stands.
            continue


def send(out: BinaryIO, letter: bytes, body: bytes) -> None:
    """Write one message."""
    out.write(letter + struct.pack("<I", len(body)) + body)
    out.flush()


def decode(file: BinaryIO, out: BinaryIO) -> dict[str, Any]:
    """Send the header and the sound of an open file; give how it ended."""
    import av
    import av.logging

    av.logging.set_level(av.logging.WARNING)
    head = file.read(12)
    ends_cut = _ogg_has_no_end(file) if head[:4] == b"OggS" else False
    promised_s = _wav_length_s(file) if head[:4] == b"RIFF" and head[8:] == b"WAVE" else None
    file.seek(0)
    try:
        with av.logging.Capture() as said:
            box = av.open(file, metadata_errors="replace", options={"format_whitelist": FORMATS})
    except MemoryError:
        raise
    except (av.FFmpegError, ValueError) as error:
        raise RefusedError("no index" if head[4:8] in (b"ftyp", b"moov", b"mdat", b"wide") else "not sound") from error
    with box:
        if not box.streams.audio:
            raise RefusedError("no sound in it" if box.streams.video else "not sound")
        stream = box.streams.best("audio") or box.streams.audio[0]
        if stream.type != "audio":
            raise RefusedError("not sound")
        length_s = _length_s(box, stream)
        guessed = any("Estimating duration" in message for _, _, message in said)
        send(out, b"H", json.dumps(_header(box, stream, length_s)).encode())
        sent_bytes, errors = 0, 0
        held = bytearray()
        for samples, bad in _samples(av, box, stream):
            errors += bad
            held += samples
            while len(held) >= BLOCK_BYTES:
                send(out, b"S", bytes(held[:BLOCK_BYTES]))
                sent_bytes += BLOCK_BYTES
                del held[:BLOCK_BYTES]
        send(out, b"S", bytes(held))
        sent_bytes += len(held)
    return {
        "samples": sent_bytes // 2,
        "errors": errors,
        "expected_s": promised_s or (None if guessed else length_s),
        "cut": ends_cut,
    }


def _samples(av: Any, box: Any, stream: Any) -> Iterator[tuple[bytes, int]]:
    """Yield samples and the number of packets that could not be decoded, until the file ends or breaks."""
    tool = None
    packets = box.demux(stream)
    while True:
        try:
            packet = next(packets)
        except StopIteration:
            break
        except MemoryError:
            raise
        except av.FFmpegError:
            yield b"", 1
            break
        try:
            frames = packet.decode()
        except av.EOFError:
            continue
        except MemoryError:
            raise
        except av.FFmpegError:
            yield b"", 1
            continue
        for frame in frames:
            frame.pts = None
            try:
                if tool is None:
                    tool = av.AudioResampler(format="s16", layout="mono", rate=RATE_HZ)
                turned = tool.resample(frame)
            except ValueError:
                # The rate or the channels changed on the way, as in recordings that were joined.
                rest = tool.resample(None) if tool is not None else []
                tool = av.AudioResampler(format="s16", layout="mono", rate=RATE_HZ)
                turned = [*rest, *tool.resample(frame)]
            for piece in turned:
                yield bytes(piece.planes[0])[: piece.samples * 2], 0
    if tool is not None:
        for piece in tool.resample(None):
            yield bytes(piece.planes[0])[: piece.samples * 2], 0


def _length_s(box: Any, stream: Any) -> float | None:
    if stream.duration and stream.time_base:
        return float(stream.duration * stream.time_base)
    return box.duration / 1_000_000 if box.duration else None


def _header(box: Any, stream: Any, length_s: float | None) -> dict[str, Any]:
    tags: dict[str, str] = {}
    for source in (stream.metadata, box.metadata):
        for key, value in list(source.items())[:MOST_TAGS]:
            tags[str(key)[:LONGEST_TAG].lower()] = str(value)[:LONGEST_TAG]
    return {
        "format": box.format.name,
        "codec": stream.codec_context.name,
        "rate_hz": stream.codec_context.sample_rate,
        "channels": stream.codec_context.channels,
        "length_s": length_s,
        "tags": tags,
    }


def _ogg_has_no_end(file: BinaryIO) -> bool:
    """Tell whether the last page of an Ogg file lacks its end mark (RFC 3533, header type flag 0x04)."""
    size_bytes = file.seek(0, 2)
    file.seek(max(0, size_bytes - 65536 - 27))
    tail = file.read()
    at = tail.rfind(b"OggS")
    return at < 0 or at + 6 > len(tail) or not tail[at + 5] & 4


def _wav_length_s(file: BinaryIO) -> float | None:
    """Give the seconds that a WAV header promises; the decoder passes over a promise that the file does not keep."""
    file.seek(12)
    bytes_a_second = 0
    for _ in range(MOST_CHUNKS):
        head = file.read(8)
        if len(head) < 8:
            return None
        size = struct.unpack("<I", head[4:])[0]
        if head[:4] == b"data":
            return size / bytes_a_second if bytes_a_second and size < NO_SIZE else None
        body = file.read(16) if head[:4] == b"fmt " else b""
        if len(body) == 16:
            bytes_a_second = struct.unpack_from("<I", body, 8)[0]
        file.seek(size + (size & 1) - len(body), 1)
    return None


def run(arguments: list[str]) -> int:
    """Limit this process, decode what is on standard input, and say how it ended."""
    limit_process(int(arguments[0]), int(arguments[1]))
    out = sys.stdout.buffer
    try:
        with open(0, "rb", closefd=False) as file:
            ended = decode(file, out)
    except BrokenPipeError:
        return 0
    except RefusedError as refusal:
        ended = {"refused": str(refusal)}
    except MemoryError:
        ended = {"refused": "too much memory"}
    except Exception as error:
        ended = {"refused": "broken", "detail": f"{type(error).__name__}: {error}"[:LONGEST_TAG]}
    send(out, b"E", json.dumps(ended).encode())
    return 0


if __name__ == "__main__":
    sys.exit(run(sys.argv[1:]))
