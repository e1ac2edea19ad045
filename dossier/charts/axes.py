"""The axes: from bass to treble and upright, with bands across the plot."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Sequence

import altair as alt

from dossier.charts import lettering
from dossier.charts.sheet import Look, Sheet, layer


def labels(names: Iterable[tuple[float, str]], value: str = "datum.value") -> str:
    """The expression that gives an axis's values their names."""
    table = json.dumps({repr(value): name for value, name in names}, ensure_ascii=False)
    return f"({table})[{value}]"


def named(expression: str) -> dict[str, str]:
    """The values' names, out of the expression that `labels` made of them."""
    table: dict[str, str] = json.loads(expression[1 : expression.rindex(")[")])
    return table


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
    margin = 0.06 * max(high - low, least)
    return low - short - margin, high + short + margin


def breaks_between(paper: Sheet, x: alt.X, breaks: Iterable[int]) -> list[alt.Chart]:
    """Faint upright rules where a further section of the scale begins."""
    at = [{"key": first - 0.5} for first in breaks]
    rule = layer(at).mark_rule(color=paper.palette.rule, strokeDash=[2, 3], strokeWidth=1)
    return [rule.encode(x=x)] if at else []
