"""Charts that a reader goes into: under the site's own policy, from a folder, and by keyboard."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page

from dossier.charts.engine import engine, engine_name
from dossier.publish.headers import for_public
from tests.browser.test_pages import DESK, PHONE, Noise, look, open_page, overhang
from tests.hostile.payloads import PAYLOADS
from tests.hostile.poisoned import site

pytestmark = pytest.mark.browser

Axe = Callable[[Page], tuple[str, ...]]
Serve = Callable[[Path], AbstractContextManager[str]]
HERON = "bench/heron/index.html"


def explored(page: Page, figure: str) -> Locator:
    """The tools of a chart, once it has been opened."""
    box = page.locator(f"#figure-{figure} .explore")
    box.locator("[data-do=open]").click()
    box.locator(".explore-tools").wait_for(state="visible")
    return box


def said(box: Locator) -> str:
    return box.locator("output").inner_text()


@pytest.fixture
def owners_page(demo_site: Path) -> str:
    """The heron's page as its owner opens it."""
    (found,) = (path for path in demo_site.glob("public/*/heron/index.html"))
    return found.relative_to(demo_site).as_posix()


@pytest.fixture
def pages(owners_page: str) -> Iterator[str]:
    return iter((HERON, owners_page))


def test_a_page_loads_nothing_for_its_charts_until_it_is_asked(
    page: Page, demo_origin: str, owners_page: str
) -> None:
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url.rpartition("/")[2]))
    open_page(page, f"{demo_origin}/{owners_page}")
    page.wait_for_load_state("networkidle")
    assert [name for name in asked if name.startswith("charts-")] == []
    explored(page, "pitch-years")
    explored(page, "pitch-along")
    assert engine_name() in asked
    assert len([name for name in asked if name.startswith("charts-")]) == 2


@pytest.mark.parametrize(("size", "scheme"), [(DESK, "light"), (PHONE, "dark")])
def test_every_chart_opens_in_silence_and_without_fault(
    page: Page, axe: Axe, demo_origin: str, pages: Iterator[str], size: tuple[int, int], scheme: str
) -> None:
    noise = Noise(page, demo_origin)
    look(page, size, scheme)
    opened = 0
    for name in pages:
        open_page(page, f"{demo_origin}/{name}")
        for box in page.locator(".explore").all():
            if box.is_visible():
                explored(page, str(box.get_attribute("data-figure")))
                opened += 1
                assert said(box)
        assert axe(page) == ()
        assert overhang(page) == []
    assert opened > 10
    assert noise.heard == []


def test_figures_are_read_by_keyboard_and_a_stretch_is_seen_closer(
    page: Page, demo_origin: str
) -> None:
    open_page(page, f"{demo_origin}/{HERON}")
    box = explored(page, "room-year")
    assert page.evaluate("document.activeElement.type") == "range"
    first, count = said(box), int(str(box.locator("input").get_attribute("max")))
    assert first == "6 September 2025: 71\u00a0% (69 … 72\u00a0%)"
    page.keyboard.press("ArrowRight")
    assert said(box) != first
    assert box.locator("input").get_attribute("aria-valuetext") == said(box)
    box.get_by_role("button", name="Closer").click()
    page.wait_for_function(f"document.querySelector('#spot-room-year').max < {count}")
    ticks = page.locator("#figure-room-year .explored").inner_text()
    assert "Mar" in ticks
    box.get_by_role("button", name="All of it").click()
    page.wait_for_function(f"document.querySelector('#spot-room-year').max == {count}")
    box.get_by_role("button", name="Close", exact=True).click()
    assert page.locator("#figure-room-year .chart svg").count() == 1
    assert page.evaluate("document.activeElement.dataset.do") == "open"


def test_the_bench_is_explored_from_a_folder_without_a_server(page: Page, demo_site: Path) -> None:
    noise = Noise(page, demo_site.as_uri())
    page.goto((demo_site / HERON).as_uri())
    assert said(explored(page, "marks"))
    assert noise.heard == []


def test_without_scripts_the_picture_and_its_table_stand_alone(
    page: Page, demo_origin: str
) -> None:
    assert page.context.browser is not None
    with page.context.browser.new_context(java_script_enabled=False) as context:
        bare = context.new_page()
        open_page(bare, f"{demo_origin}/{HERON}")
        figure = bare.locator("#figure-pitch-years")
        assert figure.locator(".chart svg").is_visible()
        assert not figure.locator(".explore").is_visible()


def test_what_cannot_be_loaded_is_said(page: Page, demo_origin: str) -> None:
    page.route("**/assets/charts-*.js", lambda route: route.abort())
    open_page(page, f"{demo_origin}/{HERON}")
    box = page.locator("#figure-marks .explore")
    box.locator("[data-do=open]").click()
    box.get_by_text("It could not be opened. The table has the same figures.").wait_for()
    assert page.locator("#figure-marks .chart svg").is_visible()


def test_no_text_of_a_note_runs_in_an_open_chart(page: Page, serve: Serve, tmp_path: Path) -> None:
    made = site("".join(PAYLOADS[:6]))
    (tmp_path / "_headers").write_bytes(for_public())
    for path, data in {**made.bench, f"assets/{engine_name()}": engine()}.items():
        file = tmp_path / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(data)
    (name,) = {path for path in made.bench if path.endswith("/index.html")}
    with serve(tmp_path) as origin:
        noise = Noise(page, origin)
        open_page(page, f"{origin}/{name}")
        page.evaluate("document.querySelectorAll('details').forEach(e => { e.open = true; })")
        boxes = page.locator(".explore").all()
        for box in boxes:
            box.locator("[data-do=open]").click()
            box.locator(".explore-tools").wait_for(state="visible")
        assert len(boxes) > 4
        assert page.evaluate("window.hit") is None
        assert noise.heard == []
