"""Lettering laid at a place, and the line over a plot: the y axis's title and the key."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt

from dossier.charts import lettering
from dossier.charts.lettering import MOVES
from dossier.charts.sheet import TEXT_FACE, Look, Record, Sheet, layer, still


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """A sign of the picture's key with its word; `sign` holds properties of a point mark."""

    word: str
    sign: Look


@dataclass(frozen=True, slots=True)
class Lettering:
    """A line of text and its place in pixels from the plot's upper left corner."""

    text: str
    x: float
    y: float


def lettered(
    paper: Sheet,
    lines: Sequence[Lettering],
    *,
    clear: bool = False,
    moves: bool = False,
    **mark: Any,
) -> list[alt.Chart]:
    """Lines of text of one look, as one layer; none where there is no line.

    `clear` lays the ground's colour below them, where rules cross their place; `moves` marks them
    as standing at a place of the axis.
    """
    records: list[Record] = [{"text": one.text, "x": one.x, "y": one.y} for one in lines]
    made: Look = {
        "align": "left",
        "baseline": "middle",
        "color": paper.palette.ink,
        "font": TEXT_FACE,
        "fontSize": paper.size,
    }
    place: Look = {"description": MOVES} if moves else {}
    text = layer(records).encode(
        x=alt.X("x", type="quantitative", scale=None, axis=None),
        y=alt.Y("y", type="quantitative", scale=None, axis=None),
        text=alt.Text("text", type="nominal"),
    )
    if not records:
        return []
    ground = _cleared(paper, lines, place) if clear else []
    return [*ground, text.mark_text(**(made | mark | place))]


def _cleared(paper: Sheet, lines: Sequence[Lettering], place: Look) -> list[alt.Chart]:
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
    patch = layer(patches).mark_rect(color=paper.palette.ground, **place)
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
        at: Look = {"x": alt.XValue(left + paper.size * 0.5), "y": alt.YValue(y)}
        layers.append(still().mark_point(**mark).encode(**at))
    return [*lettered(paper, lines), *layers], top
