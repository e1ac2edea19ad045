"""What is assumed of a piano's drift before its own readings speak.

One table, with the origin of every figure.  A shop that has measured more hands in its own.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from dossier.analysis.ranges import Column
from dossier.analysis.regression import Prior
from dossier.model import LearnedCoefficient, Shop

REGISTERS = ("bass", "tenor", "treble")


@dataclass(frozen=True, slots=True)
class CoefficientPrior:
    """A coefficient's mean over instruments, and how far instruments stray from it.

    `shared`: standard deviation of the part that all registers of an instrument have in common;
    `own`: of each register's own part on top.  `origin` says where the figures are from.
    """

    mean: float
    shared: float
    own: float
    origin: str

    def __post_init__(self) -> None:
        if self.shared < 0.0 or self.own <= 0.0:
            raise ValueError(
                f"standard deviations {self.shared:g} and {self.own:g} are outside the range above"
                " 0"
            )


@dataclass(frozen=True, slots=True)
class Priors:
    """The starting values of the drift model, for every instrument of a shop.

    `humidity`: cents per % of wood moisture; `fall`: cents a year; `settling`: share of a raise
    that falls back.  `error`: the usual error of one register's comparison of two visits, cents;
    `error_shape`: how surely it is known (inverse gamma on its square).  `instruments`: how many
    instruments of the shop these were learned from, 0 for the tool's own.
    """

    humidity: CoefficientPrior
    fall: CoefficientPrior
    settling: CoefficientPrior
    error: float
    error_shape: float
    instruments: int = 0

    def __post_init__(self) -> None:
        if not (self.error > 0.0 and self.error_shape > 1.0):
            raise ValueError(
                f"error {self.error:g} cents of shape {self.error_shape:g} is outside the range"
                " above 0 cents, above 1"
            )

    @property
    def rows(self) -> tuple[CoefficientPrior, CoefficientPrior, CoefficientPrior]:
        return self.humidity, self.fall, self.settling


STARTING = Priors(
    humidity=CoefficientPrior(
        4.5,
        2.0,
        0.9,
        "technicians' records of 0.44 to 0.8 cents per % RH, over 0.154 % moisture per % RH;"
        " no controlled measurement has been published",
    ),
    fall=CoefficientPrior(-2.0, 1.5, 0.8, "from memory"),
    settling=CoefficientPrior(
        0.20, 0.09, 0.06, "trade lists of overshoot: 1/5 to 1/3 of the shortfall"
    ),
    error=2.5,
    error_shape=4.0,
)


def covariance(priors: Priors) -> Column:
    """Return the prior covariance of the nine coefficients, (9, 9).

    Bass, tenor and treble of the humidity response, then of the slow fall, then of the settling
    share: shared^2 between the registers of one coefficient, own^2 more on the diagonal.
    """
    whole = np.zeros((9, 9))
    for place, row in enumerate(priors.rows):
        block = slice(3 * place, 3 * place + 3)
        whole[block, block] = row.shared**2 + row.own**2 * np.eye(3)
    return whole


def joint(priors: Priors) -> Prior:
    """Return the joint prior of coefficients and error variance in the form of the regression.

    The coefficients' spread is stated at the usual error, which sets their scale in s2.
    """
    variance = priors.error**2
    precision = np.linalg.inv(covariance(priors)) * variance
    return Prior(
        mean=np.repeat([row.mean for row in priors.rows], 3).astype(np.float64),
        root=np.linalg.cholesky(precision).T.copy(),
        shape=priors.error_shape,
        rate=variance * (priors.error_shape - 1.0),
    )


def priors_of(shop: Shop) -> Priors:
    """Return what a shop has learned and looked over, else the starting values."""
    learned = shop.learned
    if learned is None:
        return STARTING

    def row(one: LearnedCoefficient, start: CoefficientPrior) -> CoefficientPrior:
        origin = f"{learned.instruments} instruments of the shop, beside: {start.origin}"
        return CoefficientPrior(float(one.mean), float(one.shared), float(one.own), origin)

    return Priors(
        humidity=row(learned.humidity, STARTING.humidity),
        fall=row(learned.fall, STARTING.fall),
        settling=row(learned.settling, STARTING.settling),
        error=float(learned.error),
        error_shape=STARTING.error_shape,
        instruments=learned.instruments,
    )
