"""Do the days of a note, of what it asks for, and of the instrument's past fit each other?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from dossier.analysis.seasons import when_window
from dossier.checks.check import histories, info, shortened, visits, warning
from dossier.diagnostics import Diagnostic
from dossier.model import EquipmentNote, Follow, History, Notebook, Shop
from dossier.quantities import When

YEAR = LONG_PAST = timedelta(days=365)
LONG_HOLD = timedelta(days=90)
LONG_UNSERVICED = timedelta(days=2 * 365)

SERVED = frozenset({"serviced", "fitted", "removed"})


def before_made(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """An instrument that is younger than a visit to it has a wrong year somewhere."""
    for history, visit in visits(notebook):
        made = history.instrument.made
        if made is not None and made.earliest is not None and visit.date < made.earliest:
            yield warning(
                "visit-before-made",
                f"The visit is dated {visit.date.isoformat()}, before the instrument was made "
                f"({made.text}).",
                visit.span,
                "Check the year in the file's name, and made in instrument.md.",
            )


def before_standing(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Where the instrument stood decides which air it is judged by."""
    for history in histories(notebook):
        since = [standing.since for standing in history.instrument.standings]
        starts = [one.earliest for one in since if one is not None and one.earliest is not None]
        if not starts or len(starts) < len(since):
            continue
        early = [visit for visit in history.visits if visit.date < min(starts)]
        if early:
            yield warning(
                "visit-before-standing",
                f"The visit is dated {early[0].date.isoformat()}, and the first place that the "
                f"instrument's file knows of is since {min(starts).isoformat()}.",
                early[0].span,
                "Check the year, or write in instrument.md where it stood before.",
            )


def next_which_year(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A season that is written while it lasts may be this one or the next year's."""
    for history in histories(notebook):
        for last, follow in [(one, it) for one in history.visits[-1:] for it in one.follow]:
            when = follow.when
            if when is None or when.kind != "season" or when.year is not None:
                continue
            taken = when_window(history.shop, when, last.date)
            if not when.before and last.date <= taken[1] - YEAR:
                yield warning(
                    "next-which-year",
                    f"{_asked(follow)} is taken for {taken[0]} to {taken[1]}, for the visit itself "
                    "was in that season.",
                    follow.place_of("when"),
                    f"Write the year, as in {when.text} {taken[0].year}, or a month.",
                )


def next_before_visit(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """What comes next cannot come before; the year was not written on."""
    for history, visit in visits(notebook):
        for follow in visit.follow:
            last = last_day(follow.when, visit.date, history.shop)
            if last is not None and last < visit.date and follow.when is not None:
                yield warning(
                    "next-before-visit",
                    f"{_asked(follow)} is asked for {_by(follow.when)}, before the visit "
                    f"of {visit.date.isoformat()} itself.",
                    follow.place_of("when"),
                    "Check the year.",
                )
        for note in visit.equipment:
            last = last_day(note.next_service, visit.date, history.shop)
            if last is not None and last < visit.date and note.next_service is not None:
                yield warning(
                    "next-before-visit",
                    f"The next service is asked for {_by(note.next_service)}, before the visit "
                    f"of {visit.date.isoformat()} itself.",
                    note.span,
                    "Check the year.",
                )


def _asked(follow: Follow) -> str:
    """What is asked for; a time may stand alone."""
    alone = follow.when is not None and follow.place_of("when") == follow.span
    return "The next visit" if alone else shortened(follow.text)


def next_long_past(notebook: Notebook, today: date) -> Iterator[Diagnostic]:
    """A visit that is a year overdue was made and not noted, or will not be made."""
    for history in histories(notebook):
        if not history.visits or history.client.status != "active":
            continue
        visit = history.visits[-1]
        for follow in visit.follow:
            last = last_day(follow.when, visit.date, history.shop)
            if last is None or follow.when is None or last < visit.date:
                continue
            if today - last > LONG_PAST:
                yield info(
                    "next-long-past",
                    f"{_asked(follow)} was asked for {_by(follow.when)}, and no later "
                    "visit is noted.",
                    follow.place_of("when"),
                    "Check the year, or set the client's status to dormant or left.",
                )


def advice_before_visit(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Nobody can follow advice that was to be followed earlier."""
    for history, visit in visits(notebook):
        for advice in visit.advice:
            last = last_day(advice.before, visit.date, history.shop)
            if last is not None and last < visit.date and advice.before is not None:
                yield warning(
                    "advice-before-visit",
                    f"{shortened(advice.text)} is to be done {_by(advice.before)}, before the "
                    f"visit of {visit.date.isoformat()} itself.",
                    advice.span,
                    "Check the year.",
                )


def last_day(when: When | None, day: date, shop: Shop) -> date | None:
    """The last day of a time that stands in the calendar, None for one counted from the visit."""
    if when is None or (when.day is None and when.year is None):
        return None
    return when_window(shop, when, day)[1]


def _by(when: When) -> str:
    return f"{'before' if when.before else 'by'} {when.text}"


def long_hold(notebook: Notebook, today: date) -> Iterator[Diagnostic]:
    """A hold that was forgotten keeps a client's pages from ever changing again."""
    for _history, visit in visits(notebook):
        if visit.hold and today - visit.date > LONG_HOLD:
            yield warning(
                "hold-long",
                f"This note has kept the client's pages as they are since "
                f"{visit.date.isoformat()}, for more than {LONG_HOLD.days} days.",
                visit.place_of("hold"),
                "Take the line out when the pages may change.",
            )


def unserviced(notebook: Notebook, today: date) -> Iterator[Diagnostic]:
    """Humidity equipment that nobody looks after does harm quietly."""
    for history in histories(notebook):
        if history.client.status == "left":
            continue
        notes = _equipment(history)
        due = _service_due(history, notes)
        if due is None or not notes:
            continue
        last, (asked, window_end) = notes[-1][0], due
        if window_end < today and today - last > LONG_UNSERVICED:
            yield warning(
                "equipment-unserviced",
                "The humidity equipment was to be serviced by "
                f"{window_end.isoformat()}, and no note names it since {last.isoformat()}.",
                asked.span,
                "Service it, or note what became of it, as in humidity equipment: removed",
            )


def _equipment(history: History) -> list[tuple[date, EquipmentNote]]:
    own = [(note.when, note) for note in history.instrument.equipment if note.when is not None]
    seen = [(visit.date, note) for visit in history.visits for note in visit.equipment]
    return sorted([*own, *seen], key=lambda item: item[0])


def _service_due(
    history: History, notes: list[tuple[date, EquipmentNote]]
) -> tuple[EquipmentNote, date] | None:
    """The note that asks for a service which no later note tells of, and by when."""
    due: tuple[EquipmentNote, date] | None = None
    for day, note in notes:
        if note.what in SERVED:
            due = None
        if note.next_service is not None:
            due = (note, when_window(history.shop, note.next_service, day)[1])
    return due


def no_interval(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """An instrument that nothing calls back is forgotten."""
    for history in histories(notebook):
        known = history.instrument.interval or history.client.interval or history.shop.interval
        asked = history.visits and any(one.when is not None for one in history.visits[-1].follow)
        if not known and not asked and history.client.status == "active":
            yield warning(
                "interval-missing",
                "No interval is known for this instrument, and its last note asks for nothing; "
                "it will never fall due.",
                history.instrument.span,
                'Write one here, in the client\'s file or in shop.md, as in "interval: 1 year".',
            )
