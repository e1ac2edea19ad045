"""Where no log stands: readings by the day of the year over the outdoor air, once warmed."""

from __future__ import annotations

import calendar
from datetime import date
from itertools import pairwise

import altair as alt

from dossier.charts import lettering
from dossier.charts.axes import band, band_sign, labels, spanned, upright
from dossier.charts.heading import KeyEntry, heading
from dossier.charts.room import reading_sign
from dossier.charts.sheet import Look, Record, Sheet, finish, layer
from dossier.edition.figures import SeasonAir


def chart(drawn: SeasonAir, paper: Sheet) -> alt.TopLevelLayerSpec:
    """A step a month for the warmed air, which is a mean and no curve, and the readings."""
    x = _year(drawn, paper)
    values = [
        *(month.warmed for month in drawn.months),
        *(value for _, value in drawn.readings),
    ]
    domain = spanned(values, least=20, around=drawn.band)
    y = upright("humidity", domain)
    entries = [
        KeyEntry(drawn.band_word, band_sign(paper)),
        *([KeyEntry(drawn.warmed_word, _floor_sign(paper))] if drawn.months else []),
        KeyEntry(drawn.readings_word, reading_sign(paper)),
    ]
    head, top = heading(paper, drawn.humidity_word, entries)
    layers = [*head, band(paper, drawn.band, domain)]
    layers += _floor(drawn, paper, x, y)
    readings: list[Record] = [
        {"when": when.isoformat(), "at": _of_year(when), "humidity": value}
        for when, value in drawn.readings
    ]
    layers.append(layer(readings).mark_point(**reading_sign(paper)).encode(x=x, y=y))
    return finish(paper, layers, top=top, height=190 * paper.tall)


def _floor_sign(paper: Sheet) -> Look:
    return {
        "shape": "stroke",
        "filled": False,
        "stroke": paper.palette.accent,
        "strokeWidth": 2,
        "size": paper.dot * 5,
    }


def _of_year(when: date) -> float:
    """A day's place in the year in months: 0 on 1 January, 12 at the year's end."""
    return round(when.month - 1 + (when.day - 1) / calendar.monthrange(when.year, when.month)[1], 3)


def _year(drawn: SeasonAir, paper: Sheet) -> alt.X:
    """The months' names in the middle of each month, as many as there is room for."""
    size = paper.size
    given = drawn.names or tuple(month.name for month in drawn.months)
    names = [(month + 0.5, name) for month, name in enumerate(given)]
    places = [(paper.plot * at / 12, name) for at, name in names]
    nth = lettering.every(places, size, gap=paper.size * 0.3)
    shown = names[::nth]
    return alt.X(
        "at",
        type="quantitative",
        scale=alt.Scale(domain=[0, 12], nice=False),
        axis=alt.Axis(
            values=[at for at, _ in shown],
            labelExpr=labels(shown),
            grid=False,
            ticks=False,
            title=None,
        ),
    )


def _floor(drawn: SeasonAir, paper: Sheet, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    records: list[Record] = [
        {"month": month.month, "at": month.month - 1, "to": month.month, "humidity": month.warmed}
        for month in drawn.months
    ]
    colour = paper.palette.accent
    pieces = layer(records).mark_rule(color=colour, strokeWidth=2)
    rises: list[Record] = [
        {"at": after.month - 1, "humidity": before.warmed, "to": after.warmed}
        for before, after in pairwise(drawn.months)
    ]
    joints = layer(rises).mark_rule(color=colour, strokeWidth=0.7)
    return [
        joints.encode(x=x, y=y, y2=alt.Y2("to")),
        pieces.encode(x=x, x2=alt.X2("to"), y=y),
    ]
