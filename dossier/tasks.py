"""The build as picklable functions: bytes and records in, bytes out, over any Executor.

A task reads no disk and no clock, so that it can run in another process or on another machine
and gives the same bytes there.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Protocol

from dossier.edition.figures import Figure
from dossier.edition.pages import DueRow, InstrumentRow, InstrumentView, OpenRow
from dossier.model import History
from dossier.render.html import Beside, PictureFile
from dossier.store import Content
from dossier.theme import Theme
from dossier.words import Words

if TYPE_CHECKING:
    from dossier.charts import Medium
    from dossier.edition import Told
    from dossier.pictures import Picture
    from dossier.quantities import Formatter

PDF, DATA, CALENDAR, CARD = "dossier.pdf", "history.json", "visits.ics", "card.pdf"
CHARTS = re.compile(r"/charts-[0-9a-f]{10}\.js$")
"""The path of what a browser draws an instrument's charts from."""
SINGLE = "_alone/"
"""Where an owner's files hold the page that opens one instrument alone; no slug begins so."""


@dataclass(frozen=True, slots=True)
class Job:
    """One instrument to be built: its history, the day, its media by name, the shop's logo.

    `link` is the client's private address, for the bench alone; `alone` says that the client has
    no other instrument, so that their first page is this one's; without `pdf` no document is made.
    """

    history: History
    today: date
    theme: Theme
    media: Mapping[str, bytes]
    logo: bytes | None
    link: str
    alone: bool
    pdf: bool = True


@dataclass(frozen=True, slots=True)
class Made:
    """One instrument built.

    `owner` are files by their path below the client's root, `bench` below the bench's; `rows` are
    the instrument in the owner's and in the bench's lists; `said` is what the owner's page says;
    `steady` are the first and last day on which the same would be made; `recalled` the keys in a
    memory of what it is made of, where there was one.
    """

    instrument: str
    client: str
    owner: Mapping[str, Content]
    bench: Mapping[str, Content]
    row: InstrumentRow
    bench_row: InstrumentRow
    due: tuple[DueRow, ...]
    open: tuple[OpenRow, ...]
    said: tuple[str, ...]
    limits: tuple[str, ...]
    steady: tuple[date, date]
    recalled: tuple[str, ...] = ()


class Hand(Protocol):
    """Who does what is slow: one who remembers, or one who doesn't."""

    def draw(self, figures: tuple[Figure, ...], medium: Medium) -> Mapping[str, str]:
        """The figures' SVG by their ids."""

    def explore(self, figures: tuple[Figure, ...], form: Formatter) -> Mapping[str, str]:
        """The figures' charts for a browser, as JSON by their ids."""

    def picture(self, data: bytes, name: str, thumb: int) -> Picture:
        """A photograph as the pages show it, `thumb` px in a small place.  Raises PictureError."""

    def document(
        self,
        view: InstrumentView,
        charts: Mapping[str, str],
        pictures: Mapping[str, bytes],
        words: Words,
        theme: Theme,
        data: bytes,
    ) -> bytes:
        """The PDF.  Raises PdfError."""


class PlainHand:
    """Makes all anew."""

    def draw(self, figures: tuple[Figure, ...], medium: Medium) -> Mapping[str, str]:
        from dossier.charts import LIGHT, draw

        return draw(figures, LIGHT, medium)

    def explore(self, figures: tuple[Figure, ...], form: Formatter) -> Mapping[str, str]:
        from dossier.charts.explorable import charts

        return charts(figures, form)

    def picture(self, data: bytes, name: str, thumb: int) -> Picture:
        from dossier.pictures import picture

        return picture(data, name, thumb)

    def document(
        self,
        view: InstrumentView,
        charts: Mapping[str, str],
        pictures: Mapping[str, bytes],
        words: Words,
        theme: Theme,
        data: bytes,
    ) -> bytes:
        from dossier.render.pdf import document

        return document(view, charts, pictures, words, theme, data)


@dataclass(frozen=True, slots=True)
class _Shelf:
    """Pictures ready for pages and paper; the charts for screen, print and a browser, by id.

    `clips` are the paths of recordings by their name; `hand` is who made them all.
    """

    files: dict[str, bytes]
    pages: dict[str, PictureFile]
    paper: dict[str, bytes]
    screen: dict[str, str]
    print: dict[str, str]
    explored: dict[str, str]
    clips: dict[str, str]
    hand: Hand


