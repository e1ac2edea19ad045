"""How far the drift model may be trusted: each visit predicted from those before it, what the fit
leaves over, and the coefficients."""

from __future__ import annotations

import numpy as np

from dossier.analysis.answers import (
    BackTest,
    BackTestRow,
    Coefficient,
    CoefficientName,
    Estimate,
    NotEnough,
    Residual,
)
from dossier.analysis.causes import Work
from dossier.analysis.mixture import MIDDLE_SETTLING, Earlier, Fit, fits_before
from dossier.analysis.moments import Moments, combined, estimates, half_width, intervals
from dossier.analysis.priors import REGISTERS, Priors, covariance
from dossier.analysis.ranges import Column
from dossier.analysis.rows import Rows, as_rows
from dossier.analysis.series import READING_CENTS, Series
from dossier.analysis.wood_state import USUAL_YEAR, WoodStates

COEFFICIENTS: tuple[CoefficientName, ...] = ("humidity response", "slow fall", "settling share")


def back_test(series: Series, wood: WoodStates, priors: Priors) -> BackTest | NotEnough:
    """Return each visit's pitch as it would have been predicted from the visits before it.

    Fitted on the time constants alone, the grid's other axes at their middle.  The room's year
    is that of all readings: it is the pitch that is predicted, not the weather.
    """
    rows = as_rows(series.comparisons)
    if not len(rows):
        return NotEnough(("second visit",))
    visits = np.unique(rows.visit)
    share = (rows.visit == visits[:, None]) * np.array(series.keys, np.float64)[rows.register]
    share /= share.sum(axis=1, keepdims=True)
    predicted = _predicted(rows, share, wood, fits_before(rows, visits, wood, priors), priors)
    moved = share @ rows.moved
    observed = share @ rows.stood + moved
    lines = tuple(
        BackTestRow(
            visit=series.visits[visit][0],
            when=series.visits[visit][1],
            predicted=before,
            observed=after,
            inside=before.low <= after <= before.high,
            rests_on=place,
        )
        for place, (visit, before, after) in enumerate(
            zip(visits.tolist(), predicted, observed.tolist(), strict=True)
        )
    )
    off = [line.observed - line.predicted.value for line in lines]
    return BackTest(
        rows=lines,
        inside=sum(line.inside for line in lines),
        error=float(np.sqrt(np.mean(np.square(off)))),
        naive=float(np.sqrt(np.mean(moved**2))),
    )


def _predicted(
    rows: Rows, share: Column, wood: WoodStates, earlier: Earlier, priors: Priors
) -> list[Estimate]:
    """The compass at each of k visits, of whose rows it is made by `share`, (k, n)."""
    design = causes(rows, wood.moisture[:, USUAL_YEAR], rows.settled[MIDDLE_SETTLING])
    functional = np.einsum("kn,cni->kci", share, design)
    means = (functional * earlier.mean).sum(axis=-1)
    spreads = np.square(functional[..., None, :] @ earlier.root).sum(axis=(-1, -2))
    mean = (earlier.weight * means).sum(axis=1)
    variance = (earlier.weight * (spreads + means**2)).sum(axis=1) - mean**2
    usual = np.einsum("kc,kci->ki", earlier.weight, functional)
    before = np.square(usual @ np.linalg.cholesky(covariance(priors))).sum(axis=-1)
    moments = Moments(share @ rows.stood + mean, np.maximum(variance, 0.0), before)
    extra = _errors(rows, share, wood, earlier, priors)
    return intervals(moments, extra, earlier.freedom, 2.0 * priors.error_shape)


