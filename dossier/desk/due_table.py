"""The due list as a table of plain letters, which fits a terminal of a hundred columns."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from textwrap import wrap

from dossier.desk.due import DueList, DueVisit

WIDTH = 100
_HEAD = ("by", "need", "instrument", "client", "place")
_WIDEST = (10, 7, 28, 28, 19)  # with four gaps of two this is WIDTH
_INDENT = " " * 12


def due_table(due: DueList, visits: Sequence[DueVisit]) -> tuple[str, ...]:
    """Three lines a visit: when, what and where; why; and whom to call."""
    rows = [_cells(one) for one in visits]
    widths = [
        min(most, max(_letters(row[at]) for row in (_HEAD, *rows)))
        for at, most in enumerate(_WIDEST)
    ]
    lines = [_line(_HEAD, widths)] if rows else ["Nothing is due."]
    for row, one in zip(rows, visits, strict=True):
        lines.append(_line(row, widths))
        lines += wrap("; ".join(one.why), WIDTH, initial_indent=_INDENT, subsequent_indent=_INDENT)
        lines += wrap(_reach(one), WIDTH, initial_indent=_INDENT, subsequent_indent=_INDENT)
    return (*lines, *_left_out(due))


def _cells(due: DueVisit) -> tuple[str, ...]:
    by = due.latest.isoformat() if due.latest else "–"
    return "now" if due.need == "unsafe" else by, due.need, due.title, due.name, due.place


def _reach(due: DueVisit) -> str:
    contact = due.contact if due.contact != due.name else ""
    last = f"last contact {due.last_contact}" if due.last_contact else "not contacted yet"
    return "; ".join(part for part in (contact, due.phone, due.address, last) if part)


def _left_out(due: DueList) -> tuple[str, ...]:
    lines = []
    if due.later:
        lines.append(f"{_instruments(due.later)} due later: ask with --within for a longer time.")
    if due.dormant or due.left:
        lines.append(f"Left out: {due.dormant} dormant and {due.left} departed clients.")
    if due.stopped:
        lines.append(f"Notes that can't be read, see dossier check: {', '.join(due.stopped)}.")
    return ("", *lines) if lines else ()


def _instruments(count: int) -> str:
    return "1 instrument is" if count == 1 else f"{count} instruments are"


def _line(cells: Sequence[str], widths: Sequence[int]) -> str:
    fitted = (_fit(cell, width) for cell, width in zip(cells, widths, strict=True))
    return "  ".join(fitted).rstrip()


def _fit(text: str, width: int) -> str:
    """The text in exactly so many columns, cut with an ellipsis where it is longer."""
    if _letters(text) > width:
        while _letters(text) > width - 1:
            text = text[:-1]
        text = f"{text}…"
    return text + " " * (width - _letters(text))


def _letters(text: str) -> int:
    """Columns that a text takes on a terminal: accents none, East Asian letters two."""
    return sum(
        0 if unicodedata.combining(letter) else 1 + (unicodedata.east_asian_width(letter) in "WF")
        for letter in text
    )
