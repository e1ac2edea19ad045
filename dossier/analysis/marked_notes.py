"""Each marked note by itself: when it was seen, when it was found right, what was done to it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from dossier.analysis.compass import keys_of
from dossier.analysis.condition import REACHES, MarkLife
from dossier.model import History, Mark, Visit
from dossier.quantities import Place

Named = tuple[str, int, int | None]
"""A mark by its kind, its key and its string, None for the whole note."""


@dataclass(frozen=True, slots=True)
class MarkedNote:
    """One kind of mark at one note or string, or at neighbours that share one story.

    `string` is None for a mark of the whole note.  `seen` are the days on which it was seen,
    `right` those on which it was found right again, `worked` the work on that very note with its
    kind; all oldest first.  `life` is what became of it.
    """

    first: int
    last: int
    string: int | None
    seen: tuple[date, ...]
    right: tuple[date, ...]
    worked: tuple[tuple[date, str], ...]
    life: MarkLife


def marked_notes(history: History, lives: tuple[MarkLife, ...]) -> tuple[MarkedNote, ...]:
    """Every note that was ever marked, kind by kind, from bass to treble.

    A mark on a whole note counts for each of its strings that was ever named: which string was
    meant is not known.  What was found right on the day on which it was also seen was seen.
    """
    named = dict.fromkeys(
        name for visit in history.visits for mark in visit.marks for name in _names(mark)
    )
    order = {life.kind: at for at, life in reversed([*enumerate(lives)])}
    ordered = sorted(named, key=lambda one: (order[one[0]], one[1], one[2] or 0))
    return _joined(_told(one, history, lives) for one in ordered)


def _names(mark: Mark) -> Iterator[Named]:
    for place in mark.marked:
        yield from ((mark.kind, key, place.string) for key in place.keys)


def _told(name: Named, history: History, lives: tuple[MarkLife, ...]) -> MarkedNote:
    kind, key, string = name
    life = next(one for one in lives if one.kind == kind and _holds(one, key))
    seen = tuple(visit.date for visit in history.visits if _seen(visit, name))
    return MarkedNote(
        first=key,
        last=key,
        string=string,
        seen=seen,
        right=tuple(
            visit.date
            for visit in history.visits
            if visit.date > seen[0] and not _seen(visit, name) and _found_right(visit, name)
        ),
        worked=tuple(
            (visit.date, work.kind)
            for visit in history.visits
            for work in visit.work
            if key in keys_of(work.keys) and REACHES.get(work.kind) != frozenset()
        ),
        life=life,
    )


def _holds(life: MarkLife, key: int) -> bool:
    return any(first <= key <= last for first, last in life.places)


def _seen(visit: Visit, name: Named) -> bool:
    kind, key, string = name
    return any(mark.kind == kind and _at(mark.marked, key, string) for mark in visit.marks)


def _found_right(visit: Visit, name: Named) -> bool:
    kind, key, string = name
    return visit.checked_all or any(
        one.kind == kind and (not one.marked or _at(one.marked, key, string))
        for one in visit.cleared
    )


def _at(places: tuple[Place, ...], key: int, string: int | None) -> bool:
    """Whether places hold a string; a whole note holds all of its own."""
    return any(
        key in place.keys and (place.string is None or place.string == string) for place in places
    )


def _joined(notes: Iterable[MarkedNote]) -> tuple[MarkedNote, ...]:
    """The notes with neighbours of one story as runs; strings stand each by itself."""
    runs: list[MarkedNote] = []
    for note in notes:
        if runs and _goes_on(runs[-1], note):
            runs[-1] = replace(runs[-1], last=note.last)
        else:
            runs.append(note)
    return tuple(runs)


def _goes_on(run: MarkedNote, note: MarkedNote) -> bool:
    if note.string is not None or note.first != run.last + 1:
        return False
    return replace(run, first=0, last=0) == replace(note, first=0, last=0)
