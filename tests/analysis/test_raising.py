"""The raise plan: passes, overshoot, steps, and when to leave the pitch where it is."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.analysis import raising
from dossier.analysis.cautions import Reason
from dossier.analysis.findings import Findings
from dossier.analysis.pitch import WorkClass
from dossier.analysis.raising import Pass, RaisePlan
from tests.analysis.one_piano import findings

BREAKS = "breaks: F2, C5"


def planned(found: str, more: str = "", instrument: str = "made: 1975", shop: str = "") -> Findings:
    """A piano whose last visit read the pitch and tuned nothing."""
    note = f"found: {found}\nleft: as found\n{more}"
    return findings({"2026-03-14": note}, instrument=f"{BREAKS}\n{instrument}", shop=shop)


def plan(found: str, more: str = "", instrument: str = "made: 1975", shop: str = "") -> RaisePlan:
    made = planned(found, more, instrument, shop).raising
    assert made is not None
    return made


def aims(made: RaisePlan) -> dict[str, list[float]]:
    return {one.section.name: [round(done.aim, 1) for done in one.passes] for one in made.sections}


def reasons(made: RaisePlan) -> list[Reason]:
    return [caution.reason for caution in made.cautions]


def test_thirty_cents_flat_takes_one_pass_with_overshoot() -> None:
    """A third in the bass, a fifth in the low tenor, a quarter above: common practice, no source.
    Each register then falls back to the pitch."""
    made = plan("30 flat")
    assert (made.work, made.way, made.target) == (WorkClass.RAISE, "at once", 0)
    assert aims(made) == {"bass": [10], "low tenor": [6], "tenor": [7.5], "treble": [7.5]}
    assert [one.passes[0].rests for one in made.sections] == [0] * 4
    assert not made.first_to_pitch


def test_eighty_cents_flat_goes_to_pitch_first() -> None:
    """More than 50 cents: first to the pitch itself, then beyond it by what was lost."""
    made = plan("80 flat")
    assert made.first_to_pitch
    assert aims(made) == {
        "bass": [0, 8.9], "low tenor": [0, 3.2], "tenor": [0, 5], "treble": [0, 5],
    }  # fmt: skip
    bass = made.sections[0].passes
    assert bass[0].rests == pytest.approx(-80 / 3)
    assert bass[1].rests == pytest.approx(0, abs=1e-9)


def test_the_low_tenor_is_the_octave_above_the_bass_break() -> None:
    made = plan("30 flat")
    spans = [
        (one.section.name, one.section.first_key, one.section.last_key) for one in made.sections
    ]
    assert spans == [
        ("bass", 1, 20), ("low tenor", 21, 32), ("tenor", 33, 51), ("treble", 52, 88),
    ]  # fmt: skip


def test_each_section_is_raised_from_where_it_was_read() -> None:
    """F2 −40 to F3 −28 in a straight line are −34.5 on average over F2 to E3, the low tenor; the
    bass was not read, so that it takes the whole's level."""
    made = plan("F2 -40, F3 -28, B4 -28, C5 -20, C7 -20")
    levels = {one.section.name: round(one.level, 1) for one in made.sections}
    whole = made.standing.cents
    assert levels == {"bass": round(whole, 1), "low tenor": -34.5, "tenor": -28, "treble": -20}
    assert [one.of_the_whole for one in made.sections] == [True, False, False, False]


def test_a_raise_of_fifty_cents_adds_six_percent_of_tension() -> None:
    """T grows with f²: 2^(50/600) = 1.0595; at 50 + 12.5 cents 1.0749."""
    tenor = plan("50 flat").sections[2]
    assert tenor.section.name == "tenor"
    assert (round(tenor.tension, 2), round(tenor.peak, 2)) == (5.95, 7.49)


