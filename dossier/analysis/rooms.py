"""The air of the rooms an instrument stood in: exposure from logs, readings from visits."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from dossier.analysis import air
from dossier.analysis.exposure import Band, Exposure, exposure
from dossier.analysis.ranges import Column
from dossier.analysis.seasoning import columns, room_on, standing_on
from dossier.analysis.seasons import warmed
from dossier.model import History, Room


@dataclass(frozen=True, slots=True)
class AirReading:
    """The air read at a visit: °C and % RH (None where not read), dew point in °C, g/m3.

    `room` is the slug of the room where the instrument stood then, "" where that isn't known.
    """

    when: date
    visit: str
    room: str
    temperature_c: float | None
    humidity: float | None
    dew_point_c: float | None
    absolute: float | None
    line: int


@dataclass(frozen=True, slots=True)
class LoggedDay:
    """A day of a log in % RH; all None where it holds no reading."""

    when: date
    low: float | None
    mean: float | None
    high: float | None


LATEST_DAYS = 400
"""The end of a log that is looked at day by day: a year, and the season before it.

A choice, no source.
"""


@dataclass(frozen=True, slots=True)
class RoomAir:
    """A room's log: `exposure` of the whole, `latest` of its last days, which are `days`."""

    room: Room
    exposure: Exposure
    latest: Exposure
    days: tuple[LoggedDay, ...]


@dataclass(frozen=True, slots=True)
class WarmedMonth:
    """The outdoor air of a month once warmed to the room, % RH."""

    month: int
    humidity: float


def air_readings(history: History) -> tuple[AirReading, ...]:
    """The air at every visit that read it, oldest first."""
    found = []
    for visit in history.visits:
        if visit.air is None:
            continue
        degrees = _number(visit.air.temperature_c)
        humidity = _number(visit.air.humidity)
        dew_point, absolute = _moist_air(degrees, humidity)
        found.append(
            AirReading(
                when=visit.date,
                visit=visit.id,
                room=_room(history, visit.date),
                temperature_c=degrees,
                humidity=humidity,
                dew_point_c=dew_point,
                absolute=absolute,
                line=visit.air.span.line,
            )
        )
    return tuple(found)


def here(readings: tuple[AirReading, ...]) -> tuple[AirReading, ...]:
    """The readings of humidity taken in the room of the last one: an old room's air is its own."""
    return tuple(
        reading
        for reading in readings
        if reading.humidity is not None and reading.room == readings[-1].room
    )


def _room(history: History, day: date) -> str:
    standing = standing_on(history, day)
    return standing.room if standing is not None else ""


def room_air(history: History, day: date) -> RoomAir | None:
    """The logged air of the room in which the instrument stood on a day, None without a log."""
    room = room_on(history, day)
    if room is None or not room.logs:
        return None
    seconds, degrees, humidity = joined(room)
    band = Band(float(history.shop.band.low), float(history.shop.band.high))
    times = seconds.astype("datetime64[s]")
    found = exposure(times, degrees, humidity, band)
    if found is None:
        return None
    late = seconds // 86_400 > seconds[-1] // 86_400 - LATEST_DAYS
    latest = None if late.all() else exposure(times[late], degrees[late], humidity[late], band)
    if latest is None:
        return RoomAir(room, found, found, _days(seconds, humidity))
    return RoomAir(room, found, latest, _days(seconds[late], humidity[late]))


def joined(room: Room) -> tuple[NDArray[np.int64], Column, Column]:
    """All logs of a room as one series, oldest first, one row an instant."""
    parts = [columns(log) for log in room.logs]
    seconds, degrees, humidity = (np.concatenate(column) for column in zip(*parts, strict=True))
    _, first = np.unique(seconds, return_index=True)
    return seconds[first], degrees[first], humidity[first]


def warmed_months(history: History) -> tuple[WarmedMonth, ...]:
    """The shop's monthly outdoor climate once warmed to a heated room."""
    return tuple(WarmedMonth(month, humidity) for month, humidity in warmed(history.shop))


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _moist_air(degrees: float | None, humidity: float | None) -> tuple[float | None, float | None]:
    """Dew point in °C and water in g/m3, None where the reading is outside what air can be."""
    if degrees is None or humidity is None:
        return None, None
    if not (-40 <= degrees <= 50 and 1 <= humidity <= 100):
        return None, None
    return air.dew_point(degrees, humidity), air.absolute_humidity(degrees, humidity)


def _days(seconds: NDArray[np.int64], humidity: Column) -> tuple[LoggedDay, ...]:
    good = np.isfinite(humidity)
    numbers = seconds // 86_400
    start, end = int(numbers[0]), int(numbers[-1])
    place = (numbers - start)[good].astype(np.int64)
    values = humidity[good]
    count = np.bincount(place, minlength=end - start + 1)
    total = np.bincount(place, weights=values, minlength=end - start + 1)
    low = np.full(count.size, np.inf)
    high = np.full(count.size, -np.inf)
    np.minimum.at(low, place, values)
    np.maximum.at(high, place, values)
    epoch = date(1970, 1, 1)
    return tuple(
        LoggedDay(
            epoch + timedelta(days=start + index),
            *(
                (float(low[index]), float(total[index] / count[index]), float(high[index]))
                if count[index]
                else (None, None, None)
            ),
        )
        for index in range(count.size)
    )
