"""Prices and warranties out of proportion."""

from tests.checks.conftest import HERON, Told, only

NOTE = f"{HERON}2026-03-14.md"


def note(*lines: str, day: str = "2026-03-14") -> dict[str, str]:
    return {day: "\n".join(("---", *lines, "---", ""))}


def tunings() -> dict[str, str]:
    found: dict[str, str] = {}
    for year in range(2019, 2025):
        found |= note("work: tuning, 80 USD", day=f"{year}-03-14")
    return found


def test_a_price_that_lost_its_decimal_point(told: Told) -> None:
    assert told({**tunings(), **note("work: tuning, 8500 USD")}) == only(
        f"{NOTE}:2:15: warning: 8500 USD is more than 20 times what is usual in this shop, 80 USD. "
        "Check the decimal point."
    )
    assert told({**tunings(), **note("work: tuning, 85 USD")}) == []


def test_restringing_costs_many_tunings(told: Told) -> None:
    assert told({**tunings(), **note("work: restringing, 4000 USD")}) == []
    assert told({**tunings(), **note("work: restringing, 400000 USD")}) == only(
        f"{NOTE}:2:20: warning: 400000 USD is more than 100 times what is usual in this shop, "
        "80 USD. Check the decimal point."
    )


def test_a_shop_with_few_prices_has_no_usual_one(told: Told) -> None:
    assert told(note("work: tuning, 8500 USD")) == []


def test_another_currency_is_another_measure(told: Told) -> None:
    assert told({**tunings(), **note("work: tuning, 9000 JPY")}) == []


def test_a_warranty_of_decades(told: Told) -> None:
    assert told(note("work: spliced the D#1 string, warranty 15 years")) == only(
        f"{NOTE}:2:31: warning: The warranty runs until 2041-03-14, for more than 10 years. "
        "Check the period, as in warranty 1 year."
    )
    assert told(note("work: spliced the D#1 string, warranty 10 years")) == []


def test_a_warranty_that_is_over_before_it_begins(told: Told) -> None:
    assert told(note("work: spliced the D#1 string, warranty until 2025-06-01")) == only(
        f"{NOTE}:2:31: warning: The warranty ends on 2025-06-01, before the work was done. "
        "Check the year."
    )
    assert told(note("work: spliced the D#1 string, warranty until 2027-06-01")) == []
