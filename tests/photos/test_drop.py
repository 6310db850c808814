"""The phone page takes pictures and nothing else: plain clients of the standard library try it."""

from __future__ import annotations

import http.client
import json
import socket
import ssl
import threading
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

import pytest

from notebook.errors import NotebookError, Problem
from notebook.photos.drop import Dropped, DropServer, check_address, is_plain_name, open_drop
from notebook.photos.take import take_photo
from tests.photos.pictures import draw_corners, save_picture

HOST = "127.0.0.1"


@dataclass(slots=True, kw_only=True)
class Page:
    server: DropServer
    folder: Path
    thread: threading.Thread
    fingerprint: str | None
    taken: list[str] = field(default_factory=list)
    log: list[str] = field(default_factory=list)

    @property
    def token(self) -> str:
        return self.server.address.token

    def connect(self) -> http.client.HTTPConnection:
        return http.client.HTTPConnection(HOST, self.server.address.port, timeout=20)

    def send(self, body: bytes, **headers: str) -> tuple[int, dict[str, str]]:
        connection = self.connect()
        told = {"X-Drop-Token": self.token, "X-File-Name": "a.jpg"} | {
            k.replace("_", "-"): v for k, v in headers.items()
        }
        connection.request("POST", "/photo", body, told)
        answer = connection.getresponse()
        said = json.loads(answer.read() or b"{}")
        connection.close()
        return answer.status, said


def serve(folder: Path, *, tls: bool = False) -> Page:
    taken: list[str] = []
    log: list[str] = []

    def take(path: Path, name: str) -> Dropped | Problem:
        came = take_photo(path, "UTC")
        if isinstance(came, Problem):
            return came
        taken.append(name)
        return Dropped(said="In the job", thumbnail=came.thumbnail)

    server, fingerprint = open_drop(HOST, 0, "Job 1, winch", folder / "coming", take, log.append, tls=tls)
    thread = threading.Thread(target=server.run)
    thread.start()
    return Page(server=server, folder=folder / "coming", thread=thread, fingerprint=fingerprint, taken=taken, log=log)


@pytest.fixture
def page(tmp_path: Path) -> Iterator[Page]:
    made = serve(tmp_path)
    yield made
    made.server.stop()
    made.thread.join(15)
    assert not made.thread.is_alive()
    assert not list(made.folder.glob("*")) and not list(made.folder.glob(".*"))  # noqa: PT018


@pytest.fixture
def picture(tmp_path: Path) -> bytes:
    return save_picture(tmp_path / "p.jpg", draw_corners()).read_bytes()


def test_a_picture_goes_in_and_only_its_thumbnail_comes_back(page: Page, picture: bytes) -> None:
    status, said = page.send(picture, X_File_Name="gear%20one.jpg")
    assert (status, said["said"]) == (200, "In the job")
    assert said["thumbnail"].startswith("/9j/")
    assert page.taken == ["gear one.jpg"]
    assert page.log == []
    for path in ("/photo", "/photos", "/coming", "/../archive.db", "/photos/p.jpg", "/docs", "/openapi.json"):
        connection = page.connect()
        connection.request("GET", path, headers={"X-Drop-Token": page.token})
        assert connection.getresponse().status in (404, 405)
        connection.close()


def test_every_answer_has_the_headers_that_lock_it_in(page: Page) -> None:
    for path in ("/", "/page.js", "/page.css", "/nothing"):
        connection = page.connect()
        connection.request("GET", path)
        answer = connection.getresponse()
        content = answer.read()
        assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'")
        assert answer.headers["Cache-Control"] == "no-store"
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert answer.headers["Server"] is None
        assert page.token.encode() not in content
        connection.close()


def test_a_wrong_token_and_none_are_refused_and_logged_without_it(page: Page, picture: bytes) -> None:
    assert page.send(picture, X_Drop_Token="guessed-token")[0] == 403
    assert page.send(picture, X_Drop_Token="")[0] == 403
    assert page.taken == []
    assert page.log == ["refused: wrong token"] * 2


def test_another_host_and_another_origin_are_refused(page: Page, picture: bytes) -> None:
    assert page.send(picture, Host="evil.example")[0] == 421
    assert page.send(picture, Origin="http://evil.example")[0] == 403
    assert page.send(picture, Origin=f"http://{page.server.address.authority}")[0] == 200
    assert page.taken == ["a.jpg"]


