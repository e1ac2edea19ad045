"""Ranges: `35-55 %` for the comfort band, `grand 1-2 mm` for a target."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from decimal import Decimal
from typing import Literal

from dossier.model import Target
from dossier.model.measurement import Unit
from dossier.quantities import parse_humidity, parse_length, parse_mass, parse_torque
from dossier.read.pieces import Piece, refuse
from dossier.read.values import parsed

_NUMBER = r"[+]?\d+(?:[.,]\d+)?(?:\s*/\s*\d+)?"
_RANGE = re.compile(
    rf"(?P<low>{_NUMBER})\s*(?P<low_unit>[^\d\s\-–—−][^\d\-–—−]*?)?\s*(?:[-–—−]|to)\s*(?P<high>{_NUMBER})\s*(?P<unit>\D*)"
)
_PARSERS: Mapping[str, Callable[[str], Decimal]] = {
    "%": parse_humidity,
    "mm": parse_length,
    "g": parse_mass,
    "N·m": parse_torque,
    "cents": lambda text: Decimal(text.removesuffix("cents").strip().replace(",", ".")),
}
_FORM = re.compile(r"(?P<form>grand|upright)s?\b[\s:,]*", re.IGNORECASE)


def read_range(piece: Piece, unit: Unit | Literal["%"], what: str) -> tuple[Decimal, Decimal]:
    """A range in a unit; a bare one is in that unit.  Raises Refused."""
    match = _RANGE.fullmatch(piece.text)
    if match is None:
        raise refuse(
            "range",
            f"{piece.quoted} is not a range.",
            piece.span(),
            f"Write the {what} like {'35-55 %' if unit == '%' else f'10-12 {unit}'}.",
        )
    written = (match["unit"] or "").strip() or unit
    if unit == "cents" and written.rstrip("s") != "cent":
        raise refuse("range", f'"{written}" is not cents.', piece.span(match.start("unit")))

    def read(text: str) -> Decimal:
        return _PARSERS[unit](f"{text} {unit if unit == 'cents' else written}")

    low = parsed(read, piece.part(*match.span("low")), "range")
    high = parsed(read, piece.part(*match.span("high")), "range")
    if low >= high:
        raise refuse(
            "range-order",
            f"{piece.quoted} does not run upwards.",
            piece.span(),
            "Write the smaller figure first.",
        )
    return low, high


def read_target(piece: Piece, unit: Unit) -> Target:
    """`grand 1-2 mm`, or `1-2 mm` for every form of instrument."""
    form = _FORM.match(piece.text)
    low, high = read_range(piece.part(form.end() if form else 0), unit, "target")
    if form is None:
        return Target("any", low, high)
    return Target("grand" if form["form"].casefold() == "grand" else "upright", low, high)
