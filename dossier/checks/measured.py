"""Are measured figures of the size that such figures have?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from decimal import Decimal

from dossier.analysis.condition import measured_lives
from dossier.checks.check import figure, histories, warning
from dossier.diagnostics import Diagnostic
from dossier.model import History, Measured, MeasuredKind, Notebook
from dossier.quantities import IN_LB, INCH

Range = tuple[Decimal, Decimal]

FACTOR = 8
"""So many times over or under its target, a figure has its decimal point in the wrong place: a
slip moves it by ten, and good figures lie about the target."""


def implausible(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A misplaced decimal point or a wrong unit would be charted as a ruined instrument."""
    for history in histories(notebook):
        ranges = _ranges(history)
        kinds = {kind.name: kind for kind in history.shop.measured_kinds}
        for visit in history.visits:
            for measured in visit.measured:
                if measured.kind in ranges:
                    yield from _implausible(measured, kinds[measured.kind], ranges[measured.kind])


def _ranges(history: History) -> dict[str, Range]:
    return {
        life.kind.name: life.target[:2]
        for life in measured_lives(history)
        if life.target is not None
    }


def _implausible(measured: Measured, kind: MeasuredKind, target: Range) -> Iterator[Diagnostic]:
    low, high = target
    value = measured.value
    meant = _meant(value, kind, target)
    too_high = abs(value) >= FACTOR * high
    # A slack pin and a flat bridge give low figures, and are what one looks for.
    too_low = kind.direction != "low" and 0 < value <= low / FACTOR
    if too_high or too_low or meant:
        yield warning(
            "measured-implausible",
            f"{figure(value)} {kind.unit} is far from what {kind.name} can be; "
            f"its target is {figure(low)} to {figure(high)} {kind.unit}.",
            measured.span,
            meant or "Check the decimal point and the unit.",
        )


def _meant(value: Decimal, kind: MeasuredKind, target: Range) -> str:
    """What to write where the bare figure would be right in the other system of units."""
    low, high = target
    unit, factor = ("in-lb", IN_LB) if kind.unit == "N·m" else ("in", INCH)
    if kind.unit not in ("N·m", "mm") or low <= value <= high or not value:
        return ""
    outside = value > 2 * high if unit == "in-lb" else value <= low / FACTOR
    if outside and low / 2 <= value * factor <= high * 2:
        return f"Did you mean {figure(value)} {unit}?"
    return ""


def no_torque(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A pin without any torque holds no string; it was not measured."""
    for history in histories(notebook):
        for visit in history.visits:
            for measured in visit.measured:
                if measured.kind == "pin torque" and measured.value <= 0:
                    yield warning(
                        "torque-zero",
                        f"A pin torque of {figure(measured.value)} N·m holds no string.",
                        measured.span,
                        "Check the figure, or mark the pin under loose pins.",
                    )
