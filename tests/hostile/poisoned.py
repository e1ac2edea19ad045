"""A shop with one text in the place of every text, and the pages that are made of it."""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from datetime import date
from functools import cache
from typing import Any, Literal, TypeVar, get_origin

from PIL import Image
from pydantic import BaseModel

from dossier.diagnostics import Span
from dossier.edition import LinkRow, Listed, bench_index, client_view, voice_of
from dossier.model import History
from dossier.render import html
from dossier.render.assets import site_assets
from dossier.tasks import Job, Made, make
from dossier.theme import find_theme
from dossier.words import load
from tests.analysis.one_piano import notebook
from tests.edition.test_leaks import CLIMATE, FILES, FIXED, INSTRUMENT, NAMES, NOTES

TODAY = date(2026, 6, 1)
R = TypeVar("R", bound=BaseModel)


@cache
def history() -> History:
    return notebook(
        NOTES,
        instrument=INSTRUMENT,
        shop=f"logo: logo.jpg\n{CLIMATE}",
        files={**FILES, "logo.jpg": "not looked into here"},
    ).history("heron")


def poisoned(record: R, text: str) -> R:
    """The record with that text in every field that can hold one, also where nothing stood."""
    kind = type(record)
    told: dict[str, Any] = {}
    for name, about in kind.model_fields.items():
        where = f"{kind.__name__}.{name}"
        if where not in FIXED | NAMES.keys() and get_origin(about.annotation) is not Literal:
            told[name] = _poisoned(getattr(record, name), text)
    return record.model_copy(update=told)


def _poisoned(value: Any, text: str) -> Any:
    if isinstance(value, BaseModel):
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


@dataclass(frozen=True)
class Site:
    """All pages that one text ends up on: files by path below the owner's and the bench's roots."""

    owner: dict[str, bytes]
    bench: dict[str, bytes]

    def pages(self) -> dict[str, str]:
        return {
            f"{tree}/{path}": data.decode()
            for tree, files in (("owner", self.owner), ("bench", self.bench))
            for path, data in files.items()
            if path.endswith(".html")
        }


def site(text: str, *, pdf: bool = False) -> Site:
    """Every page of a shop in which all that can be written is that text."""
    known = poisoned(history(), text)
    theme = find_theme()
    names = {photo.file for visit in known.visits for photo in visit.photos}
    media = dict.fromkeys({*names, known.instrument.photo}, photograph())
    made = make(
        Job(known, TODAY, theme, media, photograph(), "public/x/index.html", alone=False, pdf=pdf)
    )
    return Site(_owner(made, known), _bench(made, known, text))


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
        **site_assets(theme, view.sender),
        "index.html": html.bench_index(view, words, theme),
        "due.html": html.bench_due(view, words, theme),
        "open.html": html.bench_open(view, words, theme),
    }
