"""Pitch by register through the years, over the humidity read at the visits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median
from typing import Any

import altair as alt

from dossier.charts import dates, lettering
from dossier.charts.along import found_sign, left_sign, zero_line
from dossier.charts.sheet import (
    FIGURE_FACE,
    KeyEntry,
    Lettering,
    Record,
    Sheet,
    band,
    finish,
    heading,
    layer,
    lettered,
    spanned,
    upright,
)
from dossier.edition.figures import Tag, ThroughYears, YearPoint

NAME = 1.25
"""The height of a panel's name above it, in lines of lettering."""


@dataclass(frozen=True, slots=True)
class Panel:
    """A piece of the plot's height, `upper` to `lower` in pixels, with a y domain."""

    upper: float
    lower: float
    domain: tuple[float, float]

    def y(self, field: str, *, signed: bool) -> alt.Y:
        """The panel's axis."""
        piece = (self.upper, self.lower)
        return upright(field, self.domain, signed=signed, count=3, panel=piece)


def chart(drawn: ThroughYears, paper: Sheet) -> alt.LayerChart:
    """A panel a register on one scale of cents, and below them the humidity with its band.

    From visit to visit the line goes as the pitch went: slowly away, then back at once by the
    work.  The panels share one plot, each with the piece of height that is its own, so that a
    dated rule runs through all of them.
    """
    held = dates.span(_days(drawn), least=300)
    x = dates.axis("when", held, dates.years(held, paper), grid=True)
    tags, rows = _tags(drawn.tags, held, paper)
    lift = (rows + NAME) * paper.line
    head, top = heading(paper, drawn.cents_word, _signs(drawn, paper), lift=lift)
    layers: list[alt.Chart | alt.LayerChart] = [alt.layer(*head, *tags)]
    tall = paper.tall * (78 if len(drawn.registers) <= 3 else 62)
    domain = _domain(drawn.points)
    upper = 0.0
    for register in drawn.registers:
        panel = Panel(upper, upper + tall, domain)
        points = [point for point in drawn.points if point.register == register]
        pitch = _way(points, paper, x, panel, wide=register == drawn.whole)
        layers.append(alt.layer(*_name(paper, register, upper), zero_line(paper), *pitch))
        upper = panel.lower + paper.line * NAME + 6
    if drawn.humidity:
        air = spanned((value for _, value in drawn.humidity), least=10, around=drawn.band)
        panel = Panel(upper, upper + 58 * paper.tall, air)
        layers.append(_humidity(drawn, paper, x, panel))
        upper = panel.lower + paper.line * NAME + 6
    height = upper - paper.line * NAME - 6
    return finish(paper, layers, top=top, height=height, panels=True)


def _days(drawn: ThroughYears) -> list[date]:
    return [
        *(point.when for point in drawn.points),
        *(day for day, _ in drawn.humidity),
        *(tag.when for tag in drawn.tags),
    ]


def _domain(points: Sequence[YearPoint]) -> tuple[float, float]:
    """The domain of what is ordinary here; one raise from afar must not flatten years of seasons.

    What lies beyond six times the median of the found levels is shown at the panel's end.
    """
    found = [abs(point.cents) for point in points if point.stage == 0]
    ordinary = max(16.0, 6 * median(found)) if found else float("inf")
    near = [point.cents for point in points if abs(point.cents) <= ordinary]
    return spanned(near, least=8, around=(0.0,))


def _signs(drawn: ThroughYears, paper: Sheet) -> list[KeyEntry]:
    stages = {point.stage for point in drawn.points}
    wide = set(drawn.registers) == {drawn.whole}
    words = (drawn.found_word, drawn.left_word)
    return [KeyEntry(words[stage], _sign(paper, stage, wide=wide)) for stage in sorted(stages)]


def _sign(paper: Sheet, stage: int, *, wide: bool) -> dict[str, Any]:
    """A figure for the whole instrument is wide and hollow: it is the less certain one."""
    sign = left_sign(paper) if stage else found_sign(paper)
    return sign | {"fill": paper.palette.ground, "size": paper.dot * 2} if wide else sign


def _name(paper: Sheet, name: str, upper: float) -> list[alt.Chart]:
    return lettered(paper, [Lettering(name, 0, upper - paper.line * 0.6)])


