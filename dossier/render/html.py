"""Page-ready views to pages of HTML: strict templates, every value escaped, no inline script.

A template gets a view and the few functions below, and nothing else: what an edition left out
can't be reached from here.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from pathlib import PurePosixPath
from typing import Any
from urllib.parse import quote

from jinja2 import DictLoader, Environment, StrictUndefined, TemplateError
from markupsafe import Markup

from dossier.charts import LIGHT, for_screen
from dossier.charts.life import draw_sign
from dossier.edition.pages import BenchIndex, ClientView, InstrumentView
from dossier.edition.view import Passage, Sender
from dossier.render import assets, figure_csv, lost, markdown
from dossier.render.beside import ALONE, NO_PICTURES, Beside, PictureFile, Pictures
from dossier.render.reach import abroad, addressed, dialled
from dossier.theme import Theme
from dossier.words import Words

TEMPLATES = "templates/"
POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; media-src 'self'; "
    "font-src 'self'; "
    "base-uri 'none'; form-action 'none'"
)
WITH_SCRIPTS = f"{POLICY}; script-src 'self'"
"""Of a page with charts to go into or a list to sift, by scripts of its own and without eval."""
# What a policy without inline script and style would silence, and what no chart needs.
_UNWANTED = re.compile(
    r"<(?:script|style|foreignObject)\b|<[^>]*\s(?:style|on\w+)\s*=", re.IGNORECASE
)
_TAG = re.compile(r"<[^>]*>")
_QUOTED = re.compile(r"\"[^\"]*\"|'[^']*'")


class PageError(ValueError):
    """A page that can't be made as it should; the message says what stands in the way."""


_TEMPLATES: Mapping[assets.Kind, str] = {
    "site": "instrument.html",
    "bench": "bench-instrument.html",
    "statement": "statement.html",
}


@dataclass(frozen=True, slots=True)
class GuidePage:
    """A page of the guide: the file's name without its end, and its text as Markdown.

    `before` and `after` are the pages beside it in the order of the guide, as name and title; ""
    where there is none.
    """

    name: str
    title: str
    group: str
    markdown: str
    before: tuple[str, str] = ("", "")
    after: tuple[str, str] = ("", "")


@dataclass(frozen=True, slots=True)
class Part:
    """A part of an instrument's page: its anchor, which names its template, and when it stands."""

    id: str
    stands: Callable[[InstrumentView], bool]


PARTS: tuple[Part, ...] = (
    Part("glance", lambda view: bool(view.key_facts)),
    Part("open", lambda view: bool(view.problems or view.advice)),
    Part("life", lambda view: bool(view.timeline)),
    Part("pitch", lambda view: bool(view.pitch_story or view.pitch_figures)),
    Part("air", lambda view: bool(view.air_story or view.air_facts or view.air_figures)),
    Part("condition", lambda view: bool(view.condition or view.condition_story or view.marks)),
    Part("measured", lambda view: bool(view.measured_figures)),
    Part("work", lambda view: bool(view.work or view.cost_figures)),
    Part("care", lambda view: bool(view.care)),
    Part("safety", lambda view: bool(view.safety)),
    Part("visits", lambda view: bool(view.visits)),
    Part("instrument", lambda view: bool(view.identity or view.about)),
    Part("words", lambda view: bool(view.glossary)),
)


