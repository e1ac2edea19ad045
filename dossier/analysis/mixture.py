"""The drift model fitted: a closed-form regression at each point of a grid, weighted by evidence.

    found - before = beta (m - m_before) + gamma (t - t_before) - s raised (f(t) - f(t_before)) + e

for each register, with f(t) = 1 - exp(-(t - t_set) / tau) since the work that raised it.  The
grid runs over the wood's time constant, how late and how wide the room's year runs, the settling
time tau, and the correlation of e between registers.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from dossier.analysis.priors import Priors, covariance, joint
from dossier.analysis.ranges import Column
from dossier.analysis.regression import Posterior, Prior, solved
from dossier.analysis.rows import Rows, error_roots
from dossier.analysis.wood_state import USUAL_YEAR, YEAR_WEIGHTS, WoodStates, constant_weights

SETTLING_WEIGHTS = np.array([0.15, 0.30, 0.30, 0.15, 0.10])
"""Of `rows.SETTLING_DAYS`; common practice, no source."""

CORRELATIONS = np.array([0.3, 0.65, 0.95])
"""Of the errors of two registers at one visit; all alike at first, from memory."""

MIDDLE_SETTLING, MIDDLE_CORRELATION = 1, 1

SETTLING_CENTS = 0.3
"""A comparison in which settling times make less of a difference than this can't tell them."""

LEAST_WEIGHT = 3e-3
"""Points of the grid with less than this part of the best one's weight are dropped."""


@dataclass(frozen=True, slots=True, eq=False)
class Grid:
    """Which points of each axis are fitted, as places: constants, years, settling, correlation."""

    constants: NDArray[np.intp]
    years: NDArray[np.intp]
    settling: NDArray[np.intp]
    correlations: NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """The mixture after pruning, of g points of time constant, year and settling time.

    `weight`: (g), adding to 1; `mean`: (g, 9), the coefficients in the order of
    `priors.covariance`; `root`: (g, 9, 9), C with C C' their covariance; `error`: (3, 3), the
    expected covariance in cents^2 of the usual errors of bass, tenor and treble at one visit;
    `variance`: their expected variance; `response`: the expected square of the compass's humidity
    response, by which the wood's own uncertainty counts, cents^2/%^2; `freedom`: degrees of
    freedom of every t; `constant`, `year`, `settling`: each point's places; `before`: (9, 9), a
    root of the prior covariance.
    """

    weight: Column
    mean: Column
    root: Column
    error: Column
    variance: float
    response: float
    freedom: float
    constant: NDArray[np.intp]
    year: NDArray[np.intp]
    settling: NDArray[np.intp]
    before: Column
    priors: Priors


WHOLE_GRID = Grid(np.arange(9), np.arange(5), np.arange(5), np.arange(3))
NARROW_GRID = Grid(
    np.arange(9),
    np.array([USUAL_YEAR]),
    np.array([MIDDLE_SETTLING]),
    np.array([MIDDLE_CORRELATION]),
)
"""For the back-test, which fits once a visit: the time constants alone, the rest at its middle."""


def fit(rows: Rows, wood: WoodStates, priors: Priors) -> Fit:
    """Return the posterior of an instrument's coefficients; without rows, what was assumed.

    `wood`: the states at all visits, by the places that the rows name.
    """
    grid = Grid(
        constants=WHOLE_GRID.constants,
        years=WHOLE_GRID.years if _years_matter(wood) else NARROW_GRID.years,
        settling=WHOLE_GRID.settling if _settling_matters(rows, priors) else NARROW_GRID.settling,
        correlations=WHOLE_GRID.correlations,
    )
    prior = joint(priors)
    roots = error_roots(rows, wood, priors, CORRELATIONS[grid.correlations])
    whole = _stacked(rows, wood, prior, grid, roots)
    found = solved(whole, prior, np.asarray(float(len(rows))))
    stretch = np.log(np.diagonal(roots, axis1=-2, axis2=-1)).sum(-1)
    return _filled(_pruned(found, _weighed(found, grid, stretch), grid, priors), grid)


