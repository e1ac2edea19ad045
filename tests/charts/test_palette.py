"""Colours that can be told apart: on their ground, in grey, and by eyes of every kind."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from typing import Any

import pytest

from dossier.charts import spec
from dossier.charts.palette import DARK, LIGHT, Palette, property_of, tokens
from dossier.edition.figures import Drawn, YearCost
from tests.charts import samples

BOTH = pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])


# A colour as an eye sees it that lacks one kind of cone, on linear RGB.
# Source: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for
# Simulation of Color Vision Deficiency", IEEE TVCG 15 (6), 2009: severity 1.0.  The figures from
# memory; that each row adds up to 1, so that grey stays grey, is tested.
EYES = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
APART = 1.2
"""The least contrast by which two areas side by side are told apart; common practice, no source."""


def luminance(colour: str) -> float:
    """Relative luminance.  Source: WCAG 2.2, "relative luminance"."""
    return weighed(linear(colour))


def linear(colour: str) -> tuple[float, ...]:
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    return tuple(part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
                 for part in parts)  # fmt: skip


def weighed(rgb: tuple[float, ...]) -> float:
    return 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]


def seen(colour: str, eye: str) -> float:
    """The luminance of a colour to an eye that lacks one kind of cone."""
    rgb = linear(colour)
    made = (sum(part * by for part, by in zip(rgb, row, strict=True)) for row in EYES[eye])
    return weighed(tuple(min(1.0, max(0.0, part)) for part in made))


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
def test_what_is_open_and_what_is_settled_differ_to_every_eye(palette: Palette) -> None:
    """Lightness alone (L* of CIELAB), since no eye sees colours without it; common practice."""
    light = [116 * luminance(colour) ** (1 / 3) - 16 for colour in (palette.warn, palette.muted)]
    assert abs(light[0] - light[1]) >= 25


@BOTH
def test_the_series_differ_in_a_grey_print(palette: Palette) -> None:
    series = sorted(map(luminance, (palette.series1, palette.series2, palette.series3)))
    assert all((high + 0.05) / (low + 0.05) >= 1.5 for low, high in pairwise(series))


def test_a_part_has_its_property() -> None:
    assert property_of("found") == "--chart-found"


def test_to_every_eye_grey_stays_grey() -> None:
    for eye, rows in EYES.items():
        assert [round(sum(row), 5) for row in rows] == [1.0, 1.0, 1.0], eye
        assert seen("#808080", eye) == pytest.approx(luminance("#808080"), abs=1e-5)


def told_apart(one: dict[str, Any], other: dict[str, Any]) -> bool:
    """By shape, dash, size or a heavy edge; else by lightness, to every eye."""
    for part in ("type", "shape", "strokeDash"):
        if one.get(part) != other.get(part):
            return True
    if max(one["size"], other["size"]) >= 1.4 * min(one["size"], other["size"]):
        return True
    if abs(one.get("strokeWidth", 1) - other.get("strokeWidth", 1)) >= 1:
        return True
    colours = [str(sign.get("fill") or sign.get("stroke")) for sign in (one, other)]
    grounds = [[luminance(colour) for colour in colours]]
    grounds += [[seen(colour, eye) for colour in colours] for eye in EYES]
    return all((max(pair) + 0.05) / (min(pair) + 0.05) >= APART for pair in grounds)


def signs(drawn: Drawn, palette: Palette) -> Iterator[dict[str, Any]]:
    """The signs of a chart's key: points at a place of the sheet, above the plot."""

    def walk(node: dict[str, Any]) -> Iterator[dict[str, Any]]:
        for layer in node.get("layer", ()):
            yield from walk(layer)
        x, y = (node.get("encoding", {}).get(axis, {}).get("value") for axis in "xy")
        if x is not None and y is not None and y < 0 and node["mark"]["type"] == "point":
            yield node["mark"]

    yield from walk(spec(drawn, palette, "screen"))


EVERY_KIND = replace(
    samples.COST, costs=tuple(YearCost(2024, f"kind {n}", 10.0 + n) for n in range(12))
)


@BOTH
def test_no_two_signs_of_a_chart_differ_in_hue_alone(palette: Palette) -> None:
    examined = 0
    for name, drawn in (*samples.SAMPLES, ("every kind of work", EVERY_KIND)):
        for one, other in combinations(signs(drawn, palette), 2):
            examined += 1
            assert told_apart(one, other), (name, one, other)
    assert examined > 70


def test_two_signs_that_differ_in_hue_alone_are_found() -> None:
    red = {"type": "point", "shape": "circle", "size": 40, "fill": "#c04040"}
    assert not told_apart(red, {**red, "fill": "#3a7a3a"})
    assert not told_apart(red, {**red, "fill": "#6b6b6b"})
    assert told_apart(red, {**red, "fill": "#3a7a3a", "shape": "square"})
    assert told_apart(red, {**red, "fill": "#ffffff"})
