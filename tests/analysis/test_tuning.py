"""What a visit did to the pitch, from the readings as they were written down."""

from __future__ import annotations

import pytest

from dossier.analysis.pitch import WorkClass
from dossier.analysis.tuning import UnisonSpread, VisitPitch, pitch_record
from tests.analysis.one_piano import history


def at_one_visit(note: str, *, instrument: str = "", shop: str = "") -> VisitPitch:
    (pitch,) = pitch_record(history({"2025-03-01": note}, instrument=instrument, shop=shop))
    return pitch


def overall(pitch: VisitPitch) -> tuple[float | None, float | None]:
    return (
        pitch.found.overall.cents if pitch.found else None,
        pitch.left.overall.cents if pitch.left else None,
    )


def test_no_level_is_interpolated_across_a_break() -> None:
    """A1 −8 and E2 −2 are bass, A2 −20 is tenor: between E2 and A2 nothing is assumed."""
    pitch = at_one_visit("found: A1 -8, E2 -2, A2 -20, A3 -20", instrument="breaks: F2, C5")
    assert pitch.found is not None
    levels = {
        name: (level.cents, level.first_key, level.last_key, level.readings_count)
        for name, level in pitch.found.levels
    }
    # A1 is key 13, E2 key 20: the mean of a straight line is that of its ends
    assert levels == {"bass": (pytest.approx(-5), 13, 20, 2), "tenor": (-20, 25, 37, 2)}
    # 8 keys of the bass at −5 and 13 of the tenor at −20; the four between are in neither
    assert pitch.found.overall.cents == pytest.approx((8 * -5 + 13 * -20) / 21)
    assert (pitch.found.overall.first_key, pitch.found.overall.last_key) == (13, 37)


def test_a_register_is_weighted_by_its_keys_and_not_by_its_readings() -> None:
    """Three readings close together at the top of the tenor don't outvote the one below."""
    pitch = at_one_visit("found: C3 -10, A4 0, A#4 0, B4 0", instrument="breaks: B2, C5")
    assert pitch.found is not None
    ((name, level),) = pitch.found.levels
    # C3 (28) to A4 (49) in a straight line, then two keys at 0
    by_hand = sum(-10 + 10 * step / 21 for step in range(22)) / 24
    assert name == "tenor"
    assert level.cents == pytest.approx(by_hand)


def test_one_figure_stands_for_the_whole_instrument_and_says_so() -> None:
    pitch = at_one_visit("found: 8 sharp\nleft: on pitch")
    assert pitch.found is not None
    assert overall(pitch) == (8, 0)
    assert pitch.found.levels == ()
    assert pitch.found.by_key == ()
    assert (pitch.found.overall.whole, pitch.found.overall.spread) == (True, None)
    assert (pitch.found.overall.first_key, pitch.found.overall.last_key) == (1, 88)


def test_a_reading_in_hertz_is_set_against_equal_temperament() -> None:
    """442 Hz for A4 is 1200 log2(442/440) = 7.85 cents (definition of the cent, Ellis 1885)."""
    pitch = at_one_visit("found: A4 442 Hz")
    assert pitch.found is not None
    assert pitch.found.hertz is True
    assert dict(pitch.found.by_key) == {49: pytest.approx(7.85, abs=0.005)}


def test_the_strings_of_a_unison_are_averaged_and_their_spread_is_kept() -> None:
    pitch = at_one_visit("found: A4.1 -8, A4.2 -12, A4.3 -9, C5.1 -3, C5.2 -4, E5 -5")
    assert pitch.found is not None
    assert dict(pitch.found.by_key) == {49: pytest.approx(-29 / 3), 52: -3.5, 56: -5}
    assert pitch.unisons == (UnisonSpread(49, 4.0), UnisonSpread(52, 1.0))


def test_a_tuned_visit_without_left_is_assumed_to_have_been_left_at_its_target() -> None:
    pitch = at_one_visit("found: 6 flat\nwork: tuning")
    assert overall(pitch) == (-6, 0)
    assert pitch.left is not None
    assert (pitch.left.assumed, pitch.tuned) == (True, True)


def test_left_as_found_was_not_tuned() -> None:
    pitch = at_one_visit("found: 6 sharp\nleft: as found\nwork: inspection")
    assert overall(pitch) == (6, None)
    assert (pitch.tuned, pitch.work, pitch.change, pitch.tension_change) == (
        False, WorkClass.NONE, None, None,
    )  # fmt: skip


