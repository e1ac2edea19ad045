"""What a statement says the instrument is, where it came from, and what it is made of."""

from __future__ import annotations

import re
from collections.abc import Iterator

from dossier.analysis.hands import theirs_since
from dossier.edition.declared import Edition, shows
from dossier.edition.hands import MOVES
from dossier.edition.identity import reference, stands_in, tested_text
from dossier.edition.pages import StatementPart
from dossier.edition.told import Told
from dossier.edition.view import Fact, Table
from dossier.edition.voice import Voice, capital
from dossier.model import Event, History, Material


def identity_part(edition: Edition, told: Told) -> StatementPart:
    """The nine categories of Object ID, each with what is recorded, or that nothing is.

    Source of the categories: Object ID, ICOM.
    """
    w = told.voice.words
    rows = tuple((label, capital(value) or w("not recorded")) for label, value in _object_id(told))
    table = Table(
        caption=w("The nine categories of Object ID (ICOM)"),
        columns=(w("Category"), w("What is recorded")),
        rows=rows,
        numeric=(False, False),
    )
    more = tuple(Fact(label, value) for label, value in _more(edition, told) if value)
    return StatementPart("identity", w("Identity"), tables=(table,), facts=more)


def _object_id(told: Told) -> Iterator[tuple[str, str]]:
    w, own = told.voice.words, told.history.instrument
    yield w("Type of object"), own.object_type or w.term(own.shape)
    yield w("Materials and techniques"), own.materials
    yield w("Measurements"), own.measurements
    yield w("Inscriptions and markings"), own.inscriptions
    yield w("Distinguishing features"), own.features
    yield w("Title"), own.title
    yield w("Subject"), own.subject
    yield w("Date or period"), _made(told.history, told.voice)
    yield w("Maker"), own.maker


def _made(history: History, voice: Voice) -> str:
    """When it was made, always with how that is known."""
    own, w = history.instrument, voice.words
    if own.made is None:
        return ""
    shown = capital(voice.past(own.made))
    if own.age_known_from:
        return w("{date} (known from: {source})", date=shown, source=own.age_known_from)
    return w("{date} (how it is known is not recorded)", date=shown)


def _more(edition: Edition, told: Told) -> Iterator[tuple[str, str]]:
    history, voice = told.history, told.voice
    w, own = voice.words, history.instrument
    yield w("Model"), own.model
    yield w("Serial number"), own.serial_number or w("not recorded")
    if shows(edition, history, "inventory number"):
        yield w("Inventory number"), own.inventory_number or w("not recorded")
    yield w("Compass"), voice.run(own.lowest_key, own.highest_key)
    yield w("Reference pitch"), reference(history, voice)
    yield w("Kept below pitch"), own.leave_below_pitch
    if shows(edition, history, "client name"):
        yield w("Owner"), history.client.name
    if shows(edition, history, "contact"):
        known = (history.client.contact, history.client.phone, history.client.email)
        yield w("Contact"), ", ".join(part for part in known if part)
    if shows(edition, history, "address"):
        yield w("Address"), history.client.address
    if shows(edition, history, "room"):
        yield w("Stands"), stands_in(history, voice)


def provenance_part(edition: Edition, told: Told) -> StatementPart:
    """Where it came from: each event with its source and how certain it is.

    Who held it is told by role.  Where it went is told only where the room is released.
    """
    history, voice = told.history, told.voice
    w = voice.words
    title = w("Where it came from")
    events = history.instrument.provenance
    if not events:
        return StatementPart(
            "provenance", title, (w("Nothing is recorded of where it came from."),)
        )
    with_room = shows(edition, history, "room")
    table = Table(
        caption=w("Events, as the record has them"),
        columns=(w("When"), w("What"), w("Held from then on by"), w("Source"), w("How certain")),
        rows=tuple(_event(event, voice, with_room=with_room) for event in events),
        numeric=(False, False, False, False, False),
    )
    unsourced = sum(not event.source for event in events)
    said = [
        w(
            "Who held it is told by role. The technician wrote each event down from the source "
            "that is named, and did not see what lies before the first visit."
        )
    ]
    if unsourced:
        said.append(
            w.plural(
                "For {n} event no source is recorded.",
                "For {n} events no source is recorded.",
                unsourced,
            )
        )
    return StatementPart("provenance", title, tuple(said), tables=(table,))


