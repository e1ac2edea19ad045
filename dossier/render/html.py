"""Page-ready views to pages of HTML: strict templates, every value escaped, no script, no style.

A template gets a view and the few functions below, and nothing else: what an edition left out
can't be reached from here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import PurePosixPath
from typing import Any
from urllib.parse import quote

from jinja2 import DictLoader, Environment, StrictUndefined
from markupsafe import Markup

from dossier.edition.pages import BenchIndex, ClientView, InstrumentView
from dossier.edition.view import Passage, Sender
from dossier.render import assets, markdown
from dossier.render.reach import abroad, addressed, dialled
from dossier.theme import Theme
from dossier.words import Words

TEMPLATES = "templates/"
POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "base-uri 'none'; form-action 'none'"
)
# What a policy without inline script and style would silence, and what no chart needs.
_UNWANTED = re.compile(
    r"<(?:script|style|foreignObject)\b|<[^>]*\s(?:style|on\w+)\s*=", re.IGNORECASE
)


class PageError(ValueError):
    """A page that can't be made as it should; the message says what stands in the way."""


@dataclass(frozen=True, slots=True)
class PictureFile:
    """A picture by its path below the client's root, sized for the page; `large` opens alone."""

    path: str
    width: int
    height: int
    large: str = ""


@dataclass(frozen=True, slots=True)
class Beside:
    """What lies beside an instrument's page, by its path below the client's root; "" for none.

    `home` is the name of the page at that root that lists the client's instruments.
    """

    home: str = ""
    pdf: str = ""
    calendar: str = ""
    data: str = ""


ALONE = Beside()


@dataclass(frozen=True, slots=True)
class Part:
    """A part of an instrument's page: its anchor, which names its template, and when it stands."""

    id: str
    stands: Callable[[InstrumentView], bool]


PARTS: tuple[Part, ...] = (
    Part("glance", lambda view: bool(view.key_facts)),
    Part("open", lambda view: bool(view.problems or view.advice)),
    Part("safety", lambda view: bool(view.safety)),
    Part("pitch", lambda view: bool(view.pitch_story or view.pitch_figures)),
    Part("air", lambda view: bool(view.air_story or view.air_facts or view.air_figures)),
    Part("care", lambda view: bool(view.care)),
    Part("condition", lambda view: bool(view.condition or view.condition_story or view.marks)),
    Part("measured", lambda view: bool(view.measured_figures)),
    Part("work", lambda view: bool(view.work or view.cost_figures)),
    Part("life", lambda view: bool(view.timeline)),
    Part("visits", lambda view: bool(view.visits)),
    Part("instrument", lambda view: bool(view.identity or view.about)),
    Part("words", lambda view: bool(view.glossary)),
)


def instrument_page(
    view: InstrumentView,
    charts: Mapping[str, str],
    pictures: Mapping[str, PictureFile],
    words: Words,
    theme: Theme,
    root: str = "../",
    beside: Beside = ALONE,
) -> bytes:
    """An instrument's page, for whoever the view was made: an owner, a technician, a stranger.

    `charts` are figures' ids -> SVG ready for the screen; a figure without one stands with its
    sentence and its table.  `root` leads from the page to the client's root, where assets/ lies.
    Raises PageError for a chart that brings script or style of its own.
    """
    context = _context(view.sender, pictures, words, theme, root)
    context |= {
        "view": view,
        "charts": {name: _trusted(_checked(name, svg)) for name, svg in charts.items()},
        "parts": tuple(part.id for part in PARTS if part.stands(view)),
        "beside": beside,
    }
    return _rendered(theme, _template(view), context)


def _template(view: InstrumentView) -> str:
    if view.statement is not None:
        return "statement.html"
    return "instrument.html" if view.bench is None else "bench-instrument.html"


def client_page(
    view: ClientView,
    pictures: Mapping[str, PictureFile],
    words: Words,
    theme: Theme,
    root: str = "",
) -> bytes:
    """The first page of a client with more than one instrument."""
    context = _context(view.sender, pictures, words, theme, root)
    return _rendered(theme, "client.html", context | {"view": view})


def bench_index(view: BenchIndex, words: Words, theme: Theme, root: str = "") -> bytes:
    """The workshop's first page: all instruments by client."""
    return _bench("bench-index.html", view, words, theme, root)


def bench_due(view: BenchIndex, words: Words, theme: Theme, root: str = "") -> bytes:
    """Who is to be visited, by when and why."""
    return _bench("bench-due.html", view, words, theme, root)


def bench_open(view: BenchIndex, words: Words, theme: Theme, root: str = "") -> bytes:
    """All that is open, by instrument."""
    return _bench("bench-open.html", view, words, theme, root)


def not_found(sender: Sender, words: Words, theme: Theme, root: str = "/") -> bytes:
    """The page for an address that opens nothing; it names no client and no instrument.

    It may be shown at any depth, so that its root is the host's own.
    """
    return _rendered(theme, "404.html", _context(sender, {}, words, theme, root))


def _bench(name: str, view: BenchIndex, words: Words, theme: Theme, root: str) -> bytes:
    context = _context(view.sender, {}, words, theme, root)
    return _rendered(theme, name, context | {"view": view})


def _context(
    sender: Sender,
    pictures: Mapping[str, PictureFile],
    words: Words,
    theme: Theme,
    root: str,
) -> dict[str, Any]:
    """What every template is given."""
    seen = {name: _seen(picture, root) for name, picture in pictures.items()}

    def prose(passage: Passage, below: int) -> Markup:
        around = markdown.Surroundings(below, seen, words("Table"))
        return _trusted(markdown.to_html(passage.markdown, around))

    return {
        "_": words,
        "plural": words.plural,
        "lang": words.language,
        "policy": POLICY,
        "root": root,
        "style": root + assets.stylesheet(theme, sender),
        "mark": root + assets.mark(theme),
        "sender": sender,
        "pictures": seen,
        "prose": prose,
    }


def _seen(picture: PictureFile, root: str) -> markdown.Picture:
    """A picture as the page sees it."""
    large = picture.large or picture.path
    return markdown.Picture(
        root + quote(picture.path), picture.width, picture.height, root + quote(large)
    )


def _rendered(theme: Theme, name: str, context: Mapping[str, Any]) -> bytes:
    return environment(theme).get_template(name).render(context).encode()


@lru_cache(maxsize=8)
def environment(theme: Theme) -> Environment:
    """The templates of a theme, compiled once a process.

    A name that isn't there is an error and so is a value that is None: neither may end on a page
    as an empty place or as the word "None".
    """
    loader = DictLoader(
        {
            path.removeprefix(TEMPLATES): theme.text(path)
            for path in theme.files
            if path.startswith(TEMPLATES) and PurePosixPath(path).suffix == ".html"
        }
    )
    made = Environment(
        loader=loader,
        autoescape=True,
        undefined=StrictUndefined,
        finalize=_said,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )
    made.filters |= {"dialled": dialled, "addressed": addressed, "abroad": abroad}
    return made


def _said(value: Any) -> Any:
    if value is None:
        raise PageError("a template asked for a value that is None")
    return value


def _checked(name: str, svg: str) -> str:
    if found := _UNWANTED.search(svg):
        raise PageError(f"the chart {name} holds “{found[0]}”, which a page's policy forbids")
    return svg


def _trusted(html: str) -> Markup:
    """The one place where text becomes markup: from the Markdown renderer or a chart."""
    return Markup(html)  # noqa: S704  # the two callers' sources escape what a note says
