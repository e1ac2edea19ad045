"""The texts of a notebook that reach readers, each with the place where it stands."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from dossier.diagnostics import Span
from dossier.model import History, Instrument, Visit


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


def owner_prose(history: History) -> Iterator[Prose]:
    """Every text of an instrument that its owner, a buyer or an insurer may come to read."""
    yield from (prose for prose in _instrument(history.instrument) if prose.text)
    for visit in history.visits:
        yield from (prose for prose in _visit(visit) if prose.text)


def _instrument(own: Instrument) -> Iterator[Prose]:
    for name in ("title", "inscriptions", "features", "leave_below_pitch", "age_known_from"):
        yield _begins(getattr(own, name), own.place_of(name))
    yield Prose(own.about, own.span, exact=False)
    for event in own.provenance:
        for text in (event.text, event.source, event.holder):
            yield Prose(text, event.span, exact=False)
    for standing in own.standings:
        yield Prose(standing.remark, standing.span, exact=False)
    for material in own.controlled:
        yield Prose(material.said_by, material.span, exact=False)


def _visit(visit: Visit) -> Iterator[Prose]:
    for passage in visit.passages:
        if passage.audience == "owner":
            yield Prose(passage.markdown, passage.span)
    for name in ("reason", "summary", "unsafe", "safe"):
        yield _begins(getattr(visit, name), visit.place_of(name))
    said = [(one.text, one.span) for one in visit.problems]
    said += [(one.text, one.span) for one in visit.advice]
    said += [(one.text, one.span) for one in visit.follow]
    for text, place in said:
        yield _begins(text, place)
    for work in visit.work:
        whole = work.span.width >= len(work.text) and "," not in work.text
        yield Prose(work.text, work.span, exact=whole)
        yield Prose(work.irreversible, work.span, exact=False)
    for photo in visit.photos:
        yield Prose(photo.caption, photo.place_of("caption"), exact="caption" in photo.places)
    yield from (Prose(text, place, exact=False) for text, place in _remarks(visit))


def _remarks(visit: Visit) -> Iterator[tuple[str, Span]]:
    """Words that follow something else on their line, so that only the line is known."""
    yield from ((one.text, one.span) for one in visit.problem_news)
    yield from ((one.text, one.span) for one in visit.advice_news)
    yield from ((one.text, one.span) for one in visit.corrections)
    yield from ((one.text, one.span) for one in visit.equipment)
    yield from ((one.remark, one.span) for one in visit.marks)
    yield from ((one.remark, one.span) for one in visit.condition)


def _begins(text: str, place: Span) -> Prose:
    """A text that begins at its place, if it stands there on one line."""
    return Prose(text, place, exact=place.width >= len(text))
