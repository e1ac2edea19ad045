"""A table of pitch readings, pasted into a note or saved by another program, to readings.

Columns are known by their names, else each line is read by itself: a note, then its cents or hertz.
Cells are parted by tabs, semicolons, bars, commas or blanks.  Every figure goes through the grammar
of the notes themselves, so that it reads the same wherever it stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Literal, NamedTuple

from dossier.diagnostics import Span, has_errors
from dossier.quantities import CENTS_OR_HERTZ, QuantityError, ReadingText, parse_key, parse_readings
from dossier.read.pieces import Findings, Origin, Piece, fixed, quote, refuse_quantity

Stage = Literal["found", "left"]
Role = Literal["note", "key", "cents", "hertz"]

_DELIMITERS = (";", "\t", "|", "  ", ",", " ")
_BLANKS = {"  ": re.compile(r"\S+(?: \S+)*"), " ": re.compile(r"\S+")}
_DEEPEST_HEAD = 20  # lines that a program may write about itself first
_NUMBER = re.compile(r"[+\-−–]?\s*\d+(?:[.,]\d+)?")
_NAME = r"[A-H](?:[#b♯♭]{0,2}|is|es|s)-?\d"
_NOTE = re.compile(rf"(?:{_NAME}(?:/{_NAME})?|key\s*\d+)(?:\.[1-3])?", re.IGNORECASE)
_RULE_CELL = re.compile(r"[–—-]+|n/?a|\.+", re.IGNORECASE)
_RULE = re.compile(r"[\s|+:=_*–—-]{3,}")
_NAMES: tuple[tuple[Role, re.Pattern[str]], ...] = (
    ("hertz", re.compile(r"\bhz\b|hertz|freq", re.IGNORECASE)),
    ("cents", re.compile(r"cent|\bcts?\b|¢|offset|deviation|reading", re.IGNORECASE)),
    ("cents", re.compile(r"found|before|initial|\bleft\b|after|final", re.IGNORECASE)),
    ("key", re.compile(r"\bkey\b|\bno\.?$|^#$|key.?n", re.IGNORECASE)),
    ("note", re.compile(r"note|name|string|pitch|ton\b", re.IGNORECASE)),
)
# What a program was to reach is no reading; and of two stages of the work, one is asked for.
_AIM = re.compile(
    r"target|ideal|nominal|expected|theor|goal|\baim|\bref|should|soll", re.IGNORECASE
)
_OTHER: dict[Stage, re.Pattern[str]] = {
    "found": re.compile(r"\bleft\b|after|final|\bpost|\btuned", re.IGNORECASE),
    "left": re.compile(r"\bfound\b|before|initial|\bpre\b", re.IGNORECASE),
}
_COMMAS = "Where commas stand in its figures, part the cells by semicolons."
_NO_COLUMNS = "No column of notes with a column of cents or hertz was found."
_NAMES_HINT = "Write a line of names on top, as in: note,cents"


@dataclass(frozen=True, slots=True)
class Row:
    """One reading of a table: what it says, how a note writes it, and where it stands."""

    reading: ReadingText
    text: str
    place: Span


class _Head(NamedTuple):
    """Which column is what; `first_row` is the place of the first row among the lines."""

    delimiter: str
    first_row: int
    roles: tuple[Role | None, ...]


@dataclass(frozen=True, slots=True)
class _Table:
    """What all rows of a table share."""

    stage: Stage
    compass: tuple[int, int]
    findings: Findings


def lines_of(text: str, file: str, first_line: int = 1) -> tuple[Piece, ...]:
    """Lines that stand in a file letter by letter, each with its place."""
    return tuple(
        Piece(line, Origin(file, number, 1, line)).part(0)
        for number, line in enumerate(text.split("\n"), first_line)
    )


def read_rows(
    lines: Sequence[Piece],
    stage: Stage,
    findings: Findings,
    compass: tuple[int, int] = (1, 88),
) -> tuple[Row, ...]:
    """The readings of a table, in the order of its lines.

    What can't be read is an error at its place.  Lines above the first row are told, and left out;
    so are notes without a figure.
    """
    own = Findings()
    table = _Table(stage, compass, own)
    written = [line for line in lines if line.text and not _RULE.fullmatch(line.text)]
    place = Span(lines[0].origin.file, lines[0].span().line)
    head = _head(written, table)
    if head is None:
        findings.error("pitch-columns", _NO_COLUMNS, place, _NAMES_HINT)
        return ()
    _tell_above(written[: head.first_row - bool(head.roles)], own)
    rows = [row for line in written[head.first_row :] for row in _rows(line, head, table)]
    if not rows and not has_errors(own.all):
        own.error("pitch-empty", "The table has no reading.", place)
    _tell_repeats(rows, own)
    findings.add(own.all)
    return tuple(rows)


def _head(lines: Sequence[Piece], table: _Table) -> _Head | None:
    """By the names of the columns, else by the first line that begins with a note."""
    for at, line in enumerate(lines[:_DEEPEST_HEAD]):
        for delimiter in _DELIMITERS:
            names = _cells(line, delimiter)
            roles = _roles(names, table)
            is_row = any(_NUMBER.fullmatch(one.text) or _NOTE.fullmatch(one.text) for one in names)
            if {"note", "key"} & set(roles) and {"cents", "hertz"} & set(roles) and not is_row:
                return _Head(delimiter, at + 1, roles)
    for at, line in enumerate(lines[:_DEEPEST_HEAD]):
        if _begins_with_note(line):
            return _Head("", at, ())
    return None


def _begins_with_note(line: Piece) -> bool:
    first = re.match(r"[|\"\s]*((?:key\s*)?[^\s;|,:=\"]+)", line.text, re.IGNORECASE)
    return first is not None and _NOTE.fullmatch(first[1]) is not None


def _roles(names: Sequence[Piece], table: _Table) -> tuple[Role | None, ...]:
    """What each column is by its name.  Of two that are the same, the first is meant for notes."""
    roles: list[Role | None] = []
    for name in names:
        fitting = (role for role, pattern in _NAMES if pattern.search(name.text))
        role = next(fitting, None)
        figure = role in ("cents", "hertz")
        if figure and (_AIM.search(name.text) or _OTHER[table.stage].search(name.text)):
            role = None
        roles.append(None if role in roles and not figure else role)
    return tuple(roles)


def _tell_above(lines: Sequence[Piece], findings: Findings) -> None:
    if lines:
        first, last = lines[0].span(), lines[-1].span().line
        told = f"Lines {first.line} to {last} hold" if last > first.line else "This line holds"
        findings.info("pitch-line", f"{told} no reading; left out.", first)


def _rows(line: Piece, head: _Head, table: _Table) -> Iterator[Row]:
    if not head.roles:
        yield from _bare_row(line, table)
        return
    cells = _cells(line, head.delimiter)
    roles = head.roles
    short = head.delimiter in _BLANKS and len(cells) < len(roles)
    if short or any(cell.text for cell in cells[len(roles) :]):
        hint = "Part the cells by tabs or semicolons, so that an empty one is seen."
        if head.delimiter == ",":
            hint = _COMMAS
        _tell_cells(line, cells, len(roles), hint, table)
        return
    names = _of("note", cells, roles) or _of("key", cells, roles)
    role: Role = "cents" if _of("cents", cells, roles) else "hertz"
    figures = _of(role, cells, roles)
    numbered = not _of("note", cells, roles)
    if not names:
        told = f"The row names no note: {quote(line.text)}."
        table.findings.error("pitch-note", told, line.span())
    elif not figures:
        told = f"{_named(names[0], numbered=numbered)} has no figure and is left out."
        table.findings.info("pitch-figure", told, names[0].span())
    elif len(figures) > 1:
        table.findings.error(
            "pitch-which",
            f"{len(figures)} columns may be the {role} as {table.stage}.",
            figures[1].span(),
            f"Take the others out, or name the one that is meant {table.stage}, and them target.",
        )
    else:
        yield from _row(names[0], figures[0], role, table, numbered=numbered)


def _tell_cells(line: Piece, cells: Sequence[Piece], wanted: int, hint: str, table: _Table) -> None:
    told = f"The row has {len(cells)} cells, and {wanted} were expected."
    table.findings.error("pitch-cells", told, line.span(), hint)


def _of(role: Role, cells: Sequence[Piece], roles: Sequence[Role | None]) -> list[Piece]:
    """The cells of a role that something stands in."""
    return [
        cell
        for cell, its in zip(cells, roles, strict=False)
        if its == role and cell.text and not _RULE_CELL.fullmatch(cell.text)
    ]


def _bare_row(line: Piece, table: _Table) -> Iterator[Row]:
    """A line without names above it: a note and its figure, or what `found:` may hold as well."""
    for delimiter in _DELIMITERS:
        cells = [cell for cell in _cells(line, delimiter) if cell.text]
        if len(cells) < 2 or not _NOTE.fullmatch(cells[0].text):
            continue
        if len(cells) == 2 and _NUMBER.match(cells[1].text):
            role: Role = "hertz" if re.search("hz", cells[1].text, re.IGNORECASE) else "cents"
            yield from _row(cells[0], cells[1], role, table, named=False)
            return
        if len(cells) > 2 and all(_NUMBER.fullmatch(cell.text) for cell in cells[1:]):
            hint = "Write a line of names on top, as in: note;target;cents"
            if delimiter == ",":
                hint = _COMMAS
            _tell_cells(line, cells, 2, hint, table)
            return
    try:
        found = parse_readings(line.text, *table.compass)
    except QuantityError as error:
        table.findings.gathered.append(refuse_quantity(error, line, "reading").finding)
        return
    for one in found:
        place = line.span(one.offset, one.length)
        if one.key is None:
            told = f"The row names no note: {quote(line.text)}."
            table.findings.error("pitch-note", told, place)
            return
        yield Row(one, line.text[one.offset :][: one.length], place)


def _row(
    note: Piece,
    figure: Piece,
    role: Role,
    table: _Table,
    *,
    numbered: bool = False,
    named: bool = True,
) -> Iterator[Row]:
    """One note with its figure, by the grammar of the notes.

    Without a name above it a bare 442 may be cents or hertz, which that grammar then says.
    """
    name = _named(_one_name(note, table), numbered=numbered)
    wanted = f"{name} {_plainly(figure.text, role, named=named)}"
    place = _from_to(note, figure)
    try:
        found = parse_readings(wanted, *table.compass)
    except QuantityError as error:
        of_note = error.offset + error.length <= len(name)
        fix = fixed(note.span(), note.text, error.meant) if of_note else None
        place = note.span() if of_note else place
        table.findings.error("pitch-row", error.message, place, error.hint, fix)
        return
    if len(found) == 1 and found[0].key is not None:
        yield Row(found[0], wanted, place)
    else:
        told = f"{quote(wanted)} is not one note with one figure."
        table.findings.error("pitch-row", told, place)


def _named(note: Piece, *, numbered: bool) -> str:
    return f"key {note.text}" if numbered else note.text


def _one_name(note: Piece, table: _Table) -> Piece:
    """`A#4/Bb4` is one key with two names: the first of them."""
    first, bar, second = note.text.partition("/")
    if not bar:
        return note
    try:
        same = parse_key(first, *table.compass) == parse_key(second, *table.compass)
    except QuantityError:
        return note
    return note.part(0, len(first)) if same else note


def _from_to(one: Piece, other: Piece) -> Span:
    """The place of two cells and all between them, where they stand on one line."""
    start, end = sorted((one.span(), other.span()))
    if start.line != end.line or not (start.width and end.width):
        return start
    return replace(start, width=end.column + end.width - start.column)


def _plainly(figure: str, role: Role, *, named: bool) -> str:
    """A figure with a sign where it is one of cents, and a point for its decimals."""
    if _NUMBER.fullmatch(figure) is None:
        return figure
    plain = re.sub("[−–]", "-", figure).replace(",", ".").replace(" ", "")
    if role == "hertz":
        return f"{plain} Hz"
    bare = float(plain) == 0 or (not named and float(plain) >= CENTS_OR_HERTZ)
    return plain if plain[0] in "+-" or bare else f"+{plain}"


def _tell_repeats(rows: Sequence[Row], findings: Findings) -> None:
    seen: dict[tuple[int | None, int | None], int] = {}
    for row in rows:
        place = (row.reading.key, row.reading.string)
        if place in seen:
            findings.error(
                "pitch-twice",
                f"The note of {quote(row.text)} stands on line {seen[place]} too.",
                row.place,
                "Keep one of them, or name the strings, as in A4.1.",
            )
        seen.setdefault(place, row.place.line)


def _cells(line: Piece, delimiter: str) -> list[Piece]:
    """One line's cells, without the quotes around them; outer bars make no cell."""
    if delimiter in _BLANKS:
        found = _BLANKS[delimiter].finditer(line.text)
        return [line.part(match.start(), match.end()) for match in found]
    cells: list[Piece] = []
    start, quoted = 0, False
    for at, letter in enumerate(line.text):
        quoted ^= letter == '"'
        if letter == delimiter and not quoted:
            cells.append(line.part(start, at))
            start = at + 1
    cells.append(line.part(start))
    if delimiter == "|":
        cells = cells[not cells[0].text :]
        cells = cells[: -1 if cells and not cells[-1].text else None]
    return [_unquoted(cell) for cell in cells]


def _unquoted(cell: Piece) -> Piece:
    inside = len(cell.text) > 1 and cell.text[0] == cell.text[-1] == '"'
    return cell.part(1, -1) if inside else cell
