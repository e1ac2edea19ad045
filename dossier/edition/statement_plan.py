"""What a statement says of what comes next: the planned visit, and what the notes ask for."""

from __future__ import annotations

from collections.abc import Iterator

from dossier.edition.declared import Edition
from dossier.edition.pages import StatementPart
from dossier.edition.said import next_visit, reason_text
from dossier.edition.told import Told
from dossier.edition.view import Table
from dossier.edition.voice import sentence
from dossier.model import Follow


def plan_text(told: Told) -> str:
    """The next visit as planned on the day of issue, in one sentence and its reason."""
    w, planned = told.voice.words, next_visit(told.findings, told.now, told.voice)
    said = w("Next visit, as planned on the day of issue: {when}", when=planned.text)
    return f"{said} {planned.why}".strip()


def plan_part(edition: Edition, told: Told) -> StatementPart:
    """The next visit, and everything that is asked for; a plan of that day, and no promise."""
    w = told.voice.words
    rows = tuple(_asked(told))
    table = Table(
        caption=w("All that is asked for, the most pressing first"),
        columns=(w("What"), w("When"), w("Asked for by")),
        rows=rows,
        numeric=(False,) * 3,
    )
    held = (
        w("It was agreed with the seller. Whether it holds for a buyer is not recorded.")
        if edition.name == "sale"
        else w("It was made with the present owner.")
    )
    limits = w("This is the plan on the day of issue, and no promise that anybody comes.")
    tables = (table,) if rows else ()
    said = (plan_text(told), f"{limits} {held}")
    return StatementPart("next", w("When it is looked at next"), said, tables=tables)


def _asked(told: Told) -> Iterator[tuple[str, str, str]]:
    voice, history, planned = told.voice, told.history, told.findings.coming
    w = voice.words
    follows = history.visits[-1].follow if history.visits else ()
    for reason in planned.reasons if planned else ():
        asked = next((one for one in follows if one.text == reason.text and one.when), None)
        yield (
            reason_text(reason.kind, reason.text, voice),
            voice.window(reason.earliest, reason.latest),
            _by(told, asked if reason.kind == "follow" else None, reason.kind),
        )
    for follow in follows:
        if follow.when is None:
            yield sentence(follow.text), w("no day noted"), _by(told, follow, "follow")


def _by(told: Told, follow: Follow | None, kind: str) -> str:
    w = told.voice.words
    if follow is not None:
        day = told.voice.form.date(told.history.visits[-1].date)
        return w("the note of {date}, line {n}", date=day, n=follow.span.line)
    if kind == "interval":
        return w("the usual interval")
    if kind == "treatment":
        return w("the treatment, which is looked at again")
    return w("the equipment’s own interval")
