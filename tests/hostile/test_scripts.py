"""Nothing that a note says can run, reach out or lead astray, wherever in the notes it stands."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest

from tests.hostile.payloads import FOREIGN, PAYLOADS
from tests.hostile.poisoned import site

pytestmark = pytest.mark.slow

FORBIDDEN = {
    "script", "style", "iframe", "object", "embed", "form", "base", "audio", "video", "source",
    "foreignobject", "math", "template", "input", "textarea", "button", "use", "animate", "image",
}  # fmt: skip
# Attributes that can hold an address (HTML Standard, list of attributes; SVG 2)
ADDRESSED = {
    "href", "src", "srcset", "poster", "data", "action", "formaction", "xlink:href", "background",
    "ping", "cite", "longdesc", "manifest", "codebase", "classid",
}  # fmt: skip
OWN = re.compile(r"(?![a-z][a-z0-9+.-]*:|//|\\|/\\)[^\s]*", re.IGNORECASE)
ABROAD = re.compile(r"https://[^\s\"'<>]+|mailto:.+|tel:.+")


class Faults(HTMLParser):
    """What of a page could run, or leads or reaches to where it may not."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = {name: value or "" for name, value in attrs}
        if tag in FORBIDDEN:
            self.found.append(f"<{tag}>")
        self.found += [f"{tag} {name}=" for name in held if name.startswith("on")]
        self.found += [f"{tag} {name}=" for name in ("style", "srcdoc") if name in held]
        if tag == "meta" and held.get("http-equiv", "").lower() not in (
            "",
            "content-security-policy",
        ):
            self.found.append(f"meta {held['http-equiv']}")
        for name in ADDRESSED & held.keys():
            abroad = tag == "a" and name == "href" and ABROAD.fullmatch(held[name])
            if not abroad and not OWN.fullmatch(held[name]):
                self.found.append(f"{tag} {name}={held[name]}")
        if tag == "a" and held.get("href", "").startswith("https:"):
            self.found += [] if "noreferrer" in held.get("rel", "") else ["a without noreferrer"]

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)


def test_there_are_enough_texts_and_all_differ() -> None:
    assert len(set(PAYLOADS)) == len(PAYLOADS) >= 60
    assert all("hit" in one or FOREIGN in one or len(one) > 5 for one in PAYLOADS)


@pytest.mark.parametrize("payload", PAYLOADS)
def test_no_page_can_be_made_to_run_or_to_reach_out(payload: str) -> None:
    pages = site(payload).pages()
    assert len(pages) >= 10
    assert {path: faults for path, page in pages.items() if (faults := Faults(page).found)} == {}
    assert not [path for path, page in pages.items() if "1787569" in page]


def test_a_fault_would_be_found() -> None:
    bad = (
        "<script></script><p onclick=x style=y><a href='javascript:x'></a><img src='//x/y'>"
        "<a href='https://x.example/'></a><meta http-equiv=refresh content=0>"
    )
    assert Faults(bad).found == [
        "<script>",
        "p onclick=",
        "p style=",
        "a href=javascript:x",
        "img src=//x/y",
        "a without noreferrer",
        "meta refresh",
    ]


def test_every_text_of_the_notes_stands_on_some_page() -> None:
    """Were the texts not on the pages, nothing would have been tried."""
    pages = site("qqzz").pages()
    assert pages["owner/heron/index.html"].lower().count("qqzz") > 60
    assert pages["issued/sale/index.html"].lower().count("qqzz") > 40
    assert pages["bench/heron/index.html"].lower().count("qqzz") > 90
