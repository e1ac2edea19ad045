"""What was paid, in exact decimals, by year, kind and currency; never added across currencies."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from dossier.model import History, Work
from dossier.quantities import Money


@dataclass(frozen=True, slots=True)
class YearSum:
    """The sum of one kind of work in one year and one currency (ISO 4217)."""

    year: int
    kind: str
    total: Money


def work_cost(work: Work) -> tuple[Money, ...]:
    """What one piece of work cost: its price and its parts, one sum a currency."""
    return sums(money for money in (work.price, work.parts) if money is not None)


def sums(amounts: Iterable[Money]) -> tuple[Money, ...]:
    """One sum a currency, in the order of the currencies' codes."""
    totals: dict[str, Decimal] = defaultdict(Decimal)
    for money in amounts:
        totals[money.currency] += money.amount
    return tuple(Money(amount, currency) for currency, amount in sorted(totals.items()))


def by_year(history: History) -> tuple[YearSum, ...]:
    """Every year's cost by kind of work.  A visit's fee counts as "visit"."""
    totals: dict[tuple[int, str, str], Decimal] = defaultdict(Decimal)
    for visit in history.visits:
        if visit.fee is not None:
            totals[visit.date.year, "visit", visit.fee.currency] += visit.fee.amount
        for work in visit.work:
            for money in work_cost(work):
                totals[visit.date.year, work.kind, money.currency] += money.amount
    return tuple(
        YearSum(year, kind, Money(amount, currency))
        for (year, kind, currency), amount in sorted(totals.items())
    )
