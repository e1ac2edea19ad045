"""Comparisons as columns, and how their errors hang together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from dossier.analysis.priors import Priors
from dossier.analysis.ranges import Column
from dossier.analysis.series import READING_CENTS, Comparison
from dossier.analysis.wood_state import YEAR_DAYS, WoodStates

SETTLING_DAYS = 3.5 * 2.0 ** np.arange(5.0)
"""3.5 to 56 days; about three weeks until a raise has settled is common practice, no source."""


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Comparisons as columns of length n.

    `register` 0 to 2; `visit`, `before`: places among the visits; `moved`, `raised` in cents;
    `years` between; `settled`: (5, n), by how much of the raise the settling has run between, at
    each of `SETTLING_DAYS`; `stood`: where it was before, cents; `own`, `shared` of the reading
    and `base_own`, `base_shared` of where it was before: variances in cents^2; `reread`: whether
    that was a reading too.
    """

    register: NDArray[np.intp]
    visit: NDArray[np.intp]
    before: NDArray[np.intp]
    stood: Column
    moved: Column
    raised: Column
    years: Column
    settled: Column
    own: Column
    shared: Column
    base_own: Column
    base_shared: Column
    reread: NDArray[np.bool_]

    def __len__(self) -> int:
        return len(self.moved)


def settled_between(set_days: Column, until_days: Column) -> Column:
    """The part of a raise that falls back between two counts of days after it, (5, ...)."""
    tau = SETTLING_DAYS.reshape(-1, *([1] * np.ndim(set_days)))
    return np.asarray(np.exp(-set_days / tau) - np.exp(-until_days / tau))


def as_rows(comparisons: tuple[Comparison, ...]) -> Rows:
    """The comparisons as columns."""

    def column(values: list[float]) -> Column:
        return np.array(values, dtype=np.float64)

    def places(values: list[int]) -> NDArray[np.intp]:
        return np.array(values, dtype=np.intp)

    days = column([item.day for item in comparisons])
    before = column([item.before.day for item in comparisons])
    set_on = column([item.before.set_day for item in comparisons])
    return Rows(
        register=places([item.register for item in comparisons]),
        visit=places([item.visit for item in comparisons]),
        before=places([item.before.visit for item in comparisons]),
        stood=column([item.before.cents for item in comparisons]),
        moved=column([item.moved for item in comparisons]),
        raised=column([item.before.raised for item in comparisons]),
        years=(days - before) / YEAR_DAYS,
        settled=settled_between(before - set_on, days - set_on),
        own=column([item.own for item in comparisons]),
        shared=column([item.shared for item in comparisons]),
        base_own=column([item.before.own for item in comparisons]),
        base_shared=column([item.before.shared for item in comparisons]),
        reread=np.array([item.before.read for item in comparisons], dtype=np.bool_),
    )


def error_roots(rows: Rows, wood: WoodStates, priors: Priors, correlations: Column) -> Column:
    """The inverse roots that make the errors of all rows alike and independent, (rho, n, n).

    Errors are in units of the usual one.  The state of the wood at a visit, a whole figure, an
    assumed pitch as left: each is one error for all registers, and stands in the comparison that
    ends there and, against its sign, in the one that begins there.
    """
    count = len(rows)
    if not count:
        return np.zeros((len(correlations), 0, 0))
    same_visit = rows.visit[:, None] == rows.visit
    same_base = rows.before[:, None] == rows.before
    places = np.arange(len(wood.variance))
    ends = (rows.visit[:, None] == places) * 1.0 - (rows.before[:, None] == places)
    response = priors.humidity.mean**2 + priors.humidity.shared**2
    extra = (
        np.diag(rows.own + rows.base_own)
        + same_visit * np.sqrt(rows.shared[:, None] * rows.shared)
        + same_base * np.sqrt(rows.base_shared[:, None] * rows.base_shared)
        + response * (ends * wood.variance) @ ends.T
    )
    again = (rows.before[:, None] == rows.visit) & rows.reread[:, None]
    twice = (same_base & rows.reread) * 1.0 - again - again.T
    alike = same_visit + twice * (READING_CENTS / priors.error) ** 2
    rho = correlations[:, None, None]
    usual = alike * (rho + (1.0 - rho) * (rows.register[:, None] == rows.register))
    root = np.linalg.cholesky(usual + extra / priors.error**2)
    return np.asarray(np.linalg.inv(root))
