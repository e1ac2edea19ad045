"""Air that no room has, and logs that stopped."""

from tests.checks.conftest import HERON, Told, only

NOTE = f"{HERON}2026-03-14.md"
LOG = "rooms/parlour/parlour.csv"


def note(air: str) -> dict[str, str]:
    return {"2026-03-14": f"---\nair: {air}\n---\n"}


def test_a_hygrometer_that_was_breathed_on(told: Told) -> None:
    unlikely = "is unlikely in a room. Check the figure and the hygrometer."
    assert told(note("20 °C, 97 %")) == [
        f"{NOTE}:2:6: warning: A relative humidity of 97 % {unlikely}"
    ]
    assert told(note("140 %")) == [f"{NOTE}:2:6: warning: A relative humidity of 140 % {unlikely}"]
    assert told(note("20 °C, 3 %")) == [
        f"{NOTE}:2:6: warning: A relative humidity of 3 % {unlikely}"
    ]
    assert told(note("20 °C, 95 %")) == []


def test_a_temperature_in_the_wrong_unit(told: Told) -> None:
    unlikely = "is unlikely in a room. Check the figure and its unit, as in 68 °F."
    assert told(note("68 °C, 50 %")) == [f"{NOTE}:2:6: warning: A temperature of 68 °C {unlikely}"]
    assert told(note("-12 °C")) == [f"{NOTE}:2:6: warning: A temperature of -12 °C {unlikely}"]
    assert told(note("68 °F, 50 %")) == []
    assert told(note("-3 °C, 80 %")) == []


def test_a_log_that_stopped_before_the_last_visit(told: Told) -> None:
    log = "time,temperature °C,humidity %\n2026-01-01 10:00,20,40\n2026-01-01 11:00,20,41\n"
    assert told({LOG: log, **note("20 °C, 44 %")}) == only(
        f"{LOG}:3:1: info: The room's log ends on 2026-01-01, and it was visited on 2026-03-14. "
        "Bring the logger's file in, or look after the logger."
    )
    assert told({LOG: log.replace("-01-01", "-02-01"), **note("20 °C, 44 %")}) == []