def instrument_page(
    view: InstrumentView,
    charts: Mapping[str, str],
    pictures: Pictures,
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
    context = _context(view.sender, pictures, words, theme, root, _kind(view))
    context |= {
        "view": view,
        "charts": {name: _trusted(_checked(name, svg)) for name, svg in charts.items()},
        "parts": tuple(part.id for part in PARTS if part.stands(view)),
        "beside": beside,
    }
    if beside.charts:
        context |= _scripted(theme, "explore", root)
    return rendered(theme, _TEMPLATES[_kind(view)], context)


def _kind(view: InstrumentView) -> assets.Kind:
    if view.statement is not None:
        return "statement"
    return "site" if view.bench is None else "bench"


def _scripted(theme: Theme, name: str, root: str) -> dict[str, str]:
    """What a page is given that runs a script of the theme."""
    return {"script": root + assets.script(theme, name), "policy": WITH_SCRIPTS}


def client_page(
    view: ClientView,
    pictures: Pictures,
    words: Words,
    theme: Theme,
    root: str = "",
) -> bytes:
    """The first page of a client with more than one instrument."""
    context = _context(view.sender, pictures, words, theme, root)
    return rendered(theme, "client.html", context | {"view": view})


def bench_index(
    view: BenchIndex, words: Words, theme: Theme, pictures: Pictures = NO_PICTURES
) -> bytes:
    """The workshop's first page: all instruments by client."""
    return _bench("bench-index.html", view, words, theme, pictures)


def bench_due(
    view: BenchIndex, words: Words, theme: Theme, pictures: Pictures = NO_PICTURES
) -> bytes:
    """Who is to be visited, by when and why."""
    return _bench("bench-due.html", view, words, theme, pictures)


def bench_open(
    view: BenchIndex, words: Words, theme: Theme, pictures: Pictures = NO_PICTURES
) -> bytes:
    """All that is open, by instrument."""
    return _bench("bench-open.html", view, words, theme, pictures)


def guide_page(
    page: GuidePage,
    names: Mapping[str, str],
    sender: Sender,
    words: Words,
    theme: Theme,
    pictures: Pictures = NO_PICTURES,
) -> bytes:
    """A page of the guide, one folder below the bench's root; `names` are the pages to lead to."""
    around = markdown.Surroundings(1, {}, words("Table"), names)
    context = _context(sender, pictures, words, theme, "../", "bench") | {
        "page": page,
        "text": _trusted(markdown.to_html(page.markdown, around)),
        "headings": markdown.headings(page.markdown),
    }
    return rendered(theme, "guide.html", context)


def not_found(sender: Sender, words: Words, theme: Theme, root: str = "/") -> bytes:
    """The page for an address that opens nothing; it names no client and no instrument.

    It may be shown at any depth, so that its root is the host's own.
    """
    context = _context(sender, {}, words, theme, root)
    policy = POLICY.replace("style-src 'self'", f"style-src {lost.SOURCE}")
    context |= {"policy": policy, "lost_style": _trusted(lost.STYLE)}
    return rendered(theme, "404.html", context)


def ground(sender: Sender, words: Words, theme: Theme, pictures: Pictures) -> dict[str, Any]:
    """What every template of the bench is given; `pictures` is the logo, if there is one."""
    return _context(sender, pictures, words, theme, "", "bench")


def _bench(name: str, view: BenchIndex, words: Words, theme: Theme, pictures: Pictures) -> bytes:
    context = ground(view.sender, words, theme, pictures)
    return rendered(theme, name, context | {"view": view} | _scripted(theme, "sift", ""))


def _context(
    sender: Sender,
    pictures: Pictures,
    words: Words,
    theme: Theme,
    root: str,
    kind: assets.Kind = "site",
) -> dict[str, Any]:
    """What every template is given.

    The bench and a statement are opened from a folder, where a browser fetches no face beforehand.
    """
    faces = assets.first_faces(theme) if kind == "site" else ()
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
        "style": root + assets.stylesheet(theme, sender, kind),
        "faces": tuple(root + face for face in faces),
        "mark": root + assets.mark(theme),
        "script": "",
        "sender": sender,
        "pictures": seen,
        "prose": prose,
        "sign": _sign,
    }


@lru_cache(maxsize=32)
def _sign(kind: str) -> Markup:
    """A sign of the picture of a life, for its legend."""
    return _trusted(for_screen(draw_sign(kind, LIGHT), LIGHT))


def _seen(picture: PictureFile, root: str) -> markdown.Picture:
    """A picture as the page sees it."""
    return markdown.Picture(
        href=root + quote(picture.path),
        width=picture.width,
        height=picture.height,
        large=root + quote(picture.large or picture.path),
        thumb=root + quote(picture.thumb or picture.path),
        thumb_width=picture.thumb_width or picture.width,
    )


def rendered(theme: Theme, name: str, context: Mapping[str, Any]) -> bytes:
    """A template of the theme with its context, as the bytes of a page."""
    return environment(theme).get_template(name).render(context).encode()


def compiled(theme: Theme, names: Callable[[str], bool]) -> None:
    """Compile the templates of these names now, for this process and those forked from it.

    One that can't be compiled is told of where it is used.
    """
    made = environment(theme)
    for name in made.list_templates(filter_func=names):
        with suppress(TemplateError):
            made.get_template(name)


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
    made.filters |= {
        "dialled": dialled,
        "addressed": addressed,
        "abroad": abroad,
        "csv": figure_csv.file_name,
    }
    return made


def _said(value: Any) -> Any:
    if value is None:
        raise PageError("a template asked for a value that is None")
    return value


def _checked(name: str, svg: str) -> str:
    for tag in _TAG.findall(svg):
        # What stands in quotes is a text, whatever it says.
        if found := _UNWANTED.search(_QUOTED.sub('""', tag)):
            raise PageError(f"the chart {name} holds “{found[0]}”, which a page's policy forbids")
    return svg


def _trusted(html: str) -> Markup:
    """The one place where text becomes markup: from the Markdown renderer or a chart."""
    return Markup(html)  # noqa: S704  # the two callers' sources escape what a note says
