"""Pitch from bass to treble at one visit, as found and as left, reading by reading."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from dossier.charts import lettering
from dossier.charts.axes import breaks_between, compass, spanned, upright
from dossier.charts.heading import KeyEntry, Lettering, heading, lettered
from dossier.charts.sheet import Look, Record, Sheet, finish, layer, still
from dossier.edition.figures import AlongCompass, KeyCents, RegisterCents


def chart(drawn: AlongCompass, paper: Sheet) -> alt.TopLevelLayerSpec:
    """Hollow points as found, full ones as left, a thin line for the way of each key.

    Registers' levels are flat pieces over the keys that they speak for: broken as found, full
    as left.
    """
    x = compass(paper, "key", drawn.first, drawn.last, drawn.ticks)
    y = upright("cents", _domain(drawn), signed=True)
    signs = {0: found_sign(paper), 1: left_sign(paper)}
    stages = (
        (0, drawn.found_word, drawn.found, drawn.found_levels),
        (1, drawn.left_word, drawn.left, drawn.left_levels),
    )
    entries = [
        KeyEntry(word, signs[stage] | {"strokeWidth": 1.3})
        for stage, word, readings, levels in stages
        if readings or levels
    ]
    names, rows = _register_names(drawn, paper)
    head, top = heading(paper, drawn.cents_word, entries, lift=rows * paper.line)
    layers = [*head, *names, *breaks_between(paper, x, drawn.breaks), zero_line(paper)]
    layers += _ways(drawn, paper, x, y)
    for stage, _, _, levels in stages:
        layers += _levels(levels, paper, x, y, stage)
    for stage, _, readings, _ in stages:
        size = paper.dot * (1 if len(readings) <= 30 else 0.62)
        points = layer(_records(readings, stage)).mark_point(**signs[stage] | {"size": size})
        layers.append(points.encode(x=x, y=y))
    return finish(paper, layers, top=top, height=200 * paper.tall)


def found_sign(paper: Sheet) -> Look:
    """A hollow circle: pitch before the work."""
    return {
        "shape": "circle",
        "filled": True,
        "fill": paper.palette.ground,
        "stroke": paper.palette.found,
    }


def left_sign(paper: Sheet) -> Look:
    """A full diamond: pitch after the work."""
    return {
        "shape": "diamond",
        "filled": True,
        "fill": paper.palette.left,
        "stroke": paper.palette.left,
    }


def zero_line(paper: Sheet) -> alt.Chart:
    """The target pitch."""
    rule = still().mark_rule(color=paper.palette.muted, strokeWidth=1)
    made: alt.Chart = rule.encode(y=alt.YDatum(0, type="quantitative"))
    return made


def _records(readings: Sequence[KeyCents], stage: int) -> list[Record]:
    return [
        {"key": one.key, "note": one.note, "cents": one.cents, "stage": stage} for one in readings
    ]


def _domain(drawn: AlongCompass) -> tuple[float, float]:
    readings = [one.cents for one in (*drawn.found, *drawn.left)]
    levels = [one.cents for one in (*drawn.found_levels, *drawn.left_levels)]
    return spanned((*readings, *levels), least=8, around=(0.0,))


def _ways(drawn: AlongCompass, paper: Sheet, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    """Thin lines from found to left for the keys that have both."""
    left = {one.key: one.cents for one in drawn.left}
    ways: list[Record] = [
        {"key": one.key, "cents": one.cents, "to": left[one.key]}
        for one in drawn.found
        if one.key in left
    ]
    rule = layer(ways).mark_rule(color=paper.palette.muted, strokeWidth=0.7, opacity=0.7)
    return [rule.encode(x=x, y=y, y2=alt.Y2("to"))] if ways else []


def _levels(
    levels: Sequence[RegisterCents], paper: Sheet, x: alt.X, y: alt.Y, stage: int
) -> list[alt.Chart]:
    records: list[Record] = [
        {
            "register": one.name,
            "key": one.first,
            "to": one.last,
            "cents": one.cents,
            "stage": stage,
        }
        for one in levels
    ]
    colour = paper.palette.left if stage else paper.palette.found
    dash: Look = {} if stage else {"strokeDash": [5, 3]}
    rule = layer(records).mark_rule(color=colour, strokeWidth=1.8, **dash)
    return [rule.encode(x=x, x2=alt.X2("to"), y=y)] if records else []


def _register_names(drawn: AlongCompass, paper: Sheet) -> tuple[list[alt.Chart], int]:
    """The registers' names over their keys, in as many lines as they need without touching."""
    spans: dict[str, tuple[int, int]] = {}
    for one in (*drawn.found_levels, *drawn.left_levels):
        first, last = spans.get(one.name, (one.first, one.last))
        spans[one.name] = (min(first, one.first), max(last, one.last))
    step = paper.plot / (drawn.last - drawn.first + 2)
    size = paper.size
    places = []
    for name, (first, last) in spans.items():
        half = lettering.width(name, size) / 2
        middle = step * ((first + last) / 2 - drawn.first + 1)
        middle = max(half - paper.left, min(middle, paper.plot + paper.right - half))
        places.append((name, middle, (middle - half, middle + half)))
    placed = lettering.rows([span for _, _, span in places], paper.size * 0.6)
    lines = [
        Lettering(name, middle, -paper.line * (row + 0.5))
        for (name, middle, _), row in zip(places, placed, strict=True)
    ]
    look: Look = {"align": "center", "fontSize": size, "color": paper.palette.muted}
    return lettered(paper, lines, moves=True, **look), max(placed, default=-1) + 1