def _years_matter(wood: WoodStates) -> bool:
    """Whether the visits' wood hangs on how the year runs; where a log tells it, it doesn't."""
    return any(basis != "log" for basis in wood.basis)


def _settling_matters(rows: Rows, priors: Priors) -> bool:
    """Whether any comparison tells settling times apart; those half a year after a raise don't."""
    apart = rows.settled - rows.settled[MIDDLE_SETTLING]
    most = np.abs(apart * rows.raised * priors.settling.mean).max(initial=0.0)
    return bool(most > SETTLING_CENTS)


def _filled(found: Fit, grid: Grid) -> Fit:
    """The mixture over the axes that the readings told nothing of, at the weights assumed.

    The past did not hang on them, but the future does.
    """
    if len(grid.years) < len(YEAR_WEIGHTS):
        found = _repeated(found, YEAR_WEIGHTS)
        ways = np.arange(len(YEAR_WEIGHTS))
        found = replace(found, year=np.tile(ways, len(found.weight) // len(ways)))
    if len(grid.settling) < len(SETTLING_WEIGHTS):
        found = _repeated(found, SETTLING_WEIGHTS)
        ways = np.arange(len(SETTLING_WEIGHTS))
        found = replace(found, settling=np.tile(ways, len(found.weight) // len(ways)))
    return found


def _repeated(found: Fit, weights: Column) -> Fit:
    """Each point of a mixture once for each of some weights, beside each other."""
    ways = len(weights)
    return replace(
        found,
        weight=np.outer(found.weight, weights).ravel(),
        mean=np.repeat(found.mean, ways, axis=0),
        root=np.repeat(found.root, ways, axis=0),
        constant=np.repeat(found.constant, ways),
        year=np.repeat(found.year, ways),
        settling=np.repeat(found.settling, ways),
    )


@dataclass(frozen=True, slots=True, eq=False)
class Earlier:
    """What was known before each of k visits, on the narrow grid of c time constants.

    As in `Fit`: `weight` (k, c), `mean` (k, c, 9), `root` (k, c, 9, 9); `variance`, `response`,
    `freedom` (k).  `correlation`: of the errors of two registers, the grid's middle one.
    """

    weight: Column
    mean: Column
    root: Column
    variance: Column
    response: Column
    freedom: Column
    correlation: float


def fits_before(rows: Rows, visits: NDArray[np.intp], wood: WoodStates, priors: Priors) -> Earlier:
    """Return, for each of some visits, the fit of the rows before it, on the narrow grid.

    The errors are whitened from the earliest row on, so that leaving out the last rows is to
    blank them: all fits are one batch.
    """
    prior, top = joint(priors), 9
    correlations = CORRELATIONS[NARROW_GRID.correlations]
    roots = error_roots(rows, wood, priors, correlations)
    once = _stacked(rows, wood, prior, NARROW_GRID, roots)[0, :, 0, 0]
    whole = np.repeat(once[None], len(visits), axis=0)
    counts = np.searchsorted(rows.visit, visits)
    for before, count in zip(whole, counts.tolist(), strict=True):
        before[:, top + count :] = 0.0
    found = solved(whole, prior, counts[:, None].astype(np.float64))
    # Whitening stretches all of a visit's points alike, so that it doesn't weigh one by another.
    evidence = found.log_evidence + np.log(constant_weights())
    weight = np.exp(evidence - evidence.max(axis=1, keepdims=True))
    weight /= weight.sum(axis=1, keepdims=True)
    root = np.linalg.inv(found.root) * np.sqrt(found.variance)[..., None, None]
    humidity = found.mean[..., 0:3].mean(axis=-1)
    spread = np.square(root[..., 0:3, :].mean(axis=-2)).sum(axis=-1)
    return Earlier(
        weight=weight,
        mean=found.mean,
        root=np.asarray(root),
        variance=np.asarray((weight * found.variance).sum(axis=1)),
        response=np.asarray((weight * (humidity**2 + spread)).sum(axis=1)),
        freedom=np.asarray(2.0 * found.shape[:, 0]),
        correlation=float(correlations[0]),
    )


def _weighed(found: Posterior, grid: Grid, stretch: Column) -> Column:
    """The log weight of each point: evidence, by how much whitening stretched, prior weight."""
    rho, constant, year, settling = (
        np.log(weight / weight.sum())
        for weight in (
            np.ones(len(grid.correlations)),
            constant_weights()[grid.constants],
            YEAR_WEIGHTS[grid.years],
            SETTLING_WEIGHTS[grid.settling],
        )
    )
    before = rho[:, None, None, None] + constant[:, None, None] + year[:, None] + settling
    return np.asarray(found.log_evidence + before + stretch[:, None, None, None])


def _stacked(rows: Rows, wood: WoodStates, prior: Prior, grid: Grid, roots: Column) -> Column:
    """Prior rows over whitened data rows at every point: (rho, T, year, tau, 9 + n, 10)."""
    moved_wood = wood.moisture[np.ix_(grid.constants, grid.years)]
    moved_wood = moved_wood[:, :, rows.visit] - moved_wood[:, :, rows.before]
    of_register = np.eye(3)[rows.register]
    settling = rows.settled[grid.settling] * -rows.raised
    whiten = roots[:, None, None]
    count, top = len(rows), len(prior.root)
    shape = [len(axis) for axis in (grid.correlations, grid.constants, grid.years, grid.settling)]
    whole = np.empty((*shape, top + count, 10))
    whole[..., :top, :9] = prior.root
    whole[..., :top, 9] = prior.root @ prior.mean
    below = whole[..., top:, :]
    below[..., 0:3] = (whiten @ (moved_wood[..., None] * of_register))[:, :, :, None]
    below[..., 3:6] = (roots @ (rows.years[:, None] * of_register))[:, None, None, None]
    below[..., 6:9] = (roots[:, None] @ (settling[..., None] * of_register))[:, None, None]
    below[..., 9] = (roots @ rows.moved)[:, None, None, None]
    return whole


def _pruned(found: Posterior, evidence: Column, grid: Grid, priors: Priors) -> Fit:
    """Weigh the points by their evidence, drop the hopeless, and sum over the correlations."""
    weight = np.exp(evidence - evidence.max())
    weight /= weight.sum()
    of_cell = weight.sum(axis=0)
    kept = np.nonzero(of_cell >= LEAST_WEIGHT * of_cell.max())
    inner = weight[:, kept[0], kept[1], kept[2]]
    parts = inner / inner.sum(axis=0)
    means = found.mean[:, kept[0], kept[1], kept[2]]
    variances = found.variance[:, kept[0], kept[1], kept[2]]
    roots = np.linalg.inv(found.root[:, kept[0], kept[1], kept[2]])
    mean = np.einsum("rg,rgi->gi", parts, means)
    apart = means - mean
    covariances = np.einsum("rg,rgij,rgkj->gik", parts * variances, roots, roots)
    covariances += np.einsum("rg,rgi,rgk->gik", parts, apart, apart)
    of_point = inner * variances / inner.sum()
    shared = CORRELATIONS[grid.correlations][:, None, None]
    between = shared + (1.0 - shared) * np.eye(3)
    constant, year, settling = kept
    root = np.linalg.cholesky(covariances)
    cells = of_cell[kept] / of_cell[kept].sum()
    humidity = mean[:, 0:3].mean(axis=1)
    spread = np.square(root[:, 0:3].mean(axis=1)).sum(axis=-1)
    return Fit(
        weight=cells,
        mean=mean,
        root=root,
        error=np.einsum("r,rij->ij", of_point.sum(axis=1), between),
        variance=float(of_point.sum()),
        response=float(cells @ (spread + humidity**2)),
        freedom=2.0 * float(found.shape.flat[0]),
        constant=grid.constants[constant],
        year=grid.years[year],
        settling=grid.settling[settling],
        before=np.asarray(np.linalg.cholesky(covariance(priors))),
        priors=priors,
    )
