"""The page with which a phone on the workshop network sends pictures straight to the job in hand.

In: an address, what the job is called, and what takes a picture in. Out: a server that runs until it is stopped.
The only socket of this room, opened when asked for. It serves one page and takes pictures; it gives nothing back
but the thumbnail of the picture just sent. It keeps no log of who asked for what, and the token is never written:
it stands in the fragment of the address, which no browser sends, and comes in a header.
"""

from __future__ import annotations

import base64
import hmac
import ipaddress
import secrets
import socket
import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from urllib.parse import unquote

import uvicorn
from starlette.applications import Starlette
from starlette.background import BackgroundTask
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route
from starlette.types import ASGIApp, Receive, Scope, Send

from notebook.errors import NotebookError, Problem, one_line
from notebook.photos.take import LARGEST_FILE_BYTES
from notebook.photos.whole import OTHER_SUFFIX, name_suffix

MOST_AT_ONCE = 8
"""Uploads under way; the rest are told to come again, and the page does so by itself."""
LONGEST_NAME = 200
_CERTIFICATE_DAYS = 30
_HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "default-src 'none'; script-src 'self'; style-src 'self'; img-src data:; connect-src 'self';"
    " base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
}
_PAGE = {"/": ("page.html", "text/html; charset=utf-8"), "/page.css": ("page.css", "text/css; charset=utf-8"), "/page.js": ("page.js", "text/javascript; charset=utf-8")}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropped:
    """What became of a picture: a word for the phone, and its thumbnail (JPEG)."""

    said: str
    thumbnail: bytes = field(default=b"", repr=False)


TakeDropped = Callable[[Path, str], Dropped | Problem]
"""Takes the file that came, under the name it has on the phone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DropAddress:
    """Where the page is, and what opens it."""

    host: str
    port: int
    token: str = field(repr=False)
    tls: bool = False

    @property
    def authority(self) -> str:
        """Give host and port as a browser says them."""
        host = f"[{self.host}]" if ":" in self.host else self.host
        return f"{host}:{self.port}"

    @property
    def url(self) -> str:
        """Give the whole address with the token, for the code on the screen and nowhere else."""
        return f"http{'s' if self.tls else ''}://{self.authority}/#{self.token}"


def make_token() -> str:
    """Make a token that cannot be guessed: 128 bits."""
    return secrets.token_urlsafe(16)


def find_address() -> str:
    """Give the address of this machine on its network, asking nobody; 127.0.0.1 where there is no network."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("10.255.255.255", 9))  # a datagram socket sends nothing when it is connected
            host: str = probe.getsockname()[0]
        except OSError:
            return "127.0.0.1"
    return host


def check_address(host: str) -> str:
    """Refuse an address that is not of one machine on a private network."""
    try:
        address = ipaddress.ip_address(host)
    except ValueError as why:
        raise NotebookError(f"{one_line(host)} is no address of a machine.", "Give one as in 192.168.1.20.", 2) from why
    if address.is_unspecified or not (address.is_private or address.is_loopback):
        raise NotebookError(
            f"{host} is not of a workshop network; the page was not opened.", "Give this machine's own address, as in 192.168.1.20.", 2
        )  # fmt: skip
    return str(address)


def make_app(
    address: DropAddress, job: str, folder: Path, take: TakeDropped, log: Callable[[str], None], after: Callable[[], None] = lambda: None
) -> ASGIApp:  # fmt: skip
    """Make the page. `folder` is where pictures lie while they come; `log` gets a line for what was refused."""
    gate = _Gate(address=address, job=job, folder=folder, take=take, log=log, after=after)
    routes = [Route(path, gate.show_page, methods=["GET"]) for path in _PAGE]
    routes += [Route("/job", gate.tell_job, methods=["GET"]), Route("/photo", gate.take_photo, methods=["POST"])]
    return _Guard(Starlette(routes=routes), address, log)