def test_two_gigabytes_are_refused_before_they_are_sent(page: Page) -> None:
    with socket.create_connection((HOST, page.server.address.port), timeout=20) as line:
        line.sendall(
            f"POST /photo HTTP/1.1\r\nHost: {page.server.address.authority}\r\nX-Drop-Token: {page.token}\r\n"
            f"Content-Length: {2 << 30}\r\n\r\n".encode()
        )
        assert line.recv(64).startswith(b"HTTP/1.1 413")
    assert page.log == ["refused: 2147 MB announced, over 60 MB"]


def test_a_body_that_never_ends_is_cut_off(page: Page) -> None:
    block = b"\xff\xd8\xff\xe0" + bytes(999_996)
    with socket.create_connection((HOST, page.server.address.port), timeout=20) as line:
        line.sendall(
            f"POST /photo HTTP/1.1\r\nHost: {page.server.address.authority}\r\nX-Drop-Token: {page.token}\r\n"
            "Transfer-Encoding: chunked\r\n\r\n".encode()
        )
        sent = 0
        try:
            for _ in range(200):
                line.sendall(f"{len(block):x}\r\n".encode() + block + b"\r\n")
                sent += 1
        except OSError:
            pass
    assert sent < 200
    assert page.log == ["refused: grew over 60 MB"]


@pytest.mark.parametrize(
    "name", ["../../etc/passwd", "..%2F..%2Fx.jpg", "a/b.jpg", "C:%5Cx.jpg", "a%00.jpg", ".hidden.jpg", "x" * 300]
)
def test_a_path_in_a_file_name_is_refused(page: Page, picture: bytes, name: str) -> None:
    assert page.send(picture, X_File_Name=name)[0] == 400
    assert page.taken == []
    assert page.log == ["refused: a file name with a path or odd signs in it"]


@pytest.mark.parametrize(
    "body",
    [
        b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>', b"<!doctype html><script>x</script>",
        b"%PDF-1.7", b"GIF89a" + bytes(100), b"", b"\xff\xd8\xff" + b"<script>alert(1)</script>",
    ],
)  # fmt: skip
def test_what_is_no_picture_is_refused(page: Page, body: bytes) -> None:
    assert page.send(body, Content_Type="image/jpeg")[0] == 415
    assert page.taken == []
    assert len(page.log) == 1


def test_two_hundred_at_once_are_taken_or_told_to_come_again(page: Page, picture: bytes) -> None:
    with ThreadPoolExecutor(50) as phones:
        answers = list(phones.map(lambda n: page.send(picture, X_File_Name=f"p{n}.jpg")[0], range(200)))
    assert set(answers) <= {200, 503}
    assert answers.count(200) == len(page.taken) > 0
    assert page.send(picture)[0] == 200


def test_a_phone_that_walks_away_leaves_nothing(page: Page, picture: bytes) -> None:
    with socket.create_connection((HOST, page.server.address.port), timeout=20) as line:
        line.sendall(
            f"POST /photo HTTP/1.1\r\nHost: {page.server.address.authority}\r\nX-Drop-Token: {page.token}\r\n"
            f"Content-Length: {len(picture)}\r\n\r\n".encode()
            + picture[:100]
        )
    assert page.send(picture)[0] == 200
    assert page.taken == ["a.jpg"]


def test_tls_on_request_has_the_fingerprint_that_is_shown(tmp_path: Path) -> None:
    made = serve(tmp_path, tls=True)
    try:
        trusting = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        trusting.check_hostname = False
        trusting.verify_mode = ssl.CERT_NONE
        with (
            socket.create_connection((HOST, made.server.address.port), timeout=20) as line,
            trusting.wrap_socket(line) as safe,
        ):
            certificate = safe.getpeercert(binary_form=True)
            assert certificate is not None
            assert sha256(certificate).hexdigest().upper() == (made.fingerprint or "").replace(":", "")
            assert safe.version() in ("TLSv1.2", "TLSv1.3")
            safe.sendall(f"GET / HTTP/1.1\r\nHost: {made.server.address.authority}\r\n\r\n".encode())
            assert safe.recv(64).startswith(b"HTTP/1.1 200")
        assert made.server.address.url.startswith("https://")
    finally:
        made.server.stop()
        made.thread.join(15)


@pytest.mark.parametrize("host", ["0.0.0.0", "8.8.8.8", "::", "workshop.example", ""])
def test_only_an_address_of_the_workshop_is_served(host: str) -> None:
    with pytest.raises(NotebookError):
        check_address(host)


def test_plain_names() -> None:
    assert is_plain_name("IMG 0001 (2).jpg")
    assert is_plain_name("зубчатка.heic")
    assert not is_plain_name("a\nb.jpg")
    assert not is_plain_name("")
