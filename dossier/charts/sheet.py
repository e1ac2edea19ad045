"""The sheet that every chart is drawn on: its measures, its lettering and its axes.

Margins are set by hand and nothing is fitted to measured text, so that charts of one page stand
exactly below each other and the picture doesn't hang on the fonts of a machine.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import altair as alt
from altair import Undefined

from dossier.charts import lettering
from dossier.charts.palette import Palette

Medium = Literal["screen", "print"]
Record = Mapping[str, str | int | float | bool | None]
Look = dict[str, Any]
"""Properties of a mark, as Vega-Lite names them."""

TEXT_FACE = "Dossier Text, serif"
FIGURE_FACE = "Dossier Figures, sans-serif"


@dataclass(frozen=True, slots=True)
class Sheet:
    """The measures of a picture in CSS pixels.

    On a screen the picture is scaled to its column, from 0.8 on a phone to 1.3 on a desk; in
    print it stands at its own size, 160 mm wide with lettering of 8 points.
    """

    palette: Palette
    width: float
    left: float
    right: float
    size: float
    dot: float
    tall: float

    @property
    def plot(self) -> float:
        """The width between the margins."""
        return self.width - self.left - self.right

    @property
    def line(self) -> float:
        """The height of a line of lettering."""
        return round(self.size * 1.45, 1)


def sheet(palette: Palette, medium: Medium) -> Sheet:
    """The sheet of a medium; `dot` is a point's area, `tall` scales the heights of plots.

    Paper is white, whatever the ground of the screen is.
    """
    if medium == "print":
        palette = replace(palette, ground="#ffffff")
        return Sheet(palette, width=604, left=38, right=8, size=10.8, dot=26, tall=0.95)
    return Sheet(palette, width=420, left=36, right=8, size=13.4, dot=30, tall=1.0)


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """A sign of the picture's key with its word; `sign` holds properties of a point mark."""

    word: str
    sign: Look


def data(records: Iterable[Record]) -> alt.InlineData:
    """Rows for a layer; in a tuple, since Altair copies lists deeply for every layer added."""
    return alt.InlineData(values=tuple(dict(record) for record in records))


def layer(records: Iterable[Record]) -> alt.Chart:
    """A layer over rows of its own."""
    return alt.Chart(data(records))


def still(records: Iterable[Record] = ({"of": "sheet"},)) -> alt.Chart:
    """A layer for what belongs to the sheet and not to the data: a heading, the zero line."""
    return layer(records)


@dataclass(frozen=True, slots=True)
class Lettering:
    """A line of text and its place in pixels from the plot's upper left corner."""

    text: str
    x: float
    y: float


def lettered(
    paper: Sheet, lines: Sequence[Lettering], *, clear: bool = False, **mark: Any
) -> list[alt.Chart]:
    """Lines of text of one look, as one layer; none where there is no line.

    `clear` lays the ground's colour below them, where rules cross their place.
    """
    records: list[Record] = [{"text": one.text, "x": one.x, "y": one.y} for one in lines]
    made: Look = {
        "align": "left",
        "baseline": "middle",
        "color": paper.palette.ink,
        "font": TEXT_FACE,
        "fontSize": paper.size,
    }
    text = layer(records).encode(
        x=alt.X("x", type="quantitative", scale=None, axis=None),
        y=alt.Y("y", type="quantitative", scale=None, axis=None),
        text=alt.Text("text", type="nominal"),
    )
    if not records:
        return []
    return [*(_cleared(paper, lines) if clear else []), text.mark_text(**(made | mark))]


def _cleared(paper: Sheet, lines: Sequence[Lettering]) -> list[alt.Chart]:
    half = paper.line * 0.44
    patches: list[Record] = [
        {
            "x": line.x - 2,
            "x2": line.x + lettering.width(line.text, paper.size) + 1,
            "y": line.y - half,
            "y2": line.y + half,
        }
        for line in lines
    ]
    patch = layer(patches).mark_rect(color=paper.palette.ground)
    return [
        patch.encode(
            x=alt.X("x", type="quantitative", scale=None, axis=None),
            x2=alt.X2("x2"),
            y=alt.Y("y", type="quantitative", scale=None, axis=None),
            y2=alt.Y2("y2"),
        )
    ]


def heading(
    paper: Sheet, title: str, entries: Sequence[KeyEntry], *, lift: float = 0.0
) -> tuple[list[alt.Chart], float]:
    """The y axis's title and the key, `lift` pixels above a plot, and the height up to their top.

    The title lies flat over its axis, where it is read without turning the head; the key stands
    in the same line at the right, or below where both don't fit.
    """
    sign, gap = paper.size * 1.3, paper.size * 1.1
    widths = [sign + lettering.width(entry.word, paper.size) for entry in entries]
    whole = sum(widths) + gap * (len(entries) - 1)
    title_width = lettering.width(title, paper.size) + 1.5 * gap
    beside = bool(title and entries) and title_width + whole <= paper.width
    row, x = (1 if title and entries and not beside else 0), -paper.left
    if beside:
        x = paper.plot - whole
    places = []
    for wide in widths:
        if x > -paper.left and x + wide > paper.plot + 1:
            row, x = row + 1, -paper.left
        places.append((x, row))
        x += wide + gap
    count = row + 1 if title or entries else 0
    top = count * paper.line + paper.size * 0.6 + lift
    lines = [Lettering(title, -paper.left, paper.line * 0.5 - top)] if title else []
    layers: list[alt.Chart] = []
    for entry, (left, row) in zip(entries, places, strict=True):
        y = paper.line * (row + 0.5) - top
        lines.append(Lettering(entry.word, left + sign, y))
        mark: Look = {"size": paper.dot * 1.4} | dict(entry.sign)
        at: Look = {"x": alt.value(left + paper.size * 0.5), "y": alt.value(y)}
        layers.append(still().mark_point(**mark).encode(**at))
    return [*lettered(paper, lines), *layers], top