def _errors(
    rows: Rows, share: Column, wood: WoodStates, earlier: Earlier, priors: Priors
) -> Column:
    """The variance at each of k visits that is no coefficient's, cents^2, (k)."""
    twice = share * np.sqrt(1.0 + rows.reread * (READING_CENTS / priors.error) ** 2)
    rho = earlier.correlation
    alike = rho + (1.0 - rho) * (rows.register[:, None] == rows.register)
    usual = earlier.variance * ((twice @ alike) * twice).sum(axis=1)
    own = share**2 @ (rows.own + rows.base_own)
    unsure = share @ (wood.variance[rows.visit] + wood.variance[rows.before])
    return np.asarray(
        usual + own + share @ (rows.shared + rows.base_shared) + earlier.response * unsure
    )


def causes(rows: Rows, states: Column, settled: Column) -> Column:
    """Return the design of rows at each of g points, (g, n, 9).

    `states`: the wood at the visits, (g, visits); `settled`: (n), or (g, n).
    """
    of_register = np.eye(3)[rows.register]
    design = np.empty((len(states), len(rows), 9))
    design[..., 0:3] = (states[:, rows.visit] - states[:, rows.before])[..., None] * of_register
    design[..., 3:6] = rows.years[:, None] * of_register
    design[..., 6:9] = (-rows.raised * settled)[..., None] * of_register
    return design


def residuals(work: Work) -> tuple[Residual, ...]:
    """Return what the fit leaves of every comparison."""
    rows = as_rows(work.series.comparisons)
    if not len(rows):
        return ()
    found = work.fit
    states = work.wood.moisture[found.constant, found.year]
    fitted = combined(found, causes(rows, states, rows.settled[found.settling])).mean
    visits = work.series.visits
    return tuple(
        Residual(
            visit=visits[item.visit][0],
            when=visits[item.visit][1],
            earlier_visit=visits[item.before.visit][0],
            earlier=visits[item.before.visit][1],
            register=REGISTERS[item.register],
            moved=item.moved,
            fitted=value,
        )
        for item, value in zip(work.series.comparisons, fitted.tolist(), strict=True)
    )


def coefficients(work: Work) -> tuple[Coefficient, ...]:
    """Return the coefficients with their intervals, beside what was assumed of them.

    The humidity response only where a log drives the wood at most of the compared visits: with
    the seasonal curve it takes up the curve's own faults.
    """
    functional = np.broadcast_to(np.eye(9), (len(work.fit.weight), 9, 9))
    moments = combined(work.fit, functional)
    found = estimates(work.fit, moments)
    before = _assumed(work.fit.priors)
    first = 0 if _log_driven(work) else 3
    return tuple(
        Coefficient(COEFFICIENTS[place // 3], REGISTERS[place % 3], found[place], before[place])
        for place in range(first, 9)
    )


def _log_driven(work: Work) -> bool:
    ends = {end for item in work.series.comparisons for end in (item.visit, item.before.visit)}
    logged = [work.wood.basis[visit] == "log" for visit in ends]
    return sum(logged) > len(logged) / 2


def _assumed(priors: Priors) -> list[Estimate]:
    rows = [row for row in priors.rows for _ in REGISTERS]
    widths = half_width(np.diag(covariance(priors)), 2.0 * priors.error_shape)
    return [
        Estimate(row.mean, row.mean - width, row.mean + width, mostly_assumed=True)
        for row, width in zip(rows, widths.tolist(), strict=True)
    ]


def usual_error(found: Fit) -> Estimate:
    """Return the usual error of one register's comparison, cents, by its inverse gamma."""
    from scipy.special import gammaincinv

    shape = found.freedom / 2.0
    rate = found.variance * (shape - 1.0)
    low, high = (float(np.sqrt(rate / gammaincinv(shape, part))) for part in (0.9, 0.1))
    start = found.priors.error_shape
    before = found.priors.error**2 * (start - 1.0)
    least, most = (float(np.sqrt(before / gammaincinv(start, part))) for part in (0.9, 0.1))
    return Estimate(
        value=float(np.sqrt(rate / (shape - 1.0))),
        low=low,
        high=high,
        mostly_assumed=high - low > 0.6 * (most - least),
    )
