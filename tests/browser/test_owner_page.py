"""An owner's page as a person meets it: quick, still, by keyboard alone, enlarged, without scripts.

And ten questions that an owner, a buyer and a technician ask, each answered on the first screen or
one tap from it.
"""

from __future__ import annotations

import gzip
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, Response, Route

from tests.browser.test_pages import look, open_page, overhang

pytestmark = pytest.mark.browser

TELEPHONE = (390, 844)
ENLARGED = (320, 256)
"""1280 by 1024 px at 400 %: WCAG 2.2, 1.4.10 (reflow)."""

MOST_BYTES = 140_000
OWNERS = ("heron", "swan", "eider")


def address(site: Path, instrument: str) -> str:
    (page,) = site.glob(f"public/*/{instrument}/index.html")
    return page.relative_to(site).as_posix()


@pytest.fixture(params=OWNERS)
def owner(request: pytest.FixtureRequest, demo_site: Path, demo_origin: str) -> str:
    """The address of an owner's page of the demo."""
    return f"{demo_origin}/{address(demo_site, request.param)}"


def test_the_first_view_is_small(page: Page, owner: str) -> None:
    """Bytes sent before anyone scrolls; text is compressed, as every static host does it."""
    sent: dict[str, int] = {}

    def weigh(response: Response) -> None:
        body = response.body()
        text = response.headers.get("content-type", "").startswith("text/")
        sent[response.url] = len(gzip.compress(body, 6) if text else body)

    page.on("response", weigh)
    look(page, TELEPHONE)
    open_page(page, owner)
    page.wait_for_load_state("networkidle")
    assert len(sent) >= 4, sent
    assert sum(sent.values()) < MOST_BYTES, sent


WATCH = """window.shifts = [];
new PerformanceObserver(list => list.getEntries().forEach(e => shifts.push(e.value)))
    .observe({type: "layout-shift", buffered: true});"""
PAINTED = """() => new Promise(seen => new PerformanceObserver(seen)
    .observe({type: "paint", buffered: true}))"""


def shifts(page: Page) -> list[float]:
    """How far anything that was shown has been moved since, by all that has come."""
    page.wait_for_load_state("networkidle")
    page.evaluate("document.fonts.ready.then(() => true)")
    assert page.evaluate("PerformanceObserver.supportedEntryTypes.includes('layout-shift')")
    found: list[float] = page.evaluate("shifts")
    return found


def test_nothing_jumps_while_it_loads(page: Page, owner: str) -> None:
    page.add_init_script(WATCH)
    look(page, TELEPHONE)
    open_page(page, owner)
    assert shifts(page) == []


@pytest.mark.parametrize("late", ["*.woff2", "*.{png,jpg}"])
def test_nothing_jumps_when_something_comes_late(page: Page, owner: str, late: str) -> None:
    """Held back until the page has been painted without it, as on a slow line."""
    held: list[Route] = []

    def hold(route: Route) -> None:
        held.append(route)

    page.route(f"**/assets/{late}", hold)
    page.add_init_script(WATCH)
    look(page, TELEPHONE)
    page.goto(owner, wait_until="domcontentloaded")
    page.evaluate(PAINTED)
    assert held
    for route in held:
        route.continue_()
    page.unroute_all()
    page.wait_for_load_state()
    assert shifts(page) == []


REACHABLE = """() => [...document.querySelectorAll('a[href], summary, button, [tabindex="0"]')]
    .filter(e => e.checkVisibility({contentVisibilityAuto: true, visibilityProperty: true}))
    .map((e, number) => { e.dataset.stop = number; return number; })"""
FOCUSED = """() => {
    const e = document.activeElement;
    if (!e || e === document.body) return null;
    const reach = e.querySelector('.reach');
    const ring = getComputedStyle(e).outlineStyle !== 'none'
        || (reach && getComputedStyle(reach).stroke !== 'none');
    return {stop: e.dataset.stop === undefined ? null : Number(e.dataset.stop), ring: !!ring,
            shown: e.getBoundingClientRect().bottom > 0, name: e.outerHTML.slice(0, 80)};
}"""


