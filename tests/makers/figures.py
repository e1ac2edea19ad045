"""Plausible figures for the notes: what a tuner would have found, given what was left.

The notes of the demo shop were written by hand, from this table and then rounded, shortened and
sometimes contradicted as a person does.  Pitch follows the wood (cents per % of moisture, most in
the low tenor), falls a little every year, and falls back after a raise.

The coefficients are plausible; no source.  Run it: python -m tests.makers.figures [INSTRUMENT]
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date

import numpy as np

from tests.makers.air import ROOMS, Hours, hour_of, indoors, weather, wood

NOTES = ("A0", "A1", "A2", "A3", "A4", "A5", "A6", "C8")
PER_MOISTURE = np.array([1.8, 2.6, 3.4, 4.9, 4.5, 3.7, 3.0, 2.2])
SETTLES, SETTLING_DAYS = 0.18, 20.0


@dataclass(frozen=True)
class Stop:
    """A visit: where the instrument stood, and what was left (None: nothing was tuned)."""

    day: str
    room: str
    left: float | None = 0.0


@dataclass(frozen=True)
class Life:
    """An instrument's visits; `falls` in cents a year, `answers` scales its answer to moisture."""

    name: str
    stops: tuple[Stop, ...]
    first: float = -8.0
    falls: float = 1.5
    answers: float = 0.85


def _stops(
    room: str, days: str, changes: dict[str, float | None] | None = None
) -> tuple[Stop, ...]:
    changes = changes or {}
    return tuple(Stop(day, room, changes.get(day, 0.0)) for day in days.split())


ROUNDS = "2023-08-16 2024-02-14 2024-08-14 2025-02-19 2025-08-20 2026-02-18 2026-08-19"

LIVES: tuple[Life, ...] = (
    Life(
        "heron",
        _stops(
            "heron-parlour",
            "2017-05-06 2019-03-30 2019-05-11 2020-09-12 2021-10-09 2022-04-23 2023-04-15 "
            "2024-03-16 2025-03-29 2025-10-04 2026-04-11 2026-10-10",
            {"2019-05-11": None},
        ),
        first=-11,
    ),
    Life(
        "sandpiper",
        _stops("heron-parlour", "2018-05-19 2020-09-12 2022-04-23")
        + _stops("harbour-flat", "2023-07-08 2024-02-17 2024-10-26 2025-09-20")
        + _stops("croft-house", "2026-09-26 2026-11-07", {"2026-09-26": None, "2026-11-07": None}),
        first=-14,
        answers=0.95,
    ),
    Life(
        "selkie",
        _stops(
            "pellick-hall",
            "2019-08-17 2021-08-21 2022-02-12 2022-08-20 2022-10-15 2023-08-19 2024-08-24 "
            "2025-07-19 2025-08-23 2026-08-22",
            {"2022-10-15": None, "2025-07-19": None},
        ),
        first=-4,
        answers=0.8,
    ),
    Life("petrel", _stops("music-room", f"{ROUNDS} 2025-11-29"), first=-6),
    Life(
        "tern",
        _stops("assembly-hall", f"{ROUNDS} 2026-09-15", {"2026-09-15": None}),
        first=-12,
        falls=2,
        answers=0.75,
    ),
    Life("plover", _stops("practice-room", f"{ROUNDS} 2024-05-11", {"2024-05-11": None}), first=-9),
    Life(
        "curlew",
        _stops(
            "ottermoss-front-room",
            "2017-11-18 2019-02-16 2020-07-25 2021-01-30 2021-07-31 2021-10-16 2022-02-05 "
            "2022-08-13 2023-01-28 2024-02-03 2024-03-09 2025-02-01 2026-02-07 2026-10-17",
            {"2021-10-16": None, "2024-03-09": None, "2022-02-05": 0.0},
        ),
        first=-17,
        falls=2.2,
    ),
    Life(
        "gannet",
        _stops(
            "st-tovas-nave",
            "2017-12-09 2019-06-29 2021-10-23 2024-09-14",
            {"2017-12-09": -31, "2019-06-29": -33, "2021-10-23": -30, "2024-09-14": -31},
        ),
        first=-34,
        answers=0.7,
    ),
    Life(
        "eider",
        _stops(
            "kitchen-end",
            "2023-05-27 2023-06-24 2023-07-22 2023-09-30 2024-05-18 2025-05-10 2026-05-16",
            {
                "2023-05-27": None,
                "2023-06-24": -40,
                "2023-07-22": None,
                "2023-09-30": -19.8,
                "2024-05-18": -10,
            },
        ),
        first=-95,
        answers=0.8,
    ),
    Life(
        "swan",
        _stops(
            "long-room",
            "2017-09-23 2019-11-16 2020-02-22 2021-10-30 2022-09-24 2022-10-22 2024-10-19 "
            "2025-10-18 2026-10-24",
            {"2020-02-22": None, "2022-10-22": None},
        ),
        first=-5,
        falls=1.0,
        answers=0.8,
    ),
)


def air_of() -> dict[str, tuple[Hours, Hours, Hours]]:
    """Temperature, humidity and the wood's moisture of every room, hour by hour."""
    outdoors = weather()
    rooms = {}
    for room in ROOMS:
        celsius, humid = indoors(room, *outdoors)
        rooms[room.name] = (celsius, humid, wood(celsius, humid))
    return rooms


def table(life: Life, rooms: dict[str, tuple[Hours, Hours, Hours]]) -> list[str]:
    """One line a visit: the air as read, the wood, and the cents found note by note."""
    rng = np.random.default_rng(sum(map(ord, life.name)))
    lines = [f"{life.name:12} {'air':>14} wood  " + "".join(f"{n:>7}" for n in NOTES)]
    left = np.full(len(NOTES), life.first)
    then: tuple[date, float] | None = None
    raised = np.zeros(len(NOTES))
    for stop in sorted(life.stops, key=lambda s: s.day):
        day = date.fromisoformat(stop.day)
        celsius, humid, content = (series[hour_of(day)] for series in rooms[stop.room])
        days = 0 if then is None else (day - then[0]).days
        wetter = 0.0 if then is None else float(content) - then[1]
        cents = left + life.answers * PER_MOISTURE * wetter - life.falls * days / 365.25
        cents = cents - SETTLES * raised * (1 - np.exp(-days / SETTLING_DAYS))
        if then is None:
            cents = cents - np.array([2, 1, 0, -3, -2, 0, 2, 4])
        cents = cents + rng.normal(0, 1.0) + rng.normal(0, 0.8, len(NOTES))
        found = "".join(f"{c:7.1f}" for c in cents)
        lines.append(f"{stop.day}   {celsius:5.1f} C {humid:3.0f} % {content:5.1f} {found}")
        if stop.left is None:
            left, raised = cents, np.zeros(len(NOTES))
        else:
            left = np.full(len(NOTES), stop.left)
            raised = np.maximum(left - cents, 0)
        then = (day, float(content))
    return lines


def main(wanted: list[str]) -> None:
    rooms = air_of()
    for life in LIVES:
        if not wanted or life.name in wanted:
            print("\n".join(table(life, rooms)), end="\n\n")


if __name__ == "__main__":
    main(sys.argv[1:])
