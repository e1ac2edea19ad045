"""Pitch by register through the years, over the humidity read at the visits."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from statistics import median

import altair as alt

from dossier.charts import dates, lettering
from dossier.charts.along import found_sign, left_sign, zero_line
from dossier.charts.sheet import (
    FIGURE_FACE,
    KeyEntry,
    Lettering,
    Look,
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
    """A piece of the plot's height, `upper` to `lower` in pixels, with its domains: cents, days."""

    upper: float
    lower: float
    domain: tuple[float, float]
    held: dates.Span

    def y(self, field: str, *, signed: bool) -> alt.Y:
        """The panel's axis."""
        piece = (self.upper, self.lower)
        return upright(field, self.domain, signed=signed, count=3, panel=piece)


def chart(drawn: ThroughYears, paper: Sheet) -> alt.TopLevelLayerSpec:
    """A panel a register on one scale of cents, and below them the humidity with its band.

    From visit to visit the line goes as the pitch went: slowly away, then back at once by the
    work.  The panels share one plot, each with the piece of height that is its own, so that a
    dated rule runs through all of them.
    """
    held = dates.span(_days(drawn), least=300)
    ticks = dates.years(held, paper)
    x = dates.axis("when", held, ticks, grid=False)
    tags, rows = _tags(drawn.tags, held, paper)
    lift = (rows + NAME) * paper.line
    head, top = heading(paper, drawn.cents_word, _signs(drawn, paper), lift=lift)
    layers: list[alt.Chart | alt.LayerSpec] = [
        alt.LayerSpec(layer=[_grid(ticks, paper, x), *head, *tags])
    ]
    tall = paper.tall * (88 if len(drawn.registers) <= 3 else 72)
    domain = _domain(drawn.points)
    upper = 0.0
    for register in drawn.registers:
        panel = Panel(upper, upper + tall, domain, held)
        points = [point for point in drawn.points if point.register == register]
        pitch = _way(points, paper, x, panel, wide=register == drawn.whole)
        name = _name(paper, register, upper)
        layers.append(alt.LayerSpec(layer=[*name, zero_line(paper), *pitch]))
        upper = panel.lower + paper.line * NAME + 6
    if drawn.humidity:
        air = spanned((value for _, value in drawn.humidity), least=10, around=drawn.band)
        panel = Panel(upper, upper + 58 * paper.tall, air, held)
        layers.append(_humidity(drawn, paper, x, panel))
        upper = panel.lower + paper.line * NAME + 6
    height = upper - paper.line * NAME - 6
    return finish(paper, layers, top=top, height=height, panels=True)


def _grid(ticks: Sequence[tuple[int, str]], paper: Sheet, x: alt.X) -> alt.Chart:
    """Upright lines through all panels; the axis's own would stay within the lowest."""
    rule = layer({"when": at} for at, _ in ticks).mark_rule(
        color=paper.palette.rule, strokeWidth=0.7
    )
    made: alt.Chart = rule.encode(x=x)
    return made


def _days(drawn: ThroughYears) -> list[date]:
    return [
        *(point.when for point in drawn.points),
        *(day for day, _ in drawn.humidity),
        *(tag.when for tag in drawn.tags),
    ]


def _domain(points: Sequence[YearPoint]) -> tuple[float, float]:
    """The domain of what is ordinary here; one raise from afar must not flatten years of seasons.

    What lies beyond five times the median of the found levels is shown at the panel's end, with
    room of its own.
    """
    found = [abs(point.cents) for point in points if point.stage == 0]
    ordinary = max(12.0, 5 * median(found)) if found else float("inf")
    near = [point.cents for point in points if abs(point.cents) <= ordinary]
    low, high = spanned(near, least=8, around=(0.0,))
    spare = 0.25 * (high - low)
    below = spare if any(point.cents < -ordinary for point in points) else 0.0
    above = spare if any(point.cents > ordinary for point in points) else 0.0
    return low - below, high + above


def _signs(drawn: ThroughYears, paper: Sheet) -> list[KeyEntry]:
    stages = {point.stage for point in drawn.points}
    wide = set(drawn.registers) == {drawn.whole}
    words = (drawn.found_word, drawn.left_word)
    return [KeyEntry(words[stage], _sign(paper, stage, wide=wide)) for stage in sorted(stages)]


