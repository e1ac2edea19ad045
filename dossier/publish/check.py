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
from dataclasses import dataclass, field
from urllib.parse import unquote, urlsplit

from dossier.store import Content, Memory, bytes_of, key_of

WEB = frozenset({"https", "mailto", "tel"})
# Where HTML names another resource (HTML Standard, index of attributes; SVG 2 for xlink:href).
_ADDRESSES = frozenset({
    "href", "src", "xlink:href", "poster", "data", "action", "formaction", "cite", "background",
})  # fmt: skip
_READ = frozenset({".html", ".svg", ".css"})
_POINTED_AT = (".html", ".svg")
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
_SHORTEST = 32
_IN_WORDS = b"0123456789abcdefghijklmnopqrstuvwxyz"
_WORDS = bytes(one if one in _IN_WORDS else ord(" ") for one in range(256))
_RUNS = bytes(ord("a") if one in _IN_WORDS else ord(" ") for one in range(256))
_LONG = b"a" * _SHORTEST


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
    """What is known of a file: where it leads, what a fragment may point at, and its long words."""

    addresses: tuple[_Address, ...] = ()
    names: frozenset[str] = frozenset()
    words: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Pages:
    """The files of a tree, each looked at once; `known` holds what was seen in them before.

    Paths are relative to the tree, which is where every address has to stay.  All that looks into
    a file raises LostError where a store lost its content.
    """

    files: Mapping[str, Content]
    known: Memory = field(default_factory=Memory)
    _seen: dict[str, _Page] = field(default_factory=dict)

    def faults(self, sound: Mapping[str, str] | None = None) -> tuple[Fault, ...]:
        """The addresses that are in the way of the tree's being published, in order of its pages.

        `sound` are the sums of a tree without faults, by path.  A page that stood in it leads
        nowhere else now, so that it is looked at only where something in that tree is gone.
        """
        return tuple(
            Fault(path, address.text, why)
            for path in self._to_be_judged(sound or {})
            for address in self._page(path).addresses
            if (why := self._why_not(path, address))
        )

    def tokens(self, path: str, tokens: frozenset[str]) -> frozenset[str]:
        """Which of the tokens stand in a file, as `tokens_in` finds them."""
        return _among(self._page(path).words, tokens)

    def look(self) -> None:
        """Look at every file, for `known` to hold it."""
        for path in self.files:
            self._page(path)

    def _to_be_judged(self, sound: Mapping[str, str]) -> list[str]:
        new = [path for path in sorted(self.files) if sound.get(path) != key_of(self.files[path])]
        lost_files = any(path not in self.files for path in sound if not path.endswith("/"))
        if lost_files or any(self._lost_names(sound, path) for path in new):
            return sorted(self.files)
        return new

    def _lost_names(self, sound: Mapping[str, str], path: str) -> bool:
        """Whether a changed page no longer has all that could be pointed at."""
        if path not in sound or not path.endswith(_POINTED_AT):
            return False
        before = _recalled(name_of(path, sound[path], self.known.mark), self.known)
        return before is None or not before.names <= self._page(path).names

    def _page(self, path: str) -> _Page:
        if path not in self._seen:
            self._seen[path] = _known(path, self.files[path], self.known)
        return self._seen[path]

    def _why_not(self, page: str, address: _Address) -> str:
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
        return self._why_not_here(self._target(page, unquote(parts.path)), parts.fragment)

    def _why_not_here(self, target: str, fragment: str) -> str:
        if target.startswith("../"):
            return "leads out of the folder"
        if target not in self.files:
            return "leads to a file that isn't there"
        if fragment in _TOP or not target.endswith(_POINTED_AT):
            return ""
        is_there = unquote(fragment) in self._page(target).names
        return "" if is_there else "leads to an element that isn't there"

    def _target(self, page: str, path: str) -> str:
        """The file that a path means, as a web server would find it."""
        if not path:
            return page
        target = posixpath.normpath(posixpath.join(posixpath.dirname(page), path))
        is_folder = posixpath.basename(path) in {"", ".", ".."}
        index = posixpath.normpath(posixpath.join(target, "index.html"))
        return index if is_folder or (target not in self.files and index in self.files) else target


def name_of(path: str, total: str, mark: str) -> str:
    """Under which name a memory of that mark holds what was seen in a file of that sum."""
    return f"{mark[:16]}{total}{posixpath.splitext(path)[1].lower()}"


def tokens_in(content: Content, tokens: frozenset[str]) -> frozenset[str]:
    """Which of the tokens stand in the content.

    A token has 32 characters of 0-9 and a-z or more, so that only such runs are looked into; what
    is packed (within a PDF, say) can't be seen.
    """
    return _among(_long_words(bytes_of(content)), tokens)


def _long_words(data: bytes) -> frozenset[str]:
    if _LONG not in data.translate(_RUNS):  # most files have none, which is soon seen
        return frozenset()
    runs = data.translate(_WORDS).split()  # half the time of a regular expression
    return frozenset(run.decode() for run in runs if len(run) >= _SHORTEST)


def _among(words: frozenset[str], tokens: frozenset[str]) -> frozenset[str]:
    short = words & tokens  # most are no longer than a token, and are looked up
    long = (word for word in words if len(word) > _SHORTEST)
    return short | {token for word in long for token in tokens if token in word}


def _known(path: str, content: Content, memory: Memory) -> _Page:
    """What a file's content says, which is the same wherever it lies."""
    name = name_of(path, key_of(content), memory.mark)
    page = _recalled(name, memory)
    if page is None:
        page = _read(posixpath.splitext(path)[1].lower(), bytes_of(content))
        links = [(one.text, one.is_link) for one in page.addresses]
        told = {"addresses": links, "names": sorted(page.names), "words": sorted(page.words)}
        memory.keep(name, json.dumps(told).encode())
    return page


def _recalled(name: str, memory: Memory) -> _Page | None:
    data = memory.recall(name)
    if data is None:
        return None
    told = json.loads(data)
    addresses = tuple(_Address(text, is_link) for text, is_link in told["addresses"])
    return _Page(addresses, frozenset(told["names"]), frozenset(told["words"]))


def _read(suffix: str, data: bytes) -> _Page:
    words = _long_words(data)
    if suffix not in _READ:
        return _Page(words=words)
    if suffix == ".css":
        return _Page(tuple(_of_css(data.decode("utf-8", "replace"))), words=words)
    text = _COMMENT.sub("", data.decode("utf-8", "replace"))
    addresses: list[_Address] = []
    names: set[str] = set()
    for tag, name, value in _attributes(text):
        if name == "id" or (name == "name" and tag == "a"):
            names.add(value)
        else:
            addresses += _of_attribute(tag, name, value)
    for style in _STYLE.findall(text):
        addresses += _of_css(style)
    return _Page(tuple(dict.fromkeys(addresses)), frozenset(names), words)


def _attributes(text: str) -> Iterator[tuple[str, str, str]]:
    """Tag, name and value of each attribute of the tags that can matter here."""
    # A chart has thousands of tags that lead nowhere, most of them alike.
    for tag, written in dict.fromkeys(_TAG.findall(text)):
        small = written.lower()
        for word in _TELLING:
            if word in small:  # a plain search is the quickest
                for name, value in _ATTRIBUTE.findall(written):
                    yield tag.lower(), name.lower(), html.unescape(value.strip("\"'")).strip()
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
