"""Pitch: cents, the level of a register as found and as left, and what kind of work that was."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import overload

import numpy as np

from dossier.analysis.ranges import Column, Values, positive, shaped, within

LOWEST_KEY, HIGHEST_KEY = -8, 97
"""Keys counted from A0 = 1; below and above it the extended compasses, from C0."""

A4_KEY = 49

Readings = Mapping[int, float]
"""Cents from the target by key number, A0 = 1."""

Register = tuple[str, int, int]
"""Name, first key, last key; from the instrument's own breaks, both keys included."""


@overload
def cents(frequency_hz: float, target_hz: float) -> float: ...
@overload
def cents(frequency_hz: Column, target_hz: Values) -> Column: ...
def cents(frequency_hz: Values, target_hz: Values) -> Values:
    """Return how far a frequency lies above its target, in cents (hundredths of a semitone).

    Equal steps of pitch at any height, where hertz are not: 1200 log2(f / f_target); negative
    is flat. Source: Ellis 1885, the definition of the cent (from memory).

    Raises ValueError unless both frequencies, in Hz, are above 0.
    """
    ratio = positive(frequency_hz, "frequency", "Hz") / positive(target_hz, "target", "Hz")
    return shaped(np.asarray(1200.0 * np.log2(ratio)))


@overload
def frequency(key_number: float, reference_hz: float = 440.0) -> float: ...
@overload
def frequency(key_number: Column, reference_hz: Values = 440.0) -> Column: ...
def frequency(key_number: Values, reference_hz: Values = 440.0) -> Values:
    """Return the frequency in Hz of a key in equal temperament, A0 = key 1, A4 = key 49.

    A reading in hertz is turned into cents against this. It is not the tuner's stretched curve:
    20 to 40 cents from it at the ends of the compass are normal.
    f = f_A4 2^((key - 49) / 12). Source: ISO 16:1975 for A4 = 440 Hz.

    Raises ValueError for a key outside -8 to 97 or a reference outside 300 to 600 Hz.
    """
    key = within(key_number, "key number", LOWEST_KEY, HIGHEST_KEY, "")
    reference = within(reference_hz, "reference pitch", 300.0, 600.0, "Hz")
    return shaped(np.asarray(reference * np.exp2((key - A4_KEY) / 12.0)))


@dataclass(frozen=True, slots=True)
class Level:
    """Where a register, or the whole compass, stands against its target.

    `cents`: the level; `spread`: unevenness in cents, None where one reading cannot show it;
    `first_key`, `last_key`: the keys the figure speaks for, from the lowest to the highest
    reading; `readings_count`: how many readings it rests on; `whole`: a single figure was noted
    for the whole instrument, so that its error is wide.
    """

    cents: float
    spread: float | None
    first_key: int
    last_key: int
    readings_count: int
    whole: bool = False


def level(readings: Readings, first_key: int, last_key: int) -> Level | None:
    """Return the level of the register from `first_key` to `last_key`, or None without readings.

    The mean of whatever notes were sampled leans towards where the tuner measured most. Between
    readings the pitch is taken as linear, beyond the outermost nothing is assumed, and the keys
    so covered are averaged. Common practice, no source.

    Raises ValueError for a register or a reading outside keys -8 to 97, or readings that are not
    finite.
    """
    covered = _covered(readings, first_key, last_key)
    return None if covered is None else _level([covered])


def levels(readings: Readings, registers: Iterable[Register]) -> tuple[tuple[str, Level], ...]:
    """Return the level of each register that has readings, in the order of `registers`.

    Raises ValueError as `level`.
    """
    found = ((name, level(readings, first, last)) for name, first, last in registers)
    return tuple((name, of_register) for name, of_register in found if of_register is not None)


def overall_level(readings: Readings, registers: Iterable[Register]) -> Level | None:
    """Return one level for the whole compass, or None without readings.

    Interpolated within each register and never across a break, where bridges and wire change;
    then averaged over all the keys so covered. Common practice, no source.

    Raises ValueError as `level`.
    """
    parts = (_covered(readings, first, last) for _, first, last in registers)
    covered = [part for part in parts if part is not None]
    return _level(covered) if covered else None


def whole_instrument(cents_noted: float, first_key: int, last_key: int) -> Level:
    """Return the level that a single figure for the whole instrument gives ("8 sharp").

    Most old records hold just that; it counts as one reading of the whole compass, flagged, so
    that whoever weighs it gives it a wide error.

    Raises ValueError for keys outside -8 to 97 or a figure outside -1200 to 1200 cents.
    """
    _check_register(first_key, last_key)
    noted = float(within(cents_noted, "pitch", -1200.0, 1200.0, "cents"))
    return Level(noted, None, first_key, last_key, readings_count=1, whole=True)


