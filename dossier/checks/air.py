"""Is the air that was read likely, and does the room's log still run?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from dossier.analysis.seasoning import standing_on
from dossier.checks.check import figure, histories, info, visits, warning
from dossier.diagnostics import Diagnostic, Span
from dossier.model import Notebook, Room

# Of rooms in which instruments stand, in % RH and °C.  Common practice, no source.
DRIEST, DAMPEST = 5, 95
COLDEST, HOTTEST = -10, 40

LOG_BEHIND = timedelta(days=60)


def unlikely(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A hygrometer that was just breathed on, or a figure in the wrong unit, misleads for years."""
    for _history, visit in visits(notebook):
        if visit.air is None:
            continue
        yield from _humidity(visit.air.humidity, visit.air.span)
        yield from _temperature(visit.air.temperature_c, visit.air.span)


def _humidity(value: Decimal | None, place: Span) -> Iterator[Diagnostic]:
    if value is not None and not DRIEST <= value <= DAMPEST:
        yield warning(
            "air-unlikely",
            f"A relative humidity of {figure(value)} % is unlikely in a room.",
            place,
            "Check the figure and the hygrometer.",
        )


def _temperature(value: Decimal | None, place: Span) -> Iterator[Diagnostic]:
    if value is not None and not COLDEST <= value <= HOTTEST:
        yield warning(
            "air-unlikely",
            f"A temperature of {figure(round(value, 1))} °C is unlikely in a room.",
            place,
            "Check the figure and its unit, as in 68 °F.",
        )


def log_stops(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A logger whose battery died is found by its file, not by looking at it."""
    told: set[str] = set()
    for history in histories(notebook):
        if not history.visits:
            continue
        last = history.visits[-1]
        standing = standing_on(history, last.date)
        room = history.rooms.get(standing.room) if standing else None
        if room is None or room.id in told:
            continue
        end = _end(room)
        if end is not None and last.date - end[0] > LOG_BEHIND:
            told.add(room.id)
            yield info(
                "log-stops",
                f"The room's log ends on {end[0].isoformat()}, and it was visited on "
                f"{last.date.isoformat()}.",
                end[1],
                "Bring the logger's file in, or look after the logger.",
            )


def _end(room: Room) -> tuple[date, Span] | None:
    """The last day of a room's logs, with its line."""
    ends = [(log.seconds[-1], log.file, log.lines[-1]) for log in room.logs if log.seconds]
    if not ends:
        return None
    seconds, file, line = max(ends)
    return datetime.fromtimestamp(seconds, UTC).date(), Span(file, line)
