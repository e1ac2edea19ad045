"""Wood and the air around it: how moist it becomes, and how much it tends to swell."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, overload

import numpy as np
from numpy.typing import NDArray

from dossier.analysis.ranges import Column, Values, shaped, within

Direction = Literal["radial", "tangential"]

COLDEST_C = (30 - 32) / 1.8
WARMEST_C = (270 - 32) / 1.8
"""The span of Wood Handbook Table 4-2, 30 to 270 °F."""

LINEAR_PERCENT = (6.0, 14.0)
"""Moisture contents between which eq. 13-2 holds."""

FIBRE_SATURATION_PERCENT = 30.0
"""Above it wood no longer swells."""


@dataclass(frozen=True, slots=True)
class Species:
    """A wood used in pianos, with its shrinkage.

    `shrink_radial`, `shrink_tangential`: from green to oven-dry, in % of the green size, or None
    where only the coefficient was read. `c_radial`, `c_tangential`: change of size per % change
    of moisture content (fraction per %), for 6 to 14 %. `provenance` says what was read in print
    and what is from memory.
    """

    name: str
    binomial: str
    shrink_radial: float | None
    shrink_tangential: float | None
    c_radial: float
    c_tangential: float
    provenance: str

    def coefficient(self, direction: Direction) -> float:
        """Return the dimensional change coefficient C, per % of moisture content."""
        return self.c_radial if direction == "radial" else self.c_tangential

    def shrinkage(self, direction: Direction) -> float:
        """Return S in %; where it was not read, that which belongs to C.

        C = (S/3000) / (1 - S/150) solved for S: the relation by which Table 13-5 follows from
        Table 4-3. Source: GTR-190 ch. 13.
        """
        known = self.shrink_radial if direction == "radial" else self.shrink_tangential
        c = self.coefficient(direction)
        return 3000.0 * c / (1.0 + 20.0 * c) if known is None else known


_BOTH_READ = "S and C read in the handbook's text"
_C_COPY = "S from memory; C read in a copy of the table"

# S: Wood Handbook FPL-GTR-190 (2010) Table 4-3; C: Table 13-5. Binomials from memory.
SPECIES: tuple[Species, ...] = (
    Species("Sitka spruce", "Picea sitchensis", 4.3, 7.5, 0.00148, 0.00263, _C_COPY),
    Species("Red spruce", "Picea rubens", 3.8, 7.8, 0.00130, 0.00274, _C_COPY),
    Species(
        "White spruce",
        "Picea glauca",
        None,
        None,
        0.00130,
        0.00274,
        "C read in a copy of the table",
    ),
    Species("Engelmann spruce", "Picea engelmannii", 3.8, 7.1, 0.00130, 0.00248, _C_COPY),
    Species(
        "Sugar maple",
        "Acer saccharum",
        4.8,
        9.9,
        0.00165,
        0.00353,
        "S from memory; C read in the handbook's text",
    ),
    Species("American beech", "Fagus grandifolia", 5.5, 11.9, 0.00190, 0.00431, _BOTH_READ),
    Species("Yellow birch", "Betula alleghaniensis", 7.3, 9.5, 0.00256, 0.00338, _BOTH_READ),
    Species(
        "White fir",
        "Abies concolor",
        3.3,
        7.0,
        0.00112,
        0.00245,
        "S and radial C read in the handbook's text; tangential C in a copy of the table",
    ),
    Species("Black walnut", "Juglans nigra", 5.5, 7.8, 0.00190, 0.00274, _BOTH_READ),
    Species(
        "Yellow-poplar",
        "Liriodendron tulipifera",
        4.6,
        8.2,
        0.00158,
        0.00289,
        "S read in the handbook's text; C in a copy of the table",
    ),
    Species("Eastern white pine", "Pinus strobus", 2.1, 6.1, 0.00071, 0.00212, _C_COPY),
    Species("Basswood", "Tilia americana", 6.6, 9.3, 0.00230, 0.00330, _BOTH_READ),
)


def species_named(name: str) -> Species:
    """Return the species of this name; case, hyphens and underscores do not matter.

    Raises ValueError that lists the known names.
    """
    wanted = _plain_name(name)
    for species in SPECIES:
        if wanted in (_plain_name(species.name), _plain_name(species.binomial)):
            return species
    known = ", ".join(species.name for species in SPECIES)
    raise ValueError(f'species "{name}" is not one of: {known}')


@overload
def moisture_content(temperature_c: float, rh_percent: float) -> float: ...
@overload
def moisture_content(temperature_c: Column, rh_percent: Values) -> Column: ...
@overload
def moisture_content(temperature_c: float, rh_percent: Column) -> Column: ...
def moisture_content(temperature_c: Values, rh_percent: Values) -> Values:
    """Return the moisture content, in % of dry mass, that wood comes to in steady air.

    The state that pitch follows is the wood's, not the air's. Hailwood-Horrobin sorption with
    two hydrates, coefficients in °C. Trends only: 0.1 % is not physically meaningful, and wood
    that dries holds 1 to 4 % more (at 50 % RH) than wood that takes up water.
    Source: Glass & Zelinka 2021, Wood Handbook FPL-GTR-282 ch. 4, eq. 4-5. Its Table 4-2 spans
    5 to 95 % RH; beyond it, to 0 and 100 %, the equation stays bounded.

    Raises ValueError outside -1.1 to 132.2 °C (30 to 270 °F) or 0 to 100 % RH.
    """
    t = _temperature(temperature_c)
    return shaped(_sorption(t, within(rh_percent, "relative humidity", 0.0, 100.0, "%")))


@overload
def humidity_for(moisture_percent: float, temperature_c: float) -> float: ...
@overload
def humidity_for(moisture_percent: Column, temperature_c: Values) -> Column: ...
@overload
def humidity_for(moisture_percent: float, temperature_c: Column) -> Column: ...
def humidity_for(moisture_percent: Values, temperature_c: Values) -> Values:
    """Return the relative humidity in % that keeps wood at this moisture content (%).

    What to hold a room at, once it is known what the wood needs. The inverse of
    `moisture_content` by a bracketing root over 0 to 100 % RH, in which it only rises.
    Source: Wood Handbook FPL-GTR-282 eq. 4-5, solved.

    Raises ValueError outside -1.1 to 132.2 °C, or for more moisture than saturated air gives.
    """
    from scipy.optimize.elementwise import find_root

    moisture, temperature = np.broadcast_arrays(
        within(moisture_percent, "moisture content", 0.0, np.inf, "%"), _temperature(temperature_c)
    )
    wettest = _sorption(temperature, np.float64(100.0))
    for aim, at, most in zip(*_over(moisture, temperature, wettest), strict=True):
        raise ValueError(
            f"moisture content {aim:g} % is outside 0 to {most:.4g} %, saturated air at {at:g} °C"
        )
    root = find_root(
        lambda rh, aim, at: _sorption(at, rh) - aim, (0.0, 100.0), args=(moisture, temperature)
    )
    return shaped(np.asarray(root.x, dtype=np.float64))


@overload
def width_change(
    width: float, from_percent: float, to_percent: float, species: str, direction: Direction
) -> float: ...
@overload
def width_change(
    width: Values, from_percent: Column, to_percent: Values, species: str, direction: Direction
) -> Column: ...
@overload
def width_change(
    width: Values, from_percent: float, to_percent: Column, species: str, direction: Direction
) -> Column: ...
def width_change(
    width: Values, from_percent: Values, to_percent: Values, species: str, direction: Direction
) -> Values:
    """Return how much wider a free piece of wood becomes, in the unit of `width`.

    The tendency of a panel to swell, which ribs, glue and case hold back in an instrument: not a
    measured movement. `width` is that at `from_percent`. Both moisture contents within 6 to 14 %:
    dD = D C (M_F - M_I) (eq. 13-2); else dD = D (M_F - M_I) / (3000/S - 30 + M_I) (eq. 13-3),
    up to fibre saturation at 30 %. `direction` is "radial" (quarter-sawn) or "tangential".
    Source: FPL-GTR-190 (2010) ch. 13; the limits of eq. 13-3 from memory.

    Raises ValueError for a moisture content outside 0 to 30 %, a width that is not above 0, or
    an unknown species or direction.
    """
    if direction not in ("radial", "tangential"):
        raise ValueError(f'direction "{direction}" is not one of: radial, tangential')
    wood = species_named(species)
    size = np.asarray(width, dtype=np.float64)
    if not (np.isfinite(size) & (size > 0.0)).all():
        raise ValueError(f"width {width} is outside the range above 0")
    start = within(from_percent, "moisture content", 0.0, FIBRE_SATURATION_PERCENT, "%")
    end = within(to_percent, "moisture content", 0.0, FIBRE_SATURATION_PERCENT, "%")
    linear = wood.coefficient(direction) * (end - start)
    dry_share = 3000.0 / wood.shrinkage(direction) - FIBRE_SATURATION_PERCENT
    wide = (end - start) / (dry_share + start)
    return shaped(np.asarray(size * np.where(_is_linear(start) & _is_linear(end), linear, wide)))


def _over(moisture: Column, temperature: Column, wettest: Column) -> tuple[Column, ...]:
    over = moisture > wettest
    return moisture[over], temperature[over], wettest[over]


def _is_linear(moisture: Column) -> NDArray[np.bool_]:
    low, high = LINEAR_PERCENT
    return np.asarray((moisture >= low) & (moisture <= high))


def _temperature(temperature_c: Values) -> Column:
    return within(temperature_c, "wood temperature", COLDEST_C, WARMEST_C, "°C")


def _plain_name(name: str) -> str:
    return " ".join(name.casefold().replace("-", " ").replace("_", " ").split())


def _sorption(t: Column, rh: Column | np.float64) -> Column:
    w = 349.0 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    x = k * rh / 100.0
    hydrates = (k1 * x + 2.0 * k1 * k2 * x**2) / (1.0 + k1 * x + k1 * k2 * x**2)
    return np.asarray(1800.0 / w * (x / (1.0 - x) + hydrates))