def unevenness(readings: Readings, first_key: int, last_key: int) -> float | None:
    """Return the spread of a register once its level is taken out, in cents.

    A register that has moved as one needs less work than one that lies scattered about the same
    level: the root mean square of the readings around `level`. None for fewer than two readings.
    Common practice, no source.

    Raises ValueError as `level`.
    """
    of_register = level(readings, first_key, last_key)
    return None if of_register is None else of_register.spread


def change(found: Level, left: Level) -> float:
    """Return how far the work moved a level, in cents; positive is up."""
    return left.cents - found.cents


def change_by_key(found: Readings, left: Readings) -> dict[int, float]:
    """Return how far each key was moved, in cents, for the keys read both before and after."""
    return {key: left[key] - found[key] for key in sorted(found.keys() & left.keys())}


class WorkClass(StrEnum):
    """What a visit did to the pitch, in the trade's terms."""

    NONE = "none"
    FINE_TUNING = "fine tuning"
    TUNING = "tuning"
    SMALL_RAISE = "small raise"
    RAISE = "raise"
    LOWERING = "lowering"


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Largest change of level, in cents, that still counts as each class; a raise is above all.

    Common practice, no source; the shop sets its own. Raises ValueError unless they rise from 0.
    """

    fine_tuning: float = 3.0
    tuning: float = 10.0
    small_raise: float = 25.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.fine_tuning <= self.tuning <= self.small_raise:
            raise ValueError(
                f"thresholds {self.fine_tuning:g}, {self.tuning:g}, {self.small_raise:g} cents"
                " are outside the range of figures that rise from 0"
            )


COMMON_THRESHOLDS = Thresholds()


def work_class(
    found_cents: float, left_cents: float | None, thresholds: Thresholds = COMMON_THRESHOLDS
) -> WorkClass:
    """Return the class of work that brought the level from `found_cents` to `left_cents`.

    A raise unsettles the whole instrument and a fine tuning does not, so that they are counted,
    priced and forecast apart. The class is that of the offset from where the pitch was left,
    not from 440 Hz: an instrument floated where it stood was tuned, not raised. `left_cents` None
    says that nothing was tuned. Down by more than a tuning is a lowering.
    Common practice, no source.

    Raises ValueError for pitches outside -1200 to 1200 cents.
    """
    found = float(within(found_cents, "pitch as found", -1200.0, 1200.0, "cents"))
    if left_cents is None:
        return WorkClass.NONE
    moved = float(within(left_cents, "pitch as left", -1200.0, 1200.0, "cents")) - found
    if abs(moved) <= thresholds.fine_tuning:
        return WorkClass.FINE_TUNING
    if abs(moved) <= thresholds.tuning:
        return WorkClass.TUNING
    if moved < 0.0:
        return WorkClass.LOWERING
    return WorkClass.SMALL_RAISE if moved <= thresholds.small_raise else WorkClass.RAISE


@dataclass(frozen=True, slots=True, eq=False)
class _Covered:
    """Readings of one register: their keys in order, their cents, and the cents of every key."""

    keys: Column
    read: Column
    every: Column


def _covered(readings: Readings, first_key: int, last_key: int) -> _Covered | None:
    _check_register(first_key, last_key)
    within(list(readings), "key number", LOWEST_KEY, HIGHEST_KEY, "")
    inside = sorted(key for key in readings if first_key <= key <= last_key)
    if not inside:
        return None
    read = np.array([readings[key] for key in inside], dtype=np.float64)
    if not np.isfinite(read).all():
        raise ValueError("a reading is outside the range of finite cents")
    keys = np.array(inside, dtype=np.float64)
    every = np.interp(np.arange(inside[0], inside[-1] + 1), keys, read)
    return _Covered(keys, read, np.asarray(every, dtype=np.float64))


def _level(parts: list[_Covered]) -> Level:
    read = np.concatenate([part.read for part in parts])
    middle = float(np.concatenate([part.every for part in parts]).mean())
    spread = float(np.sqrt(np.mean((read - middle) ** 2))) if read.size > 1 else None
    first = int(min(part.keys[0] for part in parts))
    last = int(max(part.keys[-1] for part in parts))
    return Level(middle, spread, first, last, readings_count=int(read.size))


def _check_register(first_key: int, last_key: int) -> None:
    if not LOWEST_KEY <= first_key <= last_key <= HIGHEST_KEY:
        raise ValueError(
            f"register {first_key} to {last_key} is outside the keys {LOWEST_KEY} to {HIGHEST_KEY}"
            ", first to last"
        )
