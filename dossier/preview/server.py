"""A server on the loopback of this machine: to its own browser, and to no other page in it.

It serves what is held in memory by its exact path and opens no file, so that no path leads out.
A name that points here (DNS rebinding) and a request that another site makes are refused: the
bench's pages are private.
"""

from __future__ import annotations

import errno
import hashlib
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from importlib import resources
from pathlib import PurePosixPath
from queue import SimpleQueue
from threading import Condition, Event, Thread
from urllib.parse import unquote, urlsplit

from dossier.charts.engine import engine, engine_name
from dossier.preview.overlay import OWN, PREVIEW_POLICY, bare_page, with_overlay
from dossier.preview.site import BENCH, Pages, Renewed, Told, Workbench, fault
from dossier.publish.headers import HEADERS
from dossier.sites.clients import INDEX
from dossier.sites.jobs import Tell
from dossier.store import LostError, bytes_of, key_of

HOST = "127.0.0.1"
_BEAT = 15.0  # seconds after which an idle stream shows that it still stands
_TYPES = {
    ".css": "text/css; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".ics": "text/calendar; charset=utf-8",
    ".jpg": "image/jpeg",
    ".wav": "audio/wav",
    ".mp3": "audio/mpeg",
    ".ogg": "audio/ogg",
    ".flac": "audio/flac",
    ".m4a": "audio/mp4",
    ".mp4": "video/mp4",
    ".js": "text/javascript; charset=utf-8",
    ".json": "application/json",
    ".png": "image/png",
    ".svg": "image/svg+xml",
    ".txt": "text/plain; charset=utf-8",
    ".woff2": "font/woff2",
}
_REFUSED = (
    HTTPStatus.FORBIDDEN,
    "The preview answers this machine's own browser alone, at the address that it printed.",
)


class PortTakenError(RuntimeError):
    """The port is another program's."""


@dataclass(slots=True)
class Preview:
    """The pages, who waits for newer ones, and the server.

    `day` is asked at each renewal, so that a preview that stays open over midnight is right.
    """

    bench: Workbench
    day: Callable[[], date]
    port: int = 0
    stand: str = ""
    looked_at: SimpleQueue[str] = field(default_factory=SimpleQueue)
    ended: Event = field(default_factory=Event)
    _news: Condition = field(default_factory=Condition)
    _server: ThreadingHTTPServer | None = None

    def open(self) -> str:
        """Begin to serve, and return the address.  Raises PortTakenError."""
        try:
            self._server = _Server((HOST, self.port), _handler(self))
        except OSError as error:
            if error.errno not in (errno.EADDRINUSE, errno.EACCES):
                raise
            raise PortTakenError(
                f"Port {self.port} is taken or not yours to open. Leave --port out for a free one."
            ) from None
        self.port = self._server.server_address[1]
        Thread(target=self._server.serve_forever, args=(0.1,), daemon=True).start()
        Thread(target=self._warm, daemon=True).start()
        return f"http://{HOST}:{self.port}/"

    def renew(self, tell: Tell) -> Renewed:
        """Look at the notes again, and tell the open pages where anything differs."""
        try:
            renewed = self.bench.renew(self.day(), tell)
        except Exception as error:  # noqa: BLE001  # whatever it is, the next save may mend it
            found = fault(error)
            old = self.bench.pages
            told = (Told(found, None),)
            self.bench.pages = Pages(old.files, old.clients, old.twins, told, old.not_found)
            renewed = Renewed((), (found,))
        with self._news:
            self.stand = _stand(self.bench.pages)
            self._news.notify_all()
        return renewed

    def wait(self, known: str, seconds: float) -> str:
        """The stand of the pages once it is another than `known`, or after so many seconds."""
        with self._news:
            self._news.wait_for(lambda: self.stand != known or self.ended.is_set(), seconds)
            return self.stand

    def close(self) -> None:
        """End the server and every open stream."""
        self.ended.set()
        with self._news:
            self._news.notify_all()
        self.looked_at.put("")
        if self._server is not None:
            self._server.shutdown()
            self._server.server_close()

    def _warm(self) -> None:
        while path := self.looked_at.get():
            self.bench.warm_up(path)


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    # A port that was just given up can be taken again, but never one that still listens.
    allow_reuse_address = True