def test_twenty_cents_sharp_is_lowered_and_passes_the_pitch_downwards() -> None:
    made = plan("20 sharp", "rusty strings: C3-C5")
    assert (made.work, made.way, made.cautions) == (WorkClass.LOWERING, "at once", ())
    assert aims(made) == {
        "bass": [-6.7], "low tenor": [-4], "tenor": [-5], "treble": [-5],
    }  # fmt: skip
    assert made.sections[2].tension == pytest.approx(-2.284, abs=0.001)
    assert made.sections[2].peak < made.sections[2].tension


@pytest.mark.parametrize("found", ["10 flat", "3 sharp", "on pitch"])
def test_a_tuning_needs_no_plan(found: str) -> None:
    assert planned(found).raising is None


def test_the_shops_own_thresholds_say_what_a_raise_is() -> None:
    shop = "thresholds:\n  fine: 3\n  tuning: 15\n  small raise: 30"
    assert planned("14 flat", shop=shop).raising is None
    assert plan("16 flat", shop=shop).work is WorkClass.SMALL_RAISE


def test_a_piano_that_was_brought_to_pitch_needs_no_plan() -> None:
    """40 flat at the last visit, but raised on that day."""
    note = "found: 40 flat\nleft: on pitch\nwork: pitch raise"
    assert findings({"2026-03-14": note}).raising is None


def test_a_piano_left_halfway_is_planned_from_there() -> None:
    note = "found: 92 flat\nleft: 40 flat\nwork: pitch raise"
    made = findings({"2026-03-14": note}, instrument=BREAKS).raising
    assert made is not None
    assert (made.standing.cents, made.standing.as_left) == (-40, True)


def test_left_at_435_is_twenty_cents_below_440() -> None:
    """1200 log2(435/440) = −19.786 (definition of the cent)."""
    made = findings({"2026-03-14": "pitch: A4 = 435 Hz\nleft: on pitch\nwork: tuning"}).raising
    assert made is not None
    assert made.standing.cents == pytest.approx(-19.786, abs=0.001)
    assert made.work is WorkClass.SMALL_RAISE


def test_a_reading_of_another_note_plans_nothing() -> None:
    assert planned("700 flat").raising is None


def test_old_wire_without_the_owners_consent_is_left_where_it_stands() -> None:
    made = plan("35 flat", instrument="made: 1912")
    assert (made.way, made.target, made.passes) == ("as it stands", -35, 0)
    assert reasons(made) == [Reason.NO_CONSENT]
    assert made.wire_of == 1912


def test_old_wire_with_consent_is_overshot_by_fifteen_cents_at_most() -> None:
    """10 to 15 cents on old instruments: common practice, no source."""
    made = plan(
        "48 flat",
        instrument="made: 1912\nconsent: pitch raise on old wire, 2026-01-02, by the owner",
    )
    assert (made.way, made.cap, reasons(made)) == ("at once", 15, [Reason.OLD_WIRE])
    assert aims(made)["bass"] == [15]
    # 48 / 3 are lost and 15 were added: a cent short, which the tuning takes up
    assert made.sections[0].passes[0].rests == pytest.approx(-1)


def test_new_wire_on_an_old_piano_is_new_wire() -> None:
    own = "made: 1896\nprovenance: 2003 restrung, throughout, certain"
    made = plan("30 flat", instrument=own)
    assert (made.way, made.cap, made.wire_of, reasons(made)) == ("at once", 25, 2003, [])


def test_new_plain_wire_leaves_the_wound_strings_as_old_as_they_were() -> None:
    own = "made: 1896\nprovenance: 2003 restrung, plain wire only, certain"
    made = plan("30 flat", instrument=own)
    assert (made.way, made.wire_of, reasons(made)) == ("as it stands", 1896, [Reason.NO_CONSENT])


