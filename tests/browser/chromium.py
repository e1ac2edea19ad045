"""Chromium, a loopback server with the site's own headers, and axe-core."""

import re
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from fnmatch import fnmatchcase
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import IO

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, sync_playwright

Headers = tuple[tuple[str, tuple[tuple[str, str], ...]], ...]

# Debian's browser, kept from calling home: no update, no sync, no look-up at its start.
CHROMIUM = "/usr/bin/chromium"
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
# WCAG 2.2's target size is off in axe-core unless it is asked for.
AXE_OPTIONS = {"rules": {"target-size": {"enabled": True}}, "resultTypes": ["violations"]}


def header_rules(site: Path) -> Headers:
    """A static host's `_headers`: a path with `*`, then its headers, indented."""
    path = site / "_headers"
    rules: list[tuple[str, list[tuple[str, str]]]] = []
    for line in path.read_text(encoding="utf-8").splitlines() if path.exists() else ():
        if not line.strip() or line.lstrip().startswith("#"):
            continue
        if not line[0].isspace():
            rules.append((line.strip(), []))
            continue
        name, _, value = line.strip().partition(":")
        rules[-1][1].append((name.strip(), value.strip()))
    return tuple((pattern, tuple(headers)) for pattern, headers in rules)


def folder_rules(site: Path) -> Headers:
    """A rented web space's `.htaccess`: the headers that it sets, for every path."""
    lines = (site / ".htaccess").read_text(encoding="utf-8").splitlines()
    found = (re.fullmatch(r'Header always set (\S+) "(.*)"', line) for line in lines)
    return (("*", tuple((one[1], one[2]) for one in found if one)),)


class StaticHost(SimpleHTTPRequestHandler):
    """Serves files as a static host does: the site's headers, no listing of a folder, no log."""

    def __init__(self, *args: object, rules: Headers, directory: str) -> None:
        self.rules = rules
        super().__init__(*args, directory=directory)  # type: ignore[arg-type]  # socketserver's

    def end_headers(self) -> None:
        path = self.path.partition("?")[0]
        for pattern, headers in self.rules:
            if fnmatchcase(path, pattern):
                for name, value in headers:
                    self.send_header(name, value)
        super().end_headers()

    def list_directory(self, path: object) -> IO[bytes] | None:  # type: ignore[override]
        self.send_error(404, f"no page at {path}")
        return None

    def log_message(self, format: str, *args: object) -> None:  # noqa: A002  # its name upstream
        pass


@contextmanager
def served(site: Path, rules: Callable[[Path], Headers] = header_rules) -> Iterator[str]:
    """A folder on a free loopback port, and its origin, without a slash at the end."""
    handler = partial(StaticHost, rules=rules(site), directory=str(site))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_address[1]}"
        server.shutdown()
        thread.join()


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture
def page(chromium: Browser) -> Iterator[Page]:
    with chromium.new_context(reduced_motion="reduce") as context:
        page = context.new_page()
        page.set_default_timeout(30_000)
        yield page


@pytest.fixture(scope="session")
def serve() -> Callable[[Path], object]:
    return served


@pytest.fixture(scope="session")
def demo_origin(demo_site: Path) -> Iterator[str]:
    with served(demo_site) as origin:
        yield origin


@pytest.fixture(scope="session")
def axe() -> Callable[[Page], tuple[str, ...]]:
    """axe-core on an open page: a line for each element that a rule finds fault with."""
    engine = Axe()

    def findings(page: Page) -> tuple[str, ...]:
        result = engine.run(page, options=AXE_OPTIONS).response
        assert result["passes"] or result["violations"], f"axe-core looked at nothing: {page.url}"
        return tuple(
            f"{rule['id']}: {node['html']}"
            for rule in result["violations"]
            for node in rule["nodes"]
        )

    return findings
