"""A statement for a buyer or an insurer, put together from the parts that its edition declares."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from dossier.edition.declared import Edition, shows, stands
from dossier.edition.differs import differences
from dossier.edition.glossary import glossary
from dossier.edition.hands import handed_on
from dossier.edition.identity import kicker, sender
from dossier.edition.pages import InstrumentView, Statement, StatementNote, StatementPart
from dossier.edition.statement_author import author_part, qualification
from dossier.edition.statement_brief import brief_part
from dossier.edition.statement_identity import (
    identity_part,
    materials_part,
    provenance_part,
    valuation_part,
)
from dossier.edition.statement_limits import limits_part, purpose, trust_part
from dossier.edition.statement_marks import marks_part
from dossier.edition.statement_pitch import measured_part, pitch_part
from dossier.edition.statement_plan import plan_part
from dossier.edition.statement_record import (
    condition_part,
    costs_part,
    equipment_part,
    problems_part,
    standing_warning,
    visits_part,
    work_part,
)
from dossier.edition.statement_views import views_part
from dossier.edition.told import Told
from dossier.edition.view import Clip, Fact, Passage, Photo, Table
from dossier.edition.visits_view import clips, photos
from dossier.edition.voice import capital
from dossier.model import Visit

# A link or a picture in Markdown: a stranger gets its words.  What a link opens can be private,
# and a picture stands only where it was released by itself.
_ADDRESSED = re.compile(r"!?\[([^\]]*)\]\([^)]*\)")


@dataclass(frozen=True, slots=True)
class Issue:
    """An issuing of a statement: the day, its number, and the statement before as plain JSON.

    `before` is the "history" of the earlier one's history.json, None for the first.
    """

    day: date
    number: int = 1
    before: Mapping[str, Any] | None = None


def statement_view(edition: Edition, told: Told, issue: Issue) -> InstrumentView:
    """The statement of an instrument in an edition, as it is issued on a day.

    Raises ValueError for a history that still holds what was the former owner's, and for an
    edition that is no statement.
    """
    history, voice = told.history, told.voice
    if "statement" not in edition.shows:
        raise ValueError(f"the edition {edition.name} is no statement")
    if handed_on(history) != history:
        raise ValueError(f"{history.instrument.id} changed hands: tell what is handed on")
    parts = _parts(edition, told)
    if issue.before is not None:
        changed = differences(issue.before, parts, voice)
        parts = (parts[0], changed, *parts[1:])
    statement = Statement(
        purpose=purpose(edition, told),
        issued=issue.day,
        issued_text=voice.form.date(issue.day),
        number=issue.number,
        issue=tuple(_issue(edition, told, issue)),
        parts=parts,
        declaration=voice.words(
            "This statement was taken from the notes of the visits that it names. What it says "
            "was seen and done is what those notes say. It holds no opinion of value."
        ),
        sign=(voice.words("Place and date"), voice.words("Signature"), voice.words("Name")),
    )
    view = _view(edition, told, statement)
    words = StatementPart(
        "words",
        voice.words("Words of the trade"),
        facts=tuple(Fact(term.word, term.meaning) for term in glossary(view, voice)),
    )
    if not words.facts:
        return view
    return replace(view, statement=replace(statement, parts=(*parts, words)))


def _view(edition: Edition, told: Told, statement: Statement) -> InstrumentView:
    history, w = told.history, told.voice.words
    return InstrumentView(
        edition=edition.name,
        edition_word=w.term(edition.called),
        slug=history.instrument.id,
        title=history.instrument.title,
        kicker=kicker(history, told.voice),
        client=history.client.name if shows(edition, history, "client name") else "",
        as_of=statement.issued,
        as_of_text=statement.issued_text,
        state="", state_level="good", unsafe=standing_warning(told),
        next_text="", next_when=None, next_why="", todos=(),
        photo=_portrait(edition, told),
        identity=(), key_facts=(), timeline=(), pitch_story="", pitch_figures=(),
        air_story=(), air_facts=(), air_figures=(), condition=(), condition_story="", grades=(),
        marks=(), mark_figures=(), measured_figures=(), problems=(), advice=(), work=(),
        cost_figures=(), visits=(), about=(), care=(), safety=(), glossary=(), limits=(),
        # What a shop says of itself speaks to its clients.
        sender=replace(sender(history.shop), about=""),
        statement=statement,
    )  # fmt: skip


def _parts(edition: Edition, told: Told) -> tuple[StatementPart, ...]:
    found = (
        make(edition, told)
        for section, make in SECTIONS
        if not section or shows(edition, told.history, section)
    )
    return tuple(_filled(part) for part in found if part is not None)


def _filled(part: StatementPart) -> StatementPart:
    """The part without those columns of its tables that hold nothing."""
    return replace(part, tables=tuple(_without_empty(table) for table in part.tables))


def _without_empty(table: Table) -> Table:
    kept = [at for at in range(len(table.columns)) if any(row[at] for row in table.rows)]
    return Table(
        caption=table.caption,
        columns=tuple(table.columns[at] for at in kept),
        rows=tuple(tuple(row[at] for at in kept) for row in table.rows),
        numeric=tuple(table.numeric[at] for at in kept),
    )


def _issue(edition: Edition, told: Told, issue: Issue) -> Iterator[Fact]:
    w, f, shop = told.voice.words, told.voice.form, told.history.shop
    yield Fact(w("Edition"), w.term(edition.called))
    yield Fact(w("Issued"), f.date(issue.day))
    yield Fact(w("Number"), str(issue.number))
    if told.findings.last is not None:
        yield Fact(w("Last seen"), f.date(told.findings.last))
    yield Fact(w("Author"), shop.technician)
    yield Fact(w("Qualification"), qualification(told.history, shop.technician, told.voice))
    yield Fact(w("Workshop"), shop.name)


def _released_photos(edition: Edition, told: Told, visit: Visit) -> tuple[Photo, ...]:
    free = tuple(
        one for one in visit.photos if stands(edition, told.history, "pictures", one.release)
    )
    return photos(replace(visit, photos=free), told.voice)


def _released_clips(edition: Edition, told: Told, visit: Visit) -> tuple[Clip, ...]:
    free = tuple(
        one for one in visit.photos if stands(edition, told.history, "recordings", one.release)
    )
    return clips(replace(visit, photos=free), told.voice)


def _portrait(edition: Edition, told: Told) -> Photo | None:
    """The picture on the cover: the instrument's own, where a note releases that very file."""
    own = told.history.instrument.photo
    released = [
        photo for visit in told.history.visits for photo in _released_photos(edition, told, visit)
    ]
    return next((photo for photo in reversed(released) if own and photo.file == own), None)