class DropServer:
    """The page on its address; `run` serves until `stop` is called from anywhere."""

    def __init__(self, app: ASGIApp, address: DropAddress, listening: socket.socket, keys: tempfile.TemporaryDirectory[str] | None) -> None:  # fmt: skip
        self._listening = listening
        self._keys = keys
        where = Path(keys.name) if keys is not None else None
        self._server = uvicorn.Server(
            uvicorn.Config(
                app, access_log=False, log_config=None, log_level="critical", server_header=False, date_header=False, lifespan="off", ws="none",
                timeout_keep_alive=5, timeout_graceful_shutdown=3, limit_concurrency=96, backlog=64, h11_max_incomplete_event_size=16_384,
                http="h11", proxy_headers=False, ssl_certfile=where / "certificate.pem" if where else None, ssl_keyfile=where / "key.pem" if where else None,
            )
        )  # fmt: skip
        self.address = address

    def run(self) -> None:
        """Serve until stopped."""
        try:
            self._server.run(sockets=[self._listening])
        finally:
            self._listening.close()
            if self._keys is not None:
                self._keys.cleanup()

    def stop(self) -> None:
        """Stop soon; what is on its way in is finished."""
        self._server.should_exit = True


def open_drop(
    host: str, port: int, job: str, folder: Path, take: TakeDropped, log: Callable[[str], None], *, tls: bool = False, token: str | None = None,
    after: Callable[[], None] = lambda: None,
) -> tuple[DropServer, str | None]:  # fmt: skip
    """Open the page on this address only; give the server and, with TLS, the fingerprint of its certificate."""
    checked = check_address(host)
    listening = socket.socket(socket.AF_INET6 if ":" in checked else socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind((checked, port))
        listening.listen(64)
    except OSError as why:
        listening.close()
        raise NotebookError(
            f"The page cannot be opened on {checked} port {port} ({why.strerror}).", "Name this machine's address with --address, or another --port."
        ) from why  # fmt: skip
    address = DropAddress(host=checked, port=listening.getsockname()[1], token=token or make_token(), tls=tls)
    keys, print_of = (None, None)
    if tls:
        keys = tempfile.TemporaryDirectory(prefix="teardown-")
        print_of = write_certificate(Path(keys.name), checked)
    return DropServer(make_app(address, job, folder, take, log, after), address, listening, keys), print_of


def write_certificate(folder: Path, host: str) -> str:
    """Write a fresh key and a certificate for this address, signed by itself; give its SHA-256 fingerprint."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "teardown notebook at the bench")])
    begun = datetime.now(UTC) - timedelta(days=1)  # a phone's clock may be behind
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begun)
        .not_valid_after(begun + timedelta(days=_CERTIFICATE_DAYS))
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address(host))]), critical=False)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .sign(key, hashes.SHA256())
    )
    secret = folder / "key.pem"
    secret.touch(mode=0o600)
    secret.write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    )
    (folder / "certificate.pem").write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
    return certificate.fingerprint(hashes.SHA256()).hex(":").upper()


class _Guard:
    """Refuses what is not for this address, and puts the same headers on every answer."""

    def __init__(self, app: ASGIApp, address: DropAddress, log: Callable[[str], None]) -> None:
        self._app = app
        self._address = address
        self._log = log

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        request = Request(scope)
        own = {self._address.authority}
        origin = request.headers.get("origin")
        answer: Response | None = None
        if request.headers.get("host", "") not in own:
            self._log("refused: asked for under another name")
            answer = _refuse(421, "This page answers to its own address only.")
        elif origin is not None and origin.split("://", 1)[-1] not in own:
            self._log("refused: sent from the page of another place")
            answer = _refuse(403, "Only this page may send.")

        async def send_with_headers(message: dict[str, object]) -> None:
            if message["type"] == "http.response.start":
                raw = list(message.get("headers", []))  # type: ignore[call-overload]
                message = {**message, "headers": raw + [(k.lower().encode(), v.encode()) for k, v in _HEADERS.items()]}
            await send(message)

        if answer is not None:
            await answer(scope, receive, send_with_headers)  # type: ignore[arg-type]
        else:
            await self._app(scope, receive, send_with_headers)  # type: ignore[arg-type]


@dataclass(slots=True, kw_only=True)
class _Gate:
    address: DropAddress
    job: str
    folder: Path
    take: TakeDropped
    log: Callable[[str], None]
    after: Callable[[], None]
    under_way: int = 0

    async def show_page(self, request: Request) -> Response:
        name, kind = _PAGE[request.url.path]
        return Response((files("notebook.photos") / "page" / name).read_bytes(), media_type=kind)

    async def tell_job(self, request: Request) -> Response:
        return JSONResponse({"job": self.job}) if self._knows(request) else self._refuse_stranger()

    async def take_photo(self, request: Request) -> Response:
        if not self._knows(request):
            return self._refuse_stranger()
        length = request.headers.get("content-length", "")
        if length.isdecimal() and int(length) > LARGEST_FILE_BYTES:
            self.log(f"refused: {int(length) / 1e6:.0f} MB announced, over {LARGEST_FILE_BYTES / 1e6:.0f} MB")
            return _refuse(413, f"It is over {LARGEST_FILE_BYTES / 1e6:.0f} MB, too large for a photo.")
        name = unquote(request.headers.get("x-file-name", "picture.jpg"))
        if not is_plain_name(name):
            self.log("refused: a file name with a path or odd signs in it")
            return _refuse(400, "The file name is not a plain one.")
        if self.under_way >= MOST_AT_ONCE:
            self.log("refused for now: too many pictures at once")
            return JSONResponse({"said": "Busy; it will be tried again."}, 503, {"Retry-After": "2"})
        self.under_way += 1
        try:
            return await self._receive(request, name)
        finally:
            self.under_way -= 1

    async def _receive(self, request: Request, name: str) -> Response:
        self.folder.mkdir(parents=True, exist_ok=True)
        coming = self.folder / f".{secrets.token_hex(8)}.part"
        try:
            refused = await self._write(request, coming)
            if refused is not None:
                return refused
            outcome = await run_in_threadpool(self.take, coming, name)
        except ClientDisconnect:
            self.log("a picture broke off on its way; nothing of it was kept")
            return _refuse(400, "It broke off on its way.")
        except NotebookError as error:
            self.log(f"refused: {error}")
            return _refuse(507, error.message)
        finally:
            coming.unlink(missing_ok=True)
        if isinstance(outcome, Problem):
            self.log(f"refused: {outcome.message}")
            return _refuse(415, outcome.message)
        shown = base64.b64encode(outcome.thumbnail).decode()
        return JSONResponse({"said": outcome.said, "thumbnail": shown}, background=BackgroundTask(self._settle))

    async def _write(self, request: Request, coming: Path) -> Response | None:
        size = 0
        with coming.open("xb") as file:
            async for block in request.stream():
                if not size and name_suffix(block[:12]) == OTHER_SUFFIX and block:
                    self.log("refused: no JPEG, PNG, HEIC or WebP by its first bytes")
                    return _refuse(415, "It is not a JPEG, PNG, HEIC or WebP picture.")
                size += len(block)
                if size > LARGEST_FILE_BYTES:
                    self.log(f"refused: grew over {LARGEST_FILE_BYTES / 1e6:.0f} MB")
                    return _refuse(413, f"It is over {LARGEST_FILE_BYTES / 1e6:.0f} MB, too large for a photo.")
                file.write(block)
        if not size:
            self.log("refused: an empty file")
            return _refuse(415, "The file is empty.")
        return None

    async def _settle(self) -> None:
        if not self.under_way:
            await run_in_threadpool(self.after)

    def _knows(self, request: Request) -> bool:
        given = request.headers.get("x-drop-token", "")
        return hmac.compare_digest(given.encode("utf-8", "replace"), self.address.token.encode())

    def _refuse_stranger(self) -> Response:
        self.log("refused: wrong token")
        return _refuse(403, "Scan the code at the bench again.")


def is_plain_name(name: str) -> bool:
    """Tell whether a file name is one: no path, no drive, nothing hidden, nothing that cannot be printed."""
    return (
        0 < len(name) <= LONGEST_NAME
        and name.isprintable()
        and not set(name) & set('/\\:<>|"?*')
        and not name.startswith(".")
        and name.strip(". ") != ""
    )


def _refuse(status: int, said: str) -> Response:
    return JSONResponse({"said": said}, status, {"Connection": "close"})
