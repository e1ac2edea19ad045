"""Axes of dates.  Days are plain dates, so that all is in UTC and no zone can shift a day."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime, timedelta

import altair as alt

from dossier.charts import lettering
from dossier.charts.axes import labels
from dossier.charts.sheet import Sheet

Span = tuple[date, date]


def moment(day: date) -> int:
    """Midnight UTC of a day in milliseconds, as a time scale counts."""
    return int(datetime(day.year, day.month, day.day, tzinfo=UTC).timestamp() * 1000)


def span(days: Iterable[date], *, least: int, spare: float = 0.02) -> Span:
    """The first and the last day with a little to spare, at least `least` days apart."""
    held = sorted(days)
    first, last = held[0], held[-1]
    length = (last - first).days
    spare_days = max(3, round(spare * length), (least - length) // 2 + 1)
    return first - timedelta(spare_days), last + timedelta(spare_days)


def years(held: Span, paper: Sheet) -> tuple[tuple[int, str], ...]:
    """Ticks at the first of January of as many years as there is room for, evenly apart.

    A span within one year has the day in its middle as its tick.
    """
    edge = held[1] - (held[1] - held[0]) * (lettering.width("2000", paper.size) * 0.3 / paper.plot)
    first, last = held[0].year + 1, edge.year
    room = max(2, int(paper.plot / (lettering.width("2000", paper.size) * 1.9)))
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100) if (last - first) / step < room)
    shown = [year for year in range(first, last + 1) if year % step == 0]
    if not shown:
        middle = held[0] + (held[1] - held[0]) // 2
        return ((moment(middle), middle.isoformat()),)
    return tuple((moment(date(year, 1, 1)), str(year)) for year in shown)


def axis(field: str, held: Span, ticks: Sequence[tuple[int, str]], *, grid: bool) -> alt.X:
    """The time axis over a span with named ticks at moments."""
    return alt.X(
        field,
        type="temporal",
        scale=alt.Scale(type="utc", domain=[moment(held[0]), moment(held[1])], nice=False),
        axis=alt.Axis(
            values=[at for at, _ in ticks],
            labelExpr=labels(ticks, "time(datum.value)"),
            grid=grid,
            title=None,
        ),
    )


def place(day: date, held: Span, paper: Sheet) -> float:
    """Where a day stands, in pixels from the plot's left edge."""
    return paper.plot * ((day - held[0]).days / (held[1] - held[0]).days)
