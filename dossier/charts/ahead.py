"""Where the pitch is likely to go: the last visits, the forecast as a band, the best weeks."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from dossier.charts import dates, lettering
from dossier.charts.along import zero_line
from dossier.charts.axes import band_sign, spanned, upright
from dossier.charts.course import sign
from dossier.charts.heading import KeyEntry, heading
from dossier.charts.sheet import Look, Record, Sheet, finish, layer
from dossier.edition.figures import Ahead, YearPoint


def chart(drawn: Ahead, paper: Sheet) -> alt.TopLevelLayerSpec:
    """The forecast is a band with a faint middle; the best weeks are a frame around a piece of it.

    The visits stand before it as they were found and left, joined as the pitch went.
    """
    held = dates.span(
        [*(point.when for point in drawn.points), *(day.when for day in drawn.days)], least=200
    )
    x = dates.axis("when", held, _ticks(drawn, held, paper), grid=False)
    domain = spanned(
        [
            *(point.cents for point in drawn.points),
            *(value for day in drawn.days for value in (day.low, day.high)),
        ],
        least=16,
        around=(0.0,),
    )
    head, top = heading(paper, drawn.cents_word, _entries(drawn, paper))
    layers = [*head, *_window(drawn, paper, x), *_band(drawn, paper, x, domain), zero_line(paper)]
    layers += _visits(drawn.points, paper, x, upright("cents", domain, signed=True))
    return finish(paper, layers, top=top, height=200 * paper.tall)


def _entries(drawn: Ahead, paper: Sheet) -> list[KeyEntry]:
    words = (drawn.found_word, drawn.left_word)
    stages = sorted({point.stage for point in drawn.points})
    entries = [KeyEntry(words[stage], sign(paper, stage, wide=False)) for stage in stages]
    entries.append(KeyEntry(drawn.band_word, band_sign(paper)))
    if drawn.window is not None:
        entries.append(KeyEntry(drawn.window_word, _frame_sign(paper)))
    return entries


def _frame_sign(paper: Sheet) -> Look:
    return {
        "shape": "square",
        "filled": False,
        "stroke": paper.palette.ink,
        "strokeWidth": 0.9,
        "strokeDash": [2, 2],
        "size": paper.dot * 3,
    }


def _ticks(drawn: Ahead, held: dates.Span, paper: Sheet) -> tuple[tuple[int, str], ...]:
    if not drawn.ticks:
        return dates.years(held, paper)
    places = {
        dates.place(when, held, paper): (dates.moment(when), name)
        for when, name in drawn.ticks
        if held[0] <= when <= held[1]
    }
    named = [(place, name) for place, (_, name) in places.items()]
    end = paper.plot + paper.right
    kept = lettering.spaced(named, paper.size, gap=paper.size * 0.25, end=end)
    return tuple(places[place] for place, _ in kept)


def _band(drawn: Ahead, paper: Sheet, x: alt.X, domain: tuple[float, float]) -> list[alt.Chart]:
    records: list[Record] = [
        {"when": day.when.isoformat(), "low": day.low, "cents": day.middle, "high": day.high}
        for day in drawn.days
    ]
    low = upright("low", domain, signed=True)
    area = layer(records).mark_area(color=paper.palette.band, stroke=paper.palette.muted)
    middle = layer(records).mark_line(color=paper.palette.muted, strokeWidth=0.9, strokeDash=[1, 3])
    return [
        area.encode(x=x, y=low, y2=alt.Y2("high")),
        middle.encode(x=x, y=upright("cents", domain, signed=True)),
    ]


def _window(drawn: Ahead, paper: Sheet, x: alt.X) -> list[alt.Chart]:
    if drawn.window is None:
        return []
    first, last = drawn.window
    frame = layer([{"when": first.isoformat(), "until": last.isoformat()}]).mark_rect(
        filled=False, stroke=paper.palette.ink, strokeWidth=0.9, strokeDash=[2, 2]
    )
    return [frame.encode(x=x, x2=alt.X2("until"))]


def _visits(points: Sequence[YearPoint], paper: Sheet, x: alt.X, y: alt.Y) -> list[alt.Chart]:
    ordered = sorted(points, key=lambda point: (point.when, point.stage))
    records: list[Record] = [
        {
            "when": point.when.isoformat(),
            "stage": point.stage,
            "cents": point.cents,
            "order": order,
        }
        for order, point in enumerate(ordered)
    ]
    order = alt.Order("order", type="quantitative")
    line = layer(records).mark_line(color=paper.palette.muted, strokeWidth=0.9)
    layers = [line.encode(x=x, y=y, order=order)]
    for stage in (0, 1):
        own = [record for record in records if record["stage"] == stage]
        if own:
            dots = layer(own).mark_point(**sign(paper, stage, wide=False))
            layers.append(dots.encode(x=x, y=y))
    return layers
