"""The invented air of the demo shop: weather of an island, and what heating makes of it indoors.

One weather for all rooms, hour by hour from 2016 to the end of 2026, from the monthly means in
shop.md, a daily swing and weather that lasts some days.  A room then warms it, adds what people
and cooking add, and lets walls and furniture smooth it.  Nothing here was measured anywhere.

Saturation: Magnus over water, Alduchov & Eskridge 1996.  All else: plausible, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

Hours = NDArray[np.float64]

START = datetime.fromisoformat("2016-01-01")
END = datetime.fromisoformat("2026-12-01")
OUTDOORS_C = (3.4, 3.1, 4.3, 6.3, 8.8, 11.2, 13.0, 13.4, 11.8, 9.2, 6.3, 4.4)
OUTDOORS_RH = (83, 81, 79, 77, 76, 79, 83, 85, 85, 85, 84, 84)


@dataclass(frozen=True)
class RoomAir:
    """How a room treats the weather.

    `warm_c` is what the heating holds while it is on, `cool_c` what it keeps at other hours (below
    -50: not heated at all); `hours_on` are the hours of the day, `days_on` the days of the week
    (Monday is 0).  `gain_c` is what sun and people add; `vapour_hpa` what people and cooking add;
    `leak_h` how many hours the air takes to change; `buffer` the share that walls hold back.
    """

    name: str
    warm_c: float
    cool_c: float
    hours_on: tuple[int, int]
    days_on: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)
    gain_c: float = 3.5
    vapour_hpa: float = 0.8
    leak_h: float = 5.0
    buffer: float = 0.6


ROOMS: tuple[RoomAir, ...] = (
    RoomAir("heron-parlour", 20.5, 16.5, (6, 22), gain_c=5.5, vapour_hpa=1.3),
    RoomAir("pellick-hall", 16.0, 6.0, (17, 21), (1, 3, 6), gain_c=2.2, vapour_hpa=0.5, buffer=0.7),
    RoomAir("music-room", 21.0, 15.0, (6, 16), (0, 1, 2, 3, 4), gain_c=5, vapour_hpa=0.7, leak_h=3),
    RoomAir("assembly-hall", 18.5, 11.0, (7, 15), (0, 1, 2, 3, 4), gain_c=4, vapour_hpa=0.6),
    RoomAir(
        "practice-room", 22.0, 17.0, (6, 17), (0, 1, 2, 3, 4), gain_c=6, vapour_hpa=0.7, buffer=0.5
    ),
    RoomAir("ottermoss-front-room", 21.5, 17.5, (6, 22), gain_c=5.5, vapour_hpa=0.6, buffer=0.5),
    RoomAir("st-tovas-nave", 13.0, -99.0, (8, 12), (6,), gain_c=1.2, vapour_hpa=0.2, buffer=0.8),
    RoomAir("net-loft", -99.0, -99.0, (0, 0), gain_c=1.0, vapour_hpa=0.2, buffer=0.8),
    RoomAir("kitchen-end", 19.5, 17.0, (6, 22), gain_c=5, vapour_hpa=1.9),
    RoomAir("harbour-flat", 20.0, 16.5, (6, 22), gain_c=6, vapour_hpa=1.3),
    RoomAir("croft-house", 18.5, 14.0, (6, 21), gain_c=4, vapour_hpa=1.4),
    RoomAir("long-room", 19.0, 17.5, (6, 22), gain_c=5.5, vapour_hpa=1.2, buffer=0.75),
)


def saturation(celsius: Hours) -> Hours:
    """Vapour pressure at saturation in hPa."""
    pressure: Hours = 6.1094 * np.exp(17.625 * celsius / (celsius + 243.04))
    return pressure


def lag(series: Hours, hours: float) -> Hours:
    """A first-order lag; it starts at the mean of its first month, so that no step is made up."""
    keep = float(np.exp(-1 / hours))
    first = float(series[:720].mean())
    out, _ = lfilter([1 - keep], [1, -keep], series, zi=[keep * first])
    lagged: Hours = np.asarray(out, dtype=np.float64)
    return lagged


def clock() -> Hours:
    """Hours since START."""
    return np.arange(int((END - START).total_seconds()) // 3600, dtype=np.float64)


def hour_of(day: date, hour: int = 11) -> int:
    """The index of an hour of a day."""
    return (datetime.combine(day, time()) - START).days * 24 + hour


def _monthly(values: tuple[float, ...], hours: Hours) -> Hours:
    """Twelve monthly means as a smooth year: the mean and three harmonics."""
    months = (np.arange(12) + 0.5) / 12
    year = hours / (365.25 * 24)
    out = np.full(hours.shape, float(np.mean(values)))
    for n in (1, 2, 3):
        for wave in (np.cos, np.sin):
            size = 2 * float(np.mean(np.array(values) * wave(2 * np.pi * n * months)))
            out += size * wave(2 * np.pi * n * year)
    return out


def _spells(rng: np.random.Generator, hours: int, lasting: float, size: float) -> Hours:
    """Weather that lasts `lasting` hours and swings with a standard deviation of `size`."""
    keep = float(np.exp(-1 / lasting))
    noise = rng.normal(0, size * np.sqrt(1 - keep**2), hours)
    return np.asarray(lfilter([1], [1, -keep], noise), dtype=np.float64)


def weather(seed: int = 1871) -> tuple[Hours, Hours]:
    """Outdoor temperature in °C and vapour pressure in hPa, hour by hour."""
    rng = np.random.default_rng(seed)
    hours = clock()
    n = len(hours)
    noon = np.cos(2 * np.pi * (hours % 24 - 14) / 24)
    light = 1 - 0.6 * np.cos(2 * np.pi * (hours / 24 / 365.25 + 0.03))
    spell = _spells(rng, n, 70, 2.2) + _spells(rng, n, 500, 0.8)
    celsius = _monthly(OUTDOORS_C, hours) + 1.3 * light * noon + spell
    humid = _monthly(tuple(map(float, OUTDOORS_RH)), hours)
    humid = humid - 3.5 * light * noon + _spells(rng, n, 40, 6) + _spells(rng, n, 600, 2)
    humid = np.clip(humid, 42, 99)
    return celsius, humid / 100 * saturation(celsius)


def indoors(room: RoomAir, out_c: Hours, out_hpa: Hours) -> tuple[Hours, Hours]:
    """Temperature in °C and relative humidity in % of a room, hour by hour."""
    hours = clock()
    rng = np.random.default_rng(sum(map(ord, room.name)))
    of_day = hours % 24
    weekday = (hours // 24 + START.weekday()) % 7
    on = (of_day >= room.hours_on[0]) & (of_day < room.hours_on[1]) & np.isin(weekday, room.days_on)
    free = lag(out_c, 40) + room.gain_c + 0.12 * (out_c - lag(out_c, 40))
    celsius = lag(np.maximum(free, np.where(on, room.warm_c, room.cool_c)), 3.5)
    celsius += _spells(rng, len(hours), 8, 0.25)
    busy = np.where(on, 1.4, 0.7) * room.vapour_hpa
    vapour = lag(out_hpa, room.leak_h) + lag(busy, room.leak_h) + _spells(rng, len(hours), 5, 0.15)
    humid = 100 * vapour / saturation(celsius)
    humid = (1 - room.buffer) * humid + room.buffer * lag(humid, 60)
    return celsius, np.clip(humid, 12, 97)


def moisture(celsius: Hours, humid: Hours) -> Hours:
    """Equilibrium moisture content in %: Wood Handbook FPL-GTR-282, eq. 4-5."""
    t, h = celsius, humid / 100
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    bound = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    content: Hours = 1800 / w * (kh / (1 - kh) + bound)
    return content


def wood(celsius: Hours, humid: Hours, days: float = 24) -> Hours:
    """The wood's moisture in %: it follows the air some weeks late."""
    return lag(moisture(celsius, humid), days * 24)
