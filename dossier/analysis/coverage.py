"""How much of its own year an instrument's readings have seen, and which visit would show more."""

from __future__ import annotations

from datetime import date

import numpy as np

from dossier.analysis.answers import NotEnough, SeasonCoverage, YearlyDays
from dossier.analysis.ranges import Column
from dossier.analysis.wood_state import (
    USUAL_CONSTANT_DAYS,
    YEAR_DAYS,
    Curve,
    WoodStates,
)

OUTERMOST = 0.7
"""Wood this far out, as a part of half its yearly range, has been seen at its driest or dampest."""

PROPOSED = 0.85
"""A visit is proposed for the days on which the usual year is this far out: about a month either
side of the extreme.  Both common practice, no source."""


def season_coverage(
    curve: Curve, wood: WoodStates, days: tuple[date, ...], seen: tuple[bool, ...]
) -> SeasonCoverage | NotEnough:
    """Return how much of a usual year in the present room the readings of the pitch have seen.

    `wood`: at the visits on `days`; `seen`: which of them read the pitch in this room.  A forecast
    for a season that was never seen rests on what was assumed; that is worth a visit.
    """
    if curve.basis == "assumed" and not any(seen):
        return NotEnough(("climate or log",))
    lag = 2.0 * np.pi / YEAR_DAYS * USUAL_CONSTANT_DAYS
    half = curve.amplitude / float(np.sqrt(1.0 + lag**2))
    delay = float(np.arctan(lag)) * YEAR_DAYS / (2.0 * np.pi)
    peak = float(np.arctan2(curve.sine, curve.cosine)) * YEAR_DAYS / (2.0 * np.pi) + delay
    states = wood.usual[np.array(seen, dtype=np.bool_)]
    when = [day for day, was in zip(days, seen, strict=True) if was]
    low, high = curve.mean - half, curve.mean + half
    return SeasonCoverage(
        moisture_low=low,
        moisture_high=high,
        seen_low=float(states.min()) if states.size else None,
        seen_high=float(states.max()) if states.size else None,
        share=_share(states, low, high),
        visits=len(when),
        dampest_seen=_last(when, states - curve.mean >= OUTERMOST * half),
        driest_seen=_last(when, curve.mean - states >= OUTERMOST * half),
        dampest_days=_days_around(peak),
        driest_days=_days_around(peak + YEAR_DAYS / 2.0),
    )


def _share(states: Column, low: float, high: float) -> float:
    if not states.size or high <= low:
        return 0.0
    inside = np.clip(states, low, high)
    return float((inside.max() - inside.min()) / (high - low))


def _last(when: list[date], out: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> date | None:
    return max((day for day, there in zip(when, out.tolist(), strict=True) if there), default=None)


def _days_around(peak: float) -> YearlyDays:
    half = float(np.arccos(PROPOSED)) * YEAR_DAYS / (2.0 * np.pi)
    return YearlyDays(day_of_year(peak - half), day_of_year(peak + half))


def day_of_year(day: float) -> tuple[int, int]:
    """The (month, day) of a count of days of `toordinal`, by its place in a year of 365 days."""
    first = date(2001, 1, 1).toordinal()
    when = date.fromordinal(first + round((day - first) % YEAR_DAYS) % 365)
    return when.month, when.day