def stops(page: Page, most: int) -> Iterator[dict[str, object]]:
    """What has the focus, press by press of the Tab key, until the page is left."""
    for _ in range(most):
        page.keyboard.press("Tab")
        found = page.evaluate(FOCUSED)
        if found is None:
            return
        yield found


def test_the_tab_key_reaches_everything_and_shows_where_it_is(page: Page, owner: str) -> None:
    look(page, (1280, 900))
    open_page(page, owner)
    expected = page.evaluate(REACHABLE)
    assert len(expected) > 40
    met = list(stops(page, len(expected) + 5))
    assert [one["stop"] for one in met] == expected
    assert [one["name"] for one in met if not one["ring"]] == []
    assert [one["name"] for one in met if not one["shown"]] == []


def test_the_skip_link_leads_past_the_head(page: Page, owner: str) -> None:
    open_page(page, owner)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.getAttribute('href')") == "#content"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("!!document.activeElement.closest('main')")


def test_a_mark_of_the_life_leads_to_its_visit(page: Page, owner: str) -> None:
    look(page, TELEPHONE)
    open_page(page, owner)
    mark = page.locator(".life .narrow a").last
    assert not page.locator(".life .wide").is_visible()
    target = mark.get_attribute("href") or ""
    assert target.startswith("#visit-")
    mark.focus()
    page.keyboard.press("Enter")
    box = page.locator(target).bounding_box()
    assert box is not None
    assert -5 <= box["y"] < TELEPHONE[1]


def test_the_page_can_be_enlarged_four_times(page: Page, owner: str) -> None:
    look(page, ENLARGED)
    open_page(page, owner)
    assert overhang(page) == []


def test_it_is_whole_without_scripts(chromium: Browser, owner: str) -> None:
    with chromium.new_context(java_script_enabled=False) as context:
        page = context.new_page()
        open_page(page, owner)
        assert page.locator(".state").first.is_visible()
        assert page.locator(".chart svg").first.is_visible()
        photo = page.locator(".photo a").first
        if photo.count():
            fold = photo.locator("xpath=ancestor::details")
            if fold.count():
                assert not photo.is_visible()
                fold.locator("summary").click()
            photo.click()
            page.wait_for_load_state()
            assert page.url.endswith((".jpg", ".png"))
            page.go_back()
            assert page.locator("h1").is_visible()


# Who asks, what they ask, on whose page, and where it is answered: on the first screen, or at an
# anchor that the contents lead to.
FIRST, TAP = "first screen", "one tap"
QUESTIONS = (
    ("owner", "Is it all right?", "heron", FIRST, ".answer .state"),
    ("owner", "When does somebody come?", "heron", FIRST, ".answer .next-when"),
    ("owner", "What am I to do?", "heron", FIRST, ".answer .todos li"),
    ("owner", "Why was it out of tune?", "heron", TAP, "#pitch p"),
    ("owner", "Whom do I ring?", "heron", TAP, '#contact a[href^="tel:"]'),
    ("buyer", "What is it, and how old?", "swan", TAP, "#instrument .facts"),
    ("buyer", "What is wrong with it?", "swan", TAP, "#open"),
    ("buyer", "In what condition is each part?", "swan", TAP, "#condition .component"),
    ("buyer", "What happened to it in its life?", "swan", TAP, "#life .chart.narrow"),
    ("technician", "What did I find last time?", "bench", FIRST, ".bench-notes .column .facts"),
)


@pytest.mark.parametrize(
    ("of", "where", "answer"),
    [pytest.param(*rest, id=f"{who}: {asks}") for who, asks, *rest in QUESTIONS],
)
def test_a_question_is_answered_within_a_screen_or_a_tap(
    page: Page, demo_site: Path, demo_origin: str, of: str, where: str, answer: str
) -> None:
    look(page, TELEPHONE)
    path = "bench/heron/index.html" if of == "bench" else address(demo_site, of)
    open_page(page, f"{demo_origin}/{path}")
    found = page.locator(answer).first
    if where == TAP:
        anchor = answer.split(" ", maxsplit=1)[0]
        page.locator(f'nav.contents a[href="{anchor}"]').click()
    box = found.bounding_box()
    assert box is not None
    assert -1 <= box["y"] < TELEPHONE[1]
    assert found.inner_text().strip()