def test_what_the_note_says_of_the_pitch_stands_before_what_its_work_implies() -> None:
    """Only the worst unisons were tuned: the note says itself that the level stayed."""
    pitch = at_one_visit("found: 6 sharp\nleft: as found\nwork: tuning of the worst unisons")
    assert overall(pitch) == (6, None)


def test_a_reading_alone_leaves_the_pitch_where_it_was() -> None:
    assert overall(at_one_visit("found: 6 sharp\nwork: cleaning")) == (6, None)


def test_a_visit_that_says_nothing_of_the_pitch_has_none() -> None:
    assert pitch_record(history({"2025-03-01": "work: cleaning"})) == ()


def test_a_floated_instrument_was_tuned_where_it_stood() -> None:
    """30 flat and tuned to itself: nothing was raised, and no settling follows."""
    pitch = at_one_visit("found: 30 flat\nfloated: yes\nwork: tuning")
    assert overall(pitch) == (-30, -30)
    assert pitch.left is not None
    assert (pitch.left.assumed, pitch.floated, pitch.tuned) == (True, True, True)
    assert (pitch.work, pitch.change) == (WorkClass.FINE_TUNING, 0)


def test_a_floated_instrument_whose_pitch_was_not_read_is_left_unknown() -> None:
    assert pitch_record(history({"2025-03-01": "floated: yes\nwork: tuning"})) == ()


def test_a_floated_instrument_keeps_the_pitch_that_was_read_as_left() -> None:
    pitch = at_one_visit("found: 30 flat\nleft: 28 flat\nfloated: yes\nwork: tuning")
    assert overall(pitch) == (-30, -28)


def test_a_visit_may_have_a_target_of_its_own() -> None:
    pitch = at_one_visit("pitch: A4 = 435 Hz\nfound: A4 435 Hz\nleft: on pitch\nwork: tuning")
    assert pitch.reference_hz == 435
    assert pitch.found is not None
    assert pitch.found.by_key == ((49, 0),)


def test_the_target_is_the_instruments_before_the_shops() -> None:
    shop = "reference pitch: A4 = 442 Hz"
    assert at_one_visit("found: 2 flat", shop=shop).reference_hz == 442
    own = "reference pitch: A4 = 435 Hz"
    assert at_one_visit("found: 2 flat", shop=shop, instrument=own).reference_hz == 435


@pytest.mark.parametrize(
    ("found", "work"),
    [
        ("3 flat", WorkClass.FINE_TUNING),
        ("4 flat", WorkClass.TUNING),
        ("10 flat", WorkClass.TUNING),
        ("11 flat", WorkClass.SMALL_RAISE),
        ("25 flat", WorkClass.SMALL_RAISE),
        ("26 flat", WorkClass.RAISE),
        ("10 sharp", WorkClass.TUNING),
        ("11 sharp", WorkClass.LOWERING),
    ],
)
def test_the_class_of_work(found: str, work: WorkClass) -> None:
    """3, 10 and 25 cents: common practice, no source."""
    assert at_one_visit(f"found: {found}\nleft: on pitch\nwork: tuning").work is work


def test_the_shop_sets_its_own_thresholds() -> None:
    shop = "thresholds:\n  fine: 2\n  tuning: 15\n  small raise: 40"
    note = "found: {} flat\nleft: on pitch\nwork: tuning"
    classes = [at_one_visit(note.format(cents), shop=shop).work for cents in (3, 15, 40, 41)]
    assert classes == [
        WorkClass.TUNING, WorkClass.TUNING, WorkClass.SMALL_RAISE, WorkClass.RAISE,
    ]  # fmt: skip


@pytest.mark.parametrize(("found", "percent"), [("100 flat", 12.246), ("100 sharp", -10.910)])
def test_tension_grows_with_the_square_of_the_frequency(found: str, percent: float) -> None:
    """T ∝ f² (Mersenne): 2^(2·100/1200) = 1.12246 for +100 cents, and its inverse for −100."""
    pitch = at_one_visit(f"found: {found}\nleft: on pitch\nwork: pitch raise")
    assert pitch.tension_change == pytest.approx(percent, abs=0.001)