def _way(
    points: Sequence[YearPoint], paper: Sheet, x: alt.X, panel: Panel, *, wide: bool
) -> list[alt.Chart]:
    """The line from level to level and the levels; those off the scale as figures at its end."""
    low, high = panel.domain
    ordered = sorted(points, key=lambda point: (point.when, point.stage))
    records: list[Record] = [
        {
            "when": point.when.isoformat(),
            "register": point.register,
            "stage": point.stage,
            "cents": point.cents,
            "shown": min(max(point.cents, low), high),
            "order": order,
        }
        for order, point in enumerate(ordered)
    ]
    y = panel.y("shown", signed=True)
    dash = {"strokeDash": [4, 3]} if wide else {}
    line = layer(records).mark_line(color=paper.palette.muted, strokeWidth=0.9, **dash)
    layers = [line.encode(x=x, y=y, order=alt.Order("order", type="quantitative"))]
    for stage in (0, 1):
        mark = _sign(paper, stage, wide=wide) | (
            {"size": paper.dot * 0.7} if len(points) > 40 else {}
        )
        near = [
            one for one in records if one["stage"] == stage and one["shown"] == one["cents"]
        ]
        layers.append(layer(near).mark_point(**mark).encode(x=x, y=y))
    far = [one for one in records if one["shown"] != one["cents"]]
    return layers + (_far(far, paper, x, y) if far else [])


def _far(records: Sequence[Record], paper: Sheet, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    """Pointers to what lies beyond the scale, each with its figure beside it."""
    size = paper.size * 0.92
    pointed = layer(records).encode(x=x, y=y)
    shape = alt.condition("datum.cents < 0", alt.value("triangle-down"), alt.value("triangle-up"))
    pointers = pointed.mark_point(
        filled=True, fill=paper.palette.ground, stroke=paper.palette.found, size=paper.dot * 1.5
    )
    figures = pointed.mark_text(
        align="left", baseline="middle", dx=paper.size * 0.6, dy=-1, fontSize=size,
        font=FIGURE_FACE, color=paper.palette.ink,
    )  # fmt: skip
    written = alt.Text("cents", type="quantitative", format="+.3~g")
    return [pointers.encode(shape=shape), figures.encode(text=written)]


def _humidity(drawn: ThroughYears, paper: Sheet, x: alt.X, panel: Panel) -> alt.LayerChart:
    records: list[Record] = [
        {"when": day.isoformat(), "humidity": value} for day, value in drawn.humidity
    ]
    mark = {"shape": "square", "filled": True, "fill": paper.palette.accent, "strokeWidth": 0}
    dots = layer(records).mark_point(**mark).encode(x=x, y=panel.y("humidity", signed=False))
    name = _name(paper, drawn.humidity_word, panel.upper)
    return alt.layer(*name, band(paper, drawn.band, panel.domain), dots)


def _tags(tags: Sequence[Tag], held: dates.Span, paper: Sheet) -> tuple[list[alt.Chart], int]:
    """Dashed rules through all panels, each with its word above, in lines that don't touch.

    A word stands to the right of its rule, or to the left where the sheet ends.
    """
    size = paper.size * 0.92
    spots = []
    for tag in tags:
        text = lettering.shortened(tag.text, size, paper.width * 0.9)
        at, length = dates.place(tag.when, held, paper), lettering.width(text, size)
        start = max(-paper.left, min(at - 3, paper.plot + paper.right - length))
        spots.append((text, start, (start, start + length)))
    placed = lettering.rows([ends for *_, ends in spots], paper.size * 0.8)
    heights = [-paper.line * (row + NAME + 0.5) for row in placed]
    rules: list[Record] = [
        {"when": tag.when.isoformat(), "tag": tag.text, "head": y + paper.line * 0.5}
        for tag, y in zip(tags, heights, strict=True)
    ]
    rule = layer(rules).mark_rule(color=paper.palette.ink, strokeWidth=0.9, strokeDash=[2, 2])
    head = alt.Y("head", type="quantitative", scale=None, axis=None)
    lines = [
        Lettering(text, start, y) for (text, start, _), y in zip(spots, heights, strict=True)
    ]
    drawn = rule.encode(x=alt.X("when", type="temporal"), y=head, y2=alt.value("height"))
    return ([drawn, *lettered(paper, lines, fontSize=size)] if tags else []), max(
        placed, default=-1
    ) + 1
