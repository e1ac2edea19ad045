"""The one place where today enters: it changes on the days on which something changes."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.analysis.findings import Findings, analyse
from dossier.edition.situation import Situation, situation
from dossier.model import History
from tests.analysis.one_piano import history
from tests.edition.tiny_histories import histories

NOTES = {
    "2025-03-01": """
        found: 40 flat
        left: on pitch
        work:
          - pitch raise
          - treatment: thin adhesive at C5-E5
            component: tuning pins
        advice:
          - (wall) move it off the wall, before October
          - (cover) a cover for the keys
    """,
    "2025-11-10": "condition:\n  tuning pins: good\nwork: tuning\nagreed: cover",
}
INSTRUMENT = """
provenance:
  - "2025-06-10 moved, upstairs, source: own work"
humidity equipment: fitted 2025-01-15, next service October
"""


def days(first: date, last: date) -> list[date]:
    return [first + timedelta(days=n) for n in range((last - first).days + 1)]


def changes(told: History, first: date, last: date) -> dict[date, set[str]]:
    """The days on which the situation is not what it was on the day before, and in what."""
    found = analyse(told)
    states = {day: situation(told, found, day) for day in days(first, last)}
    changed: dict[date, set[str]] = {}
    for day, state in states.items():
        before = states.get(day - timedelta(days=1))
        if before is not None and before != state:
            changed[day] = {
                field.name
                for field in fields(Situation)
                if getattr(before, field.name) != getattr(state, field.name)
            }
    return changed


def test_the_days_on_which_a_piano_changes_counted_by_hand() -> None:
    told = history(NOTES, shop="interval: 1 year", instrument=INSTRUMENT)
    assert changes(told, date(2025, 1, 1), date(2028, 1, 1)) == {
        date(2025, 1, 15): {"running"},  # the humidifier was fitted, its service is to come
        date(2025, 3, 1): {"running"},  # raised and treated
        date(2025, 3, 22): {"running"},  # three weeks of settling are over
        date(2025, 6, 10): {"running"},  # moved
        date(2025, 8, 29): {"undecided"},  # 180 days without an answer for the wall
        date(2025, 9, 8): {"running"},  # 90 days after the move
        date(2025, 10, 1): {"late"},  # the wall had its last day yesterday
        date(2025, 11, 10): {"running"},  # the treated pins were looked at
        date(2026, 6, 10): {"running"},  # the first year is over
        date(2025, 10, 31): {"due"},  # the service's last day: the visit it asks for
        date(2025, 11, 1): {"due"},
    }


def boundaries(found: Findings) -> set[date]:
    """The first days of a new state, worked out from the findings' own dates."""
    one = timedelta(days=1)
    said: set[date] = set()
    for clock in found.clocks:
        said.add(clock.started)
        said.add(clock.closed or clock.ends)
    for life in found.advice:
        said |= {life.decide_by + one}
        if life.window is not None:
            said |= {life.window[0], life.window[1] + one}
    if found.coming is not None:
        said |= {found.coming.earliest, found.coming.latest + one}
    return said


@settings(max_examples=60)
@given(histories(), st.dates(date(2023, 1, 1), date(2029, 1, 1)))
def test_nothing_changes_overnight_but_on_a_boundary(told: History, day: date) -> None:
    found = analyse(told)
    tomorrow = day + timedelta(days=1)
    if tomorrow not in boundaries(found):
        assert situation(told, found, day) == situation(told, found, tomorrow)


@settings(max_examples=25)
@given(histories())
def test_between_two_boundaries_it_is_one_and_the_same(told: History) -> None:
    found = analyse(told)
    marks = sorted(day for day in boundaries(found) if day > date(2020, 1, 1))
    for first, after in pairwise(marks):
        last = after - timedelta(days=1)
        assert situation(told, found, first) == situation(told, found, last)


@settings(max_examples=25)
@given(histories(), st.dates(date(2023, 1, 1), date(2029, 1, 1)))
def test_it_holds_no_today(told: History, day: date) -> None:
    """Only the dates of the findings: else every page would be another one each day."""
    found = analyse(told)
    held = set(_dates(situation(told, found, day)))
    assert held <= set(_dates(found))


def _dates(value: Any) -> list[date]:
    if isinstance(value, date):
        return [value]
    if is_dataclass(value) and not isinstance(value, type):
        return [d for field in fields(value) for d in _dates(getattr(value, field.name))]
    if isinstance(value, tuple | frozenset):
        return [d for item in value for d in _dates(item)]
    return []


def test_a_dormant_client_is_not_served() -> None:
    told = history(NOTES, client="status: dormant")
    assert situation(told, analyse(told), date(2026, 1, 1)).served is False
