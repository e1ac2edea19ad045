"""How wide the columns of a printed table are, told from the lengths of what stands in them.

Left to find it out, the renderer sets each cell three times over: as narrow as its longest word, as
wide as its text, and as it is printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, pairwise
from math import ceil

SIGN, GAP, AFTER_FIGURES = 1.75, 3.4, 5.0
"""Millimetres: a sign of a table's type on average; the padding of a cell, and what is added to it
where figures stand before it."""
BREADTH, NARROW, HALF = 164.0, 104.0, 86.0
"""Millimetres: a table that fills its page, one of few columns, and one beside another, which has
77 of them and smaller type."""
LINE = 42
"""Signs of a column of words after which a line may as well turn."""


def shares(
    rows: Sequence[Sequence[str]], numeric: Sequence[bool], breadth: float = BREADTH
) -> tuple[int, ...]:
    """Each column's share of the table's breadth in mm, in whole per cents.

    `rows` begin with the heads and are as long as `numeric`, whose columns are set in one line.
    0 is the column that takes what the others leave, for it is the widest.
    """
    least, most = [], []
    for place, column in enumerate(zip(*rows, strict=True)):
        pad = GAP + (AFTER_FIGURES if place and numeric[place - 1] > numeric[place] else 0)
        line, word = max(map(len, column)), max(map(_longest_word, column))
        least.append((line if numeric[place] else word) * SIGN + pad)
        most.append((line if numeric[place] else max(word, min(line, LINE))) * SIGN + pad)
    spare, given = sum(most) - sum(least), breadth - sum(least)
    slack = min(max(given / spare, 0), 1) if spare else 0
    return _rounded([low + (high - low) * slack for low, high in zip(least, most, strict=True)])


def _rounded(widths: Sequence[float]) -> tuple[int, ...]:
    """Up to whole per cents where the widest column can spare them, else to the nearest."""
    hundredth, rest = sum(widths) / 100, widths.index(max(widths))
    found = [ceil(width / hundredth) for width in widths]
    if sum(found) - found[rest] + 0.8 * widths[rest] / hundredth > 100:
        edges = [round(edge / hundredth) for edge in accumulate(widths, initial=0.0)]
        found = [max(1, right - left) for left, right in pairwise(edges)]
    found[rest] = 0
    return tuple(found)


def _longest_word(cell: str) -> int:
    return max(map(len, cell.split()), default=1)
