"""Every link of the built site reaches a file, and every fragment an element of its page."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

import pytest

# Where HTML names another resource (HTML Standard, index of attributes; SVG 2 for xlink:href).
URL_ATTRIBUTES = {"action", "cite", "data", "formaction", "href", "poster", "src", "xlink:href"}
ELSEWHERE = {"data", "geo", "http", "https", "mailto", "sms", "tel", "webcal"}
CSS_URL = re.compile(r"""url\(\s*["']?([^"')]+)["']?\s*\)""")
# `#top` and an empty fragment mean the top of the page (HTML Standard, 7.4.6.4).
PAGE_TOP = {"", "top"}


@dataclass(frozen=True)
class Link:
    source: str
    line: int
    address: str


@dataclass
class PageParser(HTMLParser):
    """The links of a page and the names that a fragment may point at."""

    source: str
    links: list[Link] = field(default_factory=list)
    names: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        self.names |= {given["id"]} if "id" in given else set()
        self.names |= {given["name"]} if tag == "a" and "name" in given else set()
        for name, value in given.items():
            if name in URL_ATTRIBUTES:
                self.add(value)
            elif name in {"srcset", "imagesrcset"}:
                for candidate in value.split(","):
                    self.add(candidate.split()[0])
            elif name == "style":
                for address in CSS_URL.findall(value):
                    self.add(address)
        if given.get("http-equiv", "").lower() == "refresh" and "=" in given.get("content", ""):
            self.add(given["content"].partition("=")[2])

    def add(self, address: str) -> None:
        self.links.append(Link(self.source, self.getpos()[0], address.strip()))


@dataclass(frozen=True)
class Site:
    """What was read of a built site: its files, its links and the names on its pages."""

    files: frozenset[str]
    links: tuple[Link, ...]
    names: dict[str, frozenset[str]]


def read_site(root: Path) -> Site:
    files = sorted(path.relative_to(root).as_posix() for path in root.rglob("*") if path.is_file())
    links: list[Link] = []
    names = {}
    for name in files:
        if name.endswith((".html", ".svg")):
            parser = PageParser(name)
            parser.feed((root / name).read_text(encoding="utf-8"))
            parser.close()
            links += parser.links
            names[name] = frozenset(parser.names)
        elif name.endswith(".css"):
            links += css_links(name, (root / name).read_text(encoding="utf-8"))
    return Site(frozenset(files), tuple(links), names)


def css_links(name: str, text: str) -> Iterator[Link]:
    for match in CSS_URL.finditer(text):
        yield Link(name, text.count("\n", 0, match.start()) + 1, match[1])


def target_path(link: Link, path: str) -> str | None:
    """The file that an address means, a folder's page filled in; None outside the site."""
    if not path:
        return link.source
    base = PurePosixPath("/") if path.startswith("/") else PurePosixPath("/", link.source).parent
    parts: list[str] = []
    for part in (base / path).parts[1:]:
        if part == "..":
            if not parts:
                return None
            parts.pop()
        else:
            parts.append(part)
    if path.endswith(("/", "/.", "/..")) or path in {".", ".."}:
        parts.append("index.html")
    return "/".join(parts)


def fault(link: Link, site: Site) -> str | None:
    address = urlsplit(link.address)
    if address.scheme in ELSEWHERE:
        return None
    where = f"{link.source}:{link.line}: {link.address or 'an empty address'}"
    if not link.address or address.scheme or address.netloc:
        return f"{where} is no link that a page may carry"
    target = target_path(link, unquote(address.path))
    if target is None:
        return f"{where} leads out of the site"
    if target not in site.files:
        return f"{where}: there is no {target}"
    fragment = unquote(address.fragment)
    if target in site.names and fragment not in site.names[target] | PAGE_TOP:
        return f"{where}: {target} has no #{fragment}"
    return None


def faults(site: Site) -> list[str]:
    return [found for link in site.links if (found := fault(link, site))]


@pytest.mark.slow
def test_every_link_of_the_demo_site_arrives(demo_site: Path, demo_pages: tuple[str, ...]) -> None:
    site = read_site(demo_site)
    assert set(demo_pages) <= site.names.keys()
    within = [link for link in site.links if urlsplit(link.address).scheme not in ELSEWHERE]
    assert len(within) > 50
    assert faults(site) == []


def test_links_that_lead_nowhere_are_named(tmp_path: Path) -> None:
    files = {
        "index.html": '<a href="piano/">ok</a>\n<a href="piano/#pitch">ok</a>\n'
        '<a href="piano/#tone">no such part</a>\n<a href="gone.html">no page</a>\n'
        '<img srcset="a.jpg 1x, b.jpg 2x">\n<a href="https://example.org/">not looked at</a>\n'
        '<a href="javascript:alert()">no</a>\n<a href="//example.org/">no</a>\n<a href="">no</a>\n',
        "piano/index.html": '<h2 id="pitch">Pitch</h2>\n<a href="../index.html#top">ok</a>\n'
        '<a href="../../out.html">outside</a>\n<link href="/style.css">\n'
        '<svg><use xlink:href="#pitch"/></svg>\n<a href="..">ok</a>\n',
        "style.css": "p { color: red }\nb { background: url('a.jpg') }\ni { src: url(f.woff2) }\n",
        "a.jpg": "",
    }
    for name, text in files.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(text, encoding="utf-8")
    site = read_site(tmp_path)
    assert len(site.links) == 17
    assert faults(site) == [
        "index.html:3: piano/#tone: piano/index.html has no #tone",
        "index.html:4: gone.html: there is no gone.html",
        "index.html:5: b.jpg: there is no b.jpg",
        "index.html:7: javascript:alert() is no link that a page may carry",
        "index.html:8: //example.org/ is no link that a page may carry",
        "index.html:9: an empty address is no link that a page may carry",
        "piano/index.html:3: ../../out.html leads out of the site",
        "style.css:3: f.woff2: there is no f.woff2",
    ]
