"""How long the drift of a whole shop takes: 200 instruments of 12 visits, through the real reader.

Run with `python -m tests.bench_analysis`. Also what a year of hourly log costs. Times are medians
of the rounds, and each is given as a ratio to a plain QR of 1,000 small matrices, so that two
machines can be compared.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from datetime import date, timedelta
from statistics import median

import numpy as np

from dossier.analysis.drift import drift
from dossier.analysis.findings import analyse
from dossier.model import History
from tests.analysis.one_piano import history

ROUNDS = 5
SHOP = 200
VISITS = 12
CLIMATE = "climate:\n" + "\n".join(
    f"  {month}: {degrees} °C, {humidity} %"
    for month, degrees, humidity in (
        ("january", 3, 83), ("february", 3, 81), ("march", 4, 79), ("april", 6, 77),
        ("may", 9, 76), ("june", 11, 79), ("july", 13, 83), ("august", 13, 85),
        ("september", 12, 85), ("october", 9, 85), ("november", 6, 84), ("december", 4, 84),
    )
)  # fmt: skip


def piano(number: int) -> History:
    """An instrument of twelve half-yearly visits, each a little unlike the others'."""
    dice = np.random.default_rng(number)
    notes = {}
    for place in range(VISITS):
        day = date(2019, 3, 1) + timedelta(days=182 * place + int(dice.integers(-30, 30)))
        off = (10.0 if place % 2 else -10.0) + dice.normal(0.0, 3.0)
        keys = ", ".join(f"A{octave} {off + dice.normal(0.0, 2.0):+.1f}" for octave in range(1, 7))
        air = f"air: 20 °C, {62 if place % 2 else 36} %"
        notes[day.isoformat()] = f"{air}\nfound: {keys}\nleft: on pitch\nwork: tuning"
    return history(notes, shop=CLIMATE)


def hourly_year() -> History:
    """The same instrument beside a logger that wrote every hour of a year."""
    hours = [
        f"{date(2024, 1, 1) + timedelta(days=day)}T{hour:02}:00:00Z"
        for day in range(365)
        for hour in range(24)
    ]
    humid = 48.0 + 12.0 * np.sin(np.arange(len(hours)) * 2.0 * np.pi / 8760.0)
    rows = [f"{hour},20.0,{value:.1f}" for hour, value in zip(hours, humid.tolist(), strict=True)]
    log = "\n".join(["time (UTC),temperature (°C),humidity (%)", *rows, ""])
    notes = {
        "2024-03-01": "found: A4 -5\nleft: on pitch\nwork: tuning",
        "2024-10-01": "found: A4 +8",
    }
    return history(notes, shop=CLIMATE, files={"rooms/parlour/log.csv": log})


def seconds(work: Callable[[], object]) -> float:
    """The median time of a piece of work."""
    taken = []
    for _ in range(ROUNDS):
        started = time.perf_counter()
        work()
        taken.append(time.perf_counter() - started)
    return median(taken)


def main() -> None:
    shop = [piano(number) for number in range(SHOP)]
    matrices = np.random.default_rng(1).normal(size=(1000, 42, 10))
    plain = seconds(lambda: np.linalg.qr(matrices, mode="r"))
    for label, work in (
        (f"drift, {SHOP} x {VISITS} visits", lambda: [drift(one) for one in shop]),
        (f"all findings, {SHOP} x {VISITS} visits", lambda: [analyse(one) for one in shop]),
        ("an hourly year, read and analysed", lambda: analyse(hourly_year())),
    ):
        taken = seconds(work)
        print(f"{label:<36}{taken:8.2f} s {taken / plain:10.0f} times 1,000 QRs")


if __name__ == "__main__":
    main()
