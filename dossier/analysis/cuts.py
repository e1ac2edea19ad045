"""Where an instrument stops being the same system, so that its pitch compares no further back.

Places in the history are counted in half steps: visit k's pitch as found stands at 2k, as left at
2k + 1, so that what a visit did lies between its two figures, and what it found before both.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

from dossier.analysis.answers import CutKind
from dossier.analysis.tuning import tuned
from dossier.model import EquipmentNote, Event, History, Visit, Work

ANOTHER_SYSTEM: frozenset[CutKind] = frozenset({"restrung", "pin block"})
"""After these the wire or its hold is another: what was seen before says nothing of what comes.

A move or another target only breaks the one comparison that runs across it.
"""

EVENTS: dict[str, CutKind] = {
    "moved": "moved",
    "stored": "moved",
    "restrung": "restrung",
    "rebuilt": "restrung",
    "pin block": "pin block",
}
FOUND_OFF: dict[str, CutKind] = {
    "dry": "equipment found dry",
    "unplugged": "equipment found unplugged",
    "faulty": "equipment at fault",
}
MANY_KEYS = 20
"""Keys restrung at once that make the instrument another one.  Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Break:
    """A cut and the half steps between which it lies; `on`: whether humidity equipment runs
    after it, None where it says nothing of that."""

    kind: CutKind
    when: date
    visit: str
    low: float
    high: float
    on: bool | None = None

    def between(self, earlier: float, later: float) -> bool:
        """Whether the cut lies, or may lie, between two half steps."""
        return earlier < self.high and later > self.low


@dataclass(frozen=True, slots=True)
class System:
    """Which instrument it is: how often it was made another, and whether its equipment runs."""

    number: int
    equipped: bool


def breaks(history: History) -> tuple[Break, ...]:
    """Every cut of the history, in order."""
    found = [
        *_moves(history),
        *_events(history),
        *_work(history),
        *_equipment(history),
        *_targets(history),
        *_floats(history),
    ]
    return tuple(sorted(found, key=lambda cut: (cut.high, cut.low, cut.kind)))


def system_at(cuts: tuple[Break, ...], step: float) -> System:
    """The system of a half step: after every cut that lies wholly before it."""
    past = [cut for cut in cuts if cut.high < step]
    states = [cut.on for cut in past if cut.on is not None]
    # Equipment that is first heard of when it fails had been running.
    first = next((cut.on for cut in cuts if cut.on is not None), True)
    return System(
        number=sum(cut.kind in ANOTHER_SYSTEM for cut in past),
        equipped=states[-1] if states else not first,
    )


def _step(history: History, day: date) -> float:
    """The half step before the first visit on a day or after it."""
    return 2.0 * bisect_left([visit.date for visit in history.visits], day) - 0.5


def _moves(history: History) -> Iterator[Break]:
    standings = sorted(
        history.instrument.standings,
        key=lambda standing: (standing.since and standing.since.earliest) or date.min,
    )
    for before, after in pairwise(standings):
        since = after.since
        if before.room == after.room or since is None:
            continue
        first, last = since.earliest or since.latest, since.latest or since.earliest
        if first is not None and last is not None:
            yield Break("moved", last, "", _step(history, first), _step(history, last))


def _events(history: History) -> Iterator[Break]:
    visits = {visit.date: place for place, visit in enumerate(history.visits)}
    for event in history.instrument.provenance:
        kind = EVENTS.get(event.kind)
        if kind is None:
            continue
        span = _span(event)
        if span is None:
            continue
        first, last = span
        place = visits.get(last)
        if kind != "moved" and first == last and place is not None:
            step = 2.0 * place + 0.5
            yield Break(kind, last, history.visits[place].id, step, step)
        else:
            yield Break(kind, last, "", _step(history, first), _step(history, last))


def _span(event: Event) -> tuple[date, date] | None:
    first, last = event.when.earliest, event.when.latest
    if last is None:
        return None
    return first or last, last


def _work(history: History) -> Iterator[Break]:
    for place, visit in enumerate(history.visits):
        step = 2.0 * place + 0.5
        for kind in sorted({kind for work in visit.work if (kind := _made_another(work))}):
            yield Break(kind, visit.date, visit.id, step, step)


def _made_another(work: Work) -> CutKind | None:
    if work.component == "pin block" and work.kind != "inspection":
        return "pin block"
    keys = sum(place.last - place.first + 1 for place in work.keys)
    if work.kind == "restringing" and (not work.keys or keys >= MANY_KEYS):
        return "restrung"
    return None


def _equipment(history: History) -> Iterator[Break]:
    running: bool | None = None
    for low, step, when, visit, note in sorted(_notes(history), key=lambda item: item[:2]):
        kind = FOUND_OFF.get(note.what)
        if kind is not None:
            if running is not False:
                yield Break(kind, when, visit, low - 1.0, low - 1.0, on=False)
            running = False
        elif note.what == "removed":
            if running is not False:
                yield Break("equipment removed", when, visit, step, step, on=False)
            running = False
        else:
            if note.what == "fitted" and running is not True:
                yield Break("equipment fitted", when, visit, step, step, on=True)
            elif running is False:
                yield Break("equipment working again", when, visit, step, step, on=True)
            running = True


def _notes(history: History) -> Iterator[tuple[float, float, date, str, EquipmentNote]]:
    """Each note with its half step, twice over for sorting: the found before the done."""
    visits = {visit.date: place for place, visit in enumerate(history.visits)}
    for note in history.instrument.equipment:
        if note.when is not None:
            place = visits.get(note.when)
            step = _step(history, note.when) if place is None else 2.0 * place + 0.5
            yield step, step, note.when, "", note
    for place, visit in enumerate(history.visits):
        step = 2.0 * place + 0.5
        for note in visit.equipment:
            yield step, step + (note.what not in FOUND_OFF) * 1e-3, visit.date, visit.id, note


def _targets(history: History) -> Iterator[Break]:
    def target(visit: Visit) -> float:
        return float(visit.reference_hz or history.reference_hz)

    read = [
        (place, visit)
        for place, visit in enumerate(history.visits)
        if visit.found or visit.left or tuned(visit)
    ]
    for (_, before), (place, after) in pairwise(read):
        if target(before) != target(after):
            step = 2.0 * place - 0.5
            yield Break("target changed", after.date, after.id, step, step)


def _floats(history: History) -> Iterator[Break]:
    """Floated, and nothing read as left: nobody knows where against the target it was left."""
    for place, visit in enumerate(history.visits):
        said = visit.left is not None and (visit.left.readings or visit.left.how == "as found")
        if visit.floated and tuned(visit) and not said:
            step = 2.0 * place + 1.5
            yield Break("floated", visit.date, visit.id, step, step)