def _event(event: Event, voice: Voice, *, with_room: bool) -> tuple[str, ...]:
    w = voice.words
    told_where = with_room or not (event.room or event.kind in MOVES)
    what = [capital(w.term(event.kind)), event.text if told_where else ""]
    return (
        capital(voice.past(event.when)),
        ", ".join(part for part in what if part),
        event.holder or "",
        event.source or w("not recorded"),
        w.term(event.certainty),
    )


_IVORY = re.compile(r"\bivory\b", re.IGNORECASE)
_BRAZILIAN = re.compile(
    r"\bdalbergia nigra\b|\bbrazilian rosewood\b|\brio rosewood\b", re.IGNORECASE
)
_ROSEWOOD = re.compile(r"\brosewood\b|\bdalbergia\b|\bpalisander\b", re.IGNORECASE)


def materials_part(_: Edition, told: Told) -> StatementPart:
    """Materials that trade law may control, who says so, and what that can mean.

    Source: CITES appendices and annotation #15; a caution, never advice.
    """
    w, materials = told.voice.words, told.history.instrument.controlled
    title = w("Materials that trade law may control")
    ask = w(
        "This is a caution and no legal advice. Rules differ from country to country and change. "
        "Ask your national authority before the instrument is sold, sent or taken across a border."
    )
    if not materials:
        none = w(
            "None is declared in this record. That is no finding: nothing was tested for ivory, "
            "tortoiseshell or rosewood."
        )
        return StatementPart("materials", title, (none, ask))
    table = Table(
        caption=w("Materials as declared"),
        columns=(
            w("Material"), w("Where"), w("Who says so"), w("Tested"), w("Why it matters"),
        ),
        rows=tuple(_material(one, told.voice) for one in materials),
        numeric=(False,) * 5,
    )  # fmt: skip
    return StatementPart("materials", title, tables=(table,), after=(ask,))


def _material(one: Material, voice: Voice) -> tuple[str, ...]:
    w = voice.words
    if _IVORY.search(one.material):
        why = w("African elephant ivory: CITES Appendix I since 18 January 1990")
    elif _BRAZILIAN.search(one.material):
        why = w("Brazilian rosewood (Dalbergia nigra): CITES Appendix I since 1992")
    elif _ROSEWOOD.search(one.material):
        why = w(
            "Other rosewoods (Dalbergia): CITES Appendix II; finished instruments are exempt under "
            "annotation #15"
        )
    else:
        why = w("May be controlled")
    who = one.said_by or w("not recorded")
    return capital(one.material), one.where or w("not recorded"), who, tested_text(one, voice), why


def valuation_part(_: Edition, told: Told) -> StatementPart:
    """What appraisers said it is worth, quoted; nothing is worked out and nothing is added."""
    voice = told.voice
    w = voice.words
    since = theirs_since(told.history.instrument)
    valued = [one for one in told.history.instrument.valued if not since or one.when >= since]
    title = w("Declared value")
    if not valued:
        return StatementPart("valuation", title, (w("No valuation is recorded."),))
    rows = tuple(
        (
            voice.form.date(one.when),
            voice.form.money(one.amount),
            one.purpose or w("not recorded"),
            one.basis or w("not recorded"),
            one.by,
            w("line {n} of the instrument’s file", n=one.span.line),
        )
        for one in sorted(valued, key=lambda one: one.when, reverse=True)
    )
    table = Table(
        caption=w("Quoted from the appraisers named"),
        columns=(
            w("Of"), w("Value"), w("What for"), w("On what basis"), w("Whose opinion"),
            w("Noted in"),
        ),
        rows=rows,
        numeric=(False, True, False, False, False, False),
    )  # fmt: skip
    quoted = w(
        "The technician repeats these figures and has no opinion on them. A value holds for its "
        "day and its purpose."
    )
    return StatementPart("valuation", title, (quoted,), tables=(table,))
