"""Pitch by register through the years, over the humidity read at the visits."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

import altair as alt

from dossier.charts import dates, lettering
from dossier.charts.along import zero_line
from dossier.charts.axes import band, spanned
from dossier.charts.course import Panel, course, ordinary, sign
from dossier.charts.heading import KeyEntry, Lettering, heading, lettered
from dossier.charts.sheet import Look, Record, Sheet, finish, layer
from dossier.edition.figures import Tag, ThroughYears

NAME = 1.25
"""The height of a panel's name above it, in lines of lettering."""


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
    registers = [name for name in drawn.registers if name != drawn.whole] or [drawn.whole]
    tall = paper.panel * (1 if len(registers) <= 3 else 0.8)
    domain = ordinary(drawn.points)
    whole = [point for point in drawn.points if point.register == drawn.whole]
    upper = 0.0
    for register in registers:
        panel = Panel(upper, upper + tall, domain, held)
        own = [point for point in drawn.points if point.register == register != drawn.whole]
        pitch = course(own, whole, paper, x, panel)
        name = _name(paper, register, upper)
        layers.append(alt.LayerSpec(layer=[*name, zero_line(paper), *pitch]))
        upper = panel.lower + paper.line * NAME + 6
    if drawn.humidity:
        air = spanned((value for _, value in drawn.humidity), least=10, around=drawn.band)
        panel = Panel(upper, upper + max(0.65 * paper.panel, 4 * paper.size), air, held)
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


def _signs(drawn: ThroughYears, paper: Sheet) -> list[KeyEntry]:
    words = (drawn.found_word, drawn.left_word)
    stages = sorted({point.stage for point in drawn.points})
    entries = [KeyEntry(words[stage], sign(paper, stage, wide=False)) for stage in stages]
    whole = {point.stage for point in drawn.points if point.register == drawn.whole}
    wide = [KeyEntry(drawn.whole, sign(paper, max(whole), wide=True))] if whole else []
    return [*entries, *wide]


def _name(paper: Sheet, name: str, upper: float) -> list[alt.Chart]:
    line = Lettering(name, 0, upper - paper.line * 0.6)
    return lettered(paper, [line], clear=True)


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
    drawn = rule.encode(x=alt.X("when", type="temporal"), y=head, y2=alt.Y2Value("height"))
    return (
        [drawn, *lettered(paper, lines, clear=True, moves=True, fontSize=size)] if tags else []
    ), max(placed, default=-1) + 1
