"""What a reader with one minute has to know; each of it stands again below, with its source."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from dossier.edition.declared import Edition, shows
from dossier.edition.pages import StatementPart
from dossier.edition.statement_pitch import air_text
from dossier.edition.statement_plan import plan_text
from dossier.edition.statement_record import (
    declined_text,
    irreversible_lines,
    lifted_warnings,
    standing_warning,
)
from dossier.edition.told import Told
from dossier.edition.voice import capital, sentence


def brief_part(edition: Edition, told: Told) -> StatementPart:
    """The sentences of the declared sections, the most pressing first."""
    said = tuple(
        text
        for section, tell in SECTIONS
        if shows(edition, told.history, section)
        for text in tell(told)
        if text
    )
    return StatementPart("brief", told.voice.words("In short"), said)


def _warning(told: Told) -> Iterator[str]:
    yield standing_warning(told)
    yield from lifted_warnings(told)


def _declined(told: Told) -> Iterator[str]:
    yield declined_text(told)


def _next(told: Told) -> Iterator[str]:
    yield plan_text(told)


def _last_seen(told: Told) -> Iterator[str]:
    """The last visit: its pitch as found and as left, and its air."""
    voice, history = told.voice, told.history
    w = voice.words
    if not history.visits:
        yield w("No visit is recorded.")
        return
    visit = history.visits[-1]
    day = voice.form.date(visit.date)
    pitch = next((one for one in told.findings.pitches if one.visit == visit.id), None)
    air = air_text(visit.air, voice)
    parts = [
        w("found {pitch}", pitch=voice.pitch(pitch.found.overall.cents))
        if pitch and pitch.found
        else "",
        w("left {pitch}", pitch=voice.pitch(pitch.left.overall.cents))
        if pitch and pitch.left and not pitch.left.assumed
        else w("left as found")
        if pitch and pitch.left is None
        else "",
        w("in air of {air}", air=air) if air else "",
    ]
    rest = ", ".join(part for part in parts if part)
    seen = w("Last seen on {date}", date=day)
    yield f"{seen}: {rest}." if rest else f"{seen}."


def _problems(told: Told) -> Iterator[str]:
    w = told.voice.words
    open_ = [sentence(one.problem.text) for one in told.findings.problems if one.is_open]
    if not open_:
        yield w("No problem is open.")
        return
    count = w.plural("{n} problem is open:", "{n} problems are open:", len(open_))
    yield f"{count} {' '.join(open_)}"


def _marks(told: Told) -> Iterator[str]:
    """What is not known to be right; and what hid in damp wood and was found right in dry."""
    w, f = told.voice.words, told.voice.form
    hiding = {kind.name for kind in told.history.shop.mark_kinds if kind.dry_season}
    for life in told.findings.marks:
        kind, notes = w.term(life.kind), told.voice.runs(life.places) or w("the whole instrument")
        if life.is_open or life.state == "holding":
            yield w("Not known to be right again: {kind}, {notes}.", kind=kind, notes=notes)
        elif life.state == "recovered" and life.kind in hiding:
            yield w(
                "{kind}, {notes}: last seen on {seen}, found right since, last on {looked}.",
                kind=capital(kind),
                notes=notes,
                seen=f.date(life.last_seen),
                looked=f.date(life.last_looked),
            )


def _condition(told: Told) -> Iterator[str]:
    voice, w = told.voice, told.voice.words
    seen = [life for life in told.findings.components if life.looks]
    poor = [w.term(one.component) for one in seen if one.looks[-1][1] in ("poor", "failed")]
    unseen = [w.term(one.component) for one in told.findings.components if not one.looks]
    if poor:
        yield w("In need of work: {parts}.", parts=voice.listed(poor))
    if unseen:
        yield w("Not examined: {parts}.", parts=voice.listed(unseen))


def _work(told: Told) -> Iterator[str]:
    yield from irreversible_lines(told)


def _materials(told: Told) -> Iterator[str]:
    w = told.voice.words
    for one in told.history.instrument.controlled:
        yield w(
            "Material that trade law may control: {material} ({test}).",
            material=", ".join(part for part in (one.material, one.where) if part),
            test=w("tested, see below") if one.tested_by else w("declared, not tested"),
        )


def _relation(told: Told) -> Iterator[str]:
    w = told.voice.words
    relation = sentence(told.history.client.relation) or w("not stated") + "."
    yield w("The technician’s relation to the owner: {relation}", relation=relation)


SECTIONS: tuple[tuple[str, Callable[[Told], Iterator[str]]], ...] = (
    ("warnings", _warning),
    ("visit dates", _last_seen),
    ("problems", _problems),
    ("declined advice", _declined),
    ("marks", _marks),
    ("condition", _condition),
    ("work", _work),
    ("next", _next),
    ("materials", _materials),
    ("relation", _relation),
)
"""What may be said in short, by the section that declares it."""
