"""The course of a register's pitch through the years, in a panel of its own."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

import altair as alt

from dossier.charts import dates, lettering
from dossier.charts.along import found_sign, left_sign
from dossier.charts.axes import spanned, upright
from dossier.charts.heading import Lettering, lettered
from dossier.charts.sheet import FIGURE_FACE, Look, Record, Sheet, layer
from dossier.edition.figures import YearPoint


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


def ordinary(points: Sequence[YearPoint]) -> tuple[float, float]:
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


def sign(paper: Sheet, stage: int, *, wide: bool) -> Look:
    """A figure for the whole instrument is wide and hollow: it is the less certain one."""
    made = left_sign(paper) if stage else found_sign(paper)
    return made | {"fill": paper.palette.ground, "size": paper.dot * 2} if wide else made


def course(
    own: Sequence[YearPoint],
    whole: Sequence[YearPoint],
    paper: Sheet,
    x: alt.X,
    panel: Panel,
) -> list[alt.Chart]:
    """The line from level to level, the levels, and those off the scale as figures at its end.

    A figure for the whole instrument holds for each register, wide and hollow; the line takes
    it where the register has none of its own at that stage of the visit.
    """
    stages = {(point.when, point.stage) for point in own}
    filled = [point for point in whole if (point.when, point.stage) not in stages]
    line = layer(_records((*own, *filled), panel))
    y = panel.y("shown", signed=True)
    order = alt.Order("order", type="quantitative")
    layers = [
        line.mark_line(color=paper.palette.muted, strokeWidth=0.9).encode(x=x, y=y, order=order)
    ]
    low, high = panel.domain
    crowded: Look = {"size": paper.dot * 0.7} if len(own) > 40 else {}
    for points, wide in ((whole, True), (own, False)):
        for stage in (0, 1):
            near = [
                point for point in points if point.stage == stage and low <= point.cents <= high
            ]
            mark: Look = sign(paper, stage, wide=wide) | ({} if wide else crowded)
            if near:
                dots = layer(_records(near, panel)).mark_point(**mark)
                layers.append(dots.encode(x=x, y=y))
    far = [point for point in (*own, *whole) if not low <= point.cents <= high]
    return layers + _far(far, paper, x, panel)


def _records(points: Sequence[YearPoint], panel: Panel) -> list[Record]:
    low, high = panel.domain
    ordered = sorted(points, key=lambda point: (point.when, point.stage))
    return [
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


def _far(points: Sequence[YearPoint], paper: Sheet, x: alt.X, panel: Panel) -> list[alt.Chart]:
    """Pointers to what lies beyond the scale, each with its figure beside it."""
    layers: list[alt.Chart] = []
    for shape, below in (("triangle-down", True), ("triangle-up", False)):
        beyond = [point for point in points if (point.cents < 0) == below]
        if not beyond:
            continue
        y = panel.lower if below else panel.upper
        look: Look = {"shape": shape, "filled": True, "size": paper.dot * 1.5}
        colours: Look = {"fill": paper.palette.ground, "stroke": paper.palette.found}
        pointer = layer(_records(beyond, panel)).mark_point(**look, **colours)
        layers += _far_figures(beyond, paper, panel, y)
        layers.append(pointer.encode(x=x, y=alt.YValue(y)))
    return layers


def _far_figures(
    points: Sequence[YearPoint], paper: Sheet, panel: Panel, y: float
) -> list[alt.Chart]:
    lines = []
    for point in points:
        text = f"{point.cents:+.3g}".replace("-", "−").replace(".", paper.signs[0])
        room = paper.plot + paper.right - lettering.width(text, paper.size)
        at = dates.place(point.when, panel.held, paper) + paper.size * 0.6
        lines.append(Lettering(text, min(at, room), y))
    return lettered(paper, lines, clear=True, moves=True, font=FIGURE_FACE)
