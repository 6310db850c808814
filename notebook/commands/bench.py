"""`teardown bench`: listen at the bench, on the screen or in plain lines."""

from __future__ import annotations

import contextlib
import os
import queue
import signal
import sys
import threading
from pathlib import Path
from typing import Any

import click

from notebook.commands.common import json_option, person_option, say_json_line, shop_option, talk, with_options
from notebook.errors import NotebookError, one_line


@click.command("bench")
@click.argument("number")
@click.option("--plain", is_flag=True, help="Write lines instead of a screen; Ctrl-C ends the sitting.")
@click.option("--rebuild", is_flag=True, help="Walk the way back instead: the rebuild sheet, a step at a time.")
@click.option("--microphone", help="Part of the microphone's name (see teardown doctor --microphone).")
@click.option("--by-key", is_flag=True, help="One key starts and stops each remark, for radio and shouting.")
@click.option("--quiet", is_flag=True, help="No tones, nothing said aloud.")
@click.option("--look", type=click.Choice(["dark", "light", "contrast"]), help="How the screen looks.")
@with_options(person_option, shop_option, json_option)
def command(
    number: str, plain: bool, rebuild: bool, microphone: str | None, by_key: bool, quiet: bool, look: str | None, person: str | None,
    shop_folder: Path | None, as_json: bool,
) -> None:  # fmt: skip
    """Listen at the bench to job NUMBER: talk, and what you say is written down.

    Nothing needs a key. Say "photo", "scratch that", "bag twelve", "what's left", "where are the drum bolts",
    "stop listening", "close the job". With --rebuild: "done", "torque set", "next", "back", "skip: waiting for the
    seal", "what's left".
    """
    from dataclasses import replace

    from notebook.shop import open_shop

    shop = open_shop(shop_folder)
    settings = shop.settings.bench
    settings = replace(
        settings,
        microphone=microphone if microphone is not None else settings.microphone,
        by_key=by_key or settings.by_key,
        tone=settings.tone and not quiet,
        aloud=settings.aloud and not quiet,
        look=look or settings.look,
    )
    if not plain and not as_json and not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise NotebookError("There is no screen here.", "Run it in a terminal, or with --plain.")
    if plain or as_json:
        _run_plain(shop, number, settings, person, as_json, rebuild)
        return
    _hush_libraries()
    from notebook.screen.app import BenchScreen

    BenchScreen(shop, number, settings=settings, person=person, rebuild=rebuild).run()


def _hush_libraries() -> None:
    """Send what sound libraries write to standard error by themselves to nowhere; our own words still get there.

    ALSA writes lines of its own over the screen each time it finds no microphone.
    """
    with contextlib.suppress(OSError, ValueError):
        ours = os.dup(2 if sys.stderr.isatty() else 1)  # the screen is drawn there
        sys.stderr = sys.__stderr__ = os.fdopen(ours, "w", buffering=1, encoding=sys.stderr.encoding, errors="replace")  # type: ignore[misc]
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, 2)
        os.close(nowhere)


def _run_plain(shop: Any, number: str, settings: Any, person: str | None, as_json: bool, rebuild: bool) -> None:
    from notebook.documents.bench_lines import message_json, message_line
    from notebook.jobs.sitting import BenchSitting

    heard: queue.SimpleQueue[Any] = queue.SimpleQueue()
    bench = BenchSitting(shop, number, tell=heard.put, person=person, settings=settings, rebuild=rebuild)
    talk(f"Listening to job {one_line(number)}. Ctrl-C ends the sitting.")
    ending = threading.Event()
    for name in ("SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), lambda *_: ending.set())
    signal.signal(signal.SIGINT, lambda *_: ending.set())
    bench.start()

    def write_until(is_over: threading.Event) -> None:
        while not (is_over.is_set() and heard.empty()):
            try:
                message = heard.get(timeout=0.2)
            except queue.Empty:
                continue
            if as_json:
                if (values := message_json(message)) is not None:
                    say_json_line(values)
            elif line := message_line(message):
                click.echo(line)
            sys.stdout.flush()

    write_until(ending)
    over = threading.Event()

    def stop() -> None:
        bench.stop()
        over.set()

    stopping = threading.Thread(target=stop)
    stopping.start()
    write_until(over)
    stopping.join()
