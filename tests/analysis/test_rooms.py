"""The air of the rooms: what was read at the visits, and what a room's log tells day by day."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.analysis.rooms import LoggedDay, RoomAir
from dossier.analysis.seasoning import room_on, wood_at
from tests.analysis.one_piano import dry_log, findings, history

MOVED = {
    "instruments/heron/instrument.md": """---
client: marsh
title: The heron upright
stands:
  - parlour, since 2019
  - attic, since 2025-06-01, outside wall, stove near
---
""",
    "rooms/attic.md": "---\nname: the attic\nclient: marsh\n---\n",
}


def room(files: dict[str, str], last: str = "2025-03-01") -> RoomAir | None:
    return findings({last: "work: tuning"}, files=files).room


def test_a_visits_air_gives_its_dew_point_and_its_water() -> None:
    """20 °C and 50 %: dew point 9.3 °C and 8.6 g/m³, as psychrometric tables have it."""
    (reading,) = findings({"2025-03-01": "found: 2 flat\nair: 20 °C, 50 %"}).readings
    assert (reading.temperature_c, reading.humidity, reading.line) == (20, 50, 3)
    assert reading.dew_point_c == pytest.approx(9.3, abs=0.05)
    assert reading.absolute == pytest.approx(8.6, abs=0.05)


def test_half_a_reading_has_no_dew_point() -> None:
    (moist,) = findings({"2025-03-01": "air: 50 %"}).readings
    assert (moist.temperature_c, moist.humidity, moist.dew_point_c) == (None, 50, None)
    (warm,) = findings({"2025-03-01": "air: 20 °C"}).readings
    assert (warm.temperature_c, warm.humidity, warm.absolute) == (20, None, None)


def test_a_visit_that_read_no_air_has_no_reading() -> None:
    assert findings({"2025-03-01": "work: tuning"}).readings == ()


def test_a_rooms_days_have_their_lowest_mean_and_highest() -> None:
    log = (
        "time (UTC),temperature (°C),humidity (%)\n"
        "2025-02-01T06:00:00Z,20,40\n2025-02-01T18:00:00Z,20,44\n"
        "2025-02-03T06:00:00Z,20,30\n2025-02-03T18:00:00Z,20,31\n"
    )
    found = room({"rooms/parlour/2025.csv": log})
    assert found is not None
    assert found.days == (
        LoggedDay(date(2025, 2, 1), 40, 42, 44),
        LoggedDay(date(2025, 2, 2), None, None, None),
        LoggedDay(date(2025, 2, 3), 30, 30.5, 31),
    )


def test_a_logs_exposure_is_against_the_shops_band() -> None:
    files = {"rooms/parlour/2025.csv": dry_log(date(2025, 1, 1), 30, humidity=38)}
    found = room(files)
    assert found is not None
    assert (found.exposure.inside_share, found.exposure.below_share) == (1.0, 0.0)
    strict = findings(
        {"2025-03-01": "work: tuning"}, files=files, shop="comfort band: 40-60 %"
    ).room
    assert strict is not None
    assert (strict.exposure.inside_share, strict.exposure.below_share) == (0.0, 1.0)


def test_the_latest_days_of_a_long_log_have_figures_of_their_own() -> None:
    """Four rows a day: 100 damp days, and the 400 after them that are drawn."""
    files = {
        "rooms/parlour/a.csv": dry_log(date(2024, 1, 1), 100, humidity=70),
        "rooms/parlour/b.csv": dry_log(date(2024, 4, 10), 400, humidity=40),
    }
    found = room(files, "2025-09-01")
    assert found is not None
    assert (found.exposure.readings_count, found.exposure.inside_share) == (2000, 0.8)
    assert (found.latest.readings_count, found.latest.inside_share) == (1600, 1.0)
    assert (len(found.days), found.days[0].when) == (400, date(2024, 4, 10))


def test_a_single_row_at_the_end_leaves_the_log_whole() -> None:
    files = {
        "rooms/parlour/a.csv": dry_log(date(2023, 1, 1), 30, humidity=40),
        "rooms/parlour/b.csv": "time (UTC),humidity (%)\n2025-01-01T06:00:00Z,50\n",
    }
    found = room(files)
    assert found is not None
    assert found.latest == found.exposure
    assert found.days[0].when == date(2023, 1, 1)


def test_two_logs_of_a_room_are_one_series_and_a_row_told_twice_counts_once() -> None:
    files = {
        "rooms/parlour/a.csv": dry_log(date(2025, 1, 1), 10, humidity=40),
        "rooms/parlour/b.csv": dry_log(date(2025, 1, 8), 10, humidity=40),
    }
    found = room(files)
    assert found is not None
    assert (len(found.days), found.exposure.readings_count) == (17, 17 * 4)


def test_a_room_without_a_log_says_nothing() -> None:
    assert room({}) is None


def test_an_instrument_that_moves_leaves_the_old_air_behind() -> None:
    files = {**MOVED, "rooms/parlour/2025.csv": dry_log(date(2025, 1, 1), 30, humidity=38)}
    before = room(files, "2025-05-01")
    assert before is not None
    assert before.room.name == "the parlour"
    assert room(files, "2025-07-01") is None


def test_a_visit_takes_the_wood_from_the_room_of_its_own_day() -> None:
    files = {**MOVED, "rooms/parlour/2025.csv": dry_log(date(2025, 5, 1), 90, humidity=30)}
    told = history(
        {"2025-05-28": "air: 20 °C, 50 %", "2025-07-01": "air: 20 °C, 50 %"}, files=files
    )
    first, second = (wood_at(told, visit) for visit in told.visits)
    assert first is not None
    assert second is not None
    assert (first.basis, second.basis) == ("log", "reading")
    assert first.moisture < second.moisture


def test_a_day_before_any_standing_has_no_room() -> None:
    told = history({}, files=MOVED)
    assert room_on(told, date(2018, 1, 1)) is None
    standing = room_on(told, date(2025, 6, 1))
    assert standing is not None
    assert standing.id == "attic"


@pytest.mark.parametrize(
    ("air", "moisture"), [("20 °C, 30 %", 6.2), ("20 °C, 50 %", 9.2), ("20 °C, 65 %", 12.0)]
)
def test_wood_in_that_air_would_settle_at(air: str, moisture: float) -> None:
    """Wood Handbook FPL-GTR-282, table 4-2: 6.2, 9.2 and 12.0 % near 21 °C (from memory)."""
    ((_, state),) = findings({"2025-03-01": f"air: {air}"}).wood
    assert state.moisture == pytest.approx(moisture, abs=0.15)


def test_a_reading_without_a_temperature_is_taken_as_of_a_heated_room() -> None:
    ((_, bare),) = findings({"2025-03-01": "air: 50 %"}).wood
    ((_, read),) = findings({"2025-03-01": "air: 20 °C, 50 %"}).wood
    assert bare.moisture == read.moisture
