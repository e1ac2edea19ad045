"""How moist the air of each room is through the year, from climate, logs and visits' readings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np

from dossier.analysis import air, wood
from dossier.analysis.answers import CurveBasis
from dossier.analysis.ranges import Column
from dossier.analysis.seasoning import (
    COLDEST_C,
    DAY_SECONDS,
    HOTTEST_C,
    INDOOR_C,
    columns,
    standing_on,
)
from dossier.analysis.wood_state import (
    YEAR_DAYS,
    RoomAir,
    WoodStates,
    fit_curve,
    states,
)
from dossier.model import History, Room, Shop, Visit

EPOCH = date(1970, 1, 1).toordinal()

ENOUGH_READINGS = 4
"""Readings at visits that show how a room's air runs, where the shop's file has no climate."""

ENOUGH_MONTHS = 6
"""Logged calendar months after which the year rests on the log."""

FEWEST_DAYS = 10
"""Logged days that make a month's mean; all three are common practice, no source."""

MEAN_SPREAD = 2.0
"""How far, in % moisture, a room's mean lies off that of warmed outdoor air.  From memory."""

WIDER, LATE_DAYS = 0.35, 12.0
"""How much wider or narrower than the climate's, and how late, a room's year runs.  From memory."""

ASSUMED_MEAN, ASSUMED_AMPLITUDE, ASSUMED_DAMPEST = 8.5, 1.5, (8, 15)
"""A heated room of the temperate north, dampest in mid August.  From memory."""


@dataclass(frozen=True, slots=True, eq=False)
class RoomYears:
    """The rooms that an instrument stood in, by slug ("" for one that nobody named).

    `now`: the slug of the room in which it stands by its file; `stood`: of each visit; `readings`:
    the moisture in % that wood would come to in the air read at each visit, NaN without one.
    """

    rooms: Mapping[str, RoomAir]
    now: str
    stood: tuple[str, ...]
    readings: Column

    @property
    def here(self) -> RoomAir:
        return self.rooms[self.now]


def room_years(history: History) -> RoomYears:
    """Return every room of the instrument with its year fitted."""
    stood = tuple(_room_name(history, visit.date) for visit in history.visits)
    now = _room_name(history, date.max)
    readings = np.array([visit_moisture(visit) for visit in history.visits], dtype=np.float64)
    expected = expected_year(history.shop)
    rooms = {}
    for name in dict.fromkeys((*stood, now)):
        read = np.array([room == name for room in stood], dtype=np.bool_) & np.isfinite(readings)
        spots = ordinals(history.visits)[read], readings[read]
        rooms[name] = room_air(history.rooms.get(name), spots, expected)
    return RoomYears(rooms, now, stood, readings)


def room_air(
    room: Room | None, spots: tuple[Column, Column], expected: tuple[Column, Column] | None
) -> RoomAir:
    """Return a room's year from what is expected of it, its log, and `spots`: the days
    (ordinals) and the moisture of readings at visits."""
    days, moisture = logged_days(room)
    months, means = _months(days, moisture)
    centre, spread = expected or _assumed()
    basis = _basis(expected is not None, len(spots[0]), months)
    when, values = np.concatenate([spots[0], months]), np.concatenate([spots[1], means])
    return RoomAir(fit_curve(centre, spread, when, values, basis), days, moisture)


def wood_at_visits(history: History, years: RoomYears) -> tuple[WoodStates, tuple[bool, ...]]:
    """Return the wood at every visit, and whether anything says how moist it was.

    A log or a reading says so; a year's curve only if it is not a mere assumption.
    """
    days = ordinals(history.visits)
    by_room = {name: states(years.rooms[name], days, years.readings) for name in set(years.stood)}
    parts = [by_room[name] for name in years.stood]
    if not parts:
        return states(years.here, days, years.readings), ()
    basis = tuple(part.basis[place] for place, part in enumerate(parts))
    moisture = [part.moisture[..., place] for place, part in enumerate(parts)]
    variance = [part.variance[place] for place, part in enumerate(parts)]
    known = tuple(
        said != "curve" or years.rooms[name].curve.basis != "assumed"
        for said, name in zip(basis, years.stood, strict=True)
    )
    return WoodStates(np.stack(moisture, axis=-1), np.array(variance), basis), known


def ordinals(visits: tuple[Visit, ...]) -> Column:
    """The days of visits as ordinals."""
    return np.array([visit.date.toordinal() for visit in visits], dtype=np.float64)


