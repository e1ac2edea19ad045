"""The next visit: the technician's own word first, then the interval and the clocks."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.analysis.coming import Coming
from tests.analysis.one_piano import findings

YEARLY = "interval: 1 year"
TUNED = {"2025-03-01": "found: 4 flat\nleft: on pitch\nwork: tuning"}


def coming(
    notes: dict[str, str], *, instrument: str = "", shop: str = "", client: str = ""
) -> Coming | None:
    return findings(notes, instrument=instrument, shop=shop, client=client).coming


def window(found: Coming | None) -> tuple[str, str] | None:
    return (found.earliest.isoformat(), found.latest.isoformat()) if found else None


def test_nothing_asks_for_a_visit() -> None:
    assert coming({}) is None
    assert coming({}, shop=YEARLY) is None
    assert coming(TUNED) is None


def test_a_yearly_tuning_is_due_within_a_month_of_its_day() -> None:
    """A twelfth of the interval: common practice, no source.  365 // 12 = 30 days."""
    assert window(coming(TUNED, shop=YEARLY)) == ("2026-03-01", "2026-03-31")


@pytest.mark.parametrize(
    ("interval", "expected"),
    [
        ("6 months", ("2025-09-01", "2025-09-16")),
        ("2 months", ("2025-05-01", "2025-05-15")),
        ("6-9 months", ("2025-09-01", "2025-12-01")),
    ],
)
def test_the_slack_follows_the_interval_two_weeks_at_least(
    interval: str, expected: tuple[str, str]
) -> None:
    assert window(coming(TUNED, shop=f"interval: {interval}")) == expected


def test_the_instruments_interval_comes_before_the_clients_and_that_before_the_shops() -> None:
    client, own = "interval: 6 months", "interval: 3 months"
    assert window(coming(TUNED, shop=YEARLY, client=client)) == ("2025-09-01", "2025-09-16")
    assert window(coming(TUNED, shop=YEARLY, client=client, instrument=own)) == (
        "2025-06-01", "2025-06-15",
    )  # fmt: skip


def test_the_interval_counts_from_the_last_tuning_and_not_from_the_last_visit() -> None:
    notes = {**TUNED, "2025-11-01": "work: repair of the lyre"}
    assert window(coming(notes, shop=YEARLY)) == ("2026-03-01", "2026-03-31")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("check the splice, 4-8 weeks", ("2025-03-29", "2025-04-26")),
        ("check the splice, October", ("2025-10-01", "2025-10-31")),
        ("check the splice, 2025-05-10", ("2025-05-10", "2025-05-10")),
        ("check the splice, dry season", ("2025-03-02", "2025-03-31")),
        ("check the splice, autumn 2025", ("2025-09-01", "2025-11-30")),
    ],
)
def test_what_the_note_asks_for(words: str, expected: tuple[str, str]) -> None:
    found = coming({"2025-03-01": f"work: tuning\nnext: {words}"})
    assert window(found) == expected
    assert found is not None
    assert [(r.kind, r.text) for r in found.reasons] == [("follow", "check the splice")]


def test_a_wish_of_an_earlier_note_is_answered_by_any_later_visit() -> None:
    notes = {"2025-03-01": "next: check the splice, 4-8 weeks", "2025-03-20": "work: cleaning"}
    assert coming(notes) is None


def test_what_is_to_be_done_before_a_month_counts_from_the_visit() -> None:
    found = coming({"2025-03-01": "work: tuning\nnext: check the splice, before June"})
    assert window(found) == ("2025-03-01", "2025-05-31")


def test_the_most_pressing_reason_gives_the_window() -> None:
    found = coming(
        {"2025-03-01": "work: tuning\nnext:\n  - pedal felts, October\n  - splice, 4 weeks"}
    )
    assert found is not None
    assert [r.text for r in found.reasons] == ["splice", "pedal felts"]
    assert window(found) == ("2025-03-29", "2025-03-29")


def test_the_regular_tuning_stands_beside_a_later_wish_alone() -> None:
    notes = {"2025-03-01": "work: tuning\nnext: pedal felts, {}"}
    early = coming({"2025-03-01": notes["2025-03-01"].format("October")}, shop=YEARLY)
    late = coming({"2025-03-01": notes["2025-03-01"].format("2026-06")}, shop=YEARLY)
    assert early is not None
    assert late is not None
    assert [r.kind for r in early.reasons] == ["follow"]
    assert [r.kind for r in late.reasons] == ["interval", "follow"]


def test_a_treatment_and_a_service_that_wait_are_reasons() -> None:
    notes = {"2025-03-01": "work: treatment of the pin block", "2025-04-01": "work: tuning"}
    service = "humidity equipment: fitted 2024-10-04, next service October"
    found = coming(notes, instrument=service)
    assert found is not None
    assert [(r.kind, r.earliest) for r in found.reasons] == [
        ("treatment", date(2025, 8, 28)),
        ("equipment service", date(2025, 10, 31)),
    ]


def test_a_piano_is_not_tuned_before_it_is_used_to_its_new_room() -> None:
    moved = 'provenance:\n  - "2026-02-20 moved, upstairs, source: own work"'
    found = coming(TUNED, shop=YEARLY, instrument=moved)
    assert window(found) == ("2026-05-21", "2026-06-20")
