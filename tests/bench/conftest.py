"""The virtual microphone of these tests: one sound server for all of them, and a fresh shop for each."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from notebook.audio.weights import find_model
from notebook.errors import NotebookError
from tests.bench.virtual import HUMAN, BenchProgram, VirtualMicrophone, available, open_shop_with_job


@pytest.fixture(scope="session")
def sound_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[VirtualMicrophone]:
    if not available():
        pytest.skip("no virtual microphone: Debian's pulseaudio and pulseaudio-utils are not installed")
    microphone = VirtualMicrophone(tmp_path_factory.mktemp("microphone"))
    microphone.start()
    yield microphone
    microphone.stop()


@pytest.fixture(scope="session")
def ears() -> None:
    for name in ("whisper-base", "whisper-tiny-en"):
        try:
            find_model(name)
        except NotebookError as error:
            pytest.skip(f"no speech weights: {error}")


@pytest.fixture
def shop(tmp_path: Path, ears: None) -> Path:  # noqa: ARG001
    open_shop_with_job(tmp_path / "shop")
    return tmp_path / "shop"


Begin = Callable[..., BenchProgram]


@pytest.fixture
def begin(sound_server: VirtualMicrophone, shop: Path) -> Iterator[Begin]:
    """Give a starter of benches that are ended after the test."""
    begun: list[BenchProgram] = []

    def start(*options: str, wait: bool = True, quiet: bool = True) -> BenchProgram:
        bench = BenchProgram(sound_server, shop, "7", *(["--quiet"] if quiet else []), *options)
        begun.append(bench)
        if wait:
            bench.wait_until_listening()
        return bench

    yield start
    for bench in begun:
        if bench._program.poll() is None:
            bench.kill()


@pytest.fixture(scope="session")
def human() -> Path:
    if not (HUMAN / "cards").is_dir():
        pytest.skip("no recorded human speech: Debian's pocketsphinx-testdata is not installed")
    return HUMAN


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Keep what listens to the one sound server in one worker, one after the other."""
    for item in items:
        if "tests/bench/" in item.nodeid:
            item.add_marker(pytest.mark.xdist_group("sound server"))
