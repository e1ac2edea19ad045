"""The workshop's lists, sifted on a telephone without a server, and whole without scripts."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.browser.test_pages import PHONE, Noise, look

pytestmark = pytest.mark.browser


def shown(page: Page) -> list[str]:
    return [row.split("\n")[0] for row in page.locator("main .row:visible").all_inner_texts()]


@pytest.mark.parametrize(("name", "asked"), [("index", "pellick"), ("due", "thornsay school")])
def test_a_list_shows_what_is_asked_for(page: Page, demo_site: Path, name: str, asked: str) -> None:
    noise = Noise(page, demo_site.as_uri())
    look(page, PHONE)
    page.goto((demo_site / f"bench/{name}.html").as_uri())
    whole = shown(page)
    page.get_by_label("Show only").fill(asked)
    some = shown(page)
    assert 0 < len(some) < len(whole)
    assert page.locator("output").inner_text() == f"{len(some)} / {len(whole)}"
    groups = page.locator("main .sifted:visible").all()
    assert all(group.locator(".row:visible").count() for group in groups)
    page.get_by_label("Show only").fill("no such place")
    assert shown(page) == []
    page.get_by_label("Show only").fill("")
    assert shown(page) == whole
    assert noise.heard == []


def test_without_scripts_a_list_is_whole(page: Page, demo_site: Path) -> None:
    assert page.context.browser is not None
    with page.context.browser.new_context(java_script_enabled=False) as context:
        bare = context.new_page()
        bare.goto((demo_site / "bench/index.html").as_uri())
        assert not bare.locator(".sift").is_visible()
        bare.goto((demo_site / "bench/due.html").as_uri())
        assert not bare.locator(".order").is_visible()
        bare.goto((demo_site / "bench/index.html").as_uri())
        assert bare.locator("main .row:visible").count() == bare.locator("main .row").count() > 8


def test_the_visits_due_stand_by_date_or_beneath_their_addresses(
    page: Page, demo_site: Path
) -> None:
    noise = Noise(page, demo_site.as_uri())
    look(page, PHONE)
    page.goto((demo_site / "bench/due.html").as_uri())
    by_date, headings = shown(page), page.locator("main .sifted h2").all_inner_texts()
    page.get_by_role("radio", name="Place").check()
    places = page.locator("main .sifted h2").all_inner_texts()
    assert len(set(places)) == len(places) > len(headings)
    towns = [place.rpartition(",")[2].strip() for place in places]
    assert towns == sorted(towns, key=str.lower)
    assert sorted(shown(page)) == sorted(by_date)
    page.get_by_label("Show only").fill("thornsay school")
    assert len(page.locator("main .sifted:visible").all()) == 1
    page.get_by_label("Show only").fill("")
    page.get_by_role("radio", name="Date").check()
    assert shown(page) == by_date
    assert page.locator("main .sifted h2").all_inner_texts() == headings
    assert noise.heard == []
