"""Starting values of a shop's own, from what its instruments showed: empirical Bayes.

Used by no build: what is learned is written down, looked over, and only then handed in, so that
no owner's page changes through another's visit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from dossier.analysis.mixture import Fit
from dossier.analysis.priors import STARTING, CoefficientPrior, Priors, covariance
from dossier.analysis.ranges import Column

WORTH = 12.0
"""How many instruments the starting values count for against the shop's own.  From memory."""

NARROWEST = 0.5
"""No spread is learned below this part of the starting one: a shop's next piano may be another."""

ROUNDS = 60


@dataclass(frozen=True, slots=True, eq=False)
class Evidence:
    """What one instrument's readings say of its coefficients, without what was assumed of them.

    `precision`: (9, 9) and `pull`: (9), of a normal likelihood; `variance`: its error variance in
    cents^2, and `rows`: the comparisons of registers that it rests on.
    """

    precision: Column
    pull: Column
    variance: float
    rows: float


def evidence(found: Fit) -> Evidence:
    """Return what an instrument's readings added to the priors that it was fitted with.

    The mixture as one normal, with the prior taken out again.
    """
    mean = found.weight @ found.mean
    apart = found.mean - mean
    whole = np.einsum("g,gij,gkj->ik", found.weight, found.root, found.root)
    whole += np.einsum("g,gi,gk->ik", found.weight, apart, apart)
    precision = np.linalg.inv(whole)
    before = np.linalg.inv(covariance(found.priors))
    start = _means(found.priors)
    values, axes = np.linalg.eigh(precision - before)
    added = (axes * np.maximum(values, 0.0)) @ axes.T
    return Evidence(
        precision=np.asarray(added),
        pull=np.asarray((before + added) @ mean - before @ start),
        variance=found.variance,
        rows=found.freedom - 2.0 * found.priors.error_shape,
    )


def learned(instruments: Sequence[Evidence], start: Priors = STARTING) -> Priors:
    """Return the shop's own starting values.

    Means and spreads of each coefficient over the instruments by expectation and maximisation,
    the starting values standing for `WORTH` instruments more: few instruments move them little.
    Instruments without a comparison say nothing and don't count.
    """
    told = [item for item in instruments if item.rows > 0.0]
    if not told:
        return start
    now = start
    for _ in range(ROUNDS):
        now = _round(told, start, now)
    return replace(now, error=_error(told, start), instruments=len(told))


def _round(told: Sequence[Evidence], start: Priors, now: Priors) -> Priors:
    """One round: each instrument by the values so far, then the values by the instruments."""
    before, centre = np.linalg.inv(covariance(now)), _means(now)
    spreads = [np.linalg.inv(before + item.precision) for item in told]
    means = np.array(
        [spread @ (before @ centre + item.pull) for spread, item in zip(spreads, told, strict=True)]
    )
    rows = [
        _row(row, means[:, block], np.array([spread[block, block] for spread in spreads]))
        for row, block in zip(start.rows, (slice(0, 3), slice(3, 6), slice(6, 9)), strict=True)
    ]
    return replace(now, humidity=rows[0], fall=rows[1], settling=rows[2])


def _row(start: CoefficientPrior, means: Column, spreads: Column) -> CoefficientPrior:
    """One coefficient over n instruments, from its registers' means (n, 3) and spreads (n, 3, 3).

    The mean of an instrument's registers strays by shared^2 + own^2 / 3, their differences by
    own^2.
    """
    count = len(means)
    centre = (WORTH * start.mean + means.mean(axis=1).sum()) / (WORTH + count)
    level = (means.mean(axis=1) - centre) ** 2 + spreads.mean(axis=(1, 2))
    every = np.trace(spreads, axis1=1, axis2=2) - 3.0 * spreads.mean(axis=(1, 2))
    apart = ((means - means.mean(axis=1, keepdims=True)) ** 2).sum(axis=1) + every
    own = (WORTH * start.own**2 + apart.sum() / 2.0) / (WORTH + count)
    pooled = WORTH * (start.shared**2 + start.own**2 / 3.0) + level.sum()
    pooled += WORTH * (centre - start.mean) ** 2
    shared = pooled / (WORTH + count) - own / 3.0
    return replace(
        start,
        mean=float(centre),
        shared=float(np.sqrt(max(shared, (NARROWEST * start.shared) ** 2))),
        own=float(np.sqrt(max(own, (NARROWEST * start.own) ** 2))),
        origin=f"{count} instruments of the shop, beside: {start.origin}",
    )


def _error(told: Sequence[Evidence], start: Priors) -> float:
    """The usual error, each instrument's counted by its comparisons, in cents."""
    rows = np.array([item.rows for item in told])
    weight = rows / (rows + 2.0 * start.error_shape)
    variances = np.array([item.variance for item in told])
    whole = WORTH * start.error**2 + float(weight @ variances)
    return float(np.sqrt(whole / (WORTH + float(weight.sum()))))


def _means(priors: Priors) -> Column:
    return np.repeat([row.mean for row in priors.rows], 3).astype(np.float64)