def _sign(paper: Sheet, stage: int, *, wide: bool) -> Look:
    """A figure for the whole instrument is wide and hollow: it is the less certain one."""
    sign = left_sign(paper) if stage else found_sign(paper)
    return sign | {"fill": paper.palette.ground, "size": paper.dot * 2} if wide else sign


def _name(paper: Sheet, name: str, upper: float) -> list[alt.Chart]:
    line = Lettering(name, 0, upper - paper.line * 0.6)
    return lettered(paper, [line], clear=True)


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
    dash: Look = {"strokeDash": [4, 3]} if wide else {}
    line = layer(records).mark_line(color=paper.palette.muted, strokeWidth=0.9, **dash)
    layers = [line.encode(x=x, y=y, order=alt.Order("order", type="quantitative"))]
    for stage in (0, 1):
        mark: Look = _sign(paper, stage, wide=wide) | (
            {"size": paper.dot * 0.7} if len(points) > 40 else {}
        )
        near = [one for one in records if one["stage"] == stage and one["shown"] == one["cents"]]
        layers.append(layer(near).mark_point(**mark).encode(x=x, y=y))
    far = [point for point in ordered if not low <= point.cents <= high]
    return layers + _far(far, paper, x, panel)


def _far(points: Sequence[YearPoint], paper: Sheet, x: alt.X, panel: Panel) -> list[alt.Chart]:
    """Pointers to what lies beyond the scale, each with its figure beside it."""
    layers: list[alt.Chart] = []
    for shape, below in (("triangle-down", True), ("triangle-up", False)):
        beyond = [point for point in points if (point.cents < 0) == below]
        if not beyond:
            continue
        y = panel.lower if below else panel.upper
        records: list[Record] = [
            {"when": point.when.isoformat(), "register": point.register, "cents": point.cents}
            for point in beyond
        ]
        look: Look = {"shape": shape, "filled": True, "size": paper.dot * 1.5}
        colours: Look = {"fill": paper.palette.ground, "stroke": paper.palette.found}
        pointer = layer(records).mark_point(**look, **colours)
        layers += _far_figures(beyond, paper, panel, y)
        layers.append(pointer.encode(x=x, y=alt.value(y)))
    return layers


def _far_figures(
    points: Sequence[YearPoint], paper: Sheet, panel: Panel, y: float
) -> list[alt.Chart]:
    lines = []
    for point in points:
        text = f"{point.cents:+.3g}".replace("-", "−")
        room = paper.plot + paper.right - lettering.width(text, paper.size)
        at = dates.place(point.when, panel.held, paper) + paper.size * 0.6
        lines.append(Lettering(text, min(at, room), y))
    return lettered(paper, lines, clear=True, font=FIGURE_FACE)


def _humidity(drawn: ThroughYears, paper: Sheet, x: alt.X, panel: Panel) -> alt.LayerSpec:
    records: list[Record] = [
        {"when": day.isoformat(), "humidity": value} for day, value in drawn.humidity
    ]
    mark: Look = {"shape": "square", "filled": True, "fill": paper.palette.accent, "strokeWidth": 0}
    dots = layer(records).mark_point(**mark).encode(x=x, y=panel.y("humidity", signed=False))
    name = _name(paper, drawn.humidity_word, panel.upper)
    return alt.LayerSpec(layer=[*name, band(paper, drawn.band, panel.domain), dots])


def _tags(tags: Sequence[Tag], held: dates.Span, paper: Sheet) -> tuple[list[alt.Chart], int]:
    """Dashed rules through all panels, each with its word above, in lines that don't touch.

    A word stands to the right of its rule, or to the left where the sheet ends.
    """
    size = paper.size
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
    lines = [Lettering(text, start, y) for (text, start, _), y in zip(spots, heights, strict=True)]
    drawn = rule.encode(x=alt.X("when", type="temporal"), y=head, y2=alt.value("height"))
    return ([drawn, *lettered(paper, lines, clear=True, fontSize=size)] if tags else []), max(
        placed, default=-1
    ) + 1
