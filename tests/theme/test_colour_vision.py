"""Colours that mean different things, seen by eyes of every kind and in a grey print.

Simulation: Machado, Oliveira and Fernandes, "A physiologically-based model for simulation of color
vision deficiency", IEEE TVCG 15 (2009), table of severity 1.0, applied to linear sRGB.
Distance: CIE 1976 L*a*b* for D65; about 2.3 is just noticeable (Mahy et al., 1994, from memory).
"""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from dossier.charts.palette import DARK, LIGHT, Palette
from dossier.theme import colours, find_theme

EYES = {
    "full": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protan": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deutan": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritan": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
}
# sRGB to XYZ: IEC 61966-2-1; white point D65
TO_XYZ = np.array(((0.4124, 0.3576, 0.1805), (0.2126, 0.7152, 0.0722), (0.0193, 0.1192, 0.9505)))
WHITE = TO_XYZ.sum(axis=1)
APART = 15.0
"""L*a*b* units: many times what is just noticeable, since a mark is small.  A choice, no source."""


def lab(colour: str, eye: str) -> np.ndarray:
    coded = np.array([int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)])
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    seen = np.clip(np.array(EYES[eye]) @ linear, 0, 1)
    ratio = TO_XYZ @ seen / WHITE
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array((116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])))


def apart(one: str, other: str, eye: str) -> float:
    return float(np.linalg.norm(lab(one, eye) - lab(other, eye)))


def test_the_measure_knows_white_from_black_and_red_from_green() -> None:
    assert apart("#000000", "#ffffff", "full") == pytest.approx(100, abs=0.1)
    # A red and a green that a deutan eye hardly tells apart, found by search.
    assert apart("#a05000", "#6f6a00", "full") > 1.5 * apart("#a05000", "#6f6a00", "deutan")


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_what_stands_side_by_side_in_a_chart_differs_for_every_eye(
    palette: Palette, eye: str
) -> None:
    """Open and settled aren't among them: a deutan eye takes one for the other, so that an open
    mark is full and a settled one hollow."""
    pairs = (
        (palette.found, palette.left),
        (palette.warn, palette.band),
        (palette.accent, palette.band),
        *combinations((palette.series1, palette.series2, palette.series3), 2),
    )
    near = [(one, other) for one, other in pairs if apart(one, other, eye) < APART]
    assert near == []


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("ground", ["light", "dark"])
def test_a_sign_of_stop_stands_out_from_the_page_for_every_eye(ground: str, eye: str) -> None:
    """States differ by word and shape; here that none of them melts into what is around it."""
    tokens = colours(find_theme())[ground]
    for token in ("good", "attention", "stop", "accent"):
        for under in ("paper", "sheet", "wash"):
            assert apart(tokens[token], tokens[under], eye) > 2 * APART
