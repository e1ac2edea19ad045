"""What a point of a chart says when a reader comes to it: its figure in words, without a mouse.

A row of a chart's data that stands for a figure of the view gets a text; what only helps to draw
(a heading, a band, a zero line) gets none and is passed over.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from dossier.edition.figures import (
    AgainstTarget,
    Ahead,
    AlongCompass,
    CostYears,
    Drawn,
    MarksPicture,
    RoomYear,
    SeasonAir,
    TensionAlong,
    ThroughYears,
)
from dossier.quantities import Formatter, key_name

Row = Mapping[str, Any]
Reader = Callable[[Row, Any, Formatter], str]


def said(row: Row, drawn: Drawn, form: Formatter) -> str:
    """The text of a row of that chart's data; "" for a row that is no figure."""
    return _READERS[type(drawn)](row, drawn, form)


def _along(row: Row, drawn: AlongCompass, form: Formatter) -> str:
    stage = drawn.left_word if row.get("stage") else drawn.found_word
    if "note" in row:
        return f"{row['note']}, {stage}: {_cents(row['cents'], form)} {drawn.cents_word}"
    if "register" in row:
        return f"{row['register']}, {stage}: {_cents(row['cents'], form)} {drawn.cents_word}"
    return ""


def _years(row: Row, drawn: ThroughYears, form: Formatter) -> str:
    if "tag" in row:
        return f"{_day(row, form)}: {row['tag']}"
    if "humidity" in row:
        return f"{_day(row, form)}, {drawn.humidity_word}: {form.number(row['humidity'])}"
    if "register" in row:
        stage = drawn.left_word if row["stage"] else drawn.found_word
        told = f"{_cents(row['cents'], form)} {drawn.cents_word}"
        return f"{_day(row, form)}, {row['register']}, {stage}: {told}"
    return ""


def _ahead(row: Row, drawn: Ahead, form: Formatter) -> str:
    if "low" in row:
        low, high = _cents(row["low"], form), _cents(row["high"], form)
        return f"{_day(row, form)}, {drawn.band_word}: {low} … {high} {drawn.cents_word}"
    if "stage" in row:
        stage = drawn.left_word if row["stage"] else drawn.found_word
        return f"{_day(row, form)}, {stage}: {_cents(row['cents'], form)} {drawn.cents_word}"
    return ""


def _room(row: Row, drawn: RoomYear, form: Formatter) -> str:
    if row.get("humidity") is None or "when" not in row:
        return ""
    told = form.humidity(row["humidity"], 0)
    if "low" not in row:
        return f"{_day(row, form)}, {drawn.visits_word}: {told}"
    if row["low"] is None or row["high"] is None:
        return f"{_day(row, form)}: {told}"
    low, high = form.number(row["low"]), form.humidity(row["high"], 0)
    return f"{_day(row, form)}: {told} ({low} … {high})"


def _season(row: Row, drawn: SeasonAir, form: Formatter) -> str:
    if "month" in row:
        month = form.month_name(row["month"])
        return f"{month}, {drawn.warmed_word}: {form.humidity(row['humidity'], 0)}"
    if "when" in row:
        return f"{_day(row, form)}, {drawn.readings_word}: {form.humidity(row['humidity'], 0)}"
    return ""


def _marks(row: Row, drawn: MarksPicture, form: Formatter) -> str:  # noqa: ARG001
    if "state" not in row:
        return ""
    first, last = key_name(row["first"]), key_name(row["last"])
    return f"{first if first == last else f'{first}–{last}'}, {row['row']}: {row['state']}"


def _target(row: Row, drawn: AgainstTarget, form: Formatter) -> str:
    if "value" not in row:
        return ""
    where = f", {row['note']}" if row["note"] else ""
    how = f", {row['how']}" if row["how"] else ""
    shown = form.number(row["value"], 3).rstrip("0").rstrip(".,")
    return f"{_day(row, form)}{where}{how}: {drawn.kind} {shown}\u00a0{drawn.unit}".rstrip()


def _cost(row: Row, drawn: CostYears, form: Formatter) -> str:
    if "amount" not in row:
        return ""
    return f"{row['year']}, {row['kind']}: {drawn.currency}\u00a0{form.number(row['amount'], 2)}"


def _tension(row: Row, drawn: TensionAlong, form: Formatter) -> str:
    if "tension" not in row:
        return ""
    kind = drawn.wound_word if row["wound"] else drawn.plain_word
    weak = f", {drawn.weak_word}" if row["weak"] else ""
    return f"{row['note']}, {kind}{weak}: {drawn.tension_word} {form.number(row['tension'])}"


def _day(row: Row, form: Formatter) -> str:
    return form.date(date.fromisoformat(row["when"]))


def _cents(value: float, form: Formatter) -> str:
    return form.cents_number(value)


_READERS: Mapping[type[Any], Reader] = {
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
