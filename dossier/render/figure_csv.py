"""A chart's figures as a file for a spreadsheet: every one that is drawn, plain and unrounded."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Callable, Iterable, Mapping
from datetime import date
from typing import Any

from dossier.edition.figures import (
    AgainstTarget,
    Ahead,
    AlongCompass,
    CostYears,
    Drawn,
    Figure,
    KeyCents,
    MarksPicture,
    RegisterCents,
    RoomYear,
    SeasonAir,
    TensionAlong,
    ThroughYears,
)
from dossier.quantities import key_name
from dossier.words import Words

Cell = str | int | float | date | None
Rows = tuple[tuple[str, ...], Iterable[tuple[Cell, ...]]]
# What a spreadsheet takes for a formula (OWASP, "CSV Injection"); a minus before a figure is one.
_FORMULA = re.compile(r"[=+@\t\r]|-(?![\d.])")


def figure_csv(figure: Figure, words: Words) -> bytes:
    """The figures of a chart, with a header that names each column's unit.

    UTF-8 with a mark at its start, by which spreadsheets know it; rows end as RFC 4180 says.
    Days are ISO 8601, figures have a decimal point, and a text that a spreadsheet would work out
    as a formula has an apostrophe before it.
    """
    header, rows = _ROWS[type(figure.drawn)](figure.drawn, words)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    for row in (header, *rows):
        writer.writerow([_cell(value) for value in row])
    return text.getvalue().encode("utf-8-sig")


def file_name(figure: str) -> str:
    """A figure's file, of letters, figures and hyphens, whatever a shop calls its own kinds."""
    return re.sub(r"[^\w-]+", "-", figure) + ".csv"


def _cell(value: Cell) -> str:
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        return ""
    text = value.isoformat() if isinstance(value, date) else str(value)
    return f"'{text}" if isinstance(value, str) and _FORMULA.match(text) else text


def _along(drawn: AlongCompass, w: Words) -> Rows:
    def lines(
        stage: str, readings: Iterable[KeyCents], levels: Iterable[RegisterCents]
    ) -> Iterable[tuple[Cell, ...]]:
        yield from ((drawn.when, stage, one.note, "", one.cents) for one in readings)
        for one in levels:
            yield (
                drawn.when,
                stage,
                f"{key_name(one.first)}–{key_name(one.last)}",
                one.name,
                (one.cents),
            )

    header = (w("date"), w("stage"), w("note"), w("register"), drawn.cents_word)
    return header, (
        *lines(drawn.found_word, drawn.found, drawn.found_levels),
        *lines(drawn.left_word, drawn.left, drawn.left_levels),
    )


def _years(drawn: ThroughYears, w: Words) -> Rows:
    stages = (drawn.found_word, drawn.left_word)
    return (w("date"), w("register"), w("stage"), drawn.cents_word, drawn.humidity_word), (
        *((p.when, p.register, stages[p.stage], p.cents, None) for p in drawn.points),
        *((when, "", "", None, humidity) for when, humidity in drawn.humidity),
    )


def _ahead(drawn: Ahead, w: Words) -> Rows:
    stages = (drawn.found_word, drawn.left_word)
    header = (
        w("date"),
        w("stage"),
        drawn.cents_word,
        w("lowest likely, cents"),
        w("highest likely, cents"),
    )
    return header, (
        *((p.when, stages[p.stage], p.cents, None, None) for p in drawn.points),
        *((day.when, w("forecast"), day.middle, day.low, day.high) for day in drawn.days),
    )


def _room(drawn: RoomYear, w: Words) -> Rows:
    header = (w("date"), w("read"), drawn.humidity_word, w("lowest, %"), w("highest, %"))
    return header, (
        *((d.when, w("log"), d.mean, d.low, d.high) for d in drawn.days if d.mean is not None),
        *((when, drawn.visits_word, value, None, None) for when, value in drawn.visits),
    )


def _season(drawn: SeasonAir, w: Words) -> Rows:
    return (w("date or month"), w("what"), drawn.humidity_word), (
        *((month.name, drawn.warmed_word, round(month.warmed, 1)) for month in drawn.months),
        *((when, drawn.readings_word, value) for when, value in drawn.readings),
    )


def _marks(drawn: MarksPicture, w: Words) -> Rows:
    return (w("kind"), w("first note"), w("last note"), w("state")), (
        (mark.row, key_name(mark.first), key_name(mark.last), mark.state) for mark in drawn.marks
    )


def _target(drawn: AgainstTarget, w: Words) -> Rows:
    low, high = drawn.target or (None, None)
    unit = f", {drawn.unit}" if drawn.unit else ""
    header = (
        w("date"),
        w("note"),
        f"{drawn.kind}{unit}",
        w("how"),
        f"{w('target from')}{unit}",
        f"{w('target to')}{unit}",
    )
    return header, ((p.when, p.note, p.value, p.how, low, high) for p in drawn.points)


def _cost(drawn: CostYears, w: Words) -> Rows:
    return (w("year"), w("kind of work"), drawn.currency), (
        (cost.year, cost.kind, cost.amount) for cost in drawn.costs
    )


def _tension(drawn: TensionAlong, w: Words) -> Rows:
    return (w("note"), w("wire"), drawn.tension_word, drawn.weak_word), (
        (
            pull.note,
            drawn.wound_word if pull.wound else drawn.plain_word,
            pull.tension,
            w("yes") if pull.weak else "",
        )
        for pull in drawn.pulls
    )


_ROWS: Mapping[type[Drawn], Callable[[Any, Words], Rows]] = {
    AlongCompass: _along,
    ThroughYears: _years,
    Ahead: _ahead,
    RoomYear: _room,
    SeasonAir: _season,
    MarksPicture: _marks,
    AgainstTarget: _target,
    CostYears: _cost,
    TensionAlong: _tension,
}
