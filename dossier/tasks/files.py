"""One instrument's files in each edition: pages, documents, data and what lies beside them."""

from __future__ import annotations

import hashlib
from dataclasses import replace

from dossier.edition.pages import InstrumentView
from dossier.render.beside import Beside
from dossier.tasks.job import SINGLE, Job
from dossier.tasks.shelf import Shelf, figures_of, with_life
from dossier.words import Words

PDF, DATA, CALENDAR, CARD = "dossier.pdf", "history.json", "visits.ics", "card.pdf"


def owner_files(job: Job, view: InstrumentView, shelf: Shelf, words: Words) -> dict[str, bytes]:
    """The owner's page, alone and below the client's, with all that lies beside it."""
    from dossier.render.assets import site_assets
    from dossier.render.calendar import calendar
    from dossier.render.data import history_json
    from dossier.render.html import instrument_page

    slug, shelf = view.slug, with_life(job, view, shelf)
    data = history_json(view)
    files = {**site_assets(job.theme, view.sender), **shelf.files, f"{slug}/{DATA}": data}
    files |= _document(job, view, shelf, words, data)
    charts, beside = charts_beside(job, view, shelf, words, "../assets/")
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


def bench_files(job: Job, view: InstrumentView, shelf: Shelf, words: Words) -> dict[str, bytes]:
    """The bench's page with all that it asks for, its style too, which it may outlive.

    It is for a screen at the door; whoever wants it on paper prints the page, which costs a build
    nothing, while a document costs more than all the rest.
    """
    from dossier.render.assets import site_assets
    from dossier.render.html import instrument_page

    slug, shelf = view.slug, with_life(job, view, shelf)
    charts, beside = charts_beside(job, view, shelf, words, "assets/")
    beside = replace(beside, card=f"{slug}/{CARD}" if job.pdf else "", clips=shelf.clips)
    page = instrument_page(view, shelf.screen, shelf.pages, words, job.theme, "../", beside)
    return {
        **site_assets(job.theme, view.sender, "bench"),
        **shelf.files,
        **charts,
        f"{slug}/index.html": page,
    }


def card_files(job: Job, owner: InstrumentView, words: Words) -> dict[str, bytes]:
    """The card that is left in the instrument, which tells what the owner's page tells."""
    from dossier.edition.card import card_view
    from dossier.edition.voice import voice_of
    from dossier.render.card import card

    if not job.pdf:
        return {}
    token = job.link.removeprefix("public/").removesuffix("/index.html")
    path = token if job.alone or not token else f"{token}/{owner.slug}"
    view = card_view(owner, job.history, voice_of(job.history.shop, words), path)
    return {f"{owner.slug}/{CARD}": card(view, words, job.theme)}


def _document(
    job: Job, view: InstrumentView, shelf: Shelf, words: Words, data: bytes
) -> dict[str, bytes]:
    if not job.pdf:
        return {}
    made = shelf.hand.document(view, shelf.print, shelf.paper, words, job.theme, data)
    return {f"{view.slug}/{PDF}": made}


def charts_beside(
    job: Job, view: InstrumentView, shelf: Shelf, words: Words, engine: str
) -> tuple[dict[str, bytes], Beside]:
    """What goes with the charts of a page: their figures as CSV, and how a browser draws them.

    `engine` leads from the root of the pages to the folder of the one file that draws them all.
    """
    from dossier.render.figure_csv import figure_csv, file_name

    figures = figures_of(view)
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
