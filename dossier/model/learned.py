"""What a shop has learned of drift from its own instruments: the starting values of the model."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from dossier.model.record import Record, frozen


@frozen
class LearnedCoefficient(Record):
    """A coefficient's mean over the shop's instruments, and how far they stray from it.

    `shared` is the part that an instrument's registers have in common, `own` each register's own.
    """

    mean: Decimal
    shared: Decimal
    own: Decimal


@frozen
class Learned(Record):
    """learned.md: written by the tool, looked over by the technician, merely read by a build.

    `humidity` in cents per % of wood moisture, `fall` in cents a year, `settling` as a share of a
    raise; `error` in cents.
    """

    when: date
    instruments: int
    humidity: LearnedCoefficient
    fall: LearnedCoefficient
    settling: LearnedCoefficient
    error: Decimal
