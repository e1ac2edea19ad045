"""When a "when" of a note is: seasons dated by the climate of the place."""

from __future__ import annotations

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
        first, last = _season_window(shop, when.season, from_date)
        if not when.before:
            return first, last
        last = first - timedelta(days=1)
        return min(from_date, last), last
    return window(when, from_date, southern=_southern(shop))


def _season_window(shop: Shop, season: str, from_date: date) -> tuple[date, date]:
    months = season_months(shop, season)
    year = from_date.year
    while True:
        first = date(year, months[0], 1)
        ends = months[-1] % 12 + 1
        last = date(year + (ends <= months[0]), ends, 1) - timedelta(days=1)
        if last > from_date:
            return max(first, from_date + timedelta(days=1)), last
        year += 1


def _southern(shop: Shop) -> bool:
    warmth = {month.month: month.temperature_c for month in shop.climate}
    return bool(warmth) and warmth[7] < warmth[1]
