"""One instrument as the rows of lists: of all instruments, of what is due, of what is open."""

from __future__ import annotations

from datetime import date

from dossier.analysis.seasoning import standing_on
from dossier.edition.identity import kicker
from dossier.edition.listed import DueRow, InstrumentRow, OpenRow
from dossier.edition.pages import InstrumentView
from dossier.edition.said import reason_text
from dossier.edition.told import Told
from dossier.edition.view import ToDo
from dossier.edition.voice import capital, sentence
from dossier.edition.work_view import advice_state


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
