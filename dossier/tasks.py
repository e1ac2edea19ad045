"""The build as picklable functions: bytes and records in, bytes out, over any Executor.

A task reads no disk and no clock, so that it can run in another process or on another machine
and gives the same bytes there.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from dossier.edition.figures import Figure
from dossier.edition.pages import DueRow, InstrumentRow, InstrumentView, OpenRow
from dossier.model import History
from dossier.render.html import Beside, PictureFile
from dossier.store import Content
from dossier.theme import Theme
from dossier.words import Words

if TYPE_CHECKING:
    from dossier.edition import Told

PDF, DATA, CALENDAR = "dossier.pdf", "history.json", "visits.ics"
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
    `steady` are the first and last day on which the same would be made.
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


@dataclass(frozen=True, slots=True)
class _Shelf:
    """Pictures ready for pages and paper, and the charts for screen and print, by figure id."""

    files: dict[str, bytes]
    pages: dict[str, PictureFile]
    paper: dict[str, bytes]
    screen: dict[str, str]
    print: dict[str, str]


def make(job: Job) -> Made:
    """Build one instrument's pages, documents and data in both editions.

    Raises PictureError for a picture that can't be shown, PdfError and PageError where a page
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

    history = job.history
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
    shelf = _shelf(job, bench)
    return Made(
        instrument=history.instrument.id,
        client=history.client.id,
        owner=_owner_files(job, owner, _owners_share(job, known, owner, bench, shelf), words),
        bench=_bench_files(job, bench, shelf, words),
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


def _shelf(job: Job, view: InstrumentView) -> _Shelf:
    """Pictures and charts, each made once for both editions: the bench has every one of them."""
    from dossier.pictures import picture

    files: dict[str, bytes] = {}
    pages: dict[str, PictureFile] = {}
    paper: dict[str, bytes] = {}
    for name in sorted({*job.media, *((view.sender.logo,) if job.logo else ())}):
        made = picture(job.logo if name == view.sender.logo and job.logo else job.media[name], name)
        small, large = _named(made.small, made.suffix), _named(made.large, made.suffix)
        files |= {small: made.small, large: made.large}
        pages[name] = PictureFile(small, made.width, made.height, large)
        paper[name] = made.small
    screen, printed = _drawn(job, _figures(view))
    return _Shelf(files=files, pages=pages, paper=paper, screen=screen, print=printed)


def _owners_share(
    job: Job, known: History, owner: InstrumentView, bench: InstrumentView, shelf: _Shelf
) -> _Shelf:
    """What of the shelf is the owner's: after a change of hands, no picture of the time before.

    A chart whose data is not the bench's own is drawn anew.
    """
    from dossier.edition import pictures

    names = {*pictures(known), owner.sender.logo} & shelf.pages.keys()
    pages = {name: shelf.pages[name] for name in names}
    shown = {path for page in pages.values() for path in (page.path, page.large)}
    mine, other = _figures(owner), set(_figures(bench))
    screen, printed = _drawn(job, tuple(figure for figure in mine if figure not in other))
    ids = {figure.id for figure in mine}
    return _Shelf(
        files={path: data for path, data in shelf.files.items() if path in shown},
        pages=pages,
        paper={name: shelf.paper[name] for name in names},
        screen={name: svg for name, svg in {**shelf.screen, **screen}.items() if name in ids},
        print={name: svg for name, svg in {**shelf.print, **printed}.items() if name in ids},
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


def _drawn(job: Job, figures: tuple[Figure, ...]) -> tuple[dict[str, str], dict[str, str]]:
    """The figures for the screen and, where there is a document, for print, by their ids."""
    from dossier.charts import LIGHT, draw, for_screen

    if not figures:
        return {}, {}
    screen = draw(figures, LIGHT, "screen")
    return (
        {name: for_screen(svg, LIGHT) for name, svg in screen.items()},
        dict(draw(figures, LIGHT, "print")) if job.pdf else {},
    )


def _named(data: bytes, suffix: str) -> str:
    """A picture's path: its content alone, for a file's own name can tell of people."""
    return f"assets/{hashlib.sha256(data).hexdigest()[:16]}{suffix}"


def _owner_files(job: Job, view: InstrumentView, shelf: _Shelf, words: Words) -> dict[str, bytes]:
    from dossier.render.assets import site_assets
    from dossier.render.calendar import calendar
    from dossier.render.data import history_json
    from dossier.render.html import instrument_page

    slug = view.slug
    data = history_json(view)
    files = {**site_assets(job.theme, view.sender), **shelf.files, f"{slug}/{DATA}": data}
    files |= _document(job, view, shelf, words, data)
    entry = calendar(view, words)
    if entry is not None:
        files[f"{slug}/{CALENDAR}"] = entry
    beside = Beside(
        home="" if job.alone else job.history.client.name,
        pdf=f"{slug}/{PDF}" if job.pdf else "",
        calendar=f"{slug}/{CALENDAR}" if entry is not None else "",
        data=f"{slug}/{DATA}",
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
    from dossier.render.data import history_json
    from dossier.render.html import instrument_page

    slug = view.slug
    beside = Beside(pdf=f"{slug}/{PDF}" if job.pdf else "")
    page = instrument_page(view, shelf.screen, shelf.pages, words, job.theme, "../", beside)
    return {
        **shelf.files,
        f"{slug}/index.html": page,
        **_document(job, view, shelf, words, history_json(view)),
    }


def _document(
    job: Job, view: InstrumentView, shelf: _Shelf, words: Words, data: bytes
) -> dict[str, bytes]:
    from dossier.render.pdf import document

    if not job.pdf:
        return {}
    return {f"{view.slug}/{PDF}": document(view, shelf.print, shelf.paper, words, job.theme, data)}
