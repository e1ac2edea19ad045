"""instruments/<instrument>/scale.csv: speaking length and wire of each note."""

from __future__ import annotations

import csv
from decimal import Decimal, InvalidOperation

from dossier.diagnostics import Span
from dossier.model import ScaleString
from dossier.quantities import QuantityError, key_name, parse_key, sure
from dossier.read.fields import did_you_mean
from dossier.read.pieces import Findings, fixed, key_shape, quote
from dossier.read.text import decode

_COLUMNS = ("note", "length_mm", "diameter_mm", "cover_mm", "g_per_m", "strings")
_NEEDED = ("note", "length_mm", "diameter_mm")
# Speaking lengths and wires beyond these are slips of a decimal point, whatever the instrument;
# a cover is the winding wire and not the whole string.  Analysis takes what lies within them.
_LIMITS = {
    "length_mm": (Decimal(20), Decimal(3000)),
    "diameter_mm": (Decimal("0.3"), Decimal(4)),
    "cover_mm": (Decimal("0.05"), Decimal(4)),
    "g_per_m": (Decimal("0.5"), Decimal(500)),
    "strings": (Decimal(1), Decimal(3)),
}


def read_scale(
    raw: bytes, file: str, compass: tuple[int, int], findings: Findings
) -> tuple[ScaleString, ...]:
    """Read a scale, lowest note first.  A row that can't be read is an error of its own."""
    text, found = decode(raw, file)
    findings.add(found)
    if text is None:
        return ()
    lines = text.split("\n")
    delimiter = max(",;\t", key=lines[0].count)
    columns = _header(lines[0], delimiter, file, findings)
    if columns is None:
        return ()
    strings: dict[int, ScaleString] = {}
    for number, line in enumerate(lines[1:], 2):
        if not line.strip():
            continue
        row = _row(line, number, delimiter, columns, file, compass, findings)
        if row is not None and row.key in strings:
            findings.error(
                "scale-twice",
                f"{key_name(row.key, 'ascii')} has a row on line {strings[row.key].span.line} "
                "already.",
                row.span,
                "Keep one of them.",
            )
        elif row is not None:
            strings[row.key] = row
    if not strings and not any(finding.span.file == file for finding in findings.gathered):
        findings.error("scale-empty", "The scale has no rows.", Span(file), "Write one a note.")
    return tuple(strings[key] for key in sorted(strings))


def _header(line: str, delimiter: str, file: str, findings: Findings) -> list[str] | None:
    names = [key_shape(cell).replace(" ", "_") for cell in _cells(line, delimiter)]
    for name in names:
        if name not in _COLUMNS or names.count(name) > 1:
            twice = names.count(name) > 1
            at = max(line.casefold().find(name), 0)
            place = Span(file, 1, at + 1, len(name))
            findings.error(
                "scale-column",
                f'The scale has the column "{name}" twice.'
                if twice
                else f'"{name}" is not a column of a scale.',
                place,
                "Keep one of them."
                if twice
                else did_you_mean(name, _COLUMNS, f"The columns are {', '.join(_COLUMNS)}."),
                None if twice else fixed(place, line[at : at + len(name)], sure(name, _COLUMNS)),
            )
            return None
    for name in _NEEDED:
        if name not in names:
            findings.error(
                "scale-column",
                f'The scale has no column "{name}".',
                Span(file, 1, 1, len(line)),
                f"Write the first line like {','.join(_COLUMNS)}",
            )
            return None
    return names


def _row(
    line: str,
    number: int,
    delimiter: str,
    columns: list[str],
    file: str,
    compass: tuple[int, int],
    findings: Findings,
) -> ScaleString | None:
    cells = _cells(line, delimiter)
    span = Span(file, number, 1, len(line))
    if len(cells) != len(columns):
        findings.error(
            "scale-cells",
            f"This row has {len(cells)} cells, and the first line names {len(columns)} columns.",
            span,
            "Leave a cell empty where nothing is known; in a file with commas, write points.",
        )
        return None
    by_name = dict(zip(columns, cells, strict=True))
    try:
        key = parse_key(by_name["note"], *compass)
        values = {name: _figure(name, by_name.get(name, "")) for name in _LIMITS}
    except QuantityError as error:
        findings.error("scale-row", error.message, span, error.hint)
        return None
    length, diameter = values["length_mm"], values["diameter_mm"]
    if length is None or diameter is None:
        missing = "length_mm" if length is None else "diameter_mm"
        findings.error(
            "scale-row", f"This row has no {missing}.", span, "Write it, or delete the row."
        )
        return None
    return ScaleString(
        span=span,
        key=key,
        length_m=length / 1000,
        diameter_mm=diameter,
        cover_mm=values["cover_mm"],
        linear_density=values["g_per_m"],
        strings=int(values["strings"] or 3),
    )


def _figure(name: str, cell: str) -> Decimal | None:
    if not cell:
        return None
    try:
        value = Decimal(cell.replace(",", "."))
    except InvalidOperation:
        raise QuantityError(f"{quote(cell)} is not a number.", "Write it like 1.025.") from None
    low, high = _LIMITS[name]
    if not value.is_finite() or not low <= value <= high:
        raise QuantityError(
            f"{quote(cell)} cannot be the {name} of a string.", f"It lies from {low} to {high}."
        )
    if name == "strings" and value != int(value):
        raise QuantityError(f"{quote(cell)} is not a number of strings.", "Write 1, 2 or 3.")
    return value


def _cells(line: str, delimiter: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter), [])]
