"""Write the hygrometer logs of the demo shop: three loggers, three habits, all invented.

Each logger has its own clock, interval, delimiter, unit, a small error of its own, and times at
which it lay in a drawer or had a flat battery.  Run it: python -m tests.makers.logs
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

from tests.makers.air import ROOMS, START, Hours, indoors, weather

CONTENT = Path(__file__).parents[2] / "content"


def _at(when: str) -> datetime:
    """A time as the logger's own clock showed it, without a zone."""
    return datetime.fromisoformat(when)


@dataclass(frozen=True)
class Logger:
    """A logger: where it lay, from when to when, every how many minutes, and when it was silent."""

    room: str
    file: str
    first: datetime
    last: datetime
    minutes: int
    silent: tuple[tuple[datetime, datetime], ...]
    off_c: float
    off_rh: float


PARLOUR = Logger(
    "heron-parlour",
    "parlour-2025-03-to-2026-10.csv",
    _at("2025-03-29 14:00"),
    _at("2026-10-10 09:00"),
    60,
    ((_at("2025-12-19 04:00"), _at("2026-01-03 11:00")),),
    0.2,
    1.0,
)
HALL = Logger(
    "pellick-hall",
    "hall-2025-07-to-2026-08.csv",
    _at("2025-07-19 12:00"),
    _at("2026-08-22 09:30"),
    30,
    (
        (_at("2025-10-11 18:00"), _at("2025-10-14 19:30")),
        (_at("2026-02-03 07:00"), _at("2026-02-24 18:00")),
    ),
    -0.3,
    1.5,
)
MUSIC_ROOM = Logger(
    "music-room",
    "music-room-2025-02-to-2026-08.csv",
    _at("2025-02-19 16:00"),
    _at("2026-08-19 08:00"),
    120,
    (
        (_at("2025-07-04 14:00"), _at("2025-07-11 10:00")),
        (_at("2026-04-02 16:00"), _at("2026-04-20 08:00")),
    ),
    0.4,
    -1.0,
)


def readings(logger: Logger) -> Iterable[tuple[datetime, float, float]]:
    """Time, °C and % RH as this logger would store them; between hours the air goes straight."""
    room = next(room for room in ROOMS if room.name == logger.room)
    celsius, humid = indoors(room, *weather())
    hours: Hours = np.arange(len(celsius), dtype=np.float64)
    rng = np.random.default_rng(sum(map(ord, logger.file)))
    when = logger.first
    while when <= logger.last:
        at = (when - START).total_seconds() / 3600
        noise_c, noise_rh = rng.normal(0, 0.06), rng.normal(0, 0.3)
        lost = rng.random() < 0.0006
        if not lost and not any(a <= when < b for a, b in logger.silent):
            warm = float(np.interp(at, hours, celsius)) + logger.off_c + noise_c
            damp = float(np.interp(at, hours, humid)) + logger.off_rh + noise_rh
            yield when, warm, min(damp, 99.0)
        when += timedelta(minutes=logger.minutes)


def comma() -> str:
    """Comma, decimal point, ISO times."""
    rows = ["time,temperature °C,humidity %"]
    rows += [f"{w:%Y-%m-%d %H:%M},{c:.1f},{h:.1f}" for w, c, h in readings(PARLOUR)]
    return "\n".join(rows) + "\n"


def semicolon() -> str:
    """Semicolon, decimal comma, day first, with the logger's own heading above the columns."""
    rows = ["Date;Temp. (°C);RH (%)"]
    for when, warm, damp in readings(HALL):
        figures = f"{warm:.1f};{damp:.1f}".replace(".", ",")
        rows.append(f"{when:%d/%m/%Y %H:%M};{figures}")
    return "\n".join(rows) + "\n"


def tab() -> str:
    """Tab, °F, every two hours, with a running number as the first column."""
    rows = ["No.\tTime\tTemp (°F)\tHumidity (%RH)"]
    for number, (when, warm, damp) in enumerate(readings(MUSIC_ROOM), start=1):
        rows.append(f"{number}\t{when:%Y-%m-%d %H:%M:%S}\t{warm * 1.8 + 32:.1f}\t{damp:.0f}")
    return "\n".join(rows) + "\n"


LOGS: tuple[tuple[Logger, Callable[[], str]], ...] = (
    (PARLOUR, comma),
    (HALL, semicolon),
    (MUSIC_ROOM, tab),
)


def path_of(logger: Logger) -> Path:
    return CONTENT / "rooms" / logger.room / logger.file


def main() -> None:
    for logger, text in LOGS:
        file = path_of(logger)
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text(), encoding="utf-8")


if __name__ == "__main__":
    main()
