"""Figures out of the mixture: their moments, and the 80 % intervals that follow from them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from dossier.analysis.answers import Estimate
from dossier.analysis.mixture import Fit
from dossier.analysis.ranges import Column

ASSUMED_SHARE = 0.6
"""An interval wider than this part of what it was before the readings is mostly assumption."""


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


def half_width(variance: Column, freedom: Column | float) -> Column:
    """Half of an 80 % interval of a t of this variance, in the unit of its root."""
    from scipy.special import stdtrit

    return np.asarray(stdtrit(freedom, 0.9) * np.sqrt(variance * (freedom - 2.0) / freedom))


def estimates(found: Fit, moments: Moments, extra: Column | float = 0.0) -> list[Estimate]:
    """Return figures of a fit with their intervals, in the order of the flattened moments.

    `extra`: variance that is no coefficient's, such as a reading's own error.
    """
    return intervals(moments, extra, found.freedom, 2.0 * found.priors.error_shape)


def intervals(
    moments: Moments, extra: Column | float, freedom: Column | float, freedom_before: float
) -> list[Estimate]:
    """Return figures with their intervals; `extra` as in `estimates`, by any degrees of freedom.

    A figure whose interval such error rules is not called assumed.
    """
    spreads = moments.variance
    whole = spreads + extra
    widths = half_width(whole, freedom)
    before = half_width(moments.prior_variance, freedom_before)
    assumed = half_width(spreads, freedom) > ASSUMED_SHARE * before
    assumed &= spreads > 0.25 * (whole - spreads)
    return [
        Estimate(value, value - width, value + width, flag)
        for value, width, flag in zip(
            moments.mean.ravel().tolist(),
            widths.ravel().tolist(),
            assumed.ravel().tolist(),
            strict=True,
        )
    ]
