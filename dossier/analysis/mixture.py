"""The drift model fitted: a closed-form regression at each point of a grid, weighted by evidence.

    found - before = beta (m - m_before) + gamma (t - t_before) - s raised (f(t) - f(t_before)) + e

for each register, with f(t) = 1 - exp(-(t - t_set) / tau) since the work that raised it.  The
grid runs over the wood's time constant, how late and how wide the room's year runs, the settling
time tau, and the correlation of e between registers.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from dossier.analysis.priors import Priors, covariance, joint
from dossier.analysis.ranges import Column
from dossier.analysis.regression import Posterior, Prior, solved
from dossier.analysis.series import READING_CENTS, Comparison
from dossier.analysis.wood_state import (
    USUAL_YEAR,
    YEAR_DAYS,
    YEAR_WEIGHTS,
    WoodStates,
    constant_weights,
)

SETTLING_DAYS = 3.5 * 2.0 ** np.arange(5.0)
SETTLING_WEIGHTS = np.array([0.15, 0.30, 0.30, 0.15, 0.10])
"""3.5 to 56 days; about three weeks until a raise has settled is common practice, no source."""

CORRELATIONS = np.array([0.3, 0.65, 0.95])
"""Of the errors of two registers at one visit; all alike at first, from memory."""

MIDDLE_SETTLING, MIDDLE_CORRELATION = 1, 1

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


def chosen(rows: Rows, which: NDArray[np.bool_]) -> Rows:
    """Some of the rows."""
    return Rows(**{name: getattr(rows, name)[..., which] for name in Rows.__slots__})


def fit(rows: Rows, wood: WoodStates, priors: Priors) -> Fit:
    """Return the posterior of an instrument's coefficients; without rows, what was assumed.

    `wood`: the states at all visits, by the places that the rows name.
    """
    matter = _years_matter(wood)
    years = WHOLE_GRID.years if matter else NARROW_GRID.years
    grid = Grid(WHOLE_GRID.constants, years, WHOLE_GRID.settling, WHOLE_GRID.correlations)
    prior = joint(priors)
    roots = _error_roots(rows, wood, priors, CORRELATIONS[grid.correlations])
    whole = _stacked(rows, wood, prior, grid, roots)
    found = solved(whole, prior, np.asarray(float(len(rows))))
    stretch = np.log(np.diagonal(roots, axis1=-2, axis2=-1)).sum(-1)
    pruned = _pruned(found, _weighed(found, grid, stretch), grid, _start(priors))
    return pruned if matter else _over_years(pruned)


def _over_years(found: Fit) -> Fit:
    """The same for every way in which the year may run: a log told the past, not the future."""
    count, ways = len(found.weight), len(YEAR_WEIGHTS)
    return replace(
        found,
        weight=np.outer(found.weight, YEAR_WEIGHTS).ravel(),
        mean=np.repeat(found.mean, ways, axis=0),
        root=np.repeat(found.root, ways, axis=0),
        constant=np.repeat(found.constant, ways),
        year=np.tile(np.arange(ways), count),
        settling=np.repeat(found.settling, ways),
    )


def fits_before(
    rows: Rows, visits: NDArray[np.intp], wood: WoodStates, priors: Priors
) -> tuple[Fit, ...]:
    """Return, for each of some visits, the fit of the rows before it, on the narrow grid.

    The errors are whitened from the earliest row on, so that leaving out the last rows is to
    blank them: all fits are one batch.
    """
    prior, top = joint(priors), 9
    roots = _error_roots(rows, wood, priors, CORRELATIONS[NARROW_GRID.correlations])
    whole = np.repeat(_stacked(rows, wood, prior, NARROW_GRID, roots)[None], len(visits), axis=0)
    counts = np.searchsorted(rows.visit, visits)
    for before, count in zip(whole, counts.tolist(), strict=True):
        before[..., top + count :, :] = 0.0
    found = solved(whole, prior, counts[:, None, None, None, None].astype(np.float64))
    rising = np.log(np.diagonal(roots, axis1=-2, axis2=-1)).cumsum(axis=-1)
    stretches = np.concatenate([np.zeros((len(rising), 1)), rising], axis=1)
    start = _start(priors)
    return tuple(
        _pruned(part, _weighed(part, NARROW_GRID, stretches[:, count]), NARROW_GRID, start)
        for part, count in zip(_parts(found), counts.tolist(), strict=True)
    )


def _start(priors: Priors) -> tuple[Priors, Column]:
    """The starting values with a root of their covariance."""
    return priors, np.asarray(np.linalg.cholesky(covariance(priors)))


def _parts(found: Posterior) -> Iterator[Posterior]:
    """The posteriors along the first axis of a batch."""
    for place in range(len(found.rate)):
        yield Posterior(
            found.mean[place],
            found.root[place],
            found.shape[place],
            found.rate[place],
            found.log_evidence[place],
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


def _years_matter(wood: WoodStates) -> bool:
    return any(basis != "log" for basis in wood.basis)


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


def _error_roots(rows: Rows, wood: WoodStates, priors: Priors, correlations: Column) -> Column:
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


def _pruned(found: Posterior, evidence: Column, grid: Grid, start: tuple[Priors, Column]) -> Fit:
    """Weigh the points by their evidence, drop the hopeless, and sum over the correlations."""
    priors, before = start
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
        before=before,
        priors=priors,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Moments:
    """Mean and variance of figures, (...), and their variance before any reading."""

    mean: Column
    variance: Column
    prior_variance: Column


def combined(found: Fit, functional: Column) -> Moments:
    """Return the moments of linear figures of the coefficients: `functional` is (g, ..., 9).

    What they were before the readings is worked out at the mixture's mean functional.
    """
    flat = functional.reshape(len(found.weight), -1, 9)
    means = np.matmul(flat, found.mean[:, :, None])[..., 0]
    within = flat @ found.root
    spread = np.einsum("gki,gki->gk", within, within)
    before = np.tensordot(found.weight, flat, 1) @ found.before
    mean, variance = _mixed(found.weight, means, spread)
    shape = functional.shape[1:-1]
    return Moments(
        mean.reshape(shape),
        variance.reshape(shape),
        np.square(before).sum(-1).reshape(shape),
    )


def projected(found: Fit, profile: Column, projection: Column) -> Moments:
    """Return the moments of k figures on t days, (k, t), of which only the days differ.

    Each is `profile` (g, t, q) times `projection` (k, q, 9), the coefficients summed as it says:
    a band of many days at the cost of q coefficients instead of nine.
    """
    means = profile @ np.einsum("kqi,gi->gqk", projection, found.mean)
    root = projection @ found.root[:, None]
    pairs = (profile[..., :, None] * profile[..., None, :]).reshape(*profile.shape[:2], -1)
    spread = pairs @ _squared(root)
    usual = np.tensordot(found.weight, profile, 1)
    before = projection @ found.before
    pairs_before = (usual[:, :, None] * usual[:, None, :]).reshape(len(usual), -1)
    mean, variance = _mixed(found.weight, means, spread)
    return Moments(mean.T.copy(), variance.T, (pairs_before @ _squared(before)).T)


def _squared(root: Column) -> Column:
    """The covariances of roots (..., k, q, 9), each flattened: (..., q q, k)."""
    whole = root @ np.swapaxes(root, -1, -2)
    return np.asarray(np.swapaxes(whole.reshape(*whole.shape[:-2], -1), -1, -2))


def _mixed(weight: Column, means: Column, variances: Column) -> tuple[Column, Column]:
    mean = np.tensordot(weight, means, 1)
    variance = np.tensordot(weight, variances + means**2, 1) - mean**2
    return np.asarray(mean), np.asarray(np.maximum(variance, 0.0))


def half_width(variance: Column, freedom: float) -> Column:
    """Half of an 80 % interval of a t of this variance, in the unit of its root."""
    from scipy.special import stdtrit

    return np.asarray(stdtrit(freedom, 0.9) * np.sqrt(variance * (freedom - 2.0) / freedom))
