"""A Markdown table in the prose of a round, as cells that know their place."""

from __future__ import annotations

import re
from dataclasses import dataclass

from dossier.read.pieces import Origin, Piece

_RULE = re.compile(r"\s*\|?\s*:?-+:?\s*(?:\|\s*:?-+:?\s*)*\|?\s*")
_BAR = re.compile(r"(?<!\\)\|")


@dataclass(frozen=True, slots=True)
class TableText:
    """A table: its head, its rows, and the prose around it with the table's lines blank."""

    head: tuple[Piece, ...]
    rows: tuple[tuple[Piece, ...], ...]
    prose: str


def find_table(body: str, file: str, first_line: int) -> TableText | None:
    """The first table of a text; None where there is none."""
    lines = body.split("\n")
    for at in range(1, len(lines)):
        if "|" in lines[at - 1] and "-" in lines[at] and _RULE.fullmatch(lines[at]):
            end = at + 1
            while end < len(lines) and "|" in lines[end]:
                end += 1
            rows = tuple(_cells(lines[row], file, first_line + row) for row in range(at + 1, end))
            prose = [*lines[: at - 1], *[""] * (end - at + 1), *lines[end:]]
            head = _cells(lines[at - 1], file, first_line + at - 1)
            return TableText(head, rows, "\n".join(prose))
    return None


def _cells(line: str, file: str, number: int) -> tuple[Piece, ...]:
    """Cells between bars; a bar with a backslash before it belongs to its cell."""
    whole = Piece(line, Origin(file, number, 1, line))
    cuts = [match.start() for match in _BAR.finditer(line)]
    if cuts and not line[: cuts[0]].strip():
        begin, cuts = cuts[0] + 1, cuts[1:]
    else:
        begin = 0
    found: list[Piece] = []
    for cut in cuts:
        found.append(whole.part(begin, cut))
        begin = cut + 1
    if line[begin:].strip():
        found.append(whole.part(begin))
    return tuple(found)
