"""In a browser: nothing of a note runs, nothing is asked for elsewhere, no policy is offended."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from playwright.sync_api import Page, Request, Route

from dossier.publish.headers import for_public
from dossier.render import html
from tests.hostile.payloads import FOREIGN, PAYLOADS
from tests.hostile.poisoned import Site, site

pytestmark = [pytest.mark.browser, pytest.mark.slow]

Serve = Callable[[Path], AbstractContextManager[str]]
PARTS = 4
LISTEN = """
    window.offences = [];
    addEventListener("securitypolicyviolation",
        event => window.offences.push(event.violatedDirective + " " + event.blockedURI), true);
"""


class Ear:
    """What a page says, asks for elsewhere, and runs."""

    def __init__(self, page: Page, origin: str) -> None:
        self.heard: list[str] = []
        self.pages = 0
        self.page, self.origin = page, origin
        page.add_init_script(LISTEN)
        page.on("console", lambda message: self.heard.append(f"says: {message.text}"))
        page.on("pageerror", lambda error: self.heard.append(f"throws: {error}"))
        page.on("dialog", lambda dialog: dialog.dismiss())
        page.on("request", self.asked)
        page.on("framenavigated", lambda frame: self.went(frame.url))
        page.route(f"**://{FOREIGN}/**", lambda route: route.abort())

    def asked(self, request: Request) -> None:
        if not request.url.startswith(f"{self.origin}/"):
            self.heard.append(f"asks for: {request.url}")

    def went(self, url: str) -> None:
        if not url.startswith((f"{self.origin}/", "about:blank")):
            self.heard.append(f"goes to: {url}")

    def open(self, path: str) -> None:
        """Open a page, and do what a reader may do with it: unfold, point, focus."""
        self.pages += 1
        self.page.goto(f"{self.origin}/{path}", wait_until="load")
        self.page.evaluate(
            """() => {
                document.querySelectorAll("details").forEach(e => { e.open = true; });
                document.querySelectorAll("a, summary, [tabindex]").forEach(e => e.focus());
                document.querySelectorAll("*").forEach(
                    e => e.dispatchEvent(new MouseEvent("mouseover", {bubbles: true})));
            }"""
        )
        if self.page.evaluate("window.hit") is not None:
            self.heard.append("runs")
        self.heard += [f"offends: {one}" for one in self.page.evaluate("window.offences")]


def laid_out(made: Site, folder: Path) -> list[str]:
    """Write a site's files below a folder, and name its pages."""
    for tree, files in made.trees():
        for path, data in files.items():
            file = folder / tree / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(data)
    return [path for path in made.pages() if "_alone" not in path]


LONG = (pytest.mark.audit, pytest.mark.long)


@pytest.mark.parametrize("part", [0, *(pytest.param(n, marks=LONG) for n in range(1, PARTS))])
def test_no_text_runs_or_reaches_out(page: Page, serve: Serve, tmp_path: Path, part: int) -> None:
    (tmp_path / "_headers").write_bytes(for_public())
    paths: list[str] = []
    chosen = PAYLOADS[part::PARTS]
    for number, payload in enumerate(chosen):
        paths += [f"{number}/{one}" for one in laid_out(site(payload), tmp_path / str(number))]
    found: dict[str, list[str]] = {}
    with serve(tmp_path) as origin:
        ear = Ear(page, origin)
        for path in paths:
            ear.heard.clear()
            ear.open(path)
            if ear.heard:
                found[f"{chosen[int(path.split('/')[0])]} in {path}"] = list(ear.heard)
    assert ear.pages >= 8 * len(chosen)
    assert found == {}


def test_what_would_run_is_heard(page: Page, serve: Serve, tmp_path: Path) -> None:
    text = "<body><img src=x onerror=window.hit=1><a onmouseover=window.hit=2 href=#>x</a>"
    (tmp_path / "bare.html").write_text(f"<!doctype html>{text}", encoding="utf-8")
    with serve(tmp_path) as origin:
        ear = Ear(page, origin)
        ear.open("bare.html")
        assert "runs" in ear.heard
    policy = f'<meta http-equiv="Content-Security-Policy" content="{html.POLICY}">'
    (tmp_path / "shut.html").write_text(f"<!doctype html>{policy}{text}", encoding="utf-8")
    with serve(tmp_path) as origin:
        ear = Ear(page, origin)
        ear.open("shut.html")
        assert "runs" not in ear.heard
        assert any(one.startswith("offends: script-src-attr") for one in ear.heard)


def test_a_link_that_leads_out_tells_nobody_where_from(
    page: Page, serve: Serve, tmp_path: Path
) -> None:
    laid_out(site("[out](https://evil.invalid/there)"), tmp_path / "token")
    (tmp_path / "_headers").write_bytes(for_public())
    asked: list[dict[str, str]] = []

    def answer(route: Route) -> None:
        asked.append(route.request.all_headers())
        route.fulfill(status=200, body="<!doctype html><title>there</title>")

    with serve(tmp_path) as origin:
        page.route(f"**://{FOREIGN}/**", answer)
        page.goto(f"{origin}/token/owner/heron/index.html")
        page.evaluate("document.querySelectorAll('details').forEach(e => { e.open = true; })")
        page.locator("a[href='https://evil.invalid/there']").first.click()
        page.wait_for_url("https://evil.invalid/there")
        assert page.evaluate("document.referrer") == ""
    assert len(asked) == 1
    assert "referer" not in asked[0]
