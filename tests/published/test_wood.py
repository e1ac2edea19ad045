"""Wood against the Wood Handbook."""

from collections.abc import Callable

import numpy as np
import pytest

from dossier.analysis import wood

ReadTable = Callable[[str], list[dict[str, str]]]


@pytest.mark.parametrize(
    ("celsius", "rh", "printed"),
    [
        (21.1, 30.0, 6.2),
        (21.1, 50.0, 9.2),
        (21.1, 75.0, 14.4),
        (21.1, 85.0, 17.9),
        (21.1, 95.0, 23.9),
        (-1.1, 75.0, 14.9),
        (-1.1, 95.0, 24.3),
        (37.8, 50.0, 8.7),
        (37.8, 90.0, 19.5),
    ],
)
def test_moisture_content_as_printed(celsius: float, rh: float, printed: float) -> None:
    # Source: Wood Handbook FPL-GTR-282 (2021), Table 4-2. Not 0.05: at 21.1 °C and 85 % the
    # handbook's own equation gives 17.952 and its table prints 17.9
    assert wood.moisture_content(celsius, rh) == pytest.approx(printed, abs=0.07)


@pytest.mark.parametrize(
    ("rh", "printed"),
    [
        (5, 1.3), (10, 2.5), (15, 3.5), (20, 4.5), (25, 5.4), (35, 6.9), (40, 7.7), (45, 8.5),
        (55, 10.1), (60, 11.0), (65, 12.0), (70, 13.1), (80, 16.0), (90, 20.5),
    ],
)  # fmt: skip
def test_the_rest_of_that_line(rh: float, printed: float) -> None:
    # Source: Wood Handbook Table 4-2, 70 °F (21.1 °C), from memory
    assert wood.moisture_content(21.1, rh) == pytest.approx(printed, abs=0.07)


def test_moisture_content_by_the_equation(table: ReadTable) -> None:
    # Source: FPL-GTR-282 eq. 4-5 computed apart: data/emc_table.csv
    rows = table("emc_table")
    assert len(rows) == 8
    humidity = np.arange(5.0, 96.0, 5.0)
    for row in rows:
        celsius = max(float(row["t_c"]), wood.COLDEST_C)
        expected = [float(row[f"rh{rh:.0f}"]) for rh in humidity]
        np.testing.assert_allclose(
            wood.moisture_content(celsius, humidity), expected, atol=6e-4, err_msg=row["t_c"]
        )


def test_humidity_for_eight_percent() -> None:
    # Source: FPL-GTR-282 eq. 4-5, inverted apart
    assert wood.humidity_for(8.0, 20.0) == pytest.approx(41.83, abs=0.005)


def test_the_handbooks_own_board() -> None:
    # Source: FPL-GTR-190 ch. 13, example after eq. 13-2: a white fir board 232 mm wide, from 8 to
    # 11 %, becomes 1.7 mm wider, 233.7 mm (start and C_T partly from memory)
    change = wood.width_change(232.0, 8.0, 11.0, "White fir", "tangential")
    assert change == pytest.approx(1.7, abs=0.05)
    assert 232.0 + change == pytest.approx(233.7, abs=0.05)


def test_species_as_in_the_tables(table: ReadTable) -> None:
    # Source: FPL-GTR-190 Tables 4-3 and 13-5; data/wood_coefficients.csv says what was read
    rows = table("wood_coefficients")
    assert [row["species"] for row in rows] == [species.name for species in wood.SPECIES]
    for row, species in zip(rows, wood.SPECIES, strict=True):
        assert row["binomial"] == species.binomial
        assert float(row["c_radial"]) == species.c_radial, row
        assert float(row["c_tangential"]) == species.c_tangential, row
        for printed, known in (
            (row["s_radial_pct"], species.shrink_radial),
            (row["s_tangential_pct"], species.shrink_tangential),
        ):
            assert (float(printed) if printed else None) == known, row


def test_coefficients_follow_from_shrinkage() -> None:
    # Source: FPL-GTR-190, Table 13-5 from Table 4-3 by C = (S/3000)/(1 - S/150), to five decimals
    checked = 0
    for species in wood.SPECIES:
        for s, c in (
            (species.shrink_radial, species.c_radial),
            (species.shrink_tangential, species.c_tangential),
        ):
            if s is not None:
                assert round(s / 3000.0 / (1.0 - s / 150.0), 5) == c, species.name
                checked += 1
    assert checked == 22


def test_green_to_dry_is_the_whole_shrinkage() -> None:
    # Source: FPL-GTR-190 Table 4-3 defines S from green (30 %) to oven-dry (0 %)
    for species in wood.SPECIES:
        change = wood.width_change(100.0, 30.0, 0.0, species.name, "tangential")
        assert change == pytest.approx(-species.shrinkage("tangential"))
