"""One measured kind against its target, along the compass or, for the whole, visit by visit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

import altair as alt

from dossier.charts import dates
from dossier.charts.sheet import (
    KeyEntry,
    Look,
    Record,
    Sheet,
    band,
    band_sign,
    compass,
    finish,
    heading,
    layer,
    spanned,
    upright,
)
from dossier.edition.figures import AgainstTarget, MeasuredPoint

NAMED = 3
"""Visits with a sign of their own; the older ones share the last."""

Group = tuple[str, tuple[MeasuredPoint, ...]]


def chart(drawn: AgainstTarget, paper: Sheet) -> alt.TopLevelLayerSpec:
    """The newest visit in full signs, older ones hollow and fainter, over the target's band."""
    along = any(point.key is not None for point in drawn.points)
    domain = _domain(drawn)
    y = upright("value", domain)
    groups = _groups(drawn.points) if along else [("", drawn.points)]
    entries = [KeyEntry(drawn.target_word, band_sign(paper))] if drawn.target else []
    entries += [
        KeyEntry(name, _sign(paper, place)) for place, (name, _) in enumerate(groups) if name
    ]
    title = f"{drawn.kind}, {drawn.unit}" if drawn.unit else drawn.kind
    head, top = heading(paper, title, entries)
    layers = [*head, *([band(paper, drawn.target, domain)] if drawn.target else [])]
    if along:
        x = compass(paper, "key", drawn.first, drawn.last, drawn.ticks)
        for place, (_, points) in reversed(list(enumerate(groups))):
            layers += _along(points, paper, x, y, place)
    else:
        layers += _by_visit(drawn.points, paper, y)
    return finish(paper, layers, top=top, height=180 * paper.tall)


def _domain(drawn: AgainstTarget) -> tuple[float, float]:
    limits = [limit for limit in drawn.target or () if math.isfinite(limit)]
    values = [point.value for point in drawn.points]
    largest = max((abs(value) for value in (*values, *limits)), default=0.0)
    return spanned(values, least=largest * 0.05 or 1.0, around=limits)


def _groups(points: Sequence[MeasuredPoint]) -> list[Group]:
    """The points visit by visit, the newest first; the oldest visits together, from – to."""
    visits: dict[date, list[MeasuredPoint]] = {}
    for point in sorted(points, key=lambda point: point.when, reverse=True):
        visits.setdefault(point.when, []).append(point)
    groups = [(visit[0].when_text, tuple(visit)) for visit in visits.values()]
    if len(groups) <= NAMED:
        return groups
    older = groups[NAMED - 1 :]
    name = f"{older[-1][0]} – {older[0][0]}"
    return [*groups[: NAMED - 1], (name, tuple(point for _, each in older for point in each))]


def _sign(paper: Sheet, place: int) -> Look:
    colours = paper.palette
    shape, fill, stroke = (
        ("circle", colours.series1, colours.series1),
        ("square", colours.ground, colours.series2),
        ("triangle-up", colours.ground, colours.muted),
    )[min(place, NAMED - 1)]
    return {"shape": shape, "filled": True, "fill": fill, "stroke": stroke}


def _records(points: Sequence[MeasuredPoint]) -> list[Record]:
    return [
        {
            "when": point.when.isoformat(),
            "key": point.key,
            "note": point.note,
            "value": point.value,
        }
        for point in points
    ]


def _along(
    points: Sequence[MeasuredPoint], paper: Sheet, x: alt.X, y: alt.Y, place: int
) -> list[alt.Chart]:
    """Points at their keys; a figure for the whole is a broken line across the compass."""
    sign = _sign(paper, place)
    whole = _records([point for point in points if point.key is None])
    across = layer(whole).mark_rule(color=sign["stroke"], strokeWidth=1.4, strokeDash=[6, 3])
    at_keys = _records([point for point in points if point.key is not None])
    dots = layer(at_keys).mark_point(**sign).encode(x=x, y=y)
    return [*([across.encode(y=y)] if whole else []), dots]


def _by_visit(points: Sequence[MeasuredPoint], paper: Sheet, y: alt.Y) -> list[alt.Chart]:
    held = dates.span([point.when for point in points], least=300)
    x = dates.axis("when", held, dates.years(held, paper), grid=True)
    records = _records(points)
    line = layer(records).mark_line(color=paper.palette.series2, strokeWidth=0.9)
    dots = layer(records).mark_point(**_sign(paper, 0))
    return [line.encode(x=x, y=y), dots.encode(x=x, y=y)]
