"""One measured kind against its target, along the compass or, for the whole, visit by visit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import date

import altair as alt

from dossier.charts import dates
from dossier.charts.axes import band, band_sign, compass, spanned, upright
from dossier.charts.heading import KeyEntry, heading
from dossier.charts.sheet import Look, Record, Sheet, finish, layer
from dossier.edition.figures import AgainstTarget, MeasuredPoint

NAMED = 3
"""Signs that there are; the older visits share the last one."""

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
    """The values and the limits with a margin, and nothing below 0 where nothing measured is."""
    limits = [limit for limit in drawn.target or () if math.isfinite(limit)]
    values = [point.value for point in drawn.points]
    largest = max((abs(value) for value in (*values, *limits)), default=0.0)
    low, high = spanned(values, least=largest * 0.05 or 1.0, around=limits)
    return max(low, 0.0) if min((*values, *limits), default=0.0) >= 0 else low, high


def _groups(points: Sequence[MeasuredPoint]) -> list[Group]:
    """The points visit by visit, the newest first; the oldest ones together, from – to.

    Figures of one visit that are told apart, such as before and after, are groups of their own;
    the later one in the notes is the newer.
    """
    by_visit: dict[tuple[date, str, str], list[MeasuredPoint]] = {}
    for point in sorted(points, key=lambda point: point.when):
        by_visit.setdefault((point.when, point.when_text, point.how), []).append(point)
    groups = [
        (f"{group[0].when_text}, {how}" if how else group[0].when_text, tuple(group))
        for (_, _, how), group in reversed(by_visit.items())
    ]
    if len(groups) <= NAMED:
        return groups
    older = [group for _, group in groups[NAMED - 1 :]]
    first, last = older[-1][0].when_text, older[0][0].when_text
    name = first if first == last else f"{first} – {last}"
    return [*groups[: NAMED - 1], (name, tuple(point for group in older for point in group))]


def _sign(paper: Sheet, place: int) -> Look:
    """Older signs are hollow and wider, so that they show around a newer one on the same spot."""
    colours = paper.palette
    shape, fill, stroke, size = (
        ("circle", colours.series1, colours.series1, 1.0),
        ("square", colours.ground, colours.series2, 1.8),
        ("triangle-up", colours.ground, colours.muted, 2.2),
    )[min(place, NAMED - 1)]
    return {
        "shape": shape,
        "filled": True,
        "fill": fill,
        "stroke": stroke,
        "size": paper.dot * size,
    }


def _records(points: Sequence[MeasuredPoint]) -> list[Record]:
    return [
        {
            "when": point.when.isoformat(),
            "key": point.key,
            "note": point.note,
            "value": point.value,
            "how": point.how,
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
