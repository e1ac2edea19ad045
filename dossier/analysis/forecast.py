"""Where the pitch will be if nobody touches it, as a band."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

import numpy as np

from dossier.analysis.answers import Band, Forecast, NotEnough
from dossier.analysis.causes import Work, register_shares, wood_of
from dossier.analysis.mixture import Fit
from dossier.analysis.moments import estimates, projected
from dossier.analysis.priors import REGISTERS
from dossier.analysis.ranges import Column
from dossier.analysis.rows import settled_between
from dossier.analysis.series import READING_CENTS, Known
from dossier.analysis.wood_state import YEAR_DAYS, WoodStates, ahead

BAND_WEEKS = 65
"""Fifteen months: past the next yearly tuning."""

SEASON_WEEKS, MOST_WEEKS = 13, 156


def forecast(work: Work, days: tuple[date, ...]) -> tuple[Forecast, ...] | NotEnough:
    """The pitch on days from the last known pitch on, if nobody touches it."""
    known = [(place, item) for place, item in enumerate(work.series.known) if item is not None]
    if not known:
        return NotEnough(("pitch set or read",))
    found = work.fit
    ordinals = np.array([day.toordinal() for day in days], dtype=np.float64)
    registers = [register for register, _ in known]
    weights = register_shares(work.series, registers)
    futures = {
        visit: ahead(work.room, float(item.day), float(work.readings[visit]), ordinals)
        for visit, item in {item.visit: item for _, item in known}.items()
    }
    profile, projection = _causes(work, known, weights, futures, ordinals)
    start = np.array([item.cents for _, item in known])
    extra = np.zeros((len(known) + 1, len(days)))
    response = found.response
    for place, (_, item) in enumerate(known):
        alike = item.shared + response * futures[item.visit].variance
        extra[place] = item.own + alike
        extra[-1] += weights[place] ** 2 * item.own + weights[place] * alike
    extra += _errors(found, [item for _, item in known], registers, weights)[:, None]
    moments = projected(found, profile, projection)
    moments.mean[...] += np.append(start, weights @ start)[:, None]
    flat = estimates(found, moments, extra)
    rows = [flat[row * len(days) : (row + 1) * len(days)] for row in range(len(known) + 1)]
    names = [REGISTERS[register] for register in registers]
    return tuple(
        Forecast(when=day, overall=overall, registers=tuple(zip(names, single, strict=True)))
        for day, overall, *single in zip(days, rows[-1], *rows[:-1], strict=True)
    )


def _errors(found: Fit, known: list[Known], registers: list[int], weights: Column) -> Column:
    """The variance of a comparison's usual error, for each register and the compass, cents^2."""
    again = (
        1.0 + np.array([item.read for item in known]) * (READING_CENTS / found.priors.error) ** 2
    )
    root = np.sqrt(again)
    of_known = found.error[np.ix_(registers, registers)] * root * root[:, None]
    return np.append(np.diag(of_known), weights @ of_known @ weights)


def _causes(
    work: Work,
    known: list[tuple[int, Known]],
    weights: Column,
    futures: Mapping[int, WoodStates],
    days: Column,
) -> tuple[Column, Column]:
    """What moves each register and the compass, as profile and projection of `projected`.

    Three profiles for each visit from which registers start: the wood, the years, the settling.
    """
    found = work.fit
    profile = np.empty((len(found.weight), len(days), 3 * len(futures)))
    projection = np.zeros((len(known) + 1, 3 * len(futures), 9))
    places = {visit: 3 * place for place, visit in enumerate(futures)}
    for row, (register, item) in enumerate(known):
        place = places[item.visit]
        wood_then = futures[item.visit].moisture[found.constant, found.year]
        profile[..., place] = wood_then - wood_of(work, item.visit)[:, None]
        profile[..., place + 1] = (days - item.day) / YEAR_DAYS
        begun = np.full(days.shape, float(item.day - item.set_day))
        profile[..., place + 2] = settled_between(begun, days - item.set_day)[found.settling]
        projection[row, place, register] = 1.0
        projection[row, place + 1, 3 + register] = 1.0
        projection[row, place + 2, 6 + register] = -item.raised
    projection[-1] = np.tensordot(weights, projection[:-1], 1)
    return profile, projection


def band(work: Work, interval: timedelta) -> Band | NotEnough:
    """Return the forecast of every week from the last known pitch on.

    For fifteen months, or, where the instrument's own interval is longer, until a season after it.
    """
    known = [(place, item) for place, item in enumerate(work.series.known) if item is not None]
    if not known:
        return NotEnough(("pitch set or read",))
    last = max((item for _, item in known), key=lambda item: item.visit)
    since = date.fromordinal(last.day)
    weeks = max(BAND_WEEKS, min(interval.days // 7 + SEASON_WEEKS, MOST_WEEKS))
    days = tuple(since + timedelta(weeks=week) for week in range(weeks + 1))
    found = forecast(work, days)
    if isinstance(found, NotEnough):
        return found
    weights = register_shares(work.series, [place for place, _ in known])
    return Band(
        since=since,
        visit=work.series.visits[last.visit][0],
        start=float(weights @ np.array([item.cents for _, item in known])),
        days=found,
    )