def test_a_consent_to_steps_is_kept_to() -> None:
    """92 cents in steps of a small raise (25) are four, as nearly equal as whole cents allow."""
    own = "made: 1912\nconsent: raise on old wire in steps, 2023-06-24, by the owner"
    made = plan("92 flat", instrument=own)
    assert (made.way, made.steps, made.target) == ("in steps", (-69, -46, -23, 0), -69)
    # 23 cents up to −69: a quarter of it, 5.75, beyond
    assert aims(made)["treble"] == [-63.2]


def test_a_refusal_is_kept_to_whatever_the_wire() -> None:
    made = plan(
        "35 flat", instrument="made: 1975\nconsent: no pitch raise, 2026-01-02, by the owner"
    )
    assert (made.way, reasons(made)) == ("as it stands", [Reason.REFUSED])


def test_the_owners_last_word_on_a_raise_counts() -> None:
    own = (
        "made: 1975\nconsent:\n  - no pitch raise, 2024-01-02, by the owner\n"
        "  - raise to pitch, 2026-01-02, by the owner\n"
        "  - no moving without us, 2026-02-02, by the owner"
    )
    assert plan("35 flat", instrument=own).cautions == ()


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ("rusty strings: C3-A7 brown film", Reason.RUST),
        ("broken strings: E6.3 on the second pass", Reason.BROKEN),
        ("condition:\n  strings: poor, pitted", Reason.POOR_STRINGS),
    ],
)
def test_frail_wire_rises_in_steps_with_little_overshoot(more: str, reason: Reason) -> None:
    made = plan("60 flat", more)
    assert (made.way, made.cap, made.steps) == ("in steps", 10, (-40, -20, 0))
    assert reasons(made) == [reason]


def test_frail_wire_within_one_step_goes_at_once() -> None:
    made = plan("24 flat", "rusty strings: C3-A7")
    assert (made.way, made.cap, made.target) == ("at once", 10, 0)


def test_a_string_that_broke_long_ago_still_counts() -> None:
    notes = {
        "2020-03-14": "found: 70 flat\nleft: 60 flat\nbroken strings: E6.3\nwork: pitch raise",
        "2021-03-14": "found: 61 flat\nleft: as found\nclear: broken strings",
    }
    made = findings(notes, instrument="made: 1975").raising
    assert made is not None
    assert reasons(made) == [Reason.BROKEN]
    assert made.way == "in steps"


@pytest.mark.parametrize(
    ("more", "reason"),
    [
        ("loose pins: E6-A#6", Reason.LOOSE_PINS),
        ("condition:\n  pin block: poor, cracked at the treble", Reason.PIN_BLOCK),
        ("condition:\n  tuning pins: failed", Reason.PINS),
        ("condition:\n  plate: failed, cracked at a bar", Reason.PLATE),
        ("pin torque: A4 3 N·m turning up", Reason.TORQUE),
    ],
)
def test_what_would_not_hold_a_raise_is_not_raised(more: str, reason: Reason) -> None:
    made = plan("40 flat", more)
    assert (made.way, made.target, reasons(made)) == ("as it stands", -40, [reason])


def test_pins_put_right_speak_no_longer_against_a_raise() -> None:
    made = findings(
        {
            "2025-12-01": "air: 20 °C, 50 %\nfound: 40 flat\nleft: as found\nloose pins: E6",
            "2026-03-14": "air: 20 °C, 40 %\nfound: 40 flat\nleft: as found\nclear: loose pins",
        },
        instrument="made: 1975",
    ).raising
    assert made is not None
    assert made.cautions == ()


def test_kept_below_pitch_is_left_as_it_stands() -> None:
    made = plan("32 flat", instrument="made: 1975\nleave below pitch: a tired pin block")
    assert (made.way, made.target, made.passes) == ("as it stands", -32, 0)
    assert [caution.text for caution in made.cautions] == ["a tired pin block"]


