"""When a "dry season" is, by the climate of the place."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.analysis.seasons import season_months, warmed, when_window
from dossier.model import Shop
from dossier.quantities import parse_when
from tests.analysis.one_piano import history

MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip


def shop(degrees: tuple[int, ...] = (), humidity: int = 80) -> Shop:
    """A shop whose outdoor air has these monthly means in °C, always equally damp."""
    climate = "\n".join(
        f"  {month}: {c} °C, {humidity} %" for month, c in zip(MONTHS, degrees, strict=False)
    )
    return history({}, shop=f"climate:\n{climate}" if climate else "").shop


NORTH = (-2, -1, 3, 8, 13, 17, 20, 19, 15, 10, 4, 0)
EARLY = (0, 1, 5, 8, 13, 17, 20, 19, 15, 10, 4, -3)
SOUTH = (20, 19, 15, 10, 4, 0, -2, -1, 3, 8, 13, 17)


def span(of: Shop, words: str, seen_from: str) -> tuple[str, str]:
    first, last = when_window(of, parse_when(words), date.fromisoformat(seen_from))
    return first.isoformat(), last.isoformat()


def test_the_coldest_months_are_the_driest_indoors() -> None:
    assert season_months(shop(NORTH), "dry") == (12, 1, 2)
    assert season_months(shop(NORTH), "damp") == (6, 7, 8)
    assert season_months(shop(SOUTH), "dry") == (6, 7, 8)


def test_without_a_climate_the_seasons_are_those_of_the_heated_north() -> None:
    assert season_months(shop(), "dry") == (1, 2, 3)
    assert season_months(shop(), "damp") == (7, 8, 9)


def test_outdoor_air_is_warmed_to_the_room() -> None:
    """0 °C and 80 % hold 611.2 · 0.8 = 489 Pa; at 20 °C 2,333 Pa would be full: 21 %.

    Saturation: Magnus over water, Alduchov & Eskridge 1996.
    """
    humidity = dict(warmed(shop(NORTH)))
    assert humidity[12] == pytest.approx(20.9, abs=0.2)
    assert humidity[7] == pytest.approx(80)


@pytest.mark.parametrize(
    ("seen_from", "first", "last"),
    [
        ("2026-11-10", "2026-12-01", "2027-02-28"),
        ("2026-12-10", "2026-12-11", "2027-02-28"),
        ("2027-01-10", "2027-01-11", "2027-02-28"),
        ("2027-02-27", "2027-02-28", "2027-02-28"),
        ("2027-02-28", "2027-12-01", "2028-02-29"),
    ],
)
def test_a_season_may_run_over_the_new_year(seen_from: str, first: str, last: str) -> None:
    assert span(shop(NORTH), "dry season", seen_from) == (first, last)


@pytest.mark.parametrize(
    ("seen_from", "last"),
    [
        ("2026-11-10", "2026-11-30"),
        ("2026-12-01", "2027-11-30"),
        ("2027-01-10", "2027-11-30"),
    ],
)
def test_before_the_dry_season_is_before_the_next_that_begins(seen_from: str, last: str) -> None:
    assert span(shop(NORTH), "before the dry season", seen_from) == (seen_from, last)


def test_the_first_days_of_the_assumed_dry_season() -> None:
    assert span(shop(), "dry season", "2026-10-10") == ("2027-01-01", "2027-03-31")
    assert span(shop(), "dry season", "2027-01-01") == ("2027-01-02", "2027-03-31")
    assert span(shop(), "damp season", "2027-01-01") == ("2027-07-01", "2027-09-30")


def test_winter_is_in_june_where_july_is_cold() -> None:
    assert span(shop(SOUTH), "winter", "2026-01-10") == ("2026-06-01", "2026-08-31")
    assert span(shop(NORTH), "winter", "2026-01-10") == ("2026-12-01", "2027-02-28")


def test_the_driest_three_months_are_found_also_where_they_begin_late() -> None:
    assert season_months(shop(EARLY), "dry") == (12, 1, 2)
