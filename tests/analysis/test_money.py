"""What was paid, in exact decimals, and never added across currencies."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from dossier.analysis.money import sums, work_cost
from dossier.quantities import Money
from tests.analysis.one_piano import findings, history


def by_year(notes: dict[str, str]) -> list[tuple[int, str, str, str]]:
    return [
        (item.year, item.kind, str(item.total.amount), item.total.currency)
        for item in findings(notes).money
    ]


def test_a_year_is_summed_by_kind_of_work_and_the_fee_is_the_visit() -> None:
    notes = {
        "2024-03-01": "work: tuning, 80.10 EUR\nfee: 20.20 EUR",
        "2024-09-01": "work:\n  - tuning, 80.20 EUR\n  - spliced D#1, 40 EUR, parts 6.50 EUR",
        "2025-03-01": "work: tuning, 85 EUR",
    }
    assert by_year(notes) == [
        (2024, "repair", "46.50", "EUR"),
        (2024, "tuning", "160.30", "EUR"),
        (2024, "visit", "20.20", "EUR"),
        (2025, "tuning", "85.00", "EUR"),
    ]


def test_two_currencies_are_never_added() -> None:
    notes = {"2024-03-01": "work:\n  - tuning, 80 EUR\n  - tuning, 90 USD\nfee: 5 USD"}
    assert by_year(notes) == [
        (2024, "tuning", "80.00", "EUR"),
        (2024, "tuning", "90.00", "USD"),
        (2024, "visit", "5.00", "USD"),
    ]


def test_parts_in_another_currency_stand_beside_the_price() -> None:
    (visit,) = history({"2024-03-01": "work: spliced D#1, 40 EUR, parts 6.50 USD"}).visits
    assert work_cost(visit.work[0]) == (
        Money(Decimal(40), "EUR"),
        Money(Decimal("6.50"), "USD"),
    )


def test_work_without_a_price_costs_nothing_that_is_told() -> None:
    assert by_year({"2024-03-01": "work: tuning"}) == []


AMOUNTS = st.lists(
    st.builds(
        Money,
        st.decimals(min_value=0, max_value=10_000, places=2),
        st.sampled_from(("EUR", "GBP", "USD")),
    )
)


@given(AMOUNTS)
def test_sums_are_exact_to_the_cent(amounts: list[Money]) -> None:
    """Against whole cents, which no rounding can touch."""
    for total in sums(amounts):
        cents = sum(int(m.amount * 100) for m in amounts if m.currency == total.currency)
        assert int(total.amount * 100) == cents
    assert {total.currency for total in sums(amounts)} == {m.currency for m in amounts}
