"""Whole scales against published wire tables and against sums done by hand."""

from collections.abc import Callable
from decimal import Decimal

import pytest

from dossier.analysis import pitch, scale
from dossier.diagnostics import Span
from dossier.model import ScaleString

ReadTable = Callable[[str], list[dict[str, str]]]
SPAN = Span("scale.csv")
KEYS = {"C8": 88, "C6": 64, "A4": 49, "C3": 28}


def of_table(rows: list[dict[str, str]]) -> list[ScaleString]:
    return [
        ScaleString(
            span=SPAN,
            key=KEYS[row["note"]],
            length_m=Decimal(row["length_m"]),
            diameter_mm=Decimal(row["diameter_m"]) * 1000,
            strings=3,
        )
        for row in rows
    ]


def test_the_margin_of_wire_as_tabled(table: ReadTable) -> None:
    # Source: data/wire_gauge.csv: ASTM A228 minimum strengths. A string of 0.5 m at A4
    for row in table("wire_gauge"):
        one = ScaleString(
            span=SPAN, key=49, length_m=Decimal("0.5"), diameter_mm=Decimal(row["diameter_mm"])
        )
        (load,) = scale.string_loads([one], 440.0)
        mass = float(row["linear_density_g_per_m"]) / 1000.0
        by_hand = 4.0 * mass * (440.0 * 0.5) ** 2 / float(row["min_break_n"])
        # The strengths are printed to 1 MPa, half sizes to 0.5 ksi
        assert load.share == pytest.approx(by_hand, rel=0.0013), row


def test_the_highest_string_has_a_quarter_of_its_strength_to_spare(table: ReadTable) -> None:
    # Source: data/strings_checks.csv (C8 as published, 79.5 kgf) over data/wire_gauge.csv: 0.785 mm
    # lies between gauges 12.5 (1038 N) and 13 (1103 N)
    (load,) = scale.string_loads(of_table(table("strings_checks"))[:1], 440.0)
    strength = 1038.0 + (1103.0 - 1038.0) * (0.785 - 0.7620) / (0.7874 - 0.7620)
    assert load.share == pytest.approx(79.5 * 9.80665 / strength, rel=0.006)
    assert 0.70 < (load.share or 0.0) < 0.72


def test_the_total_of_a_scale_by_hand(table: ReadTable) -> None:
    # Source: data/strings_checks.csv, computed apart, three strings a note:
    # 3 x (776.51 + 770.57 + 725.68 + 635.40) N
    loads = scale.string_loads(of_table(table("strings_checks")), 440.0)
    assert scale.total(loads) == pytest.approx(8724.48, abs=0.1)
    assert scale.total(loads) / scale.STANDARD_GRAVITY == pytest.approx(889.65, abs=0.01)
    assert scale.total(scale.between(loads, 49, 64)) == pytest.approx(4488.75, abs=0.06)
    for load, row in zip(loads, table("strings_checks"), strict=True):
        assert load.inharmonicity == pytest.approx(float(row["B"]), rel=5e-5), row


def test_a_wound_string_by_hand() -> None:
    # By hand: core 1.0 mm, one layer of 0.5 mm copper: ring (2.0^2 - 1.0^2) mm2 = 3 mm2;
    # mu = pi/4 (7850 + pi/4 x 8960 x 3) x 1e-6 = 0.022746 kg/m; A1 = 55 Hz on 1.3 m:
    # T = 4 x 0.022746 x 71.5^2 = 465.1 N
    assert scale.wound_mass(0.001, 0.0005) == pytest.approx(0.022746, abs=5e-7)
    one = ScaleString(
        span=SPAN,
        key=13,
        length_m=Decimal("1.3"),
        diameter_mm=Decimal(1),
        cover_mm=Decimal("0.5"),
        strings=2,
    )
    (load,) = scale.string_loads([one], 440.0)
    assert pitch.frequency(13) == 55.0
    assert load.tension == pytest.approx(465.1, abs=0.05)


def test_a_close_winding_fills_three_quarters_and_more_of_its_ring() -> None:
    # By geometry: the volume of one turn of round wire, pi c2/4 x pi (d + c), in a ring of length c
    turn = 3.14159265 * 0.5**2 / 4 * 3.14159265 * (1.0 + 0.5)
    ring = 3.14159265 / 4 * ((1.0 + 2 * 0.5) ** 2 - 1.0**2) * 0.5
    assert pytest.approx(turn / ring, rel=1e-8) == scale.PACKING


def test_a_short_ton_of_force() -> None:
    # Source: NIST SP 811, ton-force (2000 lbf) = 8.896443 E+03 N (from memory)
    assert pytest.approx(8896.443, abs=5e-4) == scale.SHORT_TON


@pytest.mark.parametrize(("low", "high"), [(160.0, 178.0)])
def test_the_assumption_for_a_large_instrument(low: float, high: float) -> None:
    # Common practice, no source: 18 to 20 short tons in 220 to 230 strings, 160 to 178 kN
    tons = [tons * scale.SHORT_TON / 1000.0 for tons in scale.ASSUMED_SHORT_TONS]
    assert tons == [pytest.approx(low, abs=0.2), pytest.approx(high, abs=0.2)]
    each = [kilonewtons * 1000.0 / 225 for kilonewtons in tons]
    assert 650 < each[0] < each[1] < 850
