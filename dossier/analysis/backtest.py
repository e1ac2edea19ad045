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
from dossier.analysis.causes import Work, estimates, register_shares
from dossier.analysis.mixture import (
    Fit,
    Rows,
    as_rows,
    chosen,
    combined,
    fits_before,
    half_width,
)
from dossier.analysis.priors import REGISTERS, Priors, covariance
from dossier.analysis.ranges import Column
from dossier.analysis.series import READING_CENTS, Series
from dossier.analysis.wood_state import WoodStates

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
    earlier = fits_before(rows, visits, wood, priors)
    found = [
        _predicted(series, wood, chosen(rows, rows.visit == visit), before)
        for visit, before in zip(visits.tolist(), earlier, strict=True)
    ]
    lines = tuple(
        BackTestRow(
            visit=series.visits[visit][0],
            when=series.visits[visit][1],
            predicted=predicted,
            observed=observed,
            inside=predicted.low <= observed <= predicted.high,
            rests_on=place,
        )
        for place, (visit, (predicted, observed, _)) in enumerate(
            zip(visits.tolist(), found, strict=True)
        )
    )
    off = [line.observed - line.predicted.value for line in lines]
    return BackTest(
        rows=lines,
        inside=sum(line.inside for line in lines),
        error=float(np.sqrt(np.mean(np.square(off)))),
        naive=float(np.sqrt(np.mean([moved**2 for _, _, moved in found]))),
    )


def _predicted(
    series: Series, wood: WoodStates, there: Rows, earlier: Fit
) -> tuple[Estimate, float, float]:
    """The compass at one visit: as predicted, as observed, and by how much it moved, cents."""
    weights = register_shares(series, there.register.tolist())
    functional = np.einsum("r,gri->gi", weights, causes_of(earlier, there, wood))
    usual = float(weights @ earlier.error[np.ix_(there.register, there.register)] @ weights)
    usual *= 1.0 + float(weights @ there.reread) * (READING_CENTS / earlier.priors.error) ** 2
    own = float(weights**2 @ (there.own + there.base_own))
    unsure = wood.variance[there.visit] + wood.variance[there.before]
    shared = there.shared + there.base_shared + earlier.response * unsure
    moments = combined(earlier, functional[:, None])
    stood = float(weights @ there.stood)
    moments.mean[0] += stood
    predicted = estimates(earlier, moments, usual + own + float(weights @ shared))[0]
    moved = float(weights @ there.moved)
    return predicted, stood + moved, moved


def causes_of(found: Fit, rows: Rows, wood: WoodStates) -> Column:
    """Return the design of rows at each point of the mixture, (g, n, 9)."""
    of_register = np.eye(3)[rows.register]
    states = wood.moisture[found.constant, found.year]
    design = np.empty((len(found.weight), len(rows), 9))
    design[..., 0:3] = (states[:, rows.visit] - states[:, rows.before])[..., None] * of_register
    design[..., 3:6] = rows.years[:, None] * of_register
    design[..., 6:9] = (-rows.raised * rows.settled[found.settling])[..., None] * of_register
    return design


def residuals(work: Work) -> tuple[Residual, ...]:
    """Return what the fit leaves of every comparison."""
    rows = as_rows(work.series.comparisons)
    if not len(rows):
        return ()
    fitted = combined(work.fit, causes_of(work.fit, rows, work.wood)).mean
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
