"""Strings: how tension and stiffness follow pitch and scale."""

import re
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.analysis import pitch, strings

frequencies = st.floats(27.0, 4200.0)
lengths = st.floats(0.05, 2.0)
diameters = st.floats(0.0007366, 0.0016)
changes = st.floats(-600.0, 600.0)


def whole(message: str) -> str:
    """A pattern that matches this message and no longer one."""
    return f"^{re.escape(message)}$"


@given(frequencies, lengths, diameters, changes)
def test_tension_follows_the_square_of_pitch(
    f: float, length: float, d: float, cents: float
) -> None:
    raised = f * 2.0 ** (cents / 1200.0)
    ratio = strings.tension(raised, length, d) / strings.tension(f, length, d)
    assert ratio == pytest.approx(strings.tension_ratio(cents), rel=1e-9)
    assert pitch.cents(raised, f) == pytest.approx(cents, abs=1e-9)


@given(changes, changes)
def test_changes_of_pitch_multiply(one: float, other: float) -> None:
    both = strings.tension_ratio(one) * strings.tension_ratio(other)
    assert both == pytest.approx(strings.tension_ratio(one + other), rel=1e-12)


@given(frequencies, lengths, diameters)
def test_a_tighter_or_longer_string_is_less_stiff(f: float, length: float, d: float) -> None:
    b = strings.inharmonicity(f, length, d)
    # T grows with f^2 L^2 d^2, so that B goes with d^2 / (f^2 L^4)
    assert strings.inharmonicity(2.0 * f, length, d) == pytest.approx(b / 4.0)
    assert strings.inharmonicity(f, 2.0 * length, d) == pytest.approx(b / 16.0)


@given(st.integers(1, 40), st.floats(1e-5, 0.02))
def test_partials_grow_ever_sharper(partial: int, b: float) -> None:
    lower, higher = (strings.partial_sharpness(float(n), b) for n in (partial, partial + 1))
    assert 0.0 < lower < higher
    # f_n / (n f_0) = sqrt(1 + B n^2)
    stretched = partial * 100.0 * (1.0 + b * partial**2) ** 0.5
    assert lower == pytest.approx(pitch.cents(stretched, partial * 100.0), abs=1e-8)


@given(diameters, diameters)
def test_thicker_wire_holds_more(one: float, other: float) -> None:
    thin, thick = sorted((one, other))
    assert strings.breaking_load(thin) <= strings.breaking_load(thick)


def test_a_string_in_common_use_is_far_from_breaking() -> None:
    # Common practice, no source: plain strings stand at about 40 to 75 % of their strength
    for key, length, d in ((88, 0.054, 0.000785), (64, 0.19, 0.000889), (49, 0.404, 0.000965)):
        share = strings.tension(pitch.frequency(key), length, d) / strings.breaking_load(d)
        assert 0.40 < share < 0.75


def test_an_array_gives_the_figures_of_its_floats() -> None:
    f, length = np.array([130.8, 440.0, 1046.5]), np.array([1.15, 0.404, 0.19])
    d = np.array([1.067e-3, 0.965e-3, 0.889e-3])
    rows = list(zip(f.tolist(), length.tolist(), d.tolist(), strict=True))
    for function in (strings.tension, strings.inharmonicity):
        single = [function(*row) for row in rows]
        np.testing.assert_allclose(function(f, length, d), single, rtol=1e-14)
        assert {type(figure) for figure in single} == {float}
    assert type(strings.tension_ratio(100)) is float
    assert type(strings.breaking_load(0.001)) is float
    assert strings.breaking_load(d).shape == (3,)


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (
            lambda: strings.tension(440.0, 404.0, 0.000965),
            "speaking length 404 m is outside 0.02 to 4 m",
        ),
        (
            lambda: strings.tension(440.0, 0.404, 0.965),
            "wire diameter 0.965 m is outside 0.0002 to 0.008 m",
        ),
        (
            lambda: strings.inharmonicity(0.0, 0.404, 0.000965),
            "frequency 0 Hz is outside 10 to 10000 Hz",
        ),
        (
            lambda: strings.wound_tension(55.0, 1.4, 40.0),
            "mass per length 40 kg/m is outside 0.0002 to 0.5 kg/m",
        ),
        (
            lambda: strings.tension_ratio(1300.0),
            "change of pitch 1300 cents is outside -1200 to 1200 cents",
        ),
        (
            lambda: strings.partial_sharpness(0.0, 0.001),
            "partial 0 is outside 1 to 100",
        ),
        (
            lambda: strings.breaking_load(0.002),
            "wire diameter 2 mm is outside 0.7366 to 1.6002 mm",
        ),
    ],
)
def test_what_is_refused(ask: Callable[[], object], message: str) -> None:
    with pytest.raises(ValueError, match=whole(message)):
        ask()
