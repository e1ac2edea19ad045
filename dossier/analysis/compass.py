"""Registers of an instrument and the marks on its keys."""

from __future__ import annotations

from dossier.model import Instrument
from dossier.quantities import Place

ASSUMED_BREAKS = (27, 52)
"""B2 and C5: where no breaks are noted, bass, tenor and treble part here.

Common practice, no source; every figure that rests on it says "assumed registers".
"""

NAMES: dict[int, tuple[str, ...]] = {
    1: ("whole compass",),
    2: ("bass", "treble"),
    3: ("bass", "tenor", "treble"),
    4: ("bass", "tenor", "treble", "high treble"),
}

Register = tuple[str, int, int]


def registers(instrument: Instrument) -> tuple[Register, ...]:
    """The registers of an instrument as (name, first key, last key), bass first.

    From its own breaks where the file has them, so that nothing is interpolated across one;
    else from assumed ones.
    """
    inner = [
        key
        for key in sorted(instrument.breaks or ASSUMED_BREAKS)
        if instrument.lowest_key < key <= instrument.highest_key
    ]
    firsts = [instrument.lowest_key, *inner]
    lasts = [*(key - 1 for key in inner), instrument.highest_key]
    names = NAMES.get(len(firsts)) or tuple(f"section {n}" for n in range(1, len(firsts) + 1))
    return tuple(zip(names, firsts, lasts, strict=True))


def keys_of(places: tuple[Place, ...]) -> frozenset[int]:
    """Every key that a set of places covers; strings count as their key."""
    return frozenset(key for place in places for key in range(place.first, place.last + 1))


def as_places(keys: frozenset[int] | set[int]) -> tuple[tuple[int, int], ...]:
    """Keys as runs (first, last) of neighbours, lowest first."""
    runs: list[tuple[int, int]] = []
    for key in sorted(keys):
        if runs and key == runs[-1][1] + 1:
            runs[-1] = (runs[-1][0], key)
        else:
            runs.append((key, key))
    return tuple(runs)
