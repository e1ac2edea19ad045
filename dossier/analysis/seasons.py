"""When a "when" of a note is: seasons dated by the climate of the place."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from dossier.analysis import air
from dossier.model import Shop
from dossier.quantities import When, window

INDOOR_C = 20.0
"""°C to which outdoor air is taken to be warmed in a heated room.  Common practice, no source."""

SEASON_MONTHS = 3

ASSUMED = {"dry": (1, 2, 3), "damp": (7, 8, 9)}
"""Months of the dry and damp season where the shop's file has no climate: indoors, heating dries
the northern winter.  Common practice, no source."""


def warmed(shop: Shop) -> tuple[tuple[int, float], ...]:
    """The shop's monthly outdoor climate once warmed to a heated room, as (month, % RH).

    A floor: people, cooking and plants add vapour.  From monthly means; the mean of hourly
    values would differ by a point or two.
    """
    return tuple(
        (
            month.month,
            float(
                air.warmed_humidity(
                    float(month.temperature_c),
                    float(month.humidity),
                    max(INDOOR_C, float(month.temperature_c)),
                )
            ),
        )
        for month in shop.climate
    )


def season_months(shop: Shop, season: str) -> tuple[int, ...]:
    """The three neighbouring months in which heated rooms are driest or dampest."""
    humidity = dict(warmed(shop))
    if len(humidity) < 12:
        return ASSUMED[season]
    runs = [tuple((m + step - 1) % 12 + 1 for step in range(SEASON_MONTHS)) for m in range(1, 13)]
    means = {run: sum(humidity[month] for month in run) for run in runs}
    choose = min if season == "dry" else max
    return choose(runs, key=lambda run: means[run])


def when_window(shop: Shop, when: When, from_date: date) -> tuple[date, date]:
    """From which to which day something is to be done, both included, seen from a day."""
    if when.kind == "named" and when.season is not None:
        if when.before:
            return from_date, _season_to_come(shop, when.season, from_date)[0] - timedelta(days=1)
        first, last = _season_reached(shop, when.season, from_date)
        return max(first, from_date + timedelta(days=1)), last
    return window(when, from_date, southern=_southern(shop))


def _season_reached(shop: Shop, season: str, day: date) -> tuple[date, date]:
    """The season that a day lies in, unless it is its last, else the next one."""
    return next(span for span in seasons_from(shop, season, day.year - 1) if span[1] > day)


def _season_to_come(shop: Shop, season: str, day: date) -> tuple[date, date]:
    """The next season that begins after a day."""
    return next(span for span in seasons_from(shop, season, day.year) if span[0] > day)


def seasons_from(shop: Shop, season: str, year: int) -> Iterator[tuple[date, date]]:
    """The seasons that begin in a year and in those after it; one may run over the new year."""
    months = season_months(shop, season)
    ends = months[-1] % 12 + 1
    for begins in range(year, date.max.year):
        last = date(begins + (ends <= months[0]), ends, 1) - timedelta(days=1)
        yield date(begins, months[0], 1), last


def _southern(shop: Shop) -> bool:
    warmth = {month.month: month.temperature_c for month in shop.climate}
    return bool(warmth) and warmth[7] < warmth[1]
