"""The public site as a rented web space serves it: its headers arrive, and no address leaves it."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Page

from dossier.publish.headers import HEADERS
from tests.browser.chromium import folder_rules, served

pytestmark = [pytest.mark.browser, pytest.mark.slow]

Asked = list[dict[str, str]]


@contextmanager
def elsewhere() -> Iterator[tuple[str, Asked]]:
    """Another origin on a port of its own, and the headers of all that it is asked for."""
    asked: Asked = []

    class Stranger(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            if self.path == "/there":
                asked.append({name.lower(): value for name, value in self.headers.items()})
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
            self.wfile.write(b"<!doctype html><title>there</title>")

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002  # upstream's
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Stranger) as server:
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield f"http://127.0.0.1:{server.server_address[1]}", asked
        server.shutdown()
        thread.join()


def a_page(public: Path) -> str:
    """The first page in the public site that leads out of it, as a path."""
    pages = sorted(public.glob("*/**/index.html"))
    leads = (path for path in pages if 'href="https://' in path.read_text(encoding="utf-8"))
    return next(leads).relative_to(public).as_posix()


def test_the_headers_of_the_folders_own_file_arrive(demo_site: Path, page: Page) -> None:
    public = demo_site / "public"
    with served(public, folder_rules) as origin:
        for path in (a_page(public), "404.html", "robots.txt"):
            answer = page.goto(f"{origin}/{path}")
            assert answer is not None
            arrived = answer.all_headers()
            assert {name: arrived.get(name.lower()) for name, _ in HEADERS} == dict(HEADERS)
        none = page.goto(f"{origin}/")
        assert none is not None
        assert none.status == 404


def test_a_link_to_another_origin_sends_no_referer(demo_site: Path, page: Page) -> None:
    public = demo_site / "public"
    with served(public, folder_rules) as origin, elsewhere() as (other, asked):
        page.goto(f"{origin}/{a_page(public)}")
        link = page.locator("a[href^='https://']").first
        # The link's own word is taken from it, so that the page's policy alone keeps the secret.
        link.evaluate(
            "(a, there) => { a.removeAttribute('rel'); a.href = there; a.click(); }",
            f"{other}/there",
        )
        page.wait_for_url(f"{other}/there")
        assert page.evaluate("document.referrer") == ""
    assert len(asked) == 1
    assert "referer" not in asked[0]


def test_a_page_without_the_headers_would_send_one(page: Page, tmp_path: Path) -> None:
    """What the test above looks for can be seen where nothing forbids it."""
    with elsewhere() as (other, asked):
        bare = f"<!doctype html><a href='{other}/there'>out</a>"
        (tmp_path / "bare.html").write_text(bare, encoding="utf-8")
        with served(tmp_path) as origin:
            page.goto(f"{origin}/bare.html")
            page.locator("a").click()
            page.wait_for_url(f"{other}/there")
    assert "referer" in asked[0]
