"""What an instrument's scale bears: the tension of each string, its margin, totals and breaks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from dossier.analysis import pitch, strings
from dossier.analysis.ranges import within
from dossier.model import ScaleString

COPPER_DENSITY, IRON_DENSITY = 8960.0, 7870.0
"""kg/m3, of winding wire; iron was wound before copper was common.  From memory."""

PACKING = float(np.pi / 4.0)
"""How much of a winding is metal: a round wire laid turn to turn fills pi/4 of its ring.

By geometry: per turn (of length c) a wire of pi c2/4 goes around pi (d + c), in a ring of section
pi c (d + c).  A winding that was drawn flat is a little denser."""

STANDARD_GRAVITY = 9.80665
"""N per kgf."""

SHORT_TON = 8896.443230521
"""N per short ton-force: 2000 lbf of 4.4482216152605 N."""

ASSUMED_SHORT_TONS = (18.0, 20.0)
"""All strings of a large instrument, where no scale is known.  Common practice, no source."""


@dataclass(frozen=True, slots=True)
class StringLoad:
    """One note's strings at a pitch.

    `tension` is that of one string in N, `strength` the least load in N at which new wire of its
    (core) diameter breaks, None beyond the table; `inharmonicity` is B, without a unit.  `worked`
    says that a wound string's mass was worked out from core and cover and not given.
    """

    key: int
    hertz: float
    strings: int
    diameter_mm: float
    wound: bool
    worked: bool
    tension: float
    strength: float | None
    inharmonicity: float

    @property
    def share(self) -> float | None:
        """How much of the wire's strength is in use, 0 to 1; None where that is not tabled."""
        return None if self.strength is None else self.tension / self.strength

    @property
    def pull(self) -> float:
        """The tension of all the note's strings, in N."""
        return self.tension * self.strings


@dataclass(frozen=True, slots=True)
class Jump:
    """What changes where a section begins, from the note below the break to the note above.

    `tension` and `inharmonicity` are ratios, above to below; `share` is in points of strength.
    """

    below: int
    above: int
    tension: float
    inharmonicity: float
    share: float | None


@dataclass(frozen=True, slots=True)
class ScaleReport:
    """A scale at the target and, where a pitch was read, at the pitch last known.

    `missing` are the notes of the compass that the scale does not give; a total is only of those
    that it does.
    """

    at_target: tuple[StringLoad, ...]
    at_pitch: tuple[StringLoad, ...]
    missing: int
    jumps: tuple[Jump, ...]


def wound_mass(
    core_m: float,
    cover_m: float,
    cover_density: float = COPPER_DENSITY,
    packing: float = PACKING,
) -> float:
    """Return the mass per length in kg/m of a string with one layer of winding wire `cover_m`.

    Scales of the shop floor give gauges and no masses:
    mu = pi/4 (rho d^2 + k rho_c ((d + 2c)^2 - d^2)), rho = 7850 kg/m3 for the core.
    Source: geometry; densities from memory.

    Raises ValueError for a core outside 0.0002 to 0.008 m, a cover outside 0 to 0.012 m, a density
    outside 7000 to 9500 kg/m3 or a packing outside 0.5 to 1.
    """
    d = float(within(core_m, "core diameter", 0.0002, 0.008, "m"))
    c = float(within(cover_m, "cover diameter", 0.0, 0.012, "m"))
    density = float(within(cover_density, "density of the cover", 7000.0, 9500.0, "kg/m3"))
    filled = float(within(packing, "packing", 0.5, 1.0, ""))
    ring = (d + 2.0 * c) ** 2 - d**2
    return float(np.pi / 4.0 * (strings.STEEL_DENSITY * d**2 + filled * density * ring))


def core_inharmonicity(tension_n: float, length_m: float, core_m: float) -> float:
    """Return the inharmonicity coefficient B of a string under a known tension, by its core.

    A winding adds mass and hardly any stiffness: B = pi^3 E d^4 / (64 T L^2), E = 200 GPa, the
    bare ends left out.  For plain wire it is `strings.inharmonicity`.
    Source: Fletcher 1964 (from memory).

    Raises ValueError for a tension outside 1 to 20 000 N and the lengths of `strings.tension`.
    """
    load = float(within(tension_n, "tension", 1.0, 20_000.0, "N"))
    length = float(within(length_m, "speaking length", 0.02, 4.0, "m"))
    d = float(within(core_m, "core diameter", 0.0002, 0.008, "m"))
    return float(np.pi**3 * strings.STEEL_MODULUS_PA * d**4 / (64.0 * load * length**2))


