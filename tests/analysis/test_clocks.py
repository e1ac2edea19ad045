"""Clocks: what an event sets running, until when, and what answers it."""

from __future__ import annotations

from datetime import date, timedelta

from dossier.analysis.clocks import Clock
from tests.analysis.one_piano import findings


def running(
    notes: dict[str, str], *, instrument: str = "", shop: str = ""
) -> dict[str, tuple[Clock, ...]]:
    found: dict[str, tuple[Clock, ...]] = {}
    for clock in findings(notes, instrument=instrument, shop=shop).clocks:
        found[clock.kind] = (*found.get(clock.kind, ()), clock)
    return found


def open_days(clock: Clock) -> tuple[date | None, date | None]:
    """The first and the last day on which a clock is open, looked for day by day over 6 years."""
    days = [clock.started + timedelta(days=n) for n in range(-30, 2200)]
    open_ = [day for day in days if clock.open_on(day)]
    last = open_[-1] if open_ and open_[-1] != days[-1] else None
    return (open_[0] if open_ else None), last


RAISED = {"2025-03-01": "found: 40 flat\nleft: on pitch\nwork: pitch raise"}


def test_a_raise_settles_for_three_weeks() -> None:
    """Common practice, no source."""
    (clock,) = running(RAISED)["settling"]
    assert open_days(clock) == (date(2025, 3, 1), date(2025, 3, 21))


def test_the_shop_says_how_long_its_raises_settle() -> None:
    (clock,) = running(RAISED, shop="clocks:\n  settling: 5 weeks")["settling"]
    assert clock.ends == date(2025, 4, 5)


def test_a_small_raise_settles_too_and_a_tuning_does_not() -> None:
    assert "settling" in running({"2025-03-01": "found: 12 flat\nleft: on pitch\nwork: tuning"})
    assert running({"2025-03-01": "found: 9 flat\nleft: on pitch\nwork: tuning"}) == {}


def test_a_raise_settles_also_where_no_pitch_was_noted() -> None:
    assert "settling" in running({"2025-03-01": "work: pitch raise"})


def test_a_floated_instrument_does_not_settle() -> None:
    assert running({"2025-03-01": "found: 40 flat\nfloated: yes\nwork: tuning"}) == {}


MOVED = 'provenance:\n  - "2025-06-10 moved, to the new house, source: own work"'


def test_a_move_starts_three_months_and_a_year() -> None:
    clocks = running({"2025-07-01": "work: tuning"}, instrument=MOVED)
    (acclimatising,), (year,) = clocks["acclimatising"], clocks["first year"]
    assert open_days(acclimatising) == (date(2025, 6, 10), date(2025, 9, 7))
    assert open_days(year) == (date(2025, 6, 10), date(2026, 6, 9))


def test_a_move_known_to_the_year_alone_starts_no_clock() -> None:
    moved = 'provenance:\n  - "1999 moved, source: the owner"'
    assert running({"2025-07-01": "work: tuning"}, instrument=moved) == {}


def test_a_move_to_come_does_not_run_yet() -> None:
    (clock, _) = findings({"2025-05-01": "work: tuning"}, instrument=MOVED).clocks
    assert not clock.open_on(date(2025, 5, 2))
    assert clock.open_on(date(2025, 6, 10))


GLUED = "work:\n  - treatment: thin adhesive at C5-E5\n    component: tuning pins"


def test_a_treatment_waits_until_it_is_looked_at() -> None:
    notes = {"2025-03-01": GLUED, "2025-04-01": "work: tuning", "2026-01-01": "found: 2 flat"}
    (clock,) = running(notes)["treatment"]
    assert (clock.ends, clock.closed) == (date(2025, 8, 28), None)
    assert open_days(clock) == (date(2025, 3, 1), None)


def test_the_component_looked_at_answers_a_treatment() -> None:
    notes = {"2025-03-01": GLUED, "2025-04-01": "condition:\n  tuning pins: good, all firm"}
    (clock,) = running(notes)["treatment"]
    assert clock.closed == date(2025, 4, 1)
    assert open_days(clock) == (date(2025, 3, 1), date(2025, 3, 31))


def test_a_mark_of_that_component_answers_it_and_one_of_another_does_not() -> None:
    notes = {"2025-03-01": GLUED, "2025-04-01": "moth: C4", "2025-05-01": "loose pins: D5"}
    (clock,) = running(notes)["treatment"]
    assert clock.closed == date(2025, 5, 1)


def test_not_examined_answers_nothing() -> None:
    notes = {"2025-03-01": GLUED, "2025-04-01": "condition:\n  tuning pins: not examined"}
    (clock,) = running(notes)["treatment"]
    assert clock.closed is None


def test_checked_all_answers_a_treatment() -> None:
    (clock,) = running({"2025-03-01": GLUED, "2025-04-01": "checked: all"})["treatment"]
    assert clock.closed == date(2025, 4, 1)


def test_new_strings_stretch_for_four_months() -> None:
    (clock,) = running({"2025-03-01": "work: spliced the D#1 string, 45 min"})["new strings"]
    assert open_days(clock) == (date(2025, 3, 1), date(2025, 6, 28))
    assert clock.text == "spliced the D#1 string"


FITTED = "humidity equipment: fitted 2024-10-04, next service October"


def test_the_equipments_service_waits_until_a_service_is_noted() -> None:
    notes = {"2025-03-01": "humidity equipment: working", "2026-03-01": "work: tuning"}
    (clock,) = running(notes, instrument=FITTED)["equipment service"]
    assert (clock.started, clock.ends, clock.closed) == (
        date(2024, 10, 4), date(2025, 10, 31), None,
    )  # fmt: skip


def test_a_service_closes_the_one_before_and_opens_the_next() -> None:
    notes = {"2025-10-10": "humidity equipment: serviced, next service 2026-10"}
    first, second = running(notes, instrument=FITTED)["equipment service"]
    assert first.closed == date(2025, 10, 10)
    assert (second.ends, second.closed, second.visit) == (
        date(2026, 10, 31), None, "2025-10-10",
    )  # fmt: skip


def test_equipment_that_was_removed_needs_no_service() -> None:
    notes = {"2025-10-10": "humidity equipment: removed"}
    (clock,) = running(notes, instrument=FITTED)["equipment service"]
    assert clock.closed == date(2025, 10, 10)
