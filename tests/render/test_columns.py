"""The widths of a printed table's columns, told from its texts."""

import re

import pytest

from dossier.render.columns import BREADTH, GAP, NARROW, SIGN, shares
from dossier.theme import find_theme

HEADS = ("Date", "As found", "As left", "Humidity", "Noted in")
ROW = ("9 December 2017", "−32.6 cents", "−31 cents", "79 %", "line 5")
FIGURES = (False, True, True, True, False)


def widths(
    *rows: tuple[str, ...], numeric: tuple[bool, ...], breadth: float = BREADTH
) -> list[int]:
    """The shares with what is left for the widest column."""
    found = shares(rows, numeric, breadth)
    assert found.count(0) == 1
    return [share or 100 - sum(found) for share in found]


def test_each_column_gets_what_its_longest_line_needs() -> None:
    found = widths(HEADS, ROW, numeric=FIGURES)
    for place, share in enumerate(found):
        needed = max(len(HEADS[place]), len(ROW[place])) * SIGN + GAP
        assert share / 100 * BREADTH > needed
    assert sum(found) == 100


def test_words_give_way_to_figures() -> None:
    said = "a long remark that goes on and on, and then still further on " * 3
    row = ("Bass", "−32.6 cents", said, said)
    found = widths(
        ("Register", "As found", "Before", "After"), row, numeric=(False, True, False, False)
    )
    assert found[1] / 100 * BREADTH > len("−32.6 cents") * SIGN
    assert min(found) >= 1
    assert sum(found) == 100


@pytest.mark.parametrize("columns", [1, 2, 9, 14])
def test_every_column_keeps_some_room(columns: int) -> None:
    heads = tuple(f"Column {number}" for number in range(columns))
    found = widths(heads, heads, numeric=(True,) * columns)
    assert min(found) >= 1
    assert sum(found) == 100


def test_a_narrow_table_of_short_cells_is_shared_out_alike() -> None:
    rows = (("Note", "Found", "Line"), ("A1", "−32", "5"))
    assert widths(*rows, numeric=(False, True, False), breadth=NARROW) == [28, 33, 39]


def test_the_style_sheet_knows_every_share_that_can_be_told() -> None:
    sheet = find_theme().text("print/document.css")
    known = {int(share) for share in re.findall(r"\.w(\d+) \{ width: \1% \}", sheet)}
    assert known >= set(range(1, 51))
