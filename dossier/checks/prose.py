"""The texts of a notebook that reach readers, each with the place where it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dossier.diagnostics import Span
from dossier.model import History, Instrument, Record, Visit


@dataclass(frozen=True, slots=True)
class Prose:
    """A text as it stands in a note.

    `place` is where it begins; where that is not `exact`, it is the line that holds it.
    """

    text: str
    place: Span
    exact: bool = True

    def span(self, start: int, length: int) -> Span:
        """The place of a piece of the text; a text of several lines is followed down."""
        if not self.exact:
            return self.place
        line = self.text.count("\n", 0, start)
        column = start - (self.text.rfind("\n", 0, start) + 1)
        first = self.place.column - 1 if line == 0 else 0
        return Span(self.place.file, self.place.line + line, first + column + 1, length)


_OF_AN_INSTRUMENT = (
    "title", "object_type", "maker", "model", "age_known_from", "serial_number",
    "inventory_number", "materials", "measurements", "inscriptions", "features", "subject",
    "leave_below_pitch",
)  # fmt: skip


def owner_prose(history: History) -> Iterator[Prose]:
    """Every text of an instrument that its owner, a buyer or an insurer may come to read."""
    yield from (prose for prose in _instrument(history.instrument) if prose.text)
    for visit in history.visits:
        yield from (prose for prose in _visit(visit) if prose.text)


def _instrument(own: Instrument) -> Iterator[Prose]:
    for name in _OF_AN_INSTRUMENT:
        yield _begins(getattr(own, name), own.place_of(name))
    yield Prose(own.about, own.place_of("about"), exact="about" in own.places)
    for event in own.provenance:
        yield from _fields(event, "text", "source", "holder")
    for standing in own.standings:
        yield from _fields(standing, "heat", "remark")
    for material in own.controlled:
        yield from _fields(material, "material", "where", "said_by", "tested_by", "tested_how")
    for target in own.own_targets:
        yield from _fields(target, "source")
    for note in own.equipment:
        yield from _fields(note, "text")


def _visit(visit: Visit) -> Iterator[Prose]:
    for passage in visit.passages:
        if passage.audience == "owner":
            yield Prose(passage.markdown, passage.span)
    for name in ("reason", "summary", "unsafe", "safe"):
        yield _begins(getattr(visit, name), visit.place_of(name))
    for records in (visit.problems, visit.advice, visit.follow):
        yield from (_begins(one.text, one.span) for one in records)
    for work in visit.work:
        yield from _fields(work, "text", "irreversible", "by")
    for photo in visit.photos:
        yield from _fields(photo, "caption")
    for one in (*visit.problem_news, *visit.advice_news, *visit.corrections, *visit.equipment):
        yield from _fields(one, "text")
    for seen in (*visit.marks, *visit.condition):
        yield from _fields(seen, "remark")


def _fields(record: Record, *names: str) -> Iterator[Prose]:
    """Texts of a record; where no place of their own is known, the line that holds them."""
    for name in names:
        text, place = getattr(record, name), record.place_of(name)
        yield Prose(text, place, exact=name in record.places and place.width >= len(text))


def _begins(text: str, place: Span) -> Prose:
    """A text that begins at its place, if it stands there on one line."""
    return Prose(text, place, exact=place.width >= len(text))