def visit_moisture(visit: Visit) -> float:
    """The moisture that wood would come to in the air read at a visit, %; NaN without one."""
    if visit.air is None or visit.air.humidity is None:
        return float("nan")
    degrees = visit.air.temperature_c
    temperature = INDOOR_C if degrees is None else float(degrees)
    return wood.moisture_content(
        min(max(temperature, COLDEST_C), HOTTEST_C), min(max(float(visit.air.humidity), 1.0), 99.0)
    )


def expected_year(shop: Shop) -> tuple[Column, Column] | None:
    """The year of a heated room in the shop's climate, as mean, cosine and sine in % moisture,
    and the spreads that `fit_curve` asks for; None where the shop's file has no whole year.

    Outdoor air warmed to 20 °C, through its moisture content; people, cooking and plants add to
    the mean, and how far a room follows the outdoor year is its own.
    """
    if len(shop.climate) < 12:
        return None
    outdoor = np.array([float(month.temperature_c) for month in shop.climate])
    humidity = np.array([float(month.humidity) for month in shop.climate])
    indoor = np.maximum(outdoor, INDOOR_C)
    moisture = wood.moisture_content(indoor, air.warmed_humidity(outdoor, humidity, indoor))
    middles = np.array([date(2001, month.month, 15).toordinal() for month in shop.climate])
    turn = 2.0 * np.pi * middles / YEAR_DAYS
    cosine, sine = 2.0 * np.mean(moisture * np.cos(turn)), 2.0 * np.mean(moisture * np.sin(turn))
    size = float(np.hypot(cosine, sine))
    late = np.tan(2.0 * np.pi * LATE_DAYS / YEAR_DAYS)
    return (
        np.array([float(np.mean(moisture)), float(cosine), float(sine)]),
        np.array([MEAN_SPREAD, WIDER * size, late * size]),
    )


def logged_days(room: Room | None) -> tuple[np.ndarray[tuple[int], np.dtype[np.int64]], Column]:
    """A room's logged days (ordinals) and their mean moisture, %: hour by hour, then averaged."""
    days, moisture = np.empty(0, dtype=np.int64), np.empty(0)
    if room is None or not room.logs:
        return days, moisture
    parts = [columns(log) for log in room.logs]
    seconds, degrees, humidity = (np.concatenate(column) for column in zip(*parts, strict=True))
    good = np.isfinite(humidity)
    if not good.any():
        return days, moisture
    warm = np.clip(np.where(np.isfinite(degrees), degrees, INDOOR_C), COLDEST_C, HOTTEST_C)
    wet = wood.moisture_content(warm[good], np.clip(humidity[good], 1.0, 99.0))
    number = seconds[good] // DAY_SECONDS
    first = int(number.min())
    count = np.bincount(number - first)
    total = np.bincount(number - first, weights=wet)
    there = np.flatnonzero(count)
    return (there + first + EPOCH).astype(np.int64), np.asarray(total[there] / count[there])


def _room_name(history: History, day: date) -> str:
    standing = standing_on(history, day)
    return standing.room if standing else ""


def _months(
    days: np.ndarray[tuple[int], np.dtype[np.int64]], moisture: Column
) -> tuple[Column, Column]:
    """The middle day and the mean moisture of runs of thirty days that are logged enough."""
    if not days.size:
        return np.empty(0), np.empty(0)
    run = (days - days[0]) // 30
    count = np.bincount(run)
    enough = count >= FEWEST_DAYS
    middle = np.bincount(run, weights=days)[enough] / count[enough]
    return middle, np.bincount(run, weights=moisture)[enough] / count[enough]


def _basis(has_climate: bool, readings: int, months: Column) -> CurveBasis:
    if len(np.unique(np.floor(months % YEAR_DAYS / (YEAR_DAYS / 12.0)))) >= ENOUGH_MONTHS:
        return "log"
    if has_climate:
        return "climate"
    return "readings" if readings >= ENOUGH_READINGS else "assumed"


def _assumed() -> tuple[Column, Column]:
    turn = 2.0 * np.pi * date(2001, *ASSUMED_DAMPEST).toordinal() / YEAR_DAYS
    centre = [ASSUMED_MEAN, ASSUMED_AMPLITUDE * np.cos(turn), ASSUMED_AMPLITUDE * np.sin(turn)]
    return np.array(centre), np.array([2.5, 0.8, 0.6])