def _notes(edition: Edition, told: Told) -> StatementPart | None:
    """The words and pictures of the visits that were released one by one, as they were written."""
    w, history = told.voice.words, told.history
    portrait = _portrait(edition, told)
    notes = []
    for visit in reversed(history.visits):
        released = stands(edition, history, "prose", visit.release)
        owners = [one for one in visit.passages if one.audience == "owner"] if released else []
        passages = tuple(Passage(_ADDRESSED.sub(r"\1", one.markdown)) for one in owners)
        shown = tuple(
            photo for photo in _released_photos(edition, told, visit) if photo != portrait
        )
        played = _released_clips(edition, told, visit)
        if passages or shown or played:
            heading = told.voice.form.date(visit.date)
            if released and visit.reason:
                heading = w("{date}: {reason}", date=heading, reason=capital(visit.reason))
            notes.append(StatementNote(heading, passages, shown, played))
    if not notes:
        return None
    said = w(
        "These notes were written for the owner, and are shown as they were written. Only what "
        "was released for this statement is here."
    )
    return StatementPart("notes", w("Notes and pictures"), (said,), notes=tuple(notes))


Make = Callable[[Edition, Told], StatementPart | None]

SECTIONS: tuple[tuple[str, Make], ...] = (
    ("", brief_part),
    ("identity", identity_part),
    ("provenance", provenance_part),
    ("materials", materials_part),
    ("valuation", valuation_part),
    ("condition", condition_part),
    ("marks", marks_part),
    ("problems", problems_part),
    ("work", work_part),
    ("next", plan_part),
    ("views", views_part),
    ("", _notes),
    ("pitch", pitch_part),
    ("measured", measured_part),
    ("equipment", equipment_part),
    ("visit dates", visits_part),
    ("costs", costs_part),
    ("relation", author_part),
    ("", limits_part),
    ("", trust_part),
)
"""The parts in their order, each with the section that declares it; "" for one that looks itself
at what is declared, piece by piece."""