def string_loads(
    scale: Iterable[ScaleString], reference_hz: float, cents: Mapping[int, float] | None = None
) -> tuple[StringLoad, ...]:
    """Return the load of each note of a scale at equal temperament on A4 = `reference_hz`.

    `cents` are offsets by key, 0 where a key has none.  The tuner's stretch is left out: 20 cents
    of it are 2.3 % of tension.  A row that no string can be (a mass beyond 0.5 kg/m, a tension
    beyond 20 kN) is left out.  Each by `strings.wound_tension`, with the mass given or else worked
    out from core and copper cover; for plain wire that is `strings.tension`.

    Raises ValueError for a reference outside 300 to 600 Hz or offsets outside -1200 to 1200 cents.
    """
    offsets = cents or {}
    found = (_load(one, reference_hz, offsets.get(one.key, 0.0)) for one in scale)
    return tuple(load for load in found if load is not None)


def total(loads: Iterable[StringLoad]) -> float:
    """Return the tension of all strings together in N, as plate and back bear it."""
    return float(sum(load.pull for load in loads))


def between(loads: Iterable[StringLoad], first_key: int, last_key: int) -> tuple[StringLoad, ...]:
    """The loads of the keys from `first_key` to `last_key`, both included."""
    return tuple(load for load in loads if first_key <= load.key <= last_key)


def weakest(loads: Iterable[StringLoad], count: int = 6) -> tuple[StringLoad, ...]:
    """The notes whose wire has most of its strength in use, the nearest to breaking first.

    They go first in a raise.  Against the least strength of new wire: old wire holds less.
    """
    known = [load for load in loads if load.share is not None]
    return tuple(sorted(known, key=lambda load: (-(load.share or 0.0), load.key))[:count])


def jumps(loads: Iterable[StringLoad], breaks: Iterable[int]) -> tuple[Jump, ...]:
    """What changes at each break, where both of its neighbours are in the scale.

    A jump in tension or stiffness is heard as a change of tone and drifts apart with the seasons.
    `breaks` are the first keys of further sections.
    """
    by_key = {load.key: load for load in loads}
    pairs = ((by_key.get(first - 1), by_key.get(first)) for first in sorted(set(breaks)))
    return tuple(
        Jump(
            below=low.key,
            above=high.key,
            tension=high.tension / low.tension,
            inharmonicity=high.inharmonicity / low.inharmonicity,
            share=high.share - low.share if high.share and low.share else None,
        )
        for low, high in pairs
        if low is not None and high is not None
    )


def scale_report(
    scale: Sequence[ScaleString],
    reference_hz: float,
    compass: tuple[int, int],
    breaks: Iterable[int],
    cents: Mapping[int, float] | None,
) -> ScaleReport | None:
    """All that a scale says of an instrument; None without a scale.

    `cents` is the pitch last known by key, None where none was read.  Raises as `string_loads`.
    """
    at_target = string_loads(scale, reference_hz)
    if not at_target:
        return None
    return ScaleReport(
        at_target=at_target,
        at_pitch=string_loads(scale, reference_hz, cents) if cents is not None else (),
        missing=compass[1] - compass[0] + 1 - len(at_target),
        jumps=jumps(at_target, breaks),
    )


def _load(one: ScaleString, reference_hz: float, cents: float) -> StringLoad | None:
    hertz = pitch.frequency(one.key, reference_hz) * float(
        np.exp2(float(within(cents, "pitch", -1200.0, 1200.0, "cents")) / 1200.0)
    )
    length, diameter = float(one.length_m), float(one.diameter_mm) / 1000.0
    mass = _mass(one)
    if not 0.0002 <= mass <= 0.5:
        return None
    tension = strings.wound_tension(hertz, length, mass)
    if not 1.0 <= tension <= 20_000.0:
        return None
    wound = one.cover_mm is not None or mass > _HEAVIER * wound_mass(diameter, 0.0)
    return StringLoad(
        key=one.key,
        hertz=hertz,
        strings=one.strings,
        diameter_mm=float(one.diameter_mm),
        wound=wound,
        worked=wound and one.linear_density is None,
        tension=tension,
        strength=_strength(diameter),
        inharmonicity=core_inharmonicity(tension, length, diameter),
    )


_HEAVIER = 1.2
"""A string this many times as heavy as its core is a wound one, though no cover is given."""


def _mass(one: ScaleString) -> float:
    """kg/m: as given, else worked out; a plain string is a wound one without a cover."""
    if one.linear_density is not None:
        return float(one.linear_density) / 1000.0
    return wound_mass(float(one.diameter_mm) / 1000.0, float(one.cover_mm or 0) / 1000.0)


def _strength(diameter_m: float) -> float | None:
    millimetres = round(diameter_m * 1000.0, 9)
    if not strings.WIRE_STRENGTH[0][0] <= millimetres <= strings.WIRE_STRENGTH[-1][0]:
        return None
    return strings.breaking_load(diameter_m)
