"""A table of pitch readings, as another program or a spreadsheet saves it, to readings of a note.

Columns are known by their names, else by what stands in them.  Each row is read by the grammar of
the notes themselves, so that what is written into a note reads back as the same.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from dossier.diagnostics import Span
from dossier.quantities import QuantityError, parse_readings
from dossier.read.log_header import cells
from dossier.read.pieces import Findings, quote
from dossier.read.text import decode

_DELIMITERS = (";", "\t", "|", ",")
_DEEPEST_HEAD = 20  # lines that a program may write about itself first
_NUMBER = re.compile(r"[+\-−–]?\d+(?:[.,]\d+)?")
_NOTE = re.compile(r"(?:[A-Ha-h][#b♯♭]{0,2}\d?|key\s*\d+)(?:\.[1-3])?", re.IGNORECASE)
Role = Literal["note", "key", "cents", "hertz"]

_NAMES: tuple[tuple[Role, re.Pattern[str]], ...] = (
    ("hertz", re.compile(r"\bhz\b|hertz|freq", re.IGNORECASE)),
    ("cents", re.compile(r"cent|\bcts?\b|offset|deviation|found|left|reading", re.IGNORECASE)),
    ("key", re.compile(r"\bkey\b|\bno\.?$|^#$|key.?n", re.IGNORECASE)),
    ("note", re.compile(r"note|name|string|pitch|ton\b", re.IGNORECASE)),
)


@dataclass(frozen=True, slots=True)
class _Head:
    """Which column is what; `first_row` counts lines of the file from 1."""

    delimiter: str
    first_row: int
    roles: tuple[Role | None, ...]


def read_table(raw: bytes, file: str, findings: Findings) -> tuple[str, ...]:
    """The readings as a note writes them, `A4 +6` or `A4 442.1 Hz`, in the order of the rows.

    Each row that can't be read is an error at its line, and then nothing may be trusted.
    """
    text, found = decode(raw, file)
    findings.add(found)
    if text is None:
        return ()
    lines = text.split("\n")
    head = _head(lines)
    if head is None:
        findings.error(
            "pitch-columns",
            "No column of notes with a column of cents or hertz was found.",
            Span(file, 1),
            "Save it with a line of names on top, as in: note,cents",
        )
        return ()
    readings: list[str] = []
    seen: dict[tuple[int | None, int | None], int] = {}
    for number, row in _rows(lines, head):
        one = _reading(number, row, head, file, findings)
        if one is None:
            continue
        text, place = one
        if place in seen:
            findings.error(
                "pitch-twice",
                f"The note of {quote(text)} stands on line {seen[place]} too.",
                Span(file, number, 1, len(lines[number - 1])),
                "Keep one of them, or name the strings, as in A4.1.",
            )
        seen.setdefault(place, number)
        readings.append(text)
    if not readings and not findings.all:
        findings.error("pitch-empty", "The table has no reading.", Span(file, 1))
    return tuple(readings)


def _head(lines: list[str]) -> _Head | None:
    """By the names of the columns, else by the first row that holds a note and a figure."""
    for at, line in enumerate(lines[:_DEEPEST_HEAD]):
        for delimiter in _DELIMITERS:
            names = cells(line, delimiter)
            roles = _roles(names)
            if _enough(roles) and not any(_NUMBER.fullmatch(name) for name in names):
                return _Head(delimiter, at + 2, roles)
    for at, line in enumerate(lines[:_DEEPEST_HEAD]):
        for delimiter in _DELIMITERS:
            row = cells(line, delimiter)
            if len(row) >= 2 and _NOTE.fullmatch(row[0]) and _NUMBER.match(row[1]):
                role: Role = "hertz" if re.search(r"hz", row[1], re.IGNORECASE) else "cents"
                return _Head(delimiter, at + 1, ("note", role))
    return None


def _roles(names: list[str]) -> tuple[Role | None, ...]:
    """Each role once, at the first column that has its name."""
    roles: list[Role | None] = []
    for name in names:
        fitting = (role for role, pattern in _NAMES if pattern.search(name))
        role = next(fitting, None)
        roles.append(None if role in roles else role)
    return tuple(roles)


def _enough(roles: tuple[Role | None, ...]) -> bool:
    return bool({"note", "key"} & set(roles)) and bool({"cents", "hertz"} & set(roles))


def _rows(lines: list[str], head: _Head) -> Iterator[tuple[int, list[str]]]:
    for number in range(head.first_row, len(lines) + 1):
        if lines[number - 1].strip():
            yield number, cells(lines[number - 1], head.delimiter)


def _reading(
    number: int, row: list[str], head: _Head, file: str, findings: Findings
) -> tuple[str, tuple[int | None, int | None]] | None:
    """One row as a reading, with its key and string; None, with a finding, where it is none."""

    def cell(role: Role) -> str:
        at = head.roles.index(role) if role in head.roles else len(row)
        return row[at].strip() if at < len(row) else ""

    line = Span(file, number)
    if any(row[len(head.roles) :]):
        findings.error(
            "pitch-cells",
            f"The row has {len(row)} cells, and {len(head.roles)} were expected.",
            line,
            "Where it has decimal commas, save it with semicolons between the cells.",
        )
        return None
    note = cell("note") or (f"key {cell('key')}" if cell("key") else "")
    figure, unit = (cell("cents"), "") if cell("cents") else (cell("hertz"), " Hz")
    if not note:
        findings.error("pitch-note", f"The row names no note: {quote(' '.join(row))}.", line)
        return None
    if not figure:
        findings.info("pitch-figure", f"{note} has no figure and is left out.", line)
        return None
    wanted = f"{note} {_plainly(figure, unit)}"
    try:
        found = parse_readings(wanted)
    except QuantityError as error:
        findings.error("pitch-row", error.message, line, error.hint)
        return None
    if len(found) != 1 or found[0].key is None:
        findings.error("pitch-row", f"{quote(wanted)} is not one note with one figure.", line)
        return None
    return wanted, (found[0].key, found[0].string)


def _plainly(figure: str, unit: str) -> str:
    """A figure with a sign where it is one of cents, and a point for its decimals."""
    match = _NUMBER.fullmatch(figure)
    if match is None:
        return figure
    plain = re.sub("[−–]", "-", figure).replace(",", ".")
    return f"{plain}{unit}" if unit or plain[0] in "+-" or float(plain) == 0 else f"+{plain}"
