"""Short forms of pitch: `found:`, `left:` and the air that they were read in."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from dossier.diagnostics import Span
from dossier.model import Air, Pitch, Reading
from dossier.quantities import ReadingText, parse_air, parse_readings
from dossier.read.pieces import Findings, Piece, refuse
from dossier.read.pitch_table import Stage, read_rows
from dossier.read.schema import Entry
from dossier.read.values import parsed, the_piece
from dossier.read.yaml_nodes import Items, Node

_ON_PITCH = re.compile(r"(?:on|at)\s+pitch", re.IGNORECASE)
_AS_FOUND = re.compile(r"as\s+(?:it\s+was\s+)?found|untouched", re.IGNORECASE)


def read_air(piece: Piece, entry: Entry) -> Air:
    """`17.5 °C, 71 %`; a bare temperature is °C, or °F in a shop with imperial units."""
    default = "°F" if entry.setting.imperial else "°C"
    temperature, humidity = parsed(lambda text: parse_air(text, default), piece, "air")
    return Air(span=piece.span(), temperature_c=temperature, humidity=humidity)


def read_pitch(node: Node, entry: Entry) -> Pitch:
    """`8 sharp`, `A1 +6, A4 442.1 Hz`, `on pitch`; for what was left also `as found`.

    The cents of a frequency are filled in by `in_cents`, once the visit's pitch is known.
    """
    pieces = (
        [the_piece(item, entry) for item in node.nodes]
        if isinstance(node, Items)
        else [the_piece(node, entry)]
    )
    first = pieces[0]
    if len(pieces) == 1 and "\n" in first.text:
        stage: Stage = "left" if entry.key.text.casefold() == "left" else "found"
        lines = first.parts("\n")
        return pasted_pitch(lines, stage, entry.findings, entry.setting.compass, first.span())
    if len(pieces) == 1 and _ON_PITCH.fullmatch(first.text):
        return Pitch(span=first.span(), how="on pitch")
    if len(pieces) == 1 and _AS_FOUND.fullmatch(first.text):
        if entry.key.text.casefold() != "left":
            raise refuse(
                "found-as-found",
                'Only "left" can be as found.',
                first.span(),
                "Write what was found, or take the key out where nothing was measured.",
            )
        return Pitch(span=first.span(), how="as found")
    readings = tuple(reading for piece in pieces for reading in _readings(piece, entry))
    _refuse_repeats(readings)
    return Pitch(span=first.span(), how="readings", readings=readings)


def pasted_pitch(
    lines: Sequence[Piece],
    stage: Stage,
    findings: Findings,
    compass: tuple[int, int],
    place: Span,
) -> Pitch:
    """A tuning program's table, one note a line, as it was pasted into a note."""
    rows = read_rows(lines, stage, findings, compass)
    readings = tuple(_reading(row.reading, row.place) for row in rows)
    return Pitch(span=place, how="readings", readings=readings)


def _readings(piece: Piece, entry: Entry) -> list[Reading]:
    low, high = entry.setting.compass
    written = parsed(lambda text: parse_readings(text, low, high), piece, "reading")
    return [_reading(one, piece.span(one.offset, one.length)) for one in written]


def _reading(one: ReadingText, place: Span) -> Reading:
    return Reading(
        span=place,
        key=one.key,
        string=one.string,
        cents=Decimal(0) if one.cents is None else one.cents,
        hertz=one.hertz,
    )


def _refuse_repeats(readings: tuple[Reading, ...]) -> None:
    seen: dict[tuple[int | None, int | None], Reading] = {}
    for reading in readings:
        place = (reading.key, reading.string)
        if place in seen:
            raise refuse(
                "reading-twice",
                "There are two readings of one note."
                if reading.key
                else "There are two figures for the whole instrument.",
                reading.span,
                "Keep one, or name the strings, as in A4.1.",
            )
        seen[place] = reading


def in_cents(pitch: Pitch | None, reference_hz: float) -> Pitch | None:
    """Fill in the cents of readings that were written as frequencies.

    Equal temperament on A4 = `reference_hz`: cents = 1200 log2(f / (A4 · 2^((key - 49) / 12))),
    the definition of the cent; to a hundredth.  A frequency without a note is that of A4.
    """
    if pitch is None or all(reading.hertz is None for reading in pitch.readings):
        return pitch
    readings = tuple(
        reading
        if reading.hertz is None
        else replace(reading, cents=_cents(float(reading.hertz), reading.key or 49, reference_hz))
        for reading in pitch.readings
    )
    return replace(pitch, readings=readings)


def _cents(hertz: float, key: int, reference_hz: float) -> Decimal:
    cents = 1200 * math.log2(hertz / reference_hz) - 100 * (key - 49)
    return Decimal(f"{cents:.2f}")
