"""The humidity of a room, day by day, with the comfort band and the visits' own readings."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from dossier.charts import dates, lettering
from dossier.charts.axes import band, band_sign, spanned, upright
from dossier.charts.heading import KeyEntry, heading
from dossier.charts.sheet import Look, Record, Sheet, finish, layer
from dossier.edition.figures import DayAir, RoomYear


def chart(drawn: RoomYear, paper: Sheet) -> alt.TopLevelLayerSpec:
    """A tinted area from each day's lowest to its highest, its mean as a line, gaps left open."""
    held = dates.span(
        [*(day.when for day in drawn.days), *(when for when, _ in drawn.visits)],
        least=28,
        spare=0.015,
    )
    x = dates.axis("when", held, _ticks(drawn, held, paper), grid=False)
    domain = spanned(_values(drawn), least=20, around=drawn.band)
    y = upright("humidity", domain)
    entries = [KeyEntry(drawn.band_word, band_sign(paper))]
    if drawn.visits:
        entries.append(KeyEntry(drawn.visits_word, reading_sign(paper)))
    head, top = heading(paper, drawn.humidity_word, entries)
    layers = [*head, band(paper, drawn.band, domain)]
    layers += _days(drawn.days, paper, x, domain)
    visits: list[Record] = [
        {"when": when.isoformat(), "humidity": value} for when, value in drawn.visits
    ]
    layers.append(layer(visits).mark_point(**reading_sign(paper)).encode(x=x, y=y))
    return finish(paper, layers, top=top, height=190 * paper.tall)


def reading_sign(paper: Sheet) -> Look:
    """A reading of the air that the technician took at a visit."""
    return {
        "shape": "diamond",
        "filled": True,
        "fill": paper.palette.ink,
        "stroke": paper.palette.ground,
        "strokeWidth": 1,
        "size": paper.dot * 3,
    }


def _ticks(drawn: RoomYear, held: dates.Span, paper: Sheet) -> tuple[tuple[int, str], ...]:
    if not drawn.ticks:
        return dates.years(held, paper)
    places = {
        dates.place(when, held, paper): (dates.moment(when), name) for when, name in drawn.ticks
    }
    named = [(place, name) for place, (_, name) in places.items()]
    end = paper.plot + paper.right
    kept = lettering.spaced(named, paper.size, gap=paper.size * 0.25, end=end)
    return tuple(places[place] for place, _ in kept)


def _values(drawn: RoomYear) -> list[float]:
    """All that is drawn; a log that holds one figure a day may leave the others out."""
    days = [value for day in drawn.days for value in (day.low, day.mean, day.high)]
    return [value for value in (*days, *(value for _, value in drawn.visits)) if value is not None]


def _days(
    days: Sequence[DayAir], paper: Sheet, x: alt.X, domain: tuple[float, float]
) -> list[alt.Chart]:
    """Area and line; a day between two gaps has neither, so it gets an upright piece."""
    records: list[Record] = [
        {"when": day.when.isoformat(), "low": day.low, "humidity": day.mean, "high": day.high}
        for day in days
    ]
    open_at = [True, *(day.mean is None for day in days), True]
    alone = [
        record
        for place, record in enumerate(records, start=1)
        if not open_at[place] and open_at[place - 1] and open_at[place + 1]
    ]
    colour = paper.palette.accent
    low, y = upright("low", domain), upright("humidity", domain)
    area = layer(records).mark_area(
        color=colour, fillOpacity=0.28, invalid="break-paths-show-path-domains"
    )
    line = layer(records).mark_line(
        color=colour, strokeWidth=1.3, invalid="break-paths-show-path-domains"
    )
    layers = [area.encode(x=x, y=low, y2=alt.Y2("high")), line.encode(x=x, y=y)]
    if alone:
        piece = layer(alone).mark_rule(color=colour, strokeWidth=1.6, strokeCap="round")
        layers.append(piece.encode(x=x, y=low, y2=alt.Y2("high")))
    return layers
