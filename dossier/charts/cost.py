"""Cost of work by year, the kinds of work on top of each other."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import altair as alt

from dossier.charts import lettering
from dossier.charts.heading import KeyEntry, heading
from dossier.charts.palette import Palette
from dossier.charts.sheet import Look, Record, Sheet, finish, layer
from dossier.edition.figures import CostYears, YearCost


def chart(drawn: CostYears, paper: Sheet) -> alt.TopLevelLayerSpec:
    """A bar a year, also for years without cost; kinds in the order in which they first stand."""
    kinds = tuple(dict.fromkeys(cost.kind for cost in drawn.costs))
    looks = _looks(paper.palette)
    look_of = {kind: looks[place % len(looks)] for place, kind in enumerate(kinds)}
    entries = [KeyEntry(kind, _patch(paper, look)) for kind, look in look_of.items()]
    head, top = heading(paper, drawn.currency, entries)
    bars = _bars(drawn.costs, look_of, paper)
    return finish(paper, [*head, bars], top=top, height=170 * paper.tall)


def _looks(palette: Palette) -> tuple[Look, ...]:
    """Neighbours in a bar are far apart in lightness, so that a grey print tells them apart.

    Any two fills differ in it.  Of more kinds than fills, the later ones have a heavy edge.
    """
    fills = (
        palette.series1,
        palette.series3,
        palette.series2,
        palette.band,
        palette.ink,
        palette.ground,
    )
    edges = ((palette.muted, 0.6), (palette.warn, 2.4))
    return tuple(
        {"fill": fill, "stroke": stroke, "strokeWidth": wide}
        for stroke, wide in edges
        for fill in fills
    )


def _patch(paper: Sheet, look: Look) -> Look:
    return {"shape": "square", "filled": True, "size": paper.dot * 3, **look}


def _bars(costs: Sequence[YearCost], look_of: Mapping[str, Look], paper: Sheet) -> alt.Chart:
    kinds = list(look_of)
    every = _every_year(costs)
    # A few bars in a wide picture would look like walls, so they stay narrow.
    wide = min(36.0, 0.64 * paper.plot / max(1, len(every)))
    records: list[Record] = [
        {
            "year": cost.year,
            "kind": cost.kind,
            "amount": cost.amount,
            "order": kinds.index(cost.kind),
        }
        for cost in costs
    ]
    highest: Look = {} if any(cost.amount for cost in costs) else {"domain": [0, 1]}
    bars = layer(records).mark_bar(size=wide, strokeWidth=0.6)
    made: alt.Chart = bars.encode(
        x=_years(every, paper),
        y=alt.Y(
            "amount",
            type="quantitative",
            stack="zero",
            scale=alt.Scale(nice=4, zero=True, **highest),
            axis=alt.Axis(tickCount=4, title=None, format=",f"),
        ),
        fill=alt.Fill("kind", **_by_kind(look_of, "fill")),
        stroke=alt.Stroke("kind", **_by_kind(look_of, "stroke")),
        order=alt.Order("order", type="quantitative"),
    )
    if len({look["strokeWidth"] for look in look_of.values()}) > 1:
        made = made.encode(strokeWidth=alt.StrokeWidth("kind", **_by_kind(look_of, "strokeWidth")))
    return made


def _by_kind(look_of: Mapping[str, Look], part: str) -> Look:
    """How one part of a bar's look hangs on the kind of work; the key is drawn by itself."""
    told = [look[part] for look in look_of.values()]
    return {
        "type": "nominal",
        "scale": alt.Scale(domain=list(look_of), range=told),
        "legend": None,
    }


def _every_year(costs: Sequence[YearCost]) -> list[int]:
    years = sorted(cost.year for cost in costs)
    return list(range(years[0], years[-1] + 1)) if years else []


def _years(every: list[int], paper: Sheet) -> alt.X:
    """The years, named where there is room for the figures, the last one always."""
    size = paper.size
    step = paper.plot / max(1, len(every))
    nth = max(1, math.ceil(lettering.width("2000", size) * 1.25 / step))
    return alt.X(
        "year",
        type="ordinal",
        scale=alt.Scale(domain=every, padding=0),
        axis=alt.Axis(values=every[::-1][::nth][::-1], labelAngle=0, title=None, ticks=False),
    )
