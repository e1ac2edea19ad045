"""Markdown of a note to HTML that can do no harm: no raw HTML, no foreign pictures, few links.

A note's prose is the only text of a page that carries marks of its own.  What it may bring is
named here; all else is shown as the words it stands around.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from urllib.parse import unquote

from markdown_it import MarkdownIt
from markdown_it.rules_core import StateCore
from markdown_it.token import Token

ABROAD = re.compile(r"https://[^/?#]|(?:mailto|tel):.", re.IGNORECASE)
LOWEST = 6
_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")


@dataclass(frozen=True, slots=True)
class Picture:
    """Where a picture's bytes lie, seen from the page; its size in pixels, a large one, a small."""

    href: str
    width: int
    height: int
    large: str
    thumb: str = ""
    thumb_width: int = 0


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What a passage stands in: the level of the heading above it, and the pictures it may name.

    `table_word` names a table's scroll region to those who can't see it.  `pages` are the pages
    of its own site that it may lead to, as it writes them -> as they are found; a page that has
    some is the guide's, and its headings can be led to.
    """

    below: int
    pictures: Mapping[str, Picture]
    table_word: str
    pages: Mapping[str, str] = field(default_factory=dict)


def to_html(text: str, around: Surroundings) -> str:
    """The passage as HTML.  Headings go on from the level above without a gap.

    A sign that turns the text around, written as an entity, is left out.
    """
    return _TURNING.sub("", str(_parser().render(text, {"around": around})))


def to_text(text: str) -> str:
    """The passage as plain words in one line, for a summary or a description."""
    blocks = (_words(token) for token in _parser().parse(text, {"around": NOWHERE}))
    return _TURNING.sub("", " ".join(" ".join(blocks).split()))


def headings(text: str) -> tuple[tuple[str, str], ...]:
    """The uppermost headings of a passage that can be led to: where, and what they say."""
    tokens = _parser().parse(text, {"around": NOWHERE})
    named = [
        (token.tag, _words(tokens[at + 1]))
        for at, token in enumerate(tokens)
        if token.type == "heading_open"
    ]
    first = min((tag for tag, _ in named), default="")
    return tuple((_anchor(words), words) for tag, words in named if tag == first)


def _anchor(words: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", words.lower()).strip("-")


NOWHERE = Surroundings(below=1, pictures={}, table_word="")


@lru_cache(maxsize=1)
def _parser() -> MarkdownIt:
    """One parser for the whole process: making one costs more than most passages."""
    parser = MarkdownIt("commonmark", {"html": False}).enable(["table", "strikethrough"])
    # Every address is let through as a link, so that the policy below sees it and can keep the
    # words; refused here, it would stand on the page as raw Markdown.
    parser.validateLink = _any_address  # type: ignore[method-assign]
    parser.core.ruler.push("headings", _shift_headings)
    parser.core.ruler.push("addresses", _keep_addresses)
    parser.core.ruler.push("tables", _mend_tables)
    return parser


def _any_address(url: str) -> bool:  # noqa: ARG001  # the parser's own signature
    return True


def _around(state: StateCore) -> Surroundings:
    around: Surroundings = state.env["around"]
    return around


def _shift_headings(state: StateCore) -> None:
    """A note's headings by their rank among each other, below the page's own."""
    above: list[int] = []
    tag = ""
    for at, token in enumerate(state.tokens):
        if token.type == "heading_open":
            if _around(state).pages:
                token.attrs["id"] = _anchor(_words(state.tokens[at + 1]))
            rank = int(token.tag[1])
            while above and above[-1] >= rank:
                above.pop()
            above.append(rank)
            tag = f"h{min(_around(state).below + len(above), LOWEST)}"
        if token.type in {"heading_open", "heading_close"}:
            token.tag = tag


def _keep_addresses(state: StateCore) -> None:
    for token in state.tokens:
        if token.type == "inline" and token.children:
            token.children = list(_allowed(token.children, _around(state)))


def _allowed(tokens: Iterable[Token], around: Surroundings) -> Iterator[Token]:
    """Links and pictures that a page may carry; of the others, their words."""
    open_links: list[bool] = []
    for token in tokens:
        if token.type == "link_open":
            address = _address(str(token.attrs["href"]), around)
            open_links.append(address is not None)
            if address is not None:
                token.attrs = {"href": address, "rel": "noreferrer"}
                yield token
        elif token.type == "link_close":
            if open_links.pop():
                yield token
        elif token.type == "image":
            yield from _image(token, around, inside_link=any(open_links))
        else:
            yield token


def _address(href: str, around: Surroundings) -> str | None:
    """An address as a page may carry it: abroad by a known scheme, or one of its own."""
    if _abroad(href):
        return href
    page, mark, anchor = href.partition("#")
    if page in around.pages:
        return f"{around.pages[page]}{mark}{anchor}"
    known = around.pictures.get(unquote(href))
    return known.large if known else None


def _abroad(href: str) -> bool:
    return ABROAD.match(href) is not None


def _image(token: Token, around: Surroundings, *, inside_link: bool) -> Iterator[Token]:
    """A picture of the note's own by its bytes; a foreign one by its words, with a link to it."""
    source = str(token.attrs["src"])
    words = token.content
    known = around.pictures.get(unquote(source))
    if known:
        token.attrs = {
            "src": known.href,
            "alt": "",
            "width": known.width,
            "height": known.height,
            "loading": "lazy",
        }
        yield from (token,) if inside_link else _linked(token, known.large)
        return
    text = Token("text", "", 0, content=words)
    if inside_link or not _abroad(source):
        yield text
    else:
        text.content = words or source
        yield from _linked(text, source)


def _linked(token: Token, href: str) -> tuple[Token, Token, Token]:
    start = Token("link_open", "a", 1, attrs={"href": href, "rel": "noreferrer"})
    return start, token, Token("link_close", "a", -1)


def _mend_tables(state: StateCore) -> None:
    """Alignment by class, since a page's policy forbids styles in the text; headers with scope."""
    mended: list[Token] = []
    for token in state.tokens:
        if token.type in {"th_open", "td_open"}:
            style = str(token.attrs.pop("style", ""))
            if style.endswith("right"):
                token.attrs["class"] = "num"
            if token.type == "th_open":
                token.attrs["scope"] = "col"
        if token.type == "table_open":
            mended.append(_wrap(_around(state).table_word))
        mended.append(token)
        if token.type == "table_close":
            mended.append(Token("wrap_close", "div", -1, block=True))
    state.tokens = mended


def _wrap(name: str) -> Token:
    """The start of a box that a wide table scrolls in, by keyboard too."""
    region: dict[str, str | int | float] = {
        "class": "table-wrap",
        "tabindex": 0,
        "role": "group",
        "aria-label": name,
    }
    return Token("wrap_open", "div", 1, attrs=region, block=True)


def _words(token: Token) -> str:
    """What a block says: breaks as spaces, a picture by its words."""
    if token.type in {"fence", "code_block"}:
        return token.content
    parts = []
    for child in token.children or ():
        if child.type in {"softbreak", "hardbreak"}:
            parts.append(" ")
        elif child.type in {"text", "code_inline", "image"}:
            parts.append(child.content)
    return "".join(parts)
