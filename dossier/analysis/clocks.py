"""Clocks: what an event sets running, until when.  Each opens, is shown, and closes.

The lengths are common practice, no source; the shop sets its own.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from dossier.analysis.pitch import WorkClass
from dossier.analysis.seasons import when_window
from dossier.analysis.tuning import VisitPitch
from dossier.model import History, Visit, Work
from dossier.quantities import Uncertain

ClockKind = Literal[
    "settling", "acclimatising", "first year", "treatment", "new strings", "equipment service"
]

ABOUT_DAYS = 31

NEW_STRINGS = frozenset({"restringing"})
SPLICED = ("splic", "new string", "replaced the string", "restrung")


@dataclass(frozen=True, slots=True)
class Clock:
    """A clock: what set it running and when, and the day on which it has run.

    `closed` is the day on which a later note answered it, None while nothing did; a clock that
    needs no answer (settling, acclimatising) simply runs out.
    """

    kind: ClockKind
    started: date
    ends: date
    visit: str
    text: str
    closed: date | None = None
    needs_answer: bool = False

    def open_on(self, day: date) -> bool:
        """Whether it has something to say on a day: it has begun, and nothing has ended it."""
        if day < self.started:
            return False
        if self.closed is not None:
            return day < self.closed
        return self.needs_answer or day < self.ends


def clocks(history: History, pitches: tuple[VisitPitch, ...]) -> tuple[Clock, ...]:
    """Every clock of the history, in the order in which they were set running."""
    found = [
        *_settling(history, pitches),
        *_moves(history),
        *_work_clocks(history),
        *_service(history),
    ]
    return tuple(sorted(found, key=lambda clock: (clock.started, clock.ends, clock.kind)))


def _settling(history: History, pitches: tuple[VisitPitch, ...]) -> Iterator[Clock]:
    days = timedelta(days=history.shop.clocks.settling)
    raised = {
        item.visit for item in pitches if item.work in (WorkClass.SMALL_RAISE, WorkClass.RAISE)
    }
    for visit in history.visits:
        said = any(work.kind == "pitch raise" for work in visit.work)
        if visit.id in raised or said:
            yield Clock("settling", visit.date, visit.date + days, visit.id, "")


def _moves(history: History) -> Iterator[Clock]:
    rules = history.shop.clocks
    for start, text in _moved(history):
        yield Clock("acclimatising", start, start + timedelta(days=rules.acclimatising), "", text)
        yield Clock("first year", start, start + timedelta(days=rules.first_year), "", text)


def _moved(history: History) -> Iterator[tuple[date, str]]:
    """Every move with the day of it: by the provenance, else by where the instrument stands."""
    told: list[date] = []
    for event in history.instrument.provenance:
        start = _day(event.when)
        if event.kind == "moved" and start is not None:
            told.append(start)
            yield start, event.text
    for standing in history.instrument.standings[1:]:
        start = _day(standing.since)
        if start is not None and all(abs((start - day).days) > ABOUT_DAYS for day in told):
            yield start, ""


def _day(when: Uncertain | None) -> date | None:
    """The first day of a date that is known to about a month: a clock needs a start."""
    if when is None or when.earliest is None or when.latest is None:
        return None
    return when.earliest if (when.latest - when.earliest).days <= ABOUT_DAYS else None


def _work_clocks(history: History) -> Iterator[Clock]:
    rules = history.shop.clocks
    for visit in history.visits:
        for work in visit.work:
            if work.kind == "treatment" or work.irreversible:
                yield Clock(
                    "treatment",
                    visit.date,
                    visit.date + timedelta(days=rules.treatment),
                    visit.id,
                    work.text,
                    closed=_answered(history, visit, work, rules.treatment),
                    needs_answer=True,
                )
            if _new_strings(work):
                ends = visit.date + timedelta(days=rules.new_strings)
                yield Clock("new strings", visit.date, ends, visit.id, work.text)


def _new_strings(work: Work) -> bool:
    text = work.text.lower()
    return work.kind in NEW_STRINGS or any(word in text for word in SPLICED)


def _answered(history: History, visit: Visit, work: Work, days: int) -> date | None:
    """The first later visit that looked at what was treated: by its marks or by its component."""
    for later in history.visits:
        if later.date <= visit.date:
            continue
        looked = {item.kind for item in later.cleared} | {mark.kind for mark in later.marks}
        components = {kind.component for kind in history.shop.mark_kinds if kind.name in looked} | {
            graded.component for graded in later.condition if graded.grade != "not examined"
        }
        long_after = (later.date - visit.date).days >= days
        if later.checked_all or (work.component and work.component in components):
            return later.date
        if not work.component and long_after and looked:
            return later.date
    return None


def _service(history: History) -> Iterator[Clock]:
    """The next service of the humidity equipment, closed by the next note of a service."""
    notes = sorted(
        [
            *((note.when, "", note) for note in history.instrument.equipment if note.when),
            *((visit.date, visit.id, note) for visit in history.visits for note in visit.equipment),
        ],
        key=lambda item: item[0],
    )
    for position, (when, visit, note) in enumerate(notes):
        if note.next_service is None:
            continue
        answer = [
            later
            for later, _, other in notes[position + 1 :]
            if other.what in ("serviced", "fitted", "removed")
        ]
        yield Clock(
            "equipment service",
            when,
            when_window(history.shop, note.next_service, when)[1],
            visit,
            note.text,
            closed=answer[0] if answer else None,
            needs_answer=True,
        )
