"""The dossier on paper: a view as a designed document, tagged and archival."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import chain

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup, escape

from dossier.charts import LIGHT
from dossier.charts.life import draw_sign
from dossier.edition.figures import Figure
from dossier.edition.pages import InstrumentView
from dossier.edition.view import Passage, Table
from dossier.render.columns import BREADTH, HALF, NARROW, shares
from dossier.render.markdown import Picture, Surroundings, to_html
from dossier.render.paper import SCHEME, MissingSignsError, Paper, PdfError, Shelf, write
from dossier.render.reach import abroad, addressed, dialled
from dossier.theme import Theme, accent
from dossier.words import Words

__all__ = ["DATA_NAME", "PdfError", "document"]

DATA_NAME = "history.json"
UNSHOWN = "[?]"
_SIZES = {"a4": "A4", "letter": "letter; margin: 20mm 25mm 22mm"}
"""A sheet of Letter is shorter and wider, and so are its margins."""
_SVG = re.compile(r"\s*(?:<\?xml[^>]*>\s*)?<svg\b")
_PICTURE_LINK = re.compile(rf'<a href="{SCHEME}:[^"]*"[^>]*>(.*?)</a>', re.DOTALL)
_BREADTHS = {"": BREADTH, "narrow": NARROW, "half": HALF}
_MEDIA = {
    ".css": "text/css",
    ".ttf": "font/ttf",
    ".woff2": "font/woff2",
}
_PICTURE_MEDIA = (
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"\x89PNG", "image/png"),
    (b"RIFF", "image/webp"),
)


@dataclass(frozen=True, slots=True)
class Chapter:
    """A chapter of the document; `id` is its anchor and the name of its template."""

    id: str
    title: str


def document(
    view: InstrumentView,
    charts: Mapping[str, str],
    pictures: Mapping[str, bytes],
    words: Words,
    theme: Theme,
    data: bytes,
) -> bytes:
    """The PDF of an instrument's view; the same arguments give the same bytes.

    `charts` are SVG texts by figure id, `pictures` re-encoded photographs by the file name that
    the view gives them (and the shop's logo by its own); a picture that isn't among them is left
    out.  `data` is the history as JSON and is attached.

    A sign that no font has is printed as UNSHOWN.

    Raises PdfError where the renderer warns of anything else, or a link leads to where none may.
    """
    photos = {name: f"picture/{n}" for n, name in enumerate(sorted(pictures))}
    drawn = {name: f"chart/{n}" for n, name in enumerate(sorted(charts))}
    own = _page_css(view, words, theme)
    paper = Paper(
        html=_html(view, drawn, photos, words, theme),
        css="\n".join((*(theme.text(f"print/{name}.css") for name in _sheets(view)), own)),
        title=_title(view),
        author=view.sender.name,
        language=words.language,
        stand=view.as_of,
        data=data,
        data_name=DATA_NAME,
        data_words=words("The figures of this document as JSON"),
    )
    shown = {photos[name]: pictures[name] for name in photos}
    try:
        return write(paper, page_shelf({**shown, **_drawn(charts, drawn, {})}, theme))
    except MissingSignsError as error:
        # An emoji is no reason to leave a dossier unmade: it stays on the page and in the data.
        shown |= _drawn(charts, drawn, _unshown(error.signs))
        return write(shown_without(paper, error.signs), page_shelf(shown, theme))


def _drawn(
    charts: Mapping[str, str], places: Mapping[str, str], shown: Mapping[int, str]
) -> dict[str, bytes]:
    """The charts by their places, their letters replaced as `shown` says.

    They stand in the page as pictures: as part of its text each of their lines would be styled.
    """
    for name, svg in charts.items():
        if not _SVG.match(svg):
            raise PdfError(f"The chart {name} is no SVG.")
    return {places[name]: svg.translate(shown).encode() for name, svg in charts.items()}


def shown_without(paper: Paper, signs: Iterable[str]) -> Paper:
    """The paper with UNSHOWN for each of these signs, which no font has."""
    shown = _unshown(signs)
    return replace(paper, html=paper.html.translate(shown), css=paper.css.translate(shown))


def _unshown(signs: Iterable[str]) -> dict[int, str]:
    return str.maketrans(dict.fromkeys(signs, UNSHOWN))


def _sheets(view: InstrumentView) -> tuple[str, ...]:
    """Each rule is tried on each element: a statement's stand in a sheet of their own."""
    return ("document",) if view.statement is None else ("document", "statement")


def _title(view: InstrumentView) -> str:
    return f"{view.title} · {view.edition_word}"


def _html(
    view: InstrumentView,
    drawn: Mapping[str, str],
    photos: Mapping[str, str],
    words: Words,
    theme: Theme,
) -> str:
    """The page; `drawn` and `photos` are what the shelf holds, by figure id and file name."""
    figures = tuple(_figures(view))
    chapters = _chapters(view, figures, words)
    addresses = {name: f"{SCHEME}:{path}" for name, path in photos.items()}
    name = "document" if view.statement is None else "statement"
    return (
        environment(theme)
        .get_template(f"print/{name}.html")
        .render(
            view=view,
            words=words,
            title=_title(view),
            chapters=chapters,
            figures=figures,
            charts={name: f"{SCHEME}:{path}" for name, path in drawn.items()},
            photos=addresses,
            anchors=_anchors(view, figures),
            problems=sorted(view.problems, key=lambda line: not line.is_open),
            advice=sorted(view.advice, key=lambda line: not line.waiting),
            with_cost=any(line.cost for line in view.work),
            author_line=_author(view),
            reach=tuple(_reach(view)),
            data_name=DATA_NAME,
            sign=_sign,
            widths_of=_widths,
            prose=partial(_prose, photos=addresses, words=words),
        )
    )


@lru_cache(maxsize=8)
def environment(theme: Theme) -> Environment:
    """The templates of what is printed: strict, and with all escaped."""
    return Environment(
        loader=FunctionLoader(theme.text),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def _chapters(
    view: InstrumentView, figures: tuple[Figure, ...], words: Words
) -> tuple[Chapter, ...]:
    """The chapters that have something to say, in order."""
    if view.statement is not None:
        parts = tuple(Chapter(part.id, part.title) for part in view.statement.parts)
        return (*parts, Chapter("signed", words("Signature")))
    rows: tuple[tuple[str, str, object], ...] = (
        (
            "state",
            words("How it is and what to do") if view.todos else words("How it is"),
            view.state,
        ),
        ("life", words("Its life"), view.about or view.timeline),
        ("pitch", words("Pitch"), view.pitch_story or view.pitch_figures),
        ("air", words("The air around it"), view.air_story or view.air_facts or view.air_figures),
        (
            "condition",
            words("Condition and marks"),
            view.condition_story or view.condition or view.marks or view.mark_figures
            or view.measured_figures,
        ),
        ("problems", words("Problems and advice"), view.problems or view.advice),
        (
            "work",
            words("Work and its cost") if _with_cost(view) else words("Work"),
            view.work or view.cost_figures,
        ),
        ("visits", words("Visits"), view.visits),
        ("care", words("Care and safety"), view.care or view.safety),
        ("identity", words("Identity"), view.identity),
        ("glossary", words("Glossary"), view.glossary),
        ("sources", words("Sources and limits"), view.limits or figures or view.sender.name),
    )  # fmt: skip
    return tuple(Chapter(name, title) for name, title, content in rows if content)


def _with_cost(view: InstrumentView) -> bool:
    return bool(view.cost_figures) or any(line.cost for line in view.work)


def _figures(view: InstrumentView) -> Iterator[Figure]:
    """Every figure once, in the order of the chapters."""
    groups = chain(
        view.pitch_figures,
        view.air_figures,
        view.mark_figures,
        view.measured_figures,
        view.cost_figures,
        *(part.figures for part in (view.statement.parts if view.statement else ())),
    )
    yield from {figure.id: figure for figure in groups}.values()


def _anchors(view: InstrumentView, figures: tuple[Figure, ...]) -> set[str]:
    """What a page can be looked up of; a statement's tables stand beside their charts."""
    tables = {f"table-{figure.id}" for figure in figures} if view.statement is None else set()
    return {visit.anchor for visit in view.visits} | tables


def _widths(table: Table, told: Sequence[int], breadth: str) -> dict[int, int]:
    """The share of each column that is told, by its place in the table."""
    rows = [[row[place] for place in told] for row in (table.columns, *table.rows)]
    numeric = [table.numeric[place] for place in told]
    return dict(zip(told, shares(rows, numeric, _BREADTHS[breadth]), strict=True))


def _sign(kind: str) -> Markup:
    """A sign of the picture of a life, beside its word."""
    return Markup(draw_sign(kind, replace(LIGHT, ground="#ffffff")))  # noqa: S704  # made by our charts


def _prose(passage: Passage, below: int, photos: Mapping[str, str], words: Words) -> Markup:
    """A passage in Markdown as HTML, its headings below that level."""
    # On paper a picture leads to nothing larger.
    known = {name: Picture(address, 0, 0, address) for name, address in photos.items()}
    made = to_html(passage.markdown, Surroundings(below, known, words("Table")))
    made = _PICTURE_LINK.sub(r"\1", made)
    unnamed = escape(words("A photograph without a description"))
    return Markup(made.replace(' alt=""', f' alt="{unnamed}"'))  # noqa: S704  # escaped there


def _author(view: InstrumentView) -> str:
    who = (view.sender.technician, view.sender.qualification, view.sender.name)
    return ", ".join(part for part in who if part)


def _reach(view: InstrumentView) -> Iterator[tuple[str, str]]:
    """How to reach the shop: what is printed, and where it leads, "" where it is text only."""
    sender = view.sender
    if sender.phone:
        number = dialled(sender.phone)
        yield sender.phone, f"tel:{number}" if number else ""
    if sender.email:
        address = addressed(sender.email)
        yield sender.email, f"mailto:{address}" if address else ""
    if sender.web:
        yield sender.web.removeprefix("https://").rstrip("/"), abroad(sender.web)
    if sender.address:
        yield sender.address, ""


def _page_css(view: InstrumentView, words: Words, theme: Theme) -> str:
    """What of the style sheet hangs on the view: the sheet of paper, the accent, running feet."""
    size = _SIZES.get(view.sender.paper.lower(), "A4")
    colour = accent(theme, view.sender.accent)[0].light
    foot = " · ".join(part for part in (view.title, view.edition_word, view.as_of_text) if part)
    before, between, after = words("Page {n} of {pages}", n="\0", pages="\0").split("\0")
    count = f"{_quoted(before)} counter(page) {_quoted(between)} counter(pages) {_quoted(after)}"
    return (
        f":root {{ --accent: {colour}; }}\n"
        f"@page {{ size: {size};\n"
        f"@bottom-left {{ content: {_quoted(foot)}; }}\n"
        f"@bottom-right {{ content: {count}; }} }}\n"
    )


def _quoted(text: str) -> str:
    """A CSS string; what could end it is written by its code point."""
    return '"' + re.sub(r'["\\\x00-\x1f<]', lambda found: f"\\{ord(found[0]):x} ", text) + '"'


def page_shelf(bodies: Mapping[str, bytes], theme: Theme) -> Shelf:
    """What the renderer may fetch: the pictures given, and the theme's fonts."""

    def find(path: str) -> tuple[bytes, str] | None:
        if path in bodies:
            kinds = (kind for start, kind in _PICTURE_MEDIA if bodies[path].startswith(start))
            return bodies[path], next(kinds, "image/svg+xml")
        place, _, name = path.partition("/")
        kind = _MEDIA.get(name[name.rfind(".") :])
        if place != "theme" or kind is None or name not in theme.files:
            return None
        return theme.files[name], kind

    return find
