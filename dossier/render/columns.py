"""How wide the columns of a printed table are, told from the lengths of what stands in them.

Left to find it out, the renderer sets each cell three times over: as narrow as its longest word, as
wide as its text, and as it is printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate, compress, pairwise

STEP = 2
SIGN, GAP, AFTER_FIGURES = 1.75, 3.4, 5.0
"""Millimetres: a sign of a table's type on average; the padding of a cell, and what is added to it
where figures stand before it."""
BREADTH, NARROW = 164.0, 104.0
LINE = 42
"""Signs of a column of words after which a line may as well turn."""


def shares(
    rows: Sequence[Sequence[str]], numeric: Sequence[bool], *, narrow: bool = False
) -> tuple[int, ...]:
    """Each column's share of the table's breadth, in per cent and steps of STEP.

    `rows` begin with the heads and are as long as `numeric`, whose columns are set in one line.
    0 is the column that takes what the others leave, for it is the widest.
    """
    breadth = NARROW if narrow else BREADTH
    columns = zip(zip(*rows, strict=True), numeric, strict=True)
    wanted = [_wanted(column, one) for column, one in columns]
    for place, (before, one) in enumerate(pairwise(numeric), start=1):
        wanted[place] += AFTER_FIGURES if before and not one else 0
    figures = sum(compress(wanted, numeric))
    left = max(breadth - figures, breadth / 4)
    squeezed = min(1.0, left / max(sum(wanted) - figures, 1))
    pairs = zip(wanted, numeric, strict=True)
    return _rounded([width if one else width * squeezed for width, one in pairs])


def _rounded(widths: Sequence[float]) -> tuple[int, ...]:
    edges = [round(100 / STEP * edge / sum(widths)) for edge in accumulate(widths, initial=0.0)]
    rest = widths.index(max(widths))
    found = [max(STEP, (right - left) * STEP) for left, right in pairwise(edges)]
    return tuple(0 if place == rest else share for place, share in enumerate(found))


def _wanted(column: Sequence[str], numeric: bool) -> float:
    """Millimetres for the longest line of a column; words may turn, but none is torn."""
    longest = max(map(len, column))
    if not numeric:
        word = max((len(part) for cell in column for part in cell.split()), default=1)
        longest = max(min(longest, LINE), word)
    return longest * SIGN + GAP
