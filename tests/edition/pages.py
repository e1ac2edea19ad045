"""The page that a few notes make, on a day."""

from __future__ import annotations

from datetime import date

from dossier.analysis.findings import analyse
from dossier.edition.declared import BENCH, OWNER, Edition
from dossier.edition.hands import handed_on
from dossier.edition.instrument_page import instrument_view
from dossier.edition.pages import InstrumentView, VisitView
from dossier.edition.situation import situation
from dossier.edition.statement import Issue, statement_view
from dossier.edition.told import Told
from dossier.edition.voice import voice_of
from dossier.model import History
from dossier.words import load


def told(history: History, today: str | date) -> Told:
    day = date.fromisoformat(today) if isinstance(today, str) else today
    found = analyse(history)
    now = situation(history, found, day)
    return Told(history, found, now, voice_of(history.shop, load(history.shop.locale)))


def page(
    history: History, today: str | date = "2026-06-01", edition: Edition = OWNER
) -> InstrumentView:
    known = history if edition is BENCH else handed_on(history)
    day = date.fromisoformat(today) if isinstance(today, str) else today
    if "statement" in edition.shows:
        return statement_view(edition, told(known, day), Issue(day))
    return instrument_view(edition, told(known, day))


def bench_page(history: History, today: str | date = "2026-06-01") -> InstrumentView:
    return instrument_view(BENCH, told(history, today))


def visit(view: InstrumentView, day: str) -> VisitView:
    return next(item for item in view.visits if item.anchor == f"visit-{day}")


def facts(view: InstrumentView, day: str) -> dict[str, str]:
    """What the page says of a visit in short, without the no-break spaces."""
    return {fact.label: plain_spaces(fact.value) for fact in visit(view, day).facts}


def plain_spaces(text: str) -> str:
    return text.replace("\u00a0", " ")
