"""How a room's year is put together from climate, log and readings."""

from datetime import date, timedelta

import numpy as np
import pytest

from dossier.analysis import air, wood
from dossier.analysis.room_years import expected_year, logged_days, room_years, visit_moisture
from dossier.analysis.wood_state import YEAR_DAYS
from tests.analysis.one_piano import dry_log, history
from tests.bench_analysis import CLIMATE

LOG = "rooms/parlour/log.csv"


def test_the_year_expected_of_a_room_is_the_warmed_climates() -> None:
    found = expected_year(history({}, shop=CLIMATE).shop)
    assert found is not None
    mean, cosine, sine = found[0]
    days = np.array([date(2025, 1, 15).toordinal(), date(2025, 8, 15).toordinal()])
    turn = 2.0 * np.pi * days / YEAR_DAYS
    january, august = mean + cosine * np.cos(turn) + sine * np.sin(turn)
    for got, outdoor, humidity in ((january, 3.0, 83.0), (august, 13.0, 85.0)):
        warmed = air.warmed_humidity(outdoor, humidity, 20.0)
        assert got == pytest.approx(wood.moisture_content(20.0, warmed), abs=0.6)


def test_without_a_whole_year_of_climate_none_is_expected() -> None:
    assert expected_year(history({}).shop) is None


def test_a_logged_day_is_the_mean_of_its_hours_moisture_and_not_of_their_air() -> None:
    rows = ["2025-03-01T00:00:00Z,20,10", "2025-03-01T12:00:00Z,20,90"]
    log = "\n".join(["time (UTC),temperature (°C),humidity (%)", *rows, ""])
    days, moisture = logged_days(history({}, files={LOG: log}).rooms["parlour"])
    assert days.tolist() == [date(2025, 3, 1).toordinal()]
    each = [wood.moisture_content(20.0, humidity) for humidity in (10.0, 90.0)]
    assert moisture[0] == pytest.approx(np.mean(each))
    assert abs(moisture[0] - wood.moisture_content(20.0, 50.0)) > 1.0


def test_a_gap_in_the_log_stays_a_gap() -> None:
    first, second = (dry_log(day, 5, 40.0) for day in (date(2025, 1, 1), date(2025, 3, 1)))
    files = {"rooms/parlour/a.csv": first, "rooms/parlour/b.csv": second}
    days, _ = logged_days(history({}, files=files).rooms["parlour"])
    assert np.diff(days).tolist() == [1] * 4 + [55] + [1] * 4


@pytest.mark.parametrize(
    ("shop", "readings", "log_days", "basis"),
    [
        ("", 0, 0, "assumed"),
        ("", 3, 0, "assumed"),
        ("", 4, 0, "readings"),
        (CLIMATE, 4, 0, "climate"),
        (CLIMATE, 4, 100, "climate"),
        (CLIMATE, 0, 250, "log"),
    ],
)
def test_what_the_year_rests_on(shop: str, readings: int, log_days: int, basis: str) -> None:
    notes = {
        (date(2024, 1, 10) + timedelta(days=90 * place)).isoformat(): "air: 20 °C, 45 %"
        for place in range(readings)
    }
    files = {LOG: dry_log(date(2024, 1, 1), log_days, 40.0)} if log_days else {}
    assert room_years(history(notes, shop=shop, files=files)).here.curve.basis == basis


def test_a_damp_room_is_seen_to_be_damp() -> None:
    notes = {f"{year}-06-10": "air: 14 °C, 82 %" for year in range(2018, 2024)}
    curve = room_years(history(notes, shop=CLIMATE)).here.curve
    assert curve.mean > 14.0
    assert curve.readings == 6


def test_air_that_was_not_read_has_no_moisture() -> None:
    whole = history({"2024-03-01": "air: 20 °C", "2024-04-01": "air: 45 %"})
    got = [visit_moisture(visit) for visit in whole.visits]
    assert np.isnan(got[0])
    assert got[1] == pytest.approx(wood.moisture_content(20.0, 45.0))
