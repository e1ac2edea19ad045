"""The tension of one string of each note from bass to treble, with the nearest to breaking."""

from __future__ import annotations

from collections.abc import Sequence

import altair as alt

from dossier.charts.axes import breaks_between, compass, spanned, upright
from dossier.charts.heading import KeyEntry, heading
from dossier.charts.sheet import Look, Record, Sheet, finish, layer
from dossier.edition.figures import StringPull, TensionAlong


def chart(drawn: TensionAlong, paper: Sheet) -> alt.TopLevelLayerSpec:
    """Full points for plain wire, hollow ones for wound, triangles for the nearest to breaking.

    A good scale runs smoothly across its breaks, which stand as faint rules.
    """
    x = compass(paper, "key", drawn.first, drawn.last, drawn.ticks)
    values = [pull.tension for pull in drawn.pulls]
    largest = max(values, default=1.0)
    low, high = spanned(values, least=largest * 0.2)
    y = upright("tension", (max(low, 0.0), high))
    groups = (
        (drawn.wound_word, _wound(paper), [p for p in drawn.pulls if p.wound and not p.weak]),
        (drawn.plain_word, _plain(paper), [p for p in drawn.pulls if not p.wound and not p.weak]),
        (drawn.weak_word, _weak(paper), [pull for pull in drawn.pulls if pull.weak]),
    )
    entries = [KeyEntry(word, sign) for word, sign, pulls in groups if pulls]
    head, top = heading(paper, drawn.tension_word, entries)
    points = [
        layer(_records(pulls)).mark_point(**sign).encode(x=x, y=y)
        for _, sign, pulls in groups
        if pulls
    ]
    layers = [*head, *breaks_between(paper, x, drawn.breaks), *points]
    return finish(paper, layers, top=top, height=180 * paper.tall)


def _plain(paper: Sheet) -> Look:
    colour = paper.palette.series1
    size = paper.dot * 0.62
    return {"shape": "circle", "filled": True, "fill": colour, "stroke": colour, "size": size}


def _wound(paper: Sheet) -> Look:
    return {
        "shape": "circle",
        "filled": True,
        "fill": paper.palette.ground,
        "stroke": paper.palette.series1,
        "size": paper.dot * 0.8,
    }


def _weak(paper: Sheet) -> Look:
    colour = paper.palette.warn
    return {"shape": "triangle-up", "filled": True, "fill": colour, "stroke": colour}


def _records(pulls: Sequence[StringPull]) -> list[Record]:
    return [
        {
            "key": pull.key,
            "note": pull.note,
            "tension": pull.tension,
            "wound": pull.wound,
            "weak": pull.weak,
        }
        for pull in pulls
    ]
