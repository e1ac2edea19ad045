"""Nothing that a note says can run, reach out or lead astray, wherever in the notes it stands."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html.parser import HTMLParser

import pytest

from tests.hostile.payloads import FOREIGN, PAYLOADS
from tests.hostile.poisoned import site

pytestmark = pytest.mark.slow

FORBIDDEN = {
    "style", "iframe", "object", "embed", "form", "base", "source",
    "foreignobject", "math", "textarea", "use", "animate", "image",
}  # fmt: skip
# What the pages bring themselves, and how alone
OWN_SCRIPT = re.compile(r"(?:\.\./)?assets/(?:explore|sift)-[0-9a-f]{10}\.js")
# A wrong address has no folder of its own, and so its style in itself, let in by its hash
OWN_STYLE = {"owner/404.html": ["<style>"]}
OWN_FILE = re.compile(r"(?:\.\./)?assets/[0-9a-f]{16}\.\w+")
PLAYERS = {"audio", "video"}
OWN_KINDS = {"input": {"range", "search"}, "button": {"button"}}
# Attributes that can hold an address (HTML Standard, list of attributes; SVG 2)
ADDRESSED = {
    "href", "src", "srcset", "poster", "data", "action", "formaction", "xlink:href", "background",
    "ping", "cite", "longdesc", "manifest", "codebase", "classid",
}  # fmt: skip
OWN = re.compile(r"(?![a-z][a-z0-9+.-]*:|//|\\|/\\)[^\s]*", re.IGNORECASE)
ABROAD = re.compile(r"https://[^\s\"'<>]+|mailto:.+|tel:.+")


def _strange(tag: str, held: Mapping[str, str]) -> bool:
    if tag in PLAYERS:
        return not OWN_FILE.fullmatch(held.get("src", "")) or "autoplay" in held
    if tag == "template":
        return not held.get("id", "").startswith("explore")
    return tag in OWN_KINDS and held.get("type") not in OWN_KINDS[tag]


class Faults(HTMLParser):
    """What of a page could run, or leads or reaches to where it may not."""

    def __init__(self, page: str) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[str] = []
        self.in_script = False
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        held = {name: value or "" for name, value in attrs}
        script = tag == "script" and not OWN_SCRIPT.fullmatch(held.get("src", ""))
        if tag in FORBIDDEN or script or _strange(tag, held):
            self.found.append(f"<{tag}>")
        self.in_script = tag == "script"
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

    def handle_endtag(self, tag: str) -> None:
        self.in_script = self.in_script and tag != "script"

    def handle_data(self, data: str) -> None:
        if self.in_script and data.strip():
            self.found.append("script with text")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)


def test_there_are_enough_texts_and_all_differ() -> None:
    assert len(set(PAYLOADS)) == len(PAYLOADS) >= 60
    assert all("hit" in one or FOREIGN in one or len(one) > 5 for one in PAYLOADS)


@pytest.mark.parametrize("payload", PAYLOADS)
def test_no_page_can_be_made_to_run_or_to_reach_out(payload: str) -> None:
    pages = site(payload).pages()
    assert len(pages) >= 10
    assert {
        path: faults for path, page in pages.items() if (faults := Faults(page).found)
    } == OWN_STYLE
    assert not [path for path, page in pages.items() if "1787569" in page]


def test_a_fault_would_be_found() -> None:
    bad = (
        "<script></script><script src='assets/explore-0123456789.js'>x</script><input>"
        "<p onclick=x style=y><a href='javascript:x'></a><img src='//x/y'>"
        "<a href='https://x.example/'></a><meta http-equiv=refresh content=0>"
    )
    assert Faults(bad).found == [
        "<script>",
        "script with text",
        "<input>",
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
