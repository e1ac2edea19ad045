"""Cents, the level of a register, and the class of the work."""

import math
import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.analysis import pitch
from dossier.analysis.pitch import Level, Thresholds, WorkClass

REGISTERS = (("bass", 1, 26), ("tenor", 27, 48), ("treble", 49, 88))

keys = st.integers(1, 88)
offsets = st.floats(-200.0, 200.0)
readings = st.dictionaries(keys, offsets, min_size=1, max_size=20)


def whole(message: str) -> str:
    """A pattern that matches this message and no longer one."""
    return f"^{re.escape(message)}$"


@given(st.floats(20.0, 5000.0), st.floats(20.0, 5000.0), st.floats(20.0, 5000.0))
def test_cents_add_up(low: float, middle: float, high: float) -> None:
    steps = pitch.cents(middle, low) + pitch.cents(high, middle)
    assert steps == pytest.approx(pitch.cents(high, low), abs=1e-9)
    assert pitch.cents(low, high) == pytest.approx(-pitch.cents(high, low), abs=1e-9)


@given(keys, st.floats(380.0, 480.0))
def test_a_semitone_is_a_hundred_cents(key: int, reference: float) -> None:
    step = pitch.cents(pitch.frequency(key + 1, reference), pitch.frequency(key, reference))
    assert step == pytest.approx(100.0, abs=1e-9)


def test_an_array_gives_the_figures_of_its_floats() -> None:
    every = np.arange(-8.0, 98.0)
    heard = pitch.frequency(every, 441.0)
    assert isinstance(heard, np.ndarray)
    assert heard.tolist() == [pitch.frequency(key, 441.0) for key in every]
    assert pitch.cents(heard, 440.0).tolist() == [pitch.cents(float(f), 440.0) for f in heard]
    assert type(pitch.frequency(49)) is float
    assert type(pitch.cents(441, 440)) is float


@pytest.mark.parametrize(
    ("frequency_hz", "target_hz", "message"),
    [
        (0.0, 440.0, "frequency 0 Hz is outside the range above 0 Hz"),
        (440.0, -1.0, "target -1 Hz is outside the range above 0 Hz"),
        (math.inf, 440.0, "frequency inf Hz is outside the range above 0 Hz"),
        (math.nan, 440.0, "frequency nan Hz is outside the range above 0 Hz"),
    ],
)
def test_cents_of_what_does_not_sound(frequency_hz: float, target_hz: float, message: str) -> None:
    with pytest.raises(ValueError, match=whole(message)):
        pitch.cents(frequency_hz, target_hz)


def test_keys_that_no_instrument_has() -> None:
    message = "key number 98 is outside -8 to 97"
    with pytest.raises(ValueError, match=whole(message)):
        pitch.frequency(98)
    message = "reference pitch 44 Hz is outside 300 to 600 Hz"
    with pytest.raises(ValueError, match=whole(message)):
        pitch.frequency(49, 44.0)


def test_a_level_is_not_the_mean_of_what_was_sampled() -> None:
    # Three readings at the low end, one at the high: the keys between lie on the lines
    found = pitch.level({1: 0.0, 2: 0.0, 3: 0.0, 11: -8.0}, 1, 26)
    assert found is not None
    assert found.cents == pytest.approx(-36.0 / 11.0)
    assert found.spread == pytest.approx(1648.0**0.5 / 11.0)
    assert (found.first_key, found.last_key, found.readings_count) == (1, 11, 4)


def test_a_level_speaks_for_no_key_beyond_its_readings() -> None:
    found = pitch.level({30: 4.0, 40: 8.0, 60: 100.0}, 27, 48)
    assert found == Level(6.0, 2.0, 30, 40, 2)


def test_one_reading_has_a_level_and_no_spread() -> None:
    assert pitch.level({49: 7.0}, 49, 88) == Level(7.0, None, 49, 49, 1)
    assert pitch.unevenness({49: 7.0}, 49, 88) is None


def test_a_register_without_readings_has_no_level() -> None:
    assert pitch.level({49: 7.0}, 1, 26) is None
    assert pitch.overall_level({}, REGISTERS) is None
    assert [name for name, _ in pitch.levels({49: 7.0, 20: 1.0}, REGISTERS)] == ["bass", "treble"]


