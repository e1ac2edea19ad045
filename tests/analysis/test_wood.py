"""Wood: moisture that follows the air, and width that follows moisture."""

import re
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.analysis import wood
from dossier.analysis.wood import Direction

celsius = st.floats(0.0, 50.0)
humidity = st.floats(0.0, 100.0)
moisture = st.floats(0.0, 30.0)
names = st.sampled_from([species.name for species in wood.SPECIES])
directions = st.sampled_from(["radial", "tangential"])


def whole(message: str) -> str:
    """A pattern that matches this message and no longer one."""
    return f"^{re.escape(message)}$"


@given(celsius, humidity, humidity)
def test_damper_air_makes_damper_wood(t: float, one: float, other: float) -> None:
    dry, damp = sorted((one, other))
    assert wood.moisture_content(t, dry) <= wood.moisture_content(t, damp)


@given(st.floats(10.0, 50.0), st.floats(10.0, 50.0), st.floats(5.0, 95.0))
def test_warmer_wood_holds_less_at_the_same_humidity(one: float, other: float, rh: float) -> None:
    cool, warm = sorted((one, other))
    assert wood.moisture_content(warm, rh) <= wood.moisture_content(cool, rh) + 1e-12


@given(celsius, humidity)
def test_humidity_for_is_the_exact_inverse(t: float, rh: float) -> None:
    held = wood.moisture_content(t, rh)
    back = wood.humidity_for(held, t)
    assert back == pytest.approx(rh, abs=1e-9)
    assert wood.moisture_content(t, back) == pytest.approx(held, abs=1e-11)


def test_the_ends_of_the_scale() -> None:
    assert wood.moisture_content(20.0, 0.0) == 0.0
    assert wood.humidity_for(0.0, 20.0) == 0.0
    assert wood.humidity_for(wood.moisture_content(20.0, 100.0), 20.0) == 100.0


def test_an_array_gives_the_figures_of_its_floats() -> None:
    t, rh = np.array([5.0, 20.0, 30.0]), np.array([20.0, 45.0, 90.0])
    pairs = list(zip(t.tolist(), rh.tolist(), strict=True))
    held = wood.moisture_content(t, rh)
    np.testing.assert_allclose(held, [wood.moisture_content(*pair) for pair in pairs], rtol=1e-14)
    np.testing.assert_allclose(wood.humidity_for(held, t), rh, rtol=1e-12)
    grown = wood.width_change(600.0, 8.0, held, "Sitka spruce", "radial")
    single = [wood.width_change(600.0, 8.0, float(one), "Sitka spruce", "radial") for one in held]
    np.testing.assert_allclose(grown, single, rtol=1e-14)
    assert {type(figure) for figure in single} == {float}
    assert type(wood.moisture_content(20, 45)) is float
    assert type(wood.humidity_for(8, 20)) is float


def test_a_missing_hour_of_a_log_stays_missing() -> None:
    held = wood.moisture_content(20.0, np.array([45.0, np.nan]))
    assert np.isnan(held).tolist() == [False, True]
    assert np.isnan(wood.humidity_for(held, 20.0)).tolist() == [False, True]


@given(moisture, moisture, names, directions)
def test_wood_swells_as_it_takes_up_water(
    one: float, other: float, name: str, direction: Direction
) -> None:
    dry, damp = sorted((one, other))
    assert wood.width_change(1000.0, dry, damp, name, direction) >= 0.0
    assert wood.width_change(1000.0, damp, dry, name, direction) <= 0.0


@given(st.floats(14.5, 30.0), st.floats(0.0, 5.5), names, directions)
def test_outside_the_linear_range_the_way_back_is_exact(
    damp: float, dry: float, name: str, direction: Direction
) -> None:
    grown = 1000.0 + wood.width_change(1000.0, dry, damp, name, direction)
    assert grown + wood.width_change(grown, damp, dry, name, direction) == pytest.approx(1000.0)


@given(st.floats(6.0, 14.0), st.floats(6.0, 14.0), names, directions)
def test_inside_the_linear_range_the_change_is_proportional(
    start: float, end: float, name: str, direction: Direction
) -> None:
    c = wood.species_named(name).coefficient(direction)
    change = wood.width_change(1000.0, start, end, name, direction)
    assert change == pytest.approx(1000.0 * c * (end - start))


@given(names, directions)
def test_the_two_equations_meet(name: str, direction: Direction) -> None:
    # Both describe one piece of wood: from 10 to 14 % they may differ by 5 % of the change
    linear = wood.width_change(1000.0, 10.0, 14.0, name, direction)
    wide = wood.width_change(1000.0, 10.0, np.nextafter(14.0, 15.0), name, direction)
    assert wide != linear
    assert wide == pytest.approx(linear, rel=0.05)


def test_tangential_wood_moves_more() -> None:
    for species in wood.SPECIES:
        assert species.coefficient("tangential") > species.coefficient("radial"), species.name
        assert species.shrinkage("tangential") > species.shrinkage("radial"), species.name


@pytest.mark.parametrize(
    "name", ["Sitka spruce", "sitka_spruce", "SITKA-SPRUCE", "picea sitchensis"]
)
def test_a_species_by_any_spelling(name: str) -> None:
    assert wood.species_named(name).name == "Sitka spruce"


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (
            lambda: wood.moisture_content(-5.0, 50.0),
            "wood temperature -5 °C is outside -1.1111 to 132.22 °C",
        ),
        (
            lambda: wood.moisture_content(20.0, 101.0),
            "relative humidity 101 % is outside 0 to 100 %",
        ),
        (
            lambda: wood.humidity_for(31.0, 20.0),
            "moisture content 31 % is outside 0 to 28.84 %, saturated air at 20 °C",
        ),
        (
            lambda: wood.humidity_for(np.array([8.0, 28.5]), np.array([20.0, 35.0])),
            "moisture content 28.5 % is outside 0 to 28.07 %, saturated air at 35 °C",
        ),
        (
            lambda: wood.width_change(600.0, 8.0, 31.0, "Sitka spruce", "radial"),
            "moisture content 31 % is outside 0 to 30 %",
        ),
        (
            lambda: wood.width_change(0.0, 8.0, 9.0, "Sitka spruce", "radial"),
            "width 0.0 is outside the range above 0",
        ),
        (
            lambda: wood.width_change(600.0, 8.0, 9.0, "bog oak", "radial"),
            (
                'species "bog oak" is not one of: Sitka spruce, Red spruce, White spruce, Engelmann'
                " spruce, Sugar maple, American beech, Yellow birch, White fir, Black walnut,"
                " Yellow-poplar, Eastern white pine, Basswood"
            ),
        ),
        (
            lambda: wood.width_change(600.0, 8.0, 9.0, "Sitka spruce", "lengthwise"),  # type: ignore[call-overload]
            'direction "lengthwise" is not one of: radial, tangential',
        ),
    ],
)
def test_what_is_refused(ask: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=whole(message)):
        ask()
