"""What a scale bears: totals, margins, breaks, and what is not made up where rows are missing."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from dossier.analysis import pitch, scale, strings
from dossier.diagnostics import Span
from dossier.model import ScaleString
from tests.analysis.one_piano import PIANO, findings

HEADER = "note,length_mm,diameter_mm,cover_mm,g_per_m,strings\n"
SPAN = Span("scale.csv")
SCALE = f"{PIANO}/scale.csv"


def plain(
    key: int = 49, length: str = "0.404", wire: str = "0.965", strings_: int = 3
) -> ScaleString:
    return ScaleString(
        span=SPAN, key=key, length_m=Decimal(length), diameter_mm=Decimal(wire), strings=strings_
    )


def wound(key: int = 13, mass: str | None = None) -> ScaleString:
    return ScaleString(
        span=SPAN,
        key=key,
        length_m=Decimal("1.3"),
        diameter_mm=Decimal("1.0"),
        cover_mm=Decimal("0.5"),
        linear_density=Decimal(mass) if mass else None,
        strings=2,
    )


@given(st.floats(-300.0, 300.0), st.integers(1, 60))
def test_every_tension_grows_with_the_square_of_the_frequency(cents: float, key: int) -> None:
    rows = [plain(key)] if key > 20 else [wound(key)]
    (before,), (after,) = (
        scale.string_loads(rows, 440.0, offsets) for offsets in (None, {key: cents})
    )
    assert after.tension / before.tension == pytest.approx(strings.tension_ratio(cents), rel=1e-9)
    assert (after.tension / before.tension) ** 0.5 == pytest.approx(after.hertz / before.hertz)


def test_a_plain_string_of_a_scale_is_a_plain_string() -> None:
    (load,) = scale.string_loads([plain()], 440.0)
    assert load.tension == pytest.approx(strings.tension(440.0, 0.404, 0.000965), rel=1e-12)
    assert load.inharmonicity == pytest.approx(strings.inharmonicity(440.0, 0.404, 0.000965))
    assert load.share == pytest.approx(load.tension / strings.breaking_load(0.000965))
    assert load.pull == pytest.approx(3 * load.tension)
    assert (load.wound, load.worked) == (False, False)


def test_a_wound_string_goes_by_its_mass_and_breaks_at_its_core() -> None:
    (given_mass,) = scale.string_loads([wound(mass="25")], 440.0)
    assert given_mass.tension == pytest.approx(4 * 0.025 * (pitch.frequency(13) * 1.3) ** 2)
    assert given_mass.share == pytest.approx(given_mass.tension / strings.breaking_load(0.001))
    assert (given_mass.wound, given_mass.worked) == (True, False)
    (worked,) = scale.string_loads([wound()], 440.0)
    assert (worked.wound, worked.worked) == (True, True)


def test_a_winding_is_lighter_than_solid_metal_and_iron_lighter_than_copper() -> None:
    copper = scale.wound_mass(0.001, 0.0005)
    assert scale.wound_mass(0.001, 0.0005, scale.IRON_DENSITY) < copper
    assert copper < scale.wound_mass(0.001, 0.0005, packing=1.0)
    bare = strings.STEEL_DENSITY * 3.141592653589793 / 4 * 0.001**2
    assert scale.wound_mass(0.001, 0.0) == pytest.approx(bare)


@given(st.floats(0.0003, 0.002), st.floats(0.0001, 0.003))
def test_a_thicker_cover_is_heavier(core: float, cover: float) -> None:
    assert scale.wound_mass(core, cover) < scale.wound_mass(core, cover * 1.1)


def test_wire_beyond_the_table_has_a_tension_and_no_margin() -> None:
    (load,) = scale.string_loads([plain(wire="0.700")], 440.0)
    assert load.strength is None
    assert load.share is None
    assert scale.weakest([load]) == ()


def test_the_string_nearest_to_breaking_is_listed_first() -> None:
    rows = [plain(40, "0.640", "1.016"), plain(88, "0.054", "0.785"), plain(64, "0.190", "0.889")]
    listed = scale.weakest(scale.string_loads(rows, 440.0), 2)
    assert [load.key for load in listed] == [88, 64]


def test_a_row_that_no_string_can_be_is_left_out() -> None:
    """12 mm of cover on a core of 1 mm would weigh over 3 kg/m."""
    slip = ScaleString(
        span=SPAN, key=1, length_m=Decimal(1), diameter_mm=Decimal(1), cover_mm=Decimal(12)
    )
    assert scale.string_loads([slip, plain()], 440.0) == scale.string_loads([plain()], 440.0)


def test_the_jump_at_a_break_is_from_the_note_below_to_the_note_above() -> None:
    rows = [wound(20, mass="25"), plain(21, "1.4", "1.075"), plain(22, "1.38", "1.075")]
    loads = scale.string_loads(rows, 440.0)
    (jump,) = scale.jumps(loads, (21, 52))
    assert (jump.below, jump.above) == (20, 21)
    assert jump.tension == pytest.approx(loads[1].tension / loads[0].tension)
    assert jump.inharmonicity == pytest.approx(loads[1].inharmonicity / loads[0].inharmonicity)
    assert jump.share == pytest.approx(loads[1].share - loads[0].share)  # type: ignore[operator]


def test_a_scale_of_three_notes_says_that_the_others_are_missing() -> None:
    rows = "A4,404,0.965,,,3\nC6,190,0.889,,,3\nC8,54,0.785,,,3\n"
    report = findings({}, files={SCALE: HEADER + rows}).scale
    assert report is not None
    assert (len(report.at_target), report.missing, report.at_pitch) == (3, 85, ())


def test_the_scale_is_worked_out_at_the_pitch_that_was_found() -> None:
    """A semitone flat is 1/1.1225 of the tension at pitch."""
    rows = "A4,404,0.965,,,3\n"
    note = {"2026-03-14": "found: 100 flat\nleft: as found"}
    report = findings(note, files={SCALE: HEADER + rows}).scale
    assert report is not None
    ratio = report.at_pitch[0].tension / report.at_target[0].tension
    assert ratio == pytest.approx(1 / 1.122462, rel=1e-6)


def test_a_piano_without_a_scale_has_no_report() -> None:
    assert findings({"2026-03-14": "found: 10 flat"}).scale is None


def test_a_target_of_its_own_is_the_scales_too() -> None:
    rows = {SCALE: f"{HEADER}A4,404,0.965,,,3\n"}
    low = findings({}, instrument="reference pitch: A4 = 415 Hz", files=rows).scale
    assert low is not None
    assert low.at_target[0].hertz == pytest.approx(415)


@pytest.mark.parametrize(
    ("ask", "message"),
    [
        (lambda: scale.wound_mass(1.0, 0.0005), "core diameter 1 m is outside 0.0002 to 0.008 m"),
        (lambda: scale.wound_mass(0.001, 0.5), "cover diameter 0.5 m is outside 0 to 0.012 m"),
        (lambda: scale.wound_mass(0.001, 0.0005, 8.96),
         "density of the cover 8.96 kg/m3 is outside 7000 to 9500 kg/m3"),
        (lambda: scale.wound_mass(0.001, 0.0005, packing=0.2), "packing 0.2 is outside 0.5 to 1"),
        (lambda: scale.core_inharmonicity(0.0, 0.4, 0.001),
         "tension 0 N is outside 1 to 20000 N"),
    ],
)  # fmt: skip
def test_what_is_refused(ask: object, message: str) -> None:
    assert callable(ask)
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        ask()
