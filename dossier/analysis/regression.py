"""Bayesian linear regression in closed form, for one design or for a whole grid of them at once.

Solved by QR of stacked prior and data rows: the normal equations lose half the digits.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from dossier.analysis.ranges import Column


@dataclass(frozen=True, slots=True, eq=False)
class Prior:
    """Normal-inverse-gamma: s2 ~ IG(shape, rate), c | s2 ~ N(mean, s2 (U'U)^-1).

    `mean`: (p,); `root`: U, (p, p), a square root of the precision in units of 1/s2.
    """

    mean: Column
    root: Column
    shape: float
    rate: float


@dataclass(frozen=True, slots=True, eq=False)
class Posterior:
    """The same after the data, for each design of a batch of shape `...`.

    `mean`: (..., p); `root`: (..., p, p) upper triangular; `shape`, `rate`: (...).
    `log_evidence`: (...), the log density of the data, NaN without a prior.
    """

    mean: Column
    root: Column
    shape: Column
    rate: Column
    log_evidence: Column

    @property
    def variance(self) -> Column:
        """The expected error variance s2, (...); infinite for a shape of 1 or less."""
        known = self.shape > 1.0
        return np.asarray(
            np.where(known, self.rate / np.where(known, self.shape - 1.0, 1.0), np.inf)
        )


def stacked(design: Column, response: Column, prior: Prior | None) -> Column:
    """Return prior rows over data rows, the response as the last column: (..., k + n, p + 1).

    `design`: (..., n, p); `response`: (..., n).  A flat prior adds no row.
    """
    rows = np.concatenate([design, response[..., None]], axis=-1)
    if prior is None:
        return np.asarray(rows)
    top = np.concatenate([prior.root, (prior.root @ prior.mean)[:, None]], axis=1)
    whole = np.empty((*rows.shape[:-2], len(top) + rows.shape[-2], rows.shape[-1]))
    whole[..., : len(top), :] = top
    whole[..., len(top) :, :] = rows
    return whole


def regress(design: Column, response: Column, prior: Prior | None = None) -> Posterior:
    """Return the posterior of response = design c + error, errors alike and independent.

    Whiten rows of unlike or shared errors first.  Without a prior: least squares, with
    rate / shape the residual variance over n - p degrees of freedom.

    Raises ValueError for fewer rows than coefficients, or columns that depend on each other.
    Source: the conjugate normal-inverse-gamma model (from memory); QR by Householder (LAPACK).
    """
    count = response.shape[-1]
    return solved(stacked(design, response, prior), prior, np.asarray(float(count)))


def solved(rows: Column, prior: Prior | None, count: Column) -> Posterior:
    """The posterior of rows as `stacked` makes them, of which `count`, (...) or one, are data.

    A row of zeros tells nothing: a batch of unlike lengths is filled up with them.  Columns are
    scaled to length 1 before the QR, so that units don't cost digits.
    """
    width = rows.shape[-1] - 1
    if rows.shape[-2] < width:
        raise ValueError(f"{rows.shape[-2]} rows are fewer than {width} coefficients")
    size = np.sqrt(np.einsum("...ij,...ij->...j", rows, rows))
    size[size == 0.0] = 1.0
    triangle: Column = np.asarray(np.linalg.qr(rows / size[..., None, :], mode="r"))
    diagonal = np.abs(np.diagonal(triangle[..., :width, :width], axis1=-2, axis2=-1))
    if (diagonal < 1e-14).any():
        raise ValueError("the columns of the design depend on each other")
    upper, right = triangle[..., :width, :width], triangle[..., :width, width]
    over = size[..., width]
    scaled = np.linalg.solve(upper, right[..., None])[..., 0]
    spare = triangle[..., width, width] * over if rows.shape[-2] > width else np.zeros_like(over)
    half = 0.5 * spare**2
    lengths = size[..., :width]
    shape = count / 2.0 + (prior.shape if prior else -width / 2.0)
    shape = np.broadcast_to(shape, over.shape)
    rate = np.asarray(prior.rate + half if prior else half)
    spread = np.log(diagonal).sum(-1) + np.log(lengths).sum(-1)
    return Posterior(
        mean=np.asarray(scaled * over[..., None] / lengths),
        root=np.asarray(upper * lengths[..., None, :]),
        shape=shape,
        rate=rate,
        log_evidence=_evidence(prior, shape, rate, spread, count),
    )


def _evidence(
    prior: Prior | None, shape: Column, rate: Column, spread: Column, count: Column
) -> Column:
    from scipy.special import gammaln

    if prior is None:
        return np.full_like(rate, np.nan)
    before = np.linalg.slogdet(prior.root)[1]
    constant = gammaln(shape) - gammaln(prior.shape) + prior.shape * np.log(prior.rate)
    return np.asarray(
        before - spread + constant - shape * np.log(rate) - 0.5 * count * np.log(2.0 * np.pi)
    )
