"""Are prices and warranties of the size that the shop's others have?"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from statistics import median
from typing import NamedTuple

from dossier.checks.check import figure, visits, warning
from dossier.diagnostics import Diagnostic, Span
from dossier.model import Notebook
from dossier.quantities import Money

LONGEST_WARRANTY_YEARS = 10

# So many times the median, a price has lost its decimal point or has another's currency.
TIMES_ITS_KIND = 20
TIMES_ANY_KIND = 100
ENOUGH = 5

ANY = ""
PARTS = "parts"
"""Material is a piece of felt or a humidifier: of no usual price."""


class _Price(NamedTuple):
    kind: str
    money: Money
    place: Span


def unusual(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A lost decimal point makes an appraisal and a year's sums worthless.

    A price is held against those of its own kind of work where the shop has enough of them, else,
    more freely, against all: to restring a piano costs many tunings.
    """
    prices = list(_prices(notebook))
    alike: dict[tuple[str, str], list[Decimal]] = defaultdict(list)
    for price in prices:
        if price.money.amount > 0:
            for kind in (price.kind, ANY):
                alike[kind, price.money.currency].append(price.money.amount)
    usual = {kind: median(amounts) for kind, amounts in alike.items() if len(amounts) >= ENOUGH}
    for price in prices:
        amount, currency = price.money.amount, price.money.currency
        own = None if price.kind == PARTS else usual.get((price.kind, currency))
        middle, times = (
            (usual.get((ANY, currency)), TIMES_ANY_KIND) if own is None else (own, TIMES_ITS_KIND)
        )
        if middle is not None and amount > times * middle:
            yield warning(
                "price-unusual",
                f"{figure(amount)} {currency} is more than {times} times what is usual in this "
                f"shop, {figure(middle)} {currency}.",
                price.place,
                "Check the decimal point.",
            )


def _prices(notebook: Notebook) -> Iterator[_Price]:
    for _history, visit in visits(notebook):
        if visit.fee is not None:
            yield _Price("fee", visit.fee, visit.place_of("fee"))
        for work in visit.work:
            if work.price is not None:
                yield _Price(work.kind, work.price, work.place_of("price"))
            if work.parts is not None:
                yield _Price(PARTS, work.parts, work.place_of("parts"))


def warranty(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A warranty is a promise: nobody gives one for decades, or for days gone by."""
    for _history, visit in visits(notebook):
        for work in visit.work:
            until = work.warranty_until
            if until is None:
                continue
            if (until.year, until.month, until.day) > (
                visit.date.year + LONGEST_WARRANTY_YEARS,
                visit.date.month,
                visit.date.day,
            ):
                yield warning(
                    "warranty-long",
                    f"The warranty runs until {until.isoformat()}, for more than "
                    f"{LONGEST_WARRANTY_YEARS} years.",
                    work.place_of("warranty_until"),
                    "Check the period, as in warranty 1 year.",
                )
            elif until < visit.date:
                yield warning(
                    "warranty-long",
                    f"The warranty ends on {until.isoformat()}, before the work was done.",
                    work.place_of("warranty_until"),
                    "Check the year.",
                )
