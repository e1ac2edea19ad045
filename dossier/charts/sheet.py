"""The sheet that every chart is drawn on: its measures, its rows and the look of all charts.

Margins are set by hand and nothing is fitted to measured text, so that charts of one page stand
exactly below each other and the picture doesn't hang on the fonts of a machine.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

import altair as alt
from altair import Undefined

from dossier.charts.palette import Palette
from dossier.edition.figures import ENGLISH

Medium = Literal["screen", "print"]
Record = Mapping[str, str | int | float | bool | None]
Look = dict[str, Any]
"""Properties of a mark, as Vega-Lite names them."""

TEXT_FACE = "Dossier Text, serif"
FIGURE_FACE = "Dossier Figures, sans-serif"


@dataclass(frozen=True, slots=True)
class Sheet:
    """The measures of a picture in CSS pixels, and the `signs` of its numbers.

    On a screen the picture is scaled to its column, from 0.8 on a phone to 1.3 on a desk; in
    print it stands at its own size, 160 mm wide with lettering of 8 points, or half as wide, two
    beside each other.
    """

    palette: Palette
    width: float
    left: float
    right: float
    size: float
    dot: float
    tall: float
    panel: float
    signs: tuple[str, str] = ENGLISH

    @property
    def plot(self) -> float:
        """The width between the margins."""
        return self.width - self.left - self.right

    @property
    def line(self) -> float:
        """The height of a line of lettering."""
        return round(self.size * 1.45, 1)


def sheet(
    palette: Palette, medium: Medium, signs: tuple[str, str] = ENGLISH, *, half: bool = False
) -> Sheet:
    """The sheet of a medium; `dot` is a point's area, `tall` scales the heights of plots.

    `panel` is the height of a plot of which several stand below each other.  Paper is white,
    whatever the ground of the screen is; no picture takes more of it than a third of a page, so
    that none leaves half of one empty.
    """
    if medium == "print":
        palette = replace(palette, ground="#ffffff")
        whole = Sheet(palette, 604, 38, 8, size=10.8, dot=26, tall=0.88, panel=50, signs=signs)
        return replace(whole, width=296, left=34, tall=0.72) if half else whole
    return Sheet(palette, 420, 36, 8, size=13.4, dot=30, tall=1.0, panel=92, signs=signs)


def data(records: Iterable[Record]) -> alt.InlineData:
    """Rows for a layer; in a tuple, since Altair copies lists deeply for every layer added."""
    return alt.InlineData(values=tuple(dict(record) for record in records))


def layer(records: Iterable[Record]) -> alt.Chart:
    """A layer over rows of its own."""
    return alt.Chart(data(records))


def still(records: Iterable[Record] = ({"of": "sheet"},)) -> alt.Chart:
    """A layer for what belongs to the sheet and not to the data: a heading, the zero line."""
    return layer(records)


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
        config=alt.Config(**look(paper), **_locale(paper.signs)),
    )


def _locale(signs: tuple[str, str]) -> Look:
    """How the chart compiler writes numbers; English, as it does by itself, is left unsaid."""
    if signs == ENGLISH:
        return {}
    number = alt.NumberLocale(decimal=signs[0], thousands=signs[1], grouping=[3], currency=["", ""])
    return {"locale": alt.Locale(number=number)}


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
