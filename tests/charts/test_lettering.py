"""Room for lettering, and labels that don't run into each other."""

from __future__ import annotations

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from dossier.charts import lettering
from tests.conftest import REPO

PHRASES = (
    "cents from the target", "as found", "as left", "relative humidity, %", "comfort band",
    "outdoor air warmed to the room", "whole compass", "moved to the parlour", "pitch raise",
    "April 2018 – April 2020", "Regulation", "Key dip, mm", "Humidifier fitted",
)  # fmt: skip


@pytest.mark.parametrize("face", ["text", "figures"])
@pytest.mark.parametrize("phrase", PHRASES)
def test_the_estimate_is_a_little_wider_than_the_themes_face(face: str, phrase: str) -> None:
    font = TTFont(REPO / f"themes/default/fonts/dossier-{face}-regular.ttf")
    advances, letters = font["hmtx"], font.getBestCmap()
    real = sum(advances[letters[ord(each)]][0] for each in phrase) / font["head"].unitsPerEm
    assert 0.99 <= lettering.width(phrase, 1.0) / real <= 1.22


def test_what_is_too_long_ends_with_an_ellipsis() -> None:
    assert lettering.shortened("tuning", 10, 100) == "tuning"
    assert lettering.shortened("a very long name of a room", 10, 100) == "a very long name of…"


def test_labels_that_would_touch_go_to_rows_of_their_own() -> None:
    assert lettering.rows([(0, 50), (40, 60), (55, 90), (70, 80)], gap=5) == (0, 1, 0, 1)


@given(
    st.lists(st.tuples(st.integers(0, 500), st.integers(1, 200)), max_size=12),
    st.integers(0, 20),
)
def test_no_two_labels_of_a_row_touch(labels: list[tuple[int, int]], gap: int) -> None:
    spans = [(float(start), float(start + length)) for start, length in labels]
    placed = lettering.rows(spans, gap)
    for row in set(placed):
        inside = sorted(span for span, at in zip(spans, placed, strict=True) if at == row)
        ends = [end for _, end in inside[:-1]]
        assert all(end + gap <= start for end, (start, _) in zip(ends, inside[1:], strict=True))


def test_ticks_keep_clear_of_each_other_and_of_the_edge() -> None:
    ticks = [(0.0, "A0"), (8.0, "C1"), (60.0, "C2"), (98.0, "C3")]
    assert lettering.spaced(ticks, 10, gap=4, end=100) == ((0.0, "A0"), (60.0, "C2"))


def test_every_other_month_where_all_twelve_are_too_many() -> None:
    names = ("January", "February", "March", "April", "May", "June")
    ticks = [(30.0 * place, name) for place, name in enumerate(names)]
    assert lettering.every(ticks, 10, gap=3) == 2
    assert lettering.every(ticks, 4, gap=3) == 1
    assert lettering.every(ticks[:1], 10, gap=3) == 1