def make(job: Job, hand: Hand | None = None) -> Made:
    """Build one instrument's pages, documents and data in both editions.

    Raises PictureError for a picture that can't be shown, RecordingError for what can't be copied,
    PdfError and PageError where a page
    would not be as it should.
    """
    from dossier.analysis.findings import analyse
    from dossier.edition import (
        BENCH,
        OWNER,
        Told,
        due_rows,
        handed_on,
        instrument_row,
        instrument_view,
        open_rows,
        sentences,
        situation,
        voice_of,
    )
    from dossier.words import load

    history, hand = job.history, hand or PlainHand()
    words = load(history.shop.locale)
    voice = voice_of(history.shop, words)

    def tell(known: History) -> Told:
        findings = analyse(known)
        return Told(known, findings, situation(known, findings, job.today), voice)

    told = tell(history)
    known = handed_on(history)
    theirs = told if known is history else tell(known)
    owner = instrument_view(OWNER, theirs)
    bench = instrument_view(BENCH, told, job.link)
    shelf = _shelf(job, bench, hand)
    return Made(
        instrument=history.instrument.id,
        client=history.client.id,
        owner=_owner_files(job, owner, _owners_share(job, known, owner, bench, shelf, hand), words),
        bench={**_bench_files(job, bench, shelf, words), **_card(job, owner, words)},
        row=instrument_row(theirs, owner, bench=False),
        bench_row=instrument_row(told, bench, bench=True),
        due=due_rows(told, bench),
        open=open_rows(told, bench),
        said=sentences(owner, words),
        limits=owner.limits,
        steady=_steady(job.today, told, theirs),
    )


def _steady(today: date, *told: Told) -> tuple[date, date]:
    from dossier.edition import steady

    spans = [steady(one.findings, today) for one in told]
    return max(first for first, _ in spans), min(last for _, last in spans)


def _shelf(job: Job, view: InstrumentView, hand: Hand) -> _Shelf:
    """Pictures and charts, each made once for both editions: the bench has every one of them."""
    from dossier.edition import recordings
    from dossier.pictures import LOGO_SIDE, THUMB_SIDE
    from dossier.recordings import recording

    files: dict[str, bytes] = {}
    pages: dict[str, PictureFile] = {}
    paper: dict[str, bytes] = {}
    played = recordings(job.history)
    still = job.media.keys() - played.keys()
    for name in sorted({*still, *((view.sender.logo,) if job.logo else ())}):
        is_logo = name == view.sender.logo and bool(job.logo)
        data = job.logo if is_logo and job.logo else job.media[name]
        made = hand.picture(data, name, LOGO_SIDE if is_logo else THUMB_SIDE)
        small, large = _named(made.small, made.suffix), _named(made.large, made.suffix)
        thumb = _named(made.thumb, made.suffix)
        files |= {small: made.small, large: made.large, thumb: made.thumb}
        pages[name] = PictureFile(small, made.width, made.height, large, thumb, made.thumb_width)
        paper[name] = made.small
    clips: dict[str, str] = {}
    for name, is_film in played.items():
        bare = recording(job.media[name], name, is_film=is_film)
        clips[name] = _named(bare.data, bare.suffix)
        files[clips[name]] = bare.data
    screen, printed, explored = _drawn(job, _figures(view), hand)
    return _Shelf(files, pages, paper, screen, printed, explored, clips, hand)


def _owners_share(
    job: Job,
    known: History,
    owner: InstrumentView,
    bench: InstrumentView,
    shelf: _Shelf,
    hand: Hand,
) -> _Shelf:
    """What of the shelf is the owner's: after a change of hands, nothing seen or heard before it.

    A chart whose data is not the bench's own is drawn anew.
    """
    from dossier.edition import pictures, recordings

    names = {*pictures(known), owner.sender.logo} & shelf.pages.keys()
    pages = {name: shelf.pages[name] for name in names}
    shown = {path for page in pages.values() for path in (page.path, page.large, page.thumb)}
    clips = {name: shelf.clips[name] for name in recordings(known)}
    shown |= set(clips.values())
    mine, other = _figures(owner), set(_figures(bench))
    anew = _drawn(job, tuple(figure for figure in mine if figure not in other), hand)
    had = (shelf.screen, shelf.print, shelf.explored)
    drawn = [{**before, **now} for before, now in zip(had, anew, strict=True)]
    screen, printed, explored = (
        {figure.id: charts[figure.id] for figure in mine if figure.id in charts} for charts in drawn
    )
    return _Shelf(
        files={path: data for path, data in shelf.files.items() if path in shown},
        pages=pages,
        paper={name: shelf.paper[name] for name in names},
        screen=screen,
        print=printed,
        explored=explored,
        clips=clips,
        hand=hand,
    )


def _figures(view: InstrumentView) -> tuple[Figure, ...]:
    return (
        *view.pitch_figures,
        *view.air_figures,
        *view.mark_figures,
        *view.measured_figures,
        *view.cost_figures,
        *(view.bench.string_figures if view.bench else ()),
    )


def _drawn(job: Job, figures: tuple[Figure, ...], hand: Hand) -> tuple[dict[str, str], ...]:
    """The figures for the screen, for print where there is a document, and for a browser."""
    from dossier.charts import LIGHT, for_screen

    if not figures:
        return {}, {}, {}
    from dossier.edition import voice_of
    from dossier.words import load

    shop = job.history.shop
    screen = hand.draw(figures, "screen")
    return (
        {name: for_screen(svg, LIGHT) for name, svg in screen.items()},
        dict(hand.draw(figures, "print")) if job.pdf else {},
        dict(hand.explore(figures, voice_of(shop, load(shop.locale)).form)),
    )


