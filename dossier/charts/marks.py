"""Marks from bass to treble, a row a kind, with what is open told from what is closed."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from dossier.charts import lettering
from dossier.charts.axes import breaks_between, compass
from dossier.charts.heading import KeyEntry, Lettering, heading, lettered
from dossier.charts.sheet import Look, Record, Sheet, finish, layer
from dossier.edition.figures import MarkedKey, MarksPicture


def chart(drawn: MarksPicture, paper: Sheet) -> alt.TopLevelLayerSpec:
    """Open marks are full and tall, closed ones hollow and low; a row's name stands over its line.

    The names take no room at the side, so that long ones leave the compass its width on a phone.
    """
    x = compass(paper, "from", drawn.first, drawn.last, drawn.ticks)
    high = paper.line * 2.25
    states = [
        KeyEntry(word, _sign(paper, is_open=is_open))
        for is_open, word in ((True, drawn.open_word), (False, drawn.closed_word))
        if any(mark.is_open == is_open for mark in drawn.marks)
    ]
    head, top = heading(paper, "", states)
    names = [
        Lettering(lettering.shortened(row, paper.size, paper.plot), 0, high * (place + 0.22))
        for place, row in enumerate(drawn.rows)
    ]
    layers = [*head, *breaks_between(paper, x, drawn.breaks), *lettered(paper, names)]
    for place, row in enumerate(drawn.rows):
        layers += _row(drawn, row, paper, x, high * (place + 0.69))
    return finish(paper, layers, top=top, height=high * len(drawn.rows) + paper.size * 0.2)


def _look(paper: Sheet, *, is_open: bool) -> Look:
    colours = paper.palette
    if is_open:
        return {"fill": colours.warn, "stroke": colours.warn, "strokeWidth": 0.6}
    return {"fill": colours.ground, "stroke": colours.muted, "strokeWidth": 1}


def _sign(paper: Sheet, *, is_open: bool) -> Look:
    half = paper.line * _half(is_open=is_open)
    wide = paper.size * 0.28
    shape = f"M{-wide:.2f},{-half:.2f}H{wide:.2f}V{half:.2f}H{-wide:.2f}Z"
    # A path is drawn at its own size where a point's area is 4.
    return {"shape": shape, "filled": True, "size": 4} | _look(paper, is_open=is_open)


def _half(*, is_open: bool) -> float:
    """Half a mark's height, in lines."""
    return 0.38 if is_open else 0.22


def _row(drawn: MarksPicture, row: str, paper: Sheet, x: alt.X, middle: float) -> list[alt.Chart]:
    line = layer([{"from": drawn.first - 0.5, "to": drawn.last + 0.5}]).mark_rule(
        color=paper.palette.rule, strokeWidth=1
    )
    layers = [line.encode(x=x, x2=alt.X2("to"), y=alt.YValue(middle))]
    for is_open in (False, True):
        marks = [mark for mark in drawn.marks if mark.row == row and mark.is_open == is_open]
        if marks:
            bars = layer(_records(marks)).mark_rect(**_look(paper, is_open=is_open))
            half = paper.line * _half(is_open=is_open)
            ends: Look = {"y": alt.YValue(middle - half), "y2": alt.Y2Value(middle + half)}
            layers.append(bars.encode(x=x, x2=alt.X2("to"), **ends))
    return layers


def _records(marks: Sequence[MarkedKey]) -> list[Record]:
    """A key is as wide as its place on the axis, from half a key before it to half after."""
    return [
        {
            "row": mark.row,
            "first": mark.first,
            "last": mark.last,
            "state": mark.state,
            "from": mark.first - 0.5,
            "to": mark.last + 0.5,
        }
        for mark in marks
    ]
