"""What a statement says of marks: what became of each kind, and every marked note by itself."""

from __future__ import annotations

from dossier.analysis.condition import MarkLife
from dossier.analysis.marked_notes import MarkedNote, marked_notes
from dossier.edition.condition_view import mark_state
from dossier.edition.declared import Edition
from dossier.edition.pages import StatementPart
from dossier.edition.told import Told
from dossier.edition.view import Table
from dossier.edition.voice import Voice, capital


def marks_part(_: Edition, told: Told) -> StatementPart:
    """The marks, kind by kind and then note by note; or that none was ever noted."""
    voice, lives = told.voice, told.findings.marks
    w = voice.words
    title = w("Marks on strings, keys and parts")
    if not lives:
        return StatementPart("marks", title, (w("No mark is recorded."),))
    kinds = Table(
        caption=w("What became of each mark"),
        columns=(w("Kind"), w("Where"), w("State"), w("Last looked at"), w("Remark")),
        rows=tuple(_life(life, voice) for life in lives),
        numeric=(False,) * 5,
    )
    notes = marked_notes(told.history, lives)
    each = Table(
        caption=w("Each marked note by itself, bass to treble"),
        columns=(
            w("Mark and note"), w("First seen"), w("Last seen"), w("Times seen"),
            w("Last found right"), w("Work on it"),
        ),
        rows=tuple(_note(one, notes, voice) for one in notes),
        numeric=(False, False, False, True, False, False),
    )  # fmt: skip
    after = w(
        "A note that stands in no row was never marked. That is no finding that it is right: "
        "what a visit does not mention was not looked at."
    )
    return StatementPart("marks", title, tables=(kinds, each), after=(after,))


def _life(life: MarkLife, voice: Voice) -> tuple[str, ...]:
    w, f = voice.words, voice.form
    return (
        capital(w.term(life.kind)),
        voice.runs(life.places) or w("the whole instrument"),
        mark_state(life, voice),
        f.date(life.last_looked),
        capital(life.remark),
    )


def _note(one: MarkedNote, notes: tuple[MarkedNote, ...], voice: Voice) -> tuple[str, ...]:
    w, f = voice.words, voice.form
    worked = dict.fromkeys(
        w("{what} on {date}", what=capital(w.term(kind)), date=f.date(day))
        for day, kind in one.worked
    )
    return (
        w("{mark}, {where}", mark=capital(w.term(one.life.kind)), where=_where(one, notes, voice)),
        f.date(one.seen[0]),
        f.date(one.seen[-1]),
        str(len(one.seen)),
        f.date(one.right[-1]) if one.right else w("never"),
        "; ".join(worked) or w("none noted"),
    )


def _where(one: MarkedNote, notes: tuple[MarkedNote, ...], voice: Voice) -> str:
    """The note, its string where one was named; a note beside its strings is one of them."""
    w = voice.words
    note = voice.run(one.first, one.last)
    if one.string is not None:
        return w("{note}, string {n}", note=note, n=one.string)
    parted = any(
        other.life.kind == one.life.kind and other.first == one.first and other.string is not None
        for other in notes
    )
    return w("{note}, string not noted", note=note) if parted else note
