"""The last look before pages are swapped in: every address resolves, and nothing leaks across.

It reads what is to be published as a browser would, not how it came about: an address may lead
to a file of the same tree, to an element that is there, or, from an ordinary link only, to the
web, to mail or to a telephone.
"""

from __future__ import annotations

import html
import json
import posixpath
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from urllib.parse import unquote, urlsplit

from dossier.store import Content, Memory, bytes_of, key_of

WEB = frozenset({"https", "mailto", "tel"})
# Where HTML names another resource (HTML Standard, index of attributes; SVG 2 for xlink:href).
_ADDRESSES = frozenset({
    "href", "src", "xlink:href", "poster", "data", "action", "formaction", "cite", "background",
})  # fmt: skip
_READ = frozenset({".html", ".svg", ".css"})
_LISTS = frozenset({"srcset", "imagesrcset"})
_TOP = frozenset({"", "top"})  # HTML Standard, 7.4.6.4: the top of the page

_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
# Possessive, so that an unclosed quote costs no more than a sound page.
_TAG = re.compile(r"""<([a-zA-Z][^\s/>"']*+)((?:"[^"]*+"|'[^']*+'|[^'">]++)*+)>""")
_ATTRIBUTE = re.compile(r"""([^\s"'<>/=]+)\s*=\s*("[^"]*"|'[^']*'|[^\s"'=<>`]+)""")
_TELLING = ("href", "src", "id", "name", "url", "poster", "data", "action", "cite", "background")
_CSS_URL = re.compile(r"""url\(\s*["']?([^"')]*)["']?\s*\)""")
_CSS_IMPORT = re.compile(r"""@import\s+["']([^"']*)["']""")
_STYLE = re.compile(r"<style\b[^>]*>(.*?)</style>", re.DOTALL | re.IGNORECASE)
_REFRESH = re.compile(r"\d+\s*[;,]\s*url\s*=", re.IGNORECASE)
_LONG_WORD = re.compile(rb"[0-9a-z]{32,}")


@dataclass(frozen=True, slots=True)
class Fault:
    """An address on a page that leads nowhere, or where it may not; both relative to the tree."""

    page: str
    address: str
    why: str

    def __str__(self) -> str:
        return f"{self.page}: “{self.address}” {self.why}."


@dataclass(frozen=True, slots=True)
class _Address:
    text: str
    is_link: bool = False


@dataclass(frozen=True, slots=True)
class _Page:
    """What is known of a file: where it leads, and the elements that a fragment may point at."""

    addresses: tuple[_Address, ...] = ()
    names: frozenset[str] = frozenset()


def faults(files: Mapping[str, Content], known: Memory | None = None) -> tuple[Fault, ...]:
    """The addresses of a tree that are in the way of its being published, in order of its pages.

    Paths are relative to the tree, which is where every address has to stay.  `known` holds where
    the pages of an earlier tree led, by their content.
    Raises LostError where a store lost the content of a page.
    """
    memory = known or Memory()
    pages = {path: _known(path, files[path], memory) for path in sorted(files)}
    return tuple(
        Fault(path, address.text, why)
        for path, page in pages.items()
        for address in page.addresses
        if (why := _why_not(path, address, pages))
    )


def tokens_in(content: Content, tokens: frozenset[str]) -> frozenset[str]:
    """Which of the tokens stand in the content.

    A token has 32 characters of 0-9 and a-z or more, so that only such runs are looked into; what
    is packed (within a PDF, say) can't be seen.
    """
    found: set[str] = set()
    for run in set(_LONG_WORD.findall(bytes_of(content))):
        word = run.decode()
        found |= {word} & tokens if len(word) == 32 else {t for t in tokens if t in word}
    return frozenset(found)