def labels(names: Iterable[tuple[float, str]], value: str = "datum.value") -> str:
    """The expression that gives an axis's values their names."""
    table = json.dumps({repr(value): name for value, name in names}, ensure_ascii=False)
    return f"({table})[{value}]"


def compass(
    paper: Sheet, field: str, first: int, last: int, ticks: Sequence[tuple[int, str]]
) -> alt.X:
    """The axis from bass to treble: keys by number, named at the ticks, half a key to spare."""
    low, high = first - 1, last + 1
    places = ((paper.plot * (key - low) / (high - low), name) for key, name in ticks)
    kept = lettering.spaced(places, paper.size, gap=paper.size * 0.4, end=paper.plot + paper.right)
    clear = {place for place, _ in kept}
    shown = [(key, name) for key, name in ticks if paper.plot * (key - low) / (high - low) in clear]
    return alt.X(
        field,
        type="quantitative",
        scale=alt.Scale(domain=[low, high], nice=False, zero=False),
        axis=alt.Axis(
            values=[key for key, _ in shown], labelExpr=labels(shown), grid=False, title=None
        ),
    )


def upright(
    field: str,
    domain: tuple[float, float],
    *,
    signed: bool = False,
    count: int = 5,
    panel: tuple[float, float] | None = None,
) -> alt.Y:
    """The y axis over a domain rounded to its steps; `signed` writes a plus before a rise.

    `panel` is the piece of the plot's height that it takes, (upper, lower) in pixels; its domain
    is kept, since there is no height to give away.
    """
    sign = "(datum.value > 0 ? '+' : '') + datum.label" if signed else "datum.label"
    scale = alt.Scale(domain=list(domain), nice=count, zero=False)
    if panel:
        scale = alt.Scale(domain=list(domain), nice=False, zero=False, range=[panel[1], panel[0]])
    axis = alt.Axis(tickCount=count, labelExpr=sign, title=None, orient="left", grid=True)
    return alt.Y(field, type="quantitative", scale=scale, axis=axis)


def band(paper: Sheet, limits: tuple[float, float], domain: tuple[float, float]) -> alt.Chart:
    """A range across the whole plot; a limit that isn't finite reaches to the domain's end."""
    low = limits[0] if math.isfinite(limits[0]) else domain[0]
    high = limits[1] if math.isfinite(limits[1]) else domain[1]
    rect = layer([{"low": low, "high": high}]).mark_rect(color=paper.palette.band)
    made: alt.Chart = rect.encode(y=alt.Y("low", type="quantitative"), y2=alt.Y2("high"))
    return made


def band_sign(paper: Sheet) -> Look:
    """The key's patch for a band."""
    return {
        "shape": "square",
        "filled": True,
        "fill": paper.palette.band,
        "stroke": paper.palette.muted,
        "strokeWidth": 0.5,
        "size": paper.dot * 3,
    }


def spanned(
    values: Iterable[float], *, least: float, around: Iterable[float] = ()
) -> tuple[float, float]:
    """The domain that holds the values and `around`, never narrower than `least`.

    A scale that closed in on figures that hardly differ would make a drama of nothing.
    """
    held = [*values, *around]
    low, high = (min(held), max(held)) if held else (0.0, 0.0)
    short = max(0.0, least - (high - low)) / 2
    margin = 0.04 * max(high - low, least)
    return low - short - margin, high + short + margin


def breaks_between(paper: Sheet, x: alt.X, breaks: Iterable[int]) -> list[alt.Chart]:
    """Faint upright rules where a further section of the scale begins."""
    at = [{"key": first - 0.5} for first in breaks]
    rule = layer(at).mark_rule(color=paper.palette.rule, strokeDash=[2, 3], strokeWidth=1)
    return [rule.encode(x=x)] if at else []


def finish(
    paper: Sheet,
    layers: Sequence[alt.Chart | alt.LayerSpec],
    *,
    top: float,
    height: float,
    panels: bool = False,
) -> alt.TopLevelLayerSpec:
    """The layers as one picture of the sheet's width with `height` for the plot, in pixels.

    With `panels` each layer has a y scale of its own.  The class is the grammar's own and not
    Altair's LayerChart, which copies every layer several times over and is five times slower.
    """
    return alt.TopLevelLayerSpec(
        layer=list(layers),
        width=paper.plot,
        height=round(height),
        autosize=alt.AutoSizeParams(type="none"),
        padding={
            "left": paper.left,
            "right": paper.right,
            "top": round(top),
            "bottom": round(paper.size * 2.1),
        },
        resolve=alt.Resolve(scale=alt.ScaleResolveMap(y="independent")) if panels else Undefined,
        config=alt.Config(**look(paper)),
    )


def look(paper: Sheet) -> Look:
    """The chart settings that all pictures share."""
    colours = paper.palette
    return {
        "background": "transparent",
        "font": TEXT_FACE,
        "view": {"stroke": None},
        "point": {"size": paper.dot, "opacity": 1, "strokeWidth": 1.3},
        "axis": {
            "labelFont": FIGURE_FACE,
            "labelFontSize": paper.size,
            "labelLimit": 0,
            "labelColor": colours.muted,
            "labelOverlap": False,
            "labelPadding": 4,
            "gridColor": colours.rule,
            "gridWidth": 0.7,
            "domain": False,
            "ticks": False,
        },
        "axisX": {
            "domain": True,
            "domainColor": colours.muted,
            "domainWidth": 0.8,
            "ticks": True,
            "tickColor": colours.muted,
            "tickSize": 4,
            "tickWidth": 0.8,
        },
    }