def _charts(
    job: Job, view: InstrumentView, shelf: _Shelf, words: Words, engine: str
) -> tuple[dict[str, bytes], Beside]:
    """What goes with the charts of a page: their figures as CSV, and how a browser draws them.

    `engine` leads from the root of the pages to the folder of the one file that draws them all.
    """
    from dossier.render.figure_csv import figure_csv, file_name

    figures = _figures(view)
    tables = {f"{view.slug}/{file_name(one.id)}": figure_csv(one, words) for one in figures}
    if not shelf.explored:
        return tables, Beside(tables=f"{view.slug}/")
    from dossier.charts.engine import engine_name
    from dossier.charts.explorable import script
    from dossier.render import assets

    data = script(shelf.explored)
    path = f"{view.slug}/charts-{hashlib.sha256(data).hexdigest()[:10]}.js"
    own = assets.script(job.theme, "explore")
    files = {**tables, path: data, own: job.theme.files["screen/explore.js"]}
    beside = Beside(tables=f"{view.slug}/", charts=path, engine=f"{engine}{engine_name()}")
    return files, beside


def _with_life(job: Job, view: InstrumentView, shelf: _Shelf) -> _Shelf:
    """The shelf with the view's own picture of the life: for a wide screen, a narrow one, paper."""
    from dossier.charts import LIGHT, for_screen
    from dossier.charts.life import NARROW, PAPER, WIDE, draw_life

    if view.life is None:
        return shelf
    sizes = (("life", WIDE), ("life-narrow", NARROW))
    screen = {
        name: for_screen(draw_life(view.life, LIGHT, width, links=True), LIGHT)
        for name, width in sizes
    }
    paper = {"life": draw_life(view.life, LIGHT, PAPER, links=False)} if job.pdf else {}
    return replace(shelf, screen={**shelf.screen, **screen}, print={**shelf.print, **paper})


def _named(data: bytes, suffix: str) -> str:
    """The path of a file: its content alone, for its own name can tell of people."""
    return f"assets/{hashlib.sha256(data).hexdigest()[:16]}{suffix}"


def _owner_files(job: Job, view: InstrumentView, shelf: _Shelf, words: Words) -> dict[str, bytes]:
    from dossier.render.assets import site_assets
    from dossier.render.calendar import calendar
    from dossier.render.data import history_json
    from dossier.render.html import instrument_page

    slug, shelf = view.slug, _with_life(job, view, shelf)
    data = history_json(view)
    files = {**site_assets(job.theme, view.sender), **shelf.files, f"{slug}/{DATA}": data}
    files |= _document(job, view, shelf, words, data)
    charts, beside = _charts(job, view, shelf, words, "../assets/")
    files |= charts
    entry = calendar(view, words)
    if entry is not None:
        files[f"{slug}/{CALENDAR}"] = entry
    beside = replace(
        beside,
        home="" if job.alone else job.history.client.name,
        pdf=f"{slug}/{PDF}" if job.pdf else "",
        calendar=f"{slug}/{CALENDAR}" if entry is not None else "",
        data=f"{slug}/{DATA}",
        clips=shelf.clips,
    )
    first = "index.html" if job.alone else f"{SINGLE}{slug}.html"
    for path, root, around in (
        (f"{slug}/index.html", "../", beside),
        (first, "", replace(beside, home="")),
    ):
        files[path] = instrument_page(
            view, shelf.screen, shelf.pages, words, job.theme, root, around
        )
    return files


def _bench_files(job: Job, view: InstrumentView, shelf: _Shelf, words: Words) -> dict[str, bytes]:
    """The bench's page with all that it asks for, its style too, which it may outlive."""
    from dossier.render.assets import site_assets
    from dossier.render.data import history_json
    from dossier.render.html import instrument_page

    slug, shelf = view.slug, _with_life(job, view, shelf)
    charts, beside = _charts(job, view, shelf, words, "assets/")
    beside = replace(
        beside,
        pdf=f"{slug}/{PDF}" if job.pdf else "",
        card=f"{slug}/{CARD}" if job.pdf else "",
        clips=shelf.clips,
    )
    page = instrument_page(view, shelf.screen, shelf.pages, words, job.theme, "../", beside)
    return {
        **site_assets(job.theme, view.sender),
        **shelf.files,
        **charts,
        f"{slug}/index.html": page,
        **_document(job, view, shelf, words, history_json(view)),
    }


def _card(job: Job, owner: InstrumentView, words: Words) -> dict[str, bytes]:
    """The card that is left in the instrument, which tells what the owner's page tells."""
    from dossier.edition import voice_of
    from dossier.edition.card import card_view
    from dossier.render.card import card

    if not job.pdf:
        return {}
    token = job.link.removeprefix("public/").removesuffix("/index.html")
    path = token if job.alone or not token else f"{token}/{owner.slug}"
    view = card_view(owner, job.history, voice_of(job.history.shop, words), path)
    return {f"{owner.slug}/{CARD}": card(view, words, job.theme)}


def _document(
    job: Job, view: InstrumentView, shelf: _Shelf, words: Words, data: bytes
) -> dict[str, bytes]:
    if not job.pdf:
        return {}
    made = shelf.hand.document(view, shelf.print, shelf.paper, words, job.theme, data)
    return {f"{view.slug}/{PDF}": made}
