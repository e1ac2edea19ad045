"""Every page of the demo site in a browser: nothing found fault with, nothing fetched, nothing cut.

The rules are axe-core's, WCAG 2.2 AA among them; 320 px is WCAG 1.4.10 (reflow).
"""

from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.browser

Axe = Callable[[Page], tuple[str, ...]]
Serve = Callable[[Path], AbstractContextManager[str]]

DESK, PHONE = (1280, 900), (320, 800)
FAULTY = """<!doctype html>
<html lang="en">
<head>
<title>A faulty page</title>
<link rel="stylesheet" href="https://elsewhere.invalid/s.css">
</head>
<body>
<main>
<h1 id="h">A faulty page</h1>
<img src="piano.png">
<p style="width: 900px; color: #999; background: #fff">Wider than a telephone, and pale.</p>
</main>
<script>console.log("left in")</script>
</body>
</html>
"""


def open_page(page: Page, address: str) -> None:
    response = page.goto(address, wait_until="load")
    assert response, address
    assert response.ok, f"{address}: {response.status}"


def look(page: Page, size: tuple[int, int], scheme: str = "light", medium: str = "screen") -> None:
    page.set_viewport_size({"width": size[0], "height": size[1]})
    page.emulate_media(
        color_scheme="dark" if scheme == "dark" else "light",
        media="print" if medium == "print" else "screen",
    )


def overhang(page: Page) -> list[str]:
    """What reaches past the right edge, where the page itself can be scrolled sideways."""
    found: list[str] = page.evaluate(
        """() => {
            const wide = document.documentElement.clientWidth;
            if (document.scrollingElement.scrollWidth <= wide) return [];
            const names = [...document.body.querySelectorAll("*")]
                .filter(e => e.getBoundingClientRect().right > wide + 0.5)
                .map(e => e.cloneNode(false).outerHTML.slice(0, 120));
            return names.length ? names : ["the page itself"];
        }"""
    )
    return found


class Noise:
    """What a page says, asks for elsewhere and fails to get, gathered while it is open."""

    def __init__(self, page: Page, origin: str) -> None:
        self.heard: list[str] = []
        self.requests = 0
        self.origin = origin
        page.on("console", lambda message: self.note("says", message.text))
        page.on("pageerror", lambda error: self.note("throws", str(error)))
        page.on("request", lambda request: self.ask(request.url))
        page.on("response", lambda response: self.hear(response.status, response.url))

    def note(self, what: str, text: str) -> None:
        self.heard.append(f"{what}: {text}")

    def hear(self, status: int, url: str) -> None:
        if status >= 400:
            self.note(f"is told {status}", url)

    def ask(self, url: str) -> None:
        self.requests += 1
        if not url.startswith((f"{self.origin}/", "data:", "blob:")):
            self.note("asks for", url)


def told(findings: Iterable[str], name: str) -> list[str]:
    return [f"{name}: {finding}" for finding in findings]


@pytest.mark.parametrize(
    ("size", "scheme", "medium"),
    [
        pytest.param(DESK, "light", "screen", id="light"),
        pytest.param(DESK, "dark", "screen", id="dark"),
        pytest.param(PHONE, "light", "screen", id="320 px"),
        pytest.param(DESK, "light", "print", id="print"),
    ],
)
def test_axe_finds_no_fault(
    page: Page,
    axe: Axe,
    demo_origin: str,
    demo_pages: tuple[str, ...],
    size: tuple[int, int],
    scheme: str,
    medium: str,
) -> None:
    look(page, size, scheme, medium)
    findings: list[str] = []
    for name in demo_pages:
        open_page(page, f"{demo_origin}/{name}")
        findings += told(axe(page), name)
    if medium == "print":  # WCAG 2.2, 2.5.8 (target size) is of pointers, and paper has none
        findings = [finding for finding in findings if ": target-size:" not in finding]
    assert findings == []


def test_a_page_is_silent_and_asks_for_nothing_elsewhere(
    page: Page, demo_origin: str, demo_pages: tuple[str, ...]
) -> None:
    noise = Noise(page, demo_origin)
    for name in demo_pages:
        open_page(page, f"{demo_origin}/{name}")
        page.wait_for_load_state("networkidle")
    assert noise.requests >= len(demo_pages)
    assert noise.heard == []


def test_nothing_scrolls_sideways_on_a_narrow_telephone(
    page: Page, demo_origin: str, demo_pages: tuple[str, ...]
) -> None:
    look(page, PHONE)
    findings: list[str] = []
    for name in demo_pages:
        open_page(page, f"{demo_origin}/{name}")
        findings += told(overhang(page), name)
    assert findings == []


@pytest.fixture
def faulty_site(tmp_path: Path) -> Path:
    (tmp_path / "index.html").write_text(FAULTY, encoding="utf-8")
    (tmp_path / "_headers").write_text(
        "/*\n  Content-Security-Policy: default-src 'self'; style-src 'self' 'unsafe-inline'\n",
        encoding="utf-8",
    )
    return tmp_path


def test_faults_of_a_page_are_found(page: Page, axe: Axe, serve: Serve, faulty_site: Path) -> None:
    with serve(faulty_site) as origin:
        look(page, PHONE)
        noise = Noise(page, origin)
        open_page(page, f"{origin}/index.html")
        page.wait_for_load_state("networkidle")
        assert sorted(finding.partition(":")[0] for finding in axe(page)) == [
            "color-contrast",
            "image-alt",
        ]
        assert [element.partition(" ")[0] for element in overhang(page)] == ["<p"]
    assert f"is told 404: {origin}/piano.png" in noise.heard
    # The policy came from the site's own header file: it closes the page's script and style sheet.
    assert any("Executing inline script violates" in line for line in noise.heard)
    assert any("Loading the stylesheet" in line and "violates" in line for line in noise.heard)
    assert not any("left in" in line for line in noise.heard)


def test_a_request_elsewhere_is_heard(page: Page, serve: Serve, faulty_site: Path) -> None:
    (faulty_site / "_headers").unlink()
    with serve(faulty_site) as origin:
        noise = Noise(page, origin)
        page.route("**/*.css", lambda route: route.abort())
        open_page(page, f"{origin}/index.html")
        page.wait_for_load_state("networkidle")
    assert "asks for: https://elsewhere.invalid/s.css" in noise.heard
    assert "says: left in" in noise.heard
