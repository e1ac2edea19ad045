"""How dry the wood was at a visit, as far as the notes and the room's log can tell.

The figure is the moisture content that wood would reach in the air it stood in.  A soundboard
is ribbed, glued and lags the air, so this is the tendency of the season, not a measurement.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from dossier.analysis import wood
from dossier.analysis.ranges import Column
from dossier.model import History, Log, Room, Standing, Visit

LOOK_BACK_DAYS = 30
"""Days of log before a visit that stand for the wood's state.  Common practice, no source."""

ENOUGH_DAYS = 10
"""Days of those that must hold readings, else the visit's own air is used."""

DAY_SECONDS = 86_400

COLDEST_C, HOTTEST_C = -1.0, 50.0
"""Span in °C in which the moisture equation is used; the handbook's table begins at -1.1 °C."""

INDOOR_C = 20.0
"""°C assumed where a reading names no temperature; 5 °C more or less moves the result by 0.1 %."""


@dataclass(frozen=True, slots=True)
class WoodState:
    """Moisture content in % of dry mass, and what it rests on."""

    moisture: float
    basis: Literal["log", "reading"]


def standing_on(history: History, day: date) -> Standing | None:
    """Where the instrument stood on a day; the last standing that had begun by then."""
    begun = [
        standing
        for standing in history.instrument.standings
        if standing.since is None
        or standing.since.earliest is None
        or standing.since.earliest <= day
    ]
    return max(begun, key=_since, default=None)


def room_on(history: History, day: date) -> Room | None:
    """The room of that day, or None where it is not known."""
    standing = standing_on(history, day)
    return history.rooms.get(standing.room) if standing else None


def columns(log: Log) -> tuple[NDArray[np.int64], Column, Column]:
    """A log's seconds (int64), °C and % RH (float64) as numpy columns, without copying."""
    return (
        np.frombuffer(log.seconds, dtype=np.int64),
        np.frombuffer(log.temperature_c, dtype=np.float64),
        np.frombuffer(log.humidity, dtype=np.float64),
    )


def wood_at(history: History, visit: Visit) -> WoodState | None:
    """The wood's state at a visit: from the log of the month before it, else from its air.

    None where neither is known; then nothing is concluded from the season.
    """
    room = room_on(history, visit.date)
    logged = _from_logs(room, visit.date) if room else None
    if logged is not None:
        return WoodState(logged, "log")
    if visit.air is None or visit.air.humidity is None:
        return None
    air, humidity = visit.air, visit.air.humidity
    temperature = float(air.temperature_c) if air.temperature_c is not None else INDOOR_C
    return WoodState(_moisture(np.array([temperature]), np.array([float(humidity)])), "reading")


def _since(standing: Standing) -> date:
    if standing.since is None or standing.since.earliest is None:
        return date.min
    return standing.since.earliest


def _moisture(degrees: Column, humidity: Column) -> float:
    """Mean moisture in %; cold below the table's span is taken as its coldest row."""
    warm = np.clip(np.where(np.isfinite(degrees), degrees, INDOOR_C), COLDEST_C, HOTTEST_C)
    return float(np.mean(wood.moisture_content(warm, np.clip(humidity, 1.0, 99.0))))


def _from_logs(room: Room, day: date) -> float | None:
    end = (day - date(1970, 1, 1)).days * DAY_SECONDS + DAY_SECONDS
    start = end - LOOK_BACK_DAYS * DAY_SECONDS
    degrees: list[Column] = []
    moist: list[Column] = []
    days: set[int] = set()
    for log in room.logs:
        seconds, temperature, humidity = columns(log)
        chosen = (seconds >= start) & (seconds < end) & np.isfinite(humidity)
        degrees.append(temperature[chosen])
        moist.append(humidity[chosen])
        days.update((seconds[chosen] // DAY_SECONDS).tolist())
    if len(days) < ENOUGH_DAYS:
        return None
    return _moisture(np.concatenate(degrees), np.concatenate(moist))
