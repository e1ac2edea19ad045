"""Colours that can be told apart: on their ground, in grey, and by eyes of every kind."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from dossier.charts.palette import DARK, LIGHT, Palette, property_of, tokens

BOTH = pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])


def luminance(colour: str) -> float:
    """Relative luminance.  Source: WCAG 2.2, "relative luminance"."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    linear = [
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio.  Source: WCAG 2.2, "contrast ratio"."""
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_black_and_white_is_21() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@BOTH
def test_no_two_parts_share_a_colour(palette: Palette) -> None:
    colours = list(tokens(palette).values())
    assert len(set(colours)) == len(colours) == 12
    assert all(re.fullmatch("#[0-9a-f]{6}", colour) for colour in colours)


@BOTH
def test_lettering_is_readable_on_the_ground(palette: Palette) -> None:
    """Source: WCAG 2.2, 1.4.3: 4.5 to 1."""
    for colour in (palette.ink, palette.muted):
        assert contrast(colour, palette.ground) >= 4.5


@BOTH
def test_marks_stand_out_from_the_ground_and_the_band(palette: Palette) -> None:
    """Source: WCAG 2.2, 1.4.11: 3 to 1."""
    for colour in (palette.found, palette.left, palette.accent, palette.warn, palette.series1):
        assert contrast(colour, palette.ground) >= 3
        assert contrast(colour, palette.band) >= 3


@BOTH
def test_found_and_left_differ_in_a_grey_print(palette: Palette) -> None:
    assert contrast(palette.found, palette.left) >= 1.25


@BOTH
def test_the_series_differ_in_a_grey_print(palette: Palette) -> None:
    series = sorted(map(luminance, (palette.series1, palette.series2, palette.series3)))
    assert all((high + 0.05) / (low + 0.05) >= 1.5 for low, high in pairwise(series))


def test_a_part_has_its_property() -> None:
    assert property_of("found") == "--chart-found"
