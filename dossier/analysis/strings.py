"""The stretched string: tension, stiffness, and how near the wire is to breaking."""

from __future__ import annotations

from typing import overload

import numpy as np

from dossier.analysis.ranges import Column, Values, shaped, within

STEEL_DENSITY = 7850.0
"""kg/m3, of carbon-steel music wire."""

STEEL_MODULUS_PA = 200e9
"""Young's modulus in Pa."""

WIRE_STRENGTH: tuple[tuple[float, float], ...] = (
    # diameter in mm, least tensile strength in MPa
    (0.7366, 2286.0),
    (0.7874, 2265.0),
    (0.8382, 2244.0),
    (0.8890, 2224.0),
    (0.9398, 2203.0),
    (0.9906, 2182.0),
    (1.0414, 2165.0),
    (1.0922, 2149.0),
    (1.1430, 2130.0),
    (1.1938, 2117.0),
    (1.2446, 2103.0),
    (1.2954, 2089.0),
    (1.3970, 2068.0),
    (1.4986, 2041.0),
    (1.6002, 2020.0),
)
"""Minimum tensile strength of music wire by diameter, whole sizes 12 to 26.

Source: ASTM A228/A228M, interpolated linearly between its tabulated diameters, as reproduced on
a wire maker's page; diameters from a published music-wire table. Old or rusted wire holds less.
"""


@overload
def tension(frequency_hz: float, length_m: float, diameter_m: float) -> float: ...
@overload
def tension(frequency_hz: Column, length_m: Values, diameter_m: Values) -> Column: ...
def tension(frequency_hz: Values, length_m: Values, diameter_m: Values) -> Values:
    """Return the tension in N of a plain steel string, speaking length and diameter in m.

    The load on wire, pins and plate follows from pitch and scale alone. Mersenne's law in
    Taylor's form for a round wire: T = pi rho (f L d)^2, rho = 7850 kg/m3.
    Source: Taylor 1713, by way of any acoustics text (from memory).

    Raises ValueError outside 10 to 10 000 Hz, 0.02 to 4 m, 0.0002 to 0.008 m: millimetres given
    for metres do not pass.
    """
    f, length, d = _frequency(frequency_hz), _length(length_m), _diameter(diameter_m)
    return shaped(np.asarray(_plain_tension(f, length, d)))


@overload
def wound_tension(frequency_hz: float, length_m: float, mass_kg_per_m: float) -> float: ...
@overload
def wound_tension(frequency_hz: Column, length_m: Values, mass_kg_per_m: Values) -> Column: ...
def wound_tension(frequency_hz: Values, length_m: Values, mass_kg_per_m: Values) -> Values:
    """Return the tension in N of a string of known mass per length, in kg/m, as in the bass.

    The winding adds mass but bears no load, so that the diameter does not tell the tension:
    T = 4 mu (f L)^2. Source: Taylor 1713, by way of any acoustics text (from memory).

    Raises ValueError outside 10 to 10 000 Hz, 0.02 to 4 m, 0.0002 to 0.5 kg/m.
    """
    f, length = _frequency(frequency_hz), _length(length_m)
    mass = within(mass_kg_per_m, "mass per length", 0.0002, 0.5, "kg/m")
    return shaped(np.asarray(4.0 * mass * (f * length) ** 2))


@overload
def inharmonicity(frequency_hz: float, length_m: float, diameter_m: float) -> float: ...
@overload
def inharmonicity(frequency_hz: Column, length_m: Values, diameter_m: Values) -> Column: ...
def inharmonicity(frequency_hz: Values, length_m: Values, diameter_m: Values) -> Values:
    """Return the inharmonicity coefficient B (no unit) of a plain steel string; lengths in m.

    Stiff wire sounds its upper partials sharp, f_n = n f_0 sqrt(1 + B n^2), which is why a good
    tuning is stretched: B = pi^3 E d^4 / (64 T L^2), E = 200 GPa.
    Source: Fletcher 1964 (from memory); Young 1952, JASA 24(3) measured it in pianos.

    Raises ValueError in the ranges of `tension`.
    """
    f, length, d = _frequency(frequency_hz), _length(length_m), _diameter(diameter_m)
    load = _plain_tension(f, length, d)
    return shaped(np.asarray(np.pi**3 * STEEL_MODULUS_PA * d**4 / (64.0 * load * length**2)))


@overload
def partial_sharpness(partial: float, coefficient: float) -> float: ...
@overload
def partial_sharpness(partial: Column, coefficient: Values) -> Column: ...
def partial_sharpness(partial: Values, coefficient: Values) -> Values:
    """Return how many cents sharp partial `partial` is of n f_0, for a coefficient B.

    Says in the unit of tuning what B means: 1200 log2 sqrt(1 + B n^2), n from 1.
    Source: Fletcher 1964 (from memory).

    Raises ValueError for a partial outside 1 to 100 or B outside 0 to 0.1.
    """
    n = within(partial, "partial", 1.0, 100.0, "")
    b = within(coefficient, "inharmonicity", 0.0, 0.1, "")
    return shaped(np.asarray(600.0 * np.log2(1.0 + b * n**2)))


@overload
def tension_ratio(cents: float) -> float: ...
@overload
def tension_ratio(cents: Column) -> Column: ...
def tension_ratio(cents: Values) -> Values:
    """Return the tension after a change of `cents`, as a ratio to that before it.

    What a raise asks of the wire and the frame, whatever the scale: T goes with f^2, so that
    the ratio is 2^(cents / 600); +100 cents is 1.1225.

    Raises ValueError outside -1200 to 1200 cents.
    """
    change = within(cents, "change of pitch", -1200.0, 1200.0, "cents")
    return shaped(np.asarray(np.exp2(change / 600.0)))


@overload
def breaking_load(diameter_m: float) -> float: ...
@overload
def breaking_load(diameter_m: Column) -> Column: ...
def breaking_load(diameter_m: Values) -> Values:
    """Return the least load in N at which new music wire of this diameter (m) breaks.

    Tension over it is the share of the wire's strength in use. Least tensile strength, linear
    between the sizes of `WIRE_STRENGTH`, times the cross-section.
    Source: ASTM A228/A228M minimum tensile strengths, as reproduced on a wire maker's page.

    Raises ValueError outside 0.7366 to 1.6002 mm.
    """
    sizes, strengths = np.array(WIRE_STRENGTH).T
    millimetres = np.asarray(diameter_m, dtype=np.float64) * 1000.0
    d = within(np.round(millimetres, 9), "wire diameter", sizes[0], sizes[-1], "mm")
    return shaped(np.asarray(np.interp(d, sizes, strengths) * np.pi / 4.0 * d**2))


def _frequency(frequency_hz: Values) -> Column:
    return within(frequency_hz, "frequency", 10.0, 10_000.0, "Hz")


def _length(length_m: Values) -> Column:
    return within(length_m, "speaking length", 0.02, 4.0, "m")


def _diameter(diameter_m: Values) -> Column:
    return within(diameter_m, "wire diameter", 0.0002, 0.008, "m")


def _plain_tension(f: Column, length: Column, d: Column) -> Column:
    return np.asarray(np.pi * STEEL_DENSITY * (f * length * d) ** 2)