def _stand(pages: Pages) -> str:
    """A mark of all that is shown: the same pages and findings have the same."""
    total = hashlib.sha256()
    for path, content in sorted(pages.files.items()):
        total.update(f"{path}\0{key_of(content)}\n".encode())
    for told in pages.told:
        total.update(f"{told.finding}\0{told.line}\n".encode())
    return total.hexdigest()[:20]


def _handler(preview: Preview) -> type[BaseHTTPRequestHandler]:
    class Handler(_Handler):
        def __init__(self, *args: object) -> None:
            self.preview = preview
            super().__init__(*args)  # type: ignore[arg-type]  # socketserver's

    return Handler


class _Handler(BaseHTTPRequestHandler):
    preview: Preview
    protocol_version = "HTTP/1.1"
    server_version, sys_version = "preview", ""
    timeout = 60.0

    def do_GET(self) -> None:
        path, self.path = self.path, ""  # nothing below may use it as it came
        if not self._is_ours():
            self._send(_REFUSED[0], _REFUSED[1].encode(), ".txt")
            return
        name = unquote(urlsplit(path).path.removeprefix("/"), errors="replace")
        if name == f"{OWN}events":
            self._stream()
        elif name in (f"{OWN}reload.js", f"{OWN}preview.css"):
            file = resources.files(__package__) / name.removeprefix(OWN)
            self._send(HTTPStatus.OK, file.read_bytes(), PurePosixPath(name).suffix)
        elif not name:
            self._redirect(f"/{BENCH}{INDEX}")
        else:
            self._page(name)

    def do_HEAD(self) -> None:
        self.do_GET()

    def _is_ours(self) -> bool:
        own = {f"{host}:{self.preview.port}" for host in (HOST, "localhost")}
        if len(self.headers.get_all("Host", [])) != 1 or self.headers["Host"] not in own:
            return False
        origin = self.headers["Origin"]
        if origin is not None and origin not in {f"http://{host}" for host in own}:
            return False
        return self.headers["Sec-Fetch-Site"] not in ("cross-site", "same-site")

    def _page(self, name: str) -> None:
        preview = self.preview
        pages, stand = preview.bench.pages, preview.stand
        for path in (name, f"{name.rstrip('/')}/{INDEX}"):
            if path not in pages.files:
                continue
            if path != name:
                self._redirect("/" + path)
                return
            try:
                data = bytes_of(pages.files[path])
            except LostError:
                break
            suffix = PurePosixPath(path).suffix
            if suffix == ".html":
                preview.looked_at.put(path)
                data = with_overlay(data, path, pages, stand)
            self._send(HTTPStatus.OK, data, suffix)
            return
        if PurePosixPath(name).name == engine_name():
            self._send(HTTPStatus.OK, engine(), ".js")
            return
        said = "There is no such page." if pages.files else "No page could be made yet."
        self._send(HTTPStatus.NOT_FOUND, bare_page(name, pages, stand, said), ".html")

    def _stream(self) -> None:
        """Tell an open page the stand of all pages, now and whenever it changes."""
        self._head(HTTPStatus.OK, "text/event-stream", None)
        if self.command == "HEAD":
            return
        told = ""
        with suppress(OSError):  # the page was closed
            while not self.preview.ended.is_set():
                stand = self.preview.wait(told, _BEAT)
                self.wfile.write(b": still here\n\n" if stand == told else _event(stand))
                self.wfile.flush()
                told = stand
        self.close_connection = True

    def _redirect(self, path: str) -> None:
        self._head(HTTPStatus.FOUND, _TYPES[".txt"], 0, location=path)

    def _send(self, status: HTTPStatus, data: bytes, suffix: str) -> None:
        self._head(status, _TYPES.get(suffix, "application/octet-stream"), len(data))
        if self.command != "HEAD":
            with suppress(OSError):
                self.wfile.write(data)

    def _head(
        self, status: HTTPStatus, kind: str, length: int | None, location: str | None = None
    ) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        if length is None:
            self.send_header("Connection", "close")
        else:
            self.send_header("Content-Length", str(length))
        if location is not None:
            self.send_header("Location", location)
        for name, value in HEADERS:
            self.send_header(name, PREVIEW_POLICY if name == "Content-Security-Policy" else value)
        self.send_header("Cross-Origin-Resource-Policy", "same-origin")
        self.send_header("Cross-Origin-Opener-Policy", "same-origin")
        with suppress(OSError):
            self.end_headers()

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002  # its name upstream
        """Nothing: what is looked at is nobody's business, and the terminal is for findings."""


def _event(stand: str) -> bytes:
    return f"data: {stand}\n\n".encode()