def test_nothing_is_interpolated_across_a_break() -> None:
    # Bass keys 25 and 26 at -10, tenor keys 27 to 30 at +20: two and four keys, no slope between
    found = pitch.overall_level({25: -10.0, 26: -10.0, 27: 20.0, 30: 20.0}, REGISTERS)
    assert found is not None
    assert found.cents == pytest.approx(10.0)
    assert (found.first_key, found.last_key, found.readings_count) == (25, 30, 4)


def test_a_single_figure_for_the_whole_instrument() -> None:
    noted = pitch.whole_instrument(8, 1, 88)
    assert noted == Level(8.0, None, 1, 88, readings_count=1, whole=True)


@given(readings, st.floats(-100.0, 100.0))
def test_a_shift_moves_the_level_and_not_the_unevenness(
    found: dict[int, float], shift: float
) -> None:
    before = pitch.overall_level(found, REGISTERS)
    after = pitch.overall_level({key: at + shift for key, at in found.items()}, REGISTERS)
    assert before is not None
    assert after is not None
    assert pitch.change(before, after) == pytest.approx(shift, abs=1e-9)
    if before.spread is not None:
        assert after.spread == pytest.approx(before.spread, abs=1e-6)


@given(readings)
def test_a_level_lies_among_its_readings(found: dict[int, float]) -> None:
    whole = pitch.level(found, 1, 88)
    assert whole is not None
    assert min(found.values()) - 1e-9 <= whole.cents <= max(found.values()) + 1e-9
    assert (whole.first_key, whole.last_key) == (min(found), max(found))


@given(st.integers(1, 40), st.integers(41, 88), offsets, offsets)
def test_readings_on_a_line_may_be_thinned(first: int, last: int, low: float, high: float) -> None:
    line = {
        key: low + (high - low) * (key - first) / (last - first) for key in range(first, last + 1)
    }
    ends = pitch.level({first: low, last: high}, 1, 88)
    every = pitch.level(line, 1, 88)
    assert ends is not None
    assert every is not None
    assert ends.cents == pytest.approx(every.cents, abs=1e-9)


def test_change_by_key_is_for_keys_read_twice() -> None:
    found, left = {1: -12.0, 49: -20.0, 88: -5.0}, {49: 0.5, 1: 0.0, 60: 0.0}
    assert pitch.change_by_key(found, left) == {1: 12.0, 49: 20.5}


def test_a_register_the_wrong_way_round() -> None:
    message = "register 88 to 49 is outside the keys -8 to 97, first to last"
    with pytest.raises(ValueError, match=whole(message)):
        pitch.level({49: 0.0}, 88, 49)
    message = "a reading is outside the range of finite cents"
    with pytest.raises(ValueError, match=whole(message)):
        pitch.level({49: math.nan}, 49, 88)


@pytest.mark.parametrize(
    ("found", "left", "expected"),
    [
        # Common practice, no source
        (-2.0, 0.0, "fine tuning"),
        (3.0, 0.0, "fine tuning"),
        (-3.1, 0.0, "tuning"),
        (10.0, 0.0, "tuning"),
        (-10.1, 0.0, "small raise"),
        (-25.0, 0.0, "small raise"),
        (-25.1, 0.0, "raise"),
        (10.1, 0.0, "lowering"),
        (40.0, 0.0, "lowering"),
        # Floated: tuned where it stood, 18 cents flat
        (-18.0, -18.0, "fine tuning"),
        (-60.0, -40.0, "small raise"),
        (-18.0, None, "none"),
    ],
)
def test_class_of_work(found: float, left: float | None, expected: str) -> None:
    assert pitch.work_class(found, left) == expected


def test_a_shop_sets_its_own_thresholds() -> None:
    careful = Thresholds(fine_tuning=1.0, tuning=4.0, small_raise=8.0)
    assert pitch.work_class(-9.0, 0.0, careful) is WorkClass.RAISE
    message = "thresholds 12, 10, 25 cents are outside the range of figures that rise from 0"
    with pytest.raises(ValueError, match=whole(message)):
        Thresholds(fine_tuning=12.0)


@given(offsets, offsets)
def test_a_bigger_move_is_never_a_lesser_class(one: float, other: float) -> None:
    rising = list(WorkClass)[:5]
    small, big = sorted((abs(one), abs(other)))
    classes = [rising.index(pitch.work_class(-offset, 0.0)) for offset in (small, big)]
    assert classes == sorted(classes)
