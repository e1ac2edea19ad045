"""Moist air: what physics makes of it, and what is refused."""

import math
import re
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.analysis import air

celsius = st.floats(-40.0, 50.0)
humidity = st.floats(1.0, 100.0)


def whole(message: str) -> str:
    """A pattern that matches this message and no longer one."""
    return f"^{re.escape(message)}$"


@given(celsius, humidity)
def test_at_its_dew_point_air_is_saturated(t: float, rh: float) -> None:
    dew = air.dew_point(t, rh)
    assert dew <= t + 1e-9
    if dew >= -40.0:
        saturated = air.saturation_pressure(min(dew, 50.0))
        assert saturated == pytest.approx(air.saturation_pressure(t) * rh / 100.0, rel=1e-9)


@given(celsius, celsius, humidity)
def test_warming_dries_and_cooling_brings_it_back(one: float, other: float, rh: float) -> None:
    cold, warm = sorted((one, other))
    indoors = air.warmed_humidity(cold, rh, warm)
    assert indoors <= rh + 1e-9
    assert air.warmed_humidity(warm, indoors, cold) == pytest.approx(rh, rel=1e-9)


@given(celsius, celsius)
def test_warm_air_holds_more(one: float, other: float) -> None:
    cold, warm = sorted((one, other))
    assert air.saturation_pressure(cold) <= air.saturation_pressure(warm)
    assert air.absolute_humidity(cold, 50.0) <= air.absolute_humidity(warm, 50.0) + 1e-12


def test_cooled_below_its_dew_point_air_is_saturated() -> None:
    assert air.warmed_humidity(25.0, 80.0, 5.0) == 100.0


def test_three_grams_of_vapour_in_a_room() -> None:
    # From memory: 3 g/m3 more at 20 °C is about 17.4 points of RH
    added = air.absolute_humidity(20.0, 57.4) - air.absolute_humidity(20.0, 40.0)
    assert added == pytest.approx(3.0, abs=0.01)


def test_an_array_gives_the_figures_of_its_floats() -> None:
    t, rh = np.array([-12.0, 4.0, 31.0]), np.array([80.0, 65.0, 40.0])
    pairs = list(zip(t.tolist(), rh.tolist(), strict=True))
    for function in (air.dew_point, air.absolute_humidity):
        single = [function(*pair) for pair in pairs]
        np.testing.assert_allclose(function(t, rh), single, rtol=1e-14)
        assert {type(figure) for figure in single} == {float}
    single = [air.warmed_humidity(*pair, 20.0) for pair in pairs]
    np.testing.assert_allclose(air.warmed_humidity(t, rh, 20.0), single, rtol=1e-14)
    assert type(air.saturation_pressure(20)) is float


def test_a_missing_hour_of_a_log_stays_missing() -> None:
    dew = air.dew_point(np.array([20.0, math.nan, 20.0]), np.array([50.0, 50.0, math.nan]))
    assert np.isnan(dew).tolist() == [False, True, True]


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (
            lambda: air.saturation_pressure(-40.5),
            "air temperature -40.5 °C is outside -40 to 50 °C",
        ),
        (lambda: air.dew_point(68.0, 45.0), "air temperature 68 °C is outside -40 to 50 °C"),
        (lambda: air.dew_point(20.0, 0.0), "relative humidity 0 % is outside 0.1 to 100 %"),
        (
            lambda: air.warmed_humidity(0.0, 140.0, 20.0),
            "relative humidity 140 % is outside 0 to 100 %",
        ),
        (
            lambda: air.absolute_humidity(np.array([20.0, 20.0]), np.array([50.0, -1.0])),
            "relative humidity -1 % is outside 0 to 100 %",
        ),
        (
            lambda: air.absolute_humidity(math.nan, 50.0),
            "air temperature nan °C is outside -40 to 50 °C",
        ),
    ],
)
def test_what_is_refused(ask: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=whole(message)):
        ask()
