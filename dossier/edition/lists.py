"""Lists over instruments: a client's first page, and the bench's index, due list and open list."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from dossier.analysis.seasoning import standing_on
from dossier.edition.identity import kicker, sender
from dossier.edition.instrument_page import forwarding
from dossier.edition.pages import (
    BenchIndex,
    ClientView,
    DueRow,
    InstrumentRow,
    InstrumentView,
    OpenRow,
)
from dossier.edition.said import reason_text
from dossier.edition.told import Told
from dossier.edition.view import Table, ToDo
from dossier.edition.voice import Voice, capital, sentence
from dossier.edition.work_view import advice_state
from dossier.model import Client, Shop

URGENCY = ("stop", "attention", "good")
"""The levels of a state in the order in which a list of instruments is read."""


def instrument_row(told: Told, view: InstrumentView, *, bench: bool) -> InstrumentRow:
    """An instrument as one row of a list, from its page."""
    history, findings, voice = told.history, told.findings, told.voice
    return InstrumentRow(
        slug=view.slug,
        title=view.title,
        kicker=kicker(history, voice),
        place=place(told),
        state=view.unsafe or view.state,
        state_level=view.state_level,
        next_text=view.next_text,
        next_when=view.next_when,
        last_text=voice.form.date(findings.last) if findings.last else "",
        open_count=sum(1 for life in findings.problems if life.is_open),
        client=history.client.name if bench else "",
        client_slug=history.client.id if bench else "",
        needs=tuple(_need(todo) for todo in view.todos if todo.text != view.unsafe),
    )


def _need(todo: ToDo) -> str:
    return f"{todo.text} ({todo.when})" if todo.when else todo.text


def place(told: Told) -> str:
    """The room where the instrument stands now, by its name."""
    day = told.findings.last or date.max
    standing = standing_on(told.history, day)
    if standing is None:
        return ""
    room = told.history.rooms.get(standing.room)
    return room.name if room else standing.room


def client_view(
    shop: Shop,
    voice: Voice,
    slug: str,
    client: Client | None,
    rows: tuple[InstrumentRow, ...],
) -> ClientView:
    """A client's first page: their instruments, the most urgent first, and what each needs.

    `client` is None where their file can't be read just now; the page then names no one.
    """
    w = voice.words
    attention = sum(1 for row in rows if row.state_level != "good")
    count = w.plural(
        "{n} instrument is looked after here.", "{n} instruments are looked after here.", len(rows)
    )
    needs = (
        w.plural("{n} needs attention.", "{n} need attention.", attention)
        if attention
        else w("None needs attention.")
    )
    return ClientView(
        slug=slug,
        title=client.name if client is not None else w("Your instruments"),
        intro=f"{count} {needs}",
        as_of_text="",
        rows=tuple(
            sorted(rows, key=lambda row: (URGENCY.index(row.state_level), row.title.lower()))
        ),
        sender=sender(shop),
        limits=(forwarding(voice),),
    )


def due_rows(told: Told, view: InstrumentView) -> tuple[DueRow, ...]:
    """Why and by when this instrument is to be visited; none for a client at rest or gone."""
    findings, voice = told.findings, told.voice
    if findings.coming is None or not told.now.served:
        return ()
    return (
        DueRow(
            when=findings.coming.earliest,
            when_text=voice.window(findings.coming.earliest, findings.coming.latest),
            overdue=told.now.due == "overdue",
            instrument=view.title,
            slug=view.slug,
            client=told.history.client.name,
            place=place(told),
            why=tuple(
                reason_text(reason.kind, reason.text, voice) for reason in findings.coming.reasons
            ),
            address=told.history.client.address,
        ),
    )


def open_rows(told: Told, view: InstrumentView) -> tuple[OpenRow, ...]:
    """Everything open on this instrument: problems, marks, advice, clocks."""
    findings, now, voice = told.findings, told.now, told.voice
    w = voice.words

    def row(kind: str, text: str, since: date) -> OpenRow:
        return OpenRow(view.title, view.slug, kind, text, voice.form.date(since))

    found = []
    if findings.unsafe is not None:
        found.append(row(w("Warnings"), sentence(findings.unsafe.text), findings.unsafe.since))
    found.extend(
        row(w("Problems"), sentence(life.problem.text), life.since)
        for life in findings.problems
        if life.is_open
    )
    found.extend(
        row(w("Marks"), f"{capital(w.term(life.kind))} {voice.runs(life.places)}", life.last_seen)
        for life in findings.marks
        if life.is_open
    )
    found.extend(
        row(
            w("Advice, {state}", state=advice_state(life, now, voice)),
            sentence(life.advice.text),
            life.given,
        )
        for life in findings.advice
        if life.is_open
    )
    return tuple(found)


@dataclass(frozen=True, slots=True)
class Listed:
    """What the instruments contribute to the bench's lists."""

    rows: tuple[InstrumentRow, ...]
    due: tuple[DueRow, ...]
    open: tuple[OpenRow, ...]


@dataclass(frozen=True, slots=True)
class LinkRow:
    """An open private link: whose it is, the one instrument that it opens ("": all), and how long.

    `address` is below the public folder.
    """

    client: str
    opens: str
    address: str
    label: str
    made: date
    last_day: date | None


def bench_index(
    shop: Shop,
    voice: Voice,
    today: date,
    listed: Listed,
    links: tuple[LinkRow, ...],
    findings: tuple[str, ...],
) -> BenchIndex:
    """The workshop's own first page, with every open link."""
    w = voice.words
    return BenchIndex(
        title=shop.name,
        today_text=voice.form.date(today),
        rows=tuple(sorted(listed.rows, key=lambda row: (row.client.lower(), row.title.lower()))),
        due=tuple(sorted(listed.due, key=lambda row: (row.when or date.max, row.client))),
        open=_pressing_first(listed.open, voice),
        links=Table(
            caption=w("Private links"),
            columns=(
                w("Client"),
                w("Opens"),
                w("Address below the public folder"),
                w("Label"),
                w("Made"),
                w("Last day"),
            ),
            rows=tuple(_link(row, voice) for row in links),
            numeric=(False,) * 6,
        ),
        findings=findings,
        sender=sender(shop),
    )


def _pressing_first(rows: tuple[OpenRow, ...], voice: Voice) -> tuple[OpenRow, ...]:
    """Warnings first, then problems, advice by its state, and marks, which can wait longest."""
    w = voice.words
    places = {w("Warnings"): 0, w("Problems"): 1, w("Marks"): 3}
    return tuple(sorted(rows, key=lambda row: (places.get(row.kind, 2), row.kind)))


def _link(row: LinkRow, voice: Voice) -> tuple[str, ...]:
    return (
        row.client,
        row.opens or voice.words("all instruments"),
        row.address,
        row.label,
        voice.form.date(row.made),
        voice.form.date(row.last_day) if row.last_day else "",
    )
