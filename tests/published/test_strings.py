"""Strings against published figures: a technicians' archive, Young 1952, ASTM A228."""

from collections.abc import Callable

import pytest

from dossier.analysis import pitch, strings

ReadTable = Callable[[str], list[dict[str, str]]]
STANDARD_GRAVITY = 9.80665
NEWTON_PER_LBF = 4.4482216152605


def test_the_highest_string_as_published() -> None:
    # Source: technicians' mailing-list archive, 2000-05-21: C8, 54.0 mm of 0.785 mm wire holds
    # 79.5 kgf (175 lbf)
    load = strings.tension(pitch.frequency(88), 0.0540, 0.000785)
    assert load / STANDARD_GRAVITY == pytest.approx(79.5, rel=0.005)
    assert load / NEWTON_PER_LBF == pytest.approx(175.0, rel=0.005)


def test_a_middle_string_as_measured() -> None:
    # Source: R. W. Young 1952, JASA 24(3), abstract: at middle C the second mode is about 1.2
    # cents sharp; here 0.640 m of 1.016 mm
    coefficient = strings.inharmonicity(pitch.frequency(40), 0.640, 0.001016)
    assert strings.partial_sharpness(2.0, coefficient) == pytest.approx(1.2, abs=0.05)


def test_strings_of_a_scale(table: ReadTable) -> None:
    # Source: data/strings_checks.csv, computed apart, C8 beside its published figure
    rows = table("strings_checks")
    assert len(rows) == 4
    for row in rows:
        f, length, d = (float(row[name]) for name in ("hz", "length_m", "diameter_m"))
        load = strings.tension(f, length, d)
        coefficient = strings.inharmonicity(f, length, d)
        assert load == pytest.approx(float(row["tension_n"]), abs=0.006), row
        assert load / NEWTON_PER_LBF == pytest.approx(float(row["tension_lbf"]), abs=0.006), row
        assert coefficient == pytest.approx(float(row["B"]), rel=5e-5), row
        for mode, expected in ((2.0, row["cents_mode2"]), (4.0, row["cents_mode4"])):
            got = strings.partial_sharpness(mode, coefficient)
            assert got == pytest.approx(float(expected), abs=6e-4), row


@pytest.mark.parametrize("note", ["C6", "A4", "C3"])
def test_sharpness_by_youngs_rule(table: ReadTable, note: str) -> None:
    # Source: Young 1952: 3.4e13 n^2 d^2 / (f^2 L^4) cents, in cm; a rule for slight stiffness
    row = next(row for row in table("strings_checks") if row["note"] == note)
    f, length, d = (float(row[name]) for name in ("hz", "length_m", "diameter_m"))
    got = strings.partial_sharpness(2.0, strings.inharmonicity(f, length, d))
    young = 3.4e13 * 2**2 * (100.0 * d) ** 2 / (f**2 * (100.0 * length) ** 4)
    assert young == pytest.approx(float(row["young_mode2_cents"]), abs=6e-4)
    assert got == pytest.approx(young, rel=0.006)


@pytest.mark.parametrize(("cents", "percent"), [(100.0, 12.2462), (-50.0, -5.6126), (20.0, 2.3374)])
def test_tension_after_a_change_of_pitch(cents: float, percent: float) -> None:
    # Source: Mersenne's law, tension as the square of pitch; computed apart
    assert 100.0 * (strings.tension_ratio(cents) - 1.0) == pytest.approx(percent, abs=5e-5)


def test_wire_as_tabled(table: ReadTable) -> None:
    # Source: data/wire_gauge.csv: ASTM A228 minimum strengths; half sizes are midpoints
    rows = table("wire_gauge")
    assert len(rows) == 26
    for row in rows:
        diameter_m = float(row["diameter_mm"]) / 1000.0
        # The strengths are printed to 1 MPa, half sizes to 0.5 ksi
        expected = pytest.approx(float(row["min_break_n"]), rel=0.0012)
        assert strings.breaking_load(diameter_m) == expected, row
    whole = [row for row in rows if "." not in row["gauge"]]
    printed = tuple((float(row["diameter_mm"]), float(row["uts_min_mpa"])) for row in whole)
    assert printed == strings.WIRE_STRENGTH


def test_a_wound_string_of_bare_wire_is_a_plain_one(table: ReadTable) -> None:
    # Source: data/wire_gauge.csv, mass per length of steel wire, 7850 kg/m3
    for row in table("wire_gauge"):
        mass = float(row["linear_density_g_per_m"]) / 1000.0
        plain = strings.tension(220.0, 0.7, float(row["diameter_mm"]) / 1000.0)
        assert strings.wound_tension(220.0, 0.7, mass) == pytest.approx(plain, rel=2e-5)
