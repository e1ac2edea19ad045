"""A shop with one text in the place of every text, and the pages that are made of it."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from typing import Any, Literal, TypeVar, get_origin, get_type_hints

from PIL import Image

from dossier.analysis.findings import analyse
from dossier.charts import LIGHT, draw, for_screen
from dossier.diagnostics import Span
from dossier.edition.listed import LinkRow, Listed
from dossier.edition.lists import bench_index, client_view
from dossier.edition.pages import InstrumentView
from dossier.edition.situation import situation
from dossier.edition.statement import Issue, statement_view
from dossier.edition.told import Told
from dossier.edition.voice import voice_of
from dossier.model import History, Record, Release
from dossier.read.client import RELEASABLE
from dossier.render import html
from dossier.render.assets import script, site_assets
from dossier.render.data import history_json
from dossier.sites.issue import statement_files, statements
from dossier.tasks import Job, Made, make
from dossier.theme import find_theme
from dossier.words import load
from tests.analysis.one_piano import notebook
from tests.edition.test_leaks import CLIMATE, COLLEAGUES, FILES, FIXED, INSTRUMENT, NAMES, NOTES
from tests.recordings.samples import mp4, wav

TODAY = date(2026, 6, 1)
R = TypeVar("R", bound=Record | History)
# Names that find one another however they read; those of records must stay as they are.
PEOPLE = {"Visit.technician", "Colleague.name"}


@cache
def history() -> History:
    return notebook(
        NOTES,
        instrument=INSTRUMENT,
        shop=f"logo: logo.jpg\n{COLLEAGUES}{CLIMATE}",
        files={**FILES, "logo.jpg": "not looked into here"},
    ).history("heron")


def poisoned(record: R, text: str) -> R:
    """The record with that text in every field that can hold one, also where nothing stood."""
    kind = type(record)
    told: dict[str, Any] = {}
    for name, annotation in get_type_hints(kind).items():
        where = f"{kind.__name__}.{name}"
        named = where in NAMES.keys() - PEOPLE
        if not named and where not in FIXED and get_origin(annotation) is not Literal:
            told[name] = _poisoned(getattr(record, name), text)
    return replace(record, **told)


def _poisoned(value: Any, text: str) -> Any:
    if isinstance(value, Record | History):
        return poisoned(value, text)
    if isinstance(value, Span):
        return replace(value, file=text)
    if isinstance(value, tuple) and not hasattr(value, "_fields"):
        return tuple(_poisoned(item, text) for item in value)
    if isinstance(value, dict):
        return {key: _poisoned(item, text) for key, item in value.items()}
    return text if isinstance(value, str) else value


@cache
def photograph() -> bytes:
    stream = io.BytesIO()
    Image.new("RGB", (40, 30), "grey").save(stream, "JPEG")
    return stream.getvalue()


def film() -> bytes:
    return mp4((b"vide", b"avc1"))


MEDIA: dict[str, Callable[[], bytes]] = {"picture": photograph, "audio": wav, "video": film}


@dataclass(frozen=True)
class Site:
    """All pages that one text ends up on: files by path below the owner's, the bench's and the
    issued statements' roots."""

    owner: dict[str, bytes]
    bench: dict[str, bytes]
    issued: dict[str, bytes]

    def trees(self) -> tuple[tuple[str, dict[str, bytes]], ...]:
        return ("owner", self.owner), ("bench", self.bench), ("issued", self.issued)

    def pages(self) -> dict[str, str]:
        return {
            f"{tree}/{path}": data.decode()
            for tree, files in self.trees()
            for path, data in files.items()
            if path.endswith(".html")
        }


def site(text: str, *, pdf: bool = False) -> Site:
    """Every page of a shop in which all that can be written is that text."""
    known = _released(poisoned(history(), text))
    theme = find_theme()
    media = {photo.file: MEDIA[photo.kind]() for visit in known.visits for photo in visit.photos}
    media[known.instrument.photo] = photograph()
    made = make(
        Job(known, TODAY, theme, media, photograph(), "public/x/index.html", alone=False, pdf=pdf)
    )
    return Site(_owner(made, known), _bench(made, known, text), _issued(known, pdf=pdf))


def _released(known: History) -> History:
    """The history with all of it released, so that as much as can be is told to strangers."""
    editions = tuple(edition.name for edition in statements())
    visits = tuple(
        replace(
            visit,
            release=editions,
            photos=tuple(
                # A picture and a recording can't have one name.
                replace(
                    photo,
                    release=editions,
                    file=photo.file if photo.kind == "picture" else f"{photo.kind} {photo.file}",
                )
                for photo in visit.photos
            ),
        )
        for visit in known.visits
    )
    releases = tuple(
        Release(span=known.client.span, edition=edition, what=RELEASABLE) for edition in editions
    )
    client = replace(known.client, releases=releases)
    return replace(known, visits=visits, client=client)


def _issued(known: History, *, pdf: bool) -> dict[str, bytes]:
    """The statements for a sale and for an appraisal, each also as differing from one before."""
    voice = voice_of(known.shop, load("en-GB"))
    findings = analyse(known)
    told = Told(known, findings, situation(known, findings, TODAY), voice)
    files: dict[str, bytes] = {}
    for edition in statements():
        first = json.loads(history_json(statement_view(edition, told, Issue(TODAY))))["history"]
        view = statement_view(edition, told, Issue(TODAY, 2, first))
        made = statement_files(view, known, find_theme(), _Everything()) if pdf else _page(view)
        files |= {f"{edition.name}/{path}": one for path, one in made.items()}
    return files


def _page(view: InstrumentView) -> dict[str, bytes]:
    theme = find_theme()
    parts = view.statement.parts if view.statement else ()
    figures = tuple(figure for part in parts for figure in part.figures)
    charts = {name: for_screen(svg, LIGHT) for name, svg in draw(figures, LIGHT, "screen").items()}
    page = html.instrument_page(view, charts, {}, load("en-GB"), theme, "")
    return {**site_assets(theme, view.sender, "statement"), "index.html": page}


class _Everything(dict[str, bytes]):
    """A photograph under any name, or a recording where the name begins so."""

    def __missing__(self, name: str) -> bytes:
        kind = name.rpartition("media/")[2].partition(" ")[0]
        return MEDIA.get(kind, photograph)()


def _owner(made: Made, known: History) -> dict[str, bytes]:
    theme, words = find_theme(), load("en-GB")
    voice = voice_of(known.shop, words)
    view = client_view(known.shop, voice, known.client.id, known.client, (made.row,))
    return {
        **{path: data for path, data in made.owner.items() if isinstance(data, bytes)},
        **site_assets(theme, view.sender),
        "index.html": html.client_page(view, {}, words, theme),
        "404.html": html.not_found(view.sender, words, theme),
    }


def _bench(made: Made, known: History, text: str) -> dict[str, bytes]:
    theme, words = find_theme(), load("en-GB")
    listed = Listed((made.bench_row,), made.due, made.open)
    link = LinkRow(known.client.name, text, "a" * 40 + "/", text, TODAY, None)
    view = bench_index(known.shop, voice_of(known.shop, words), TODAY, listed, (link,), (text,))
    return {
        **{path: data for path, data in made.bench.items() if isinstance(data, bytes)},
        **site_assets(theme, view.sender, "bench"),
        script(theme, "sift"): theme.files["screen/sift.js"],
        "index.html": html.bench_index(view, words, theme),
        "due.html": html.bench_due(view, words, theme),
        "open.html": html.bench_open(view, words, theme),
    }