def test_a_hold_raises_no_register_by_more_than_a_tuning() -> None:
    """A bass at −60 beside a treble at −30 goes up to −50 with the rest, and no further."""
    made = plan("A1 -60, D2 -60, A3 -30, A4 -30, A6 -30", "loose pins: E6")
    assert made.standing.cents == pytest.approx(-39)
    assert (made.way, made.target) == ("as it stands", -50)
    assert max(made.target - one.level for one in made.sections) == pytest.approx(10)


def test_the_weightiest_reason_stands_first() -> None:
    made = plan("60 flat", "rusty strings: C3-A7\nloose pins: E6", "made: 1912")
    assert reasons(made) == [Reason.NO_CONSENT, Reason.LOOSE_PINS, Reason.RUST]
    assert made.way == "as it stands"


def test_an_unknown_age_of_the_wire_is_said_and_not_guessed() -> None:
    made = plan("30 flat", instrument="shape: upright")
    assert (made.wire_of, made.cautions) == (None, ())


# What holds of any plan ---------------------------------------------------------------------------

levels = st.lists(st.floats(-300.0, 300.0), min_size=1, max_size=5)
shares = st.sampled_from([1 / 3, 1 / 5, 1 / 4])
caps = st.floats(0.0, 25.0)


@given(st.floats(-1200.0, 1200.0), st.floats(0.0, 0.5), caps)
def test_an_overshoot_is_never_above_its_cap_and_goes_the_same_way(
    way: float, share: float, cap: float
) -> None:
    beyond = raising.overshoot(way, share, cap)
    assert abs(beyond) <= cap
    assert abs(beyond) <= abs(way) * share
    assert beyond * way >= 0


@given(levels, st.data(), caps, st.floats(-100.0, 0.0))
def test_no_pass_goes_beyond_the_target_by_more_than_the_cap(
    at: list[float], data: st.DataObject, cap: float, target: float
) -> None:
    parts = data.draw(st.lists(shares, min_size=len(at), max_size=len(at)))
    done = raising.passes(at, parts, target, cap)
    assert len({len(each) for each in done}) == 1
    for start, each in zip(at, done, strict=True):
        assert all(abs(one.aim - target) <= cap + 1e-9 for one in each)
        # What a section loses never takes it back to where it came from
        off = [abs(start - target), *(abs(one.rests - target) for one in each)]
        assert all(after <= before + 1e-9 for before, after in pairwise(off))
        assert off[-1] <= 10.0


@given(st.floats(-400.0, -0.1), st.floats(5.0, 50.0))
def test_steps_rise_to_the_target_and_none_is_longer_than_asked(worst: float, step: float) -> None:
    targets = raising.steps(worst, step)
    assert targets[-1] == 0
    ends = [worst, *targets]
    # Targets are whole cents, so that a step may be a cent longer
    assert all(0 <= high - low <= step + 1 for low, high in pairwise(ends))


def test_a_register_on_pitch_is_passed_over_and_left_there() -> None:
    (bass, treble) = raising.passes([-30.0, 0.0], [1 / 3, 1 / 4], 0.0)
    assert [(one.aim, round(one.rests, 9)) for one in bass] == [(10, 0)]
    assert treble == (Pass(0.0, 0.0),)


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: raising.overshoot(1300.0, 0.25), "way 1300 cents is outside -1200 to 1200 cents"),
        (lambda: raising.overshoot(30.0, 0.25, 40.0),
         "cap of the overshoot 40 cents is outside 0 to 25 cents"),
        (lambda: raising.overshoot(30.0, 0.9), "share that falls back 0.9 is outside 0 to 0.5"),
        (lambda: raising.passes([], [], 0.0), "each section needs its level and its share"),
        (lambda: raising.passes([-30.0], [0.25], 0.0, enough=0.0),
         "0 cents is outside the range above 0 cents"),
        (lambda: raising.steps(5.0, 25.0), "a rise from 5 cents in steps of 25 cents is none"),
    ],
)  # fmt: skip
def test_what_is_refused(ask: object, message: str) -> None:
    assert callable(ask)
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        ask()