def _known(path: str, content: Content, memory: Memory) -> _Page:
    """What a file's content says, which is the same wherever it lies."""
    suffix = posixpath.splitext(path)[1].lower()
    if suffix not in _READ:
        return _Page()
    key = memory.key(suffix.encode(), key_of(content).encode())
    data = memory.recall(key)
    if data is not None:
        told = json.loads(data)
        addresses = tuple(_Address(text, is_link) for text, is_link in told["addresses"])
        return _Page(addresses, frozenset(told["names"]))
    page = _read(suffix, content)
    links = [(one.text, one.is_link) for one in page.addresses]
    memory.keep(key, json.dumps({"addresses": links, "names": sorted(page.names)}).encode())
    return page


def _read(suffix: str, content: Content) -> _Page:
    if suffix == ".css":
        return _Page(tuple(_of_css(bytes_of(content).decode("utf-8", "replace"))))
    text = _COMMENT.sub("", bytes_of(content).decode("utf-8", "replace"))
    addresses: list[_Address] = []
    names: set[str] = set()
    for tag, name, value in _attributes(text):
        if name == "id" or (name == "name" and tag == "a"):
            names.add(value)
        else:
            addresses += _of_attribute(tag, name, value)
    for style in _STYLE.findall(text):
        addresses += _of_css(style)
    return _Page(tuple(dict.fromkeys(addresses)), frozenset(names))


def _attributes(text: str) -> Iterator[tuple[str, str, str]]:
    """Tag, name and value of each attribute of the tags that can matter here."""
    for match in _TAG.finditer(text):
        written = match[2].lower()
        # A chart has thousands of tags that lead nowhere; a plain search is the quickest.
        for word in _TELLING:
            if word in written:
                for found in _ATTRIBUTE.finditer(match[2]):
                    value = html.unescape(found[2].strip("\"'")).strip()
                    yield match[1].lower(), found[1].lower(), value
                break


def _of_attribute(tag: str, name: str, value: str) -> Iterator[_Address]:
    if name in _ADDRESSES:
        yield _Address(value, is_link=tag in {"a", "area"} or name == "cite")
    elif name in _LISTS:
        yield from (_Address(part.split()[0]) for part in value.split(",") if part.strip())
    elif name == "content" and tag == "meta" and _REFRESH.match(value):
        yield _Address(value.partition("=")[2])
    else:
        yield from (_Address(found) for found in _CSS_URL.findall(value))


def _of_css(text: str) -> Iterator[_Address]:
    for pattern in (_CSS_URL, _CSS_IMPORT):
        yield from (_Address(found) for found in pattern.findall(text))


def _why_not(page: str, address: _Address, pages: Mapping[str, _Page]) -> str:
    """Why an address may not stand, as the end of a sentence; "" where it may."""
    try:
        parts = urlsplit(address.text)
    except ValueError:
        return "is no address"
    if parts.scheme or parts.netloc:
        allowed = address.is_link and parts.scheme in WEB
        return "" if allowed else "leads out of the pages, and is no link to https, mail or tel"
    if parts.path.startswith("/") or "\\" in parts.path:
        return "doesn't stay within the folder"
    return _why_not_here(_target(page, unquote(parts.path), pages), parts.fragment, pages)


def _why_not_here(target: str, fragment: str, pages: Mapping[str, _Page]) -> str:
    if target.startswith("../"):
        return "leads out of the folder"
    if target not in pages:
        return "leads to a file that isn't there"
    is_page = target.endswith((".html", ".svg"))
    if is_page and fragment not in _TOP and unquote(fragment) not in pages[target].names:
        return "leads to an element that isn't there"
    return ""


def _target(page: str, path: str, pages: Mapping[str, _Page]) -> str:
    """The file that a path means, as a web server would find it."""
    if not path:
        return page
    target = posixpath.normpath(posixpath.join(posixpath.dirname(page), path))
    is_folder = posixpath.basename(path) in {"", ".", ".."}
    index = posixpath.normpath(posixpath.join(target, "index.html"))
    return index if is_folder or (target not in pages and index in pages) else target
