"""The measured kinds: one row each is all that a new kind of measurement needs.

Targets are common practice, no source, unless a row says otherwise; the instrument's own
specification comes first, then the shop's, then these.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, NamedTuple

Unit = Literal["mm", "N·m", "g", "cents"]
Form = Literal["grand", "upright", "any"]


class Target(NamedTuple):
    """The range a figure should lie in, for one form of instrument, in the kind's unit."""

    form: Form
    low: Decimal
    high: Decimal


class MeasuredKind(NamedTuple):
    """A kind of measurement: its name in the notes, its unit, its targets and their source.

    `per` says what a figure belongs to.  `direction` says which side of the target is the
    trouble ("both", "low" or "high").  `qualifiers` are words that may follow a figure, such
    as the direction in which a pin was turned.
    """

    name: str
    unit: Unit
    per: Literal["key", "string"]
    targets: tuple[Target, ...]
    direction: Literal["both", "low", "high"] = "both"
    qualifiers: tuple[str, ...] = ()
    digits: int = 1
    source: str = "common practice, no source"


def _t(form: Form, low: str, high: str) -> Target:
    return Target(form, Decimal(low), Decimal(high))


MEASURED_KINDS: tuple[MeasuredKind, ...] = (
    MeasuredKind("let-off", "mm", "key", (_t("grand", "1.6", "3.2"), _t("upright", "1", "3"))),
    MeasuredKind("drop", "mm", "key", (_t("grand", "1", "2.4"),)),
    MeasuredKind("blow", "mm", "key", (_t("grand", "42", "49"), _t("upright", "38", "50"))),
    MeasuredKind("key dip", "mm", "key", (_t("any", "9.5", "10.5"),)),
    MeasuredKind("aftertouch", "mm", "key", (_t("any", "0.5", "1.3"),), source="from memory"),
    MeasuredKind("checking", "mm", "key", (_t("any", "10", "19"),)),
    MeasuredKind("lost motion", "mm", "key", (_t("any", "0", "0.5"),), direction="high"),
    MeasuredKind("downweight", "g", "key", (_t("any", "45", "58"),), digits=0),
    MeasuredKind("upweight", "g", "key", (_t("any", "18", "35"),), digits=0),
    MeasuredKind(
        "downbearing",
        "mm",
        "string",
        (_t("any", "0.3", "2"),),
        direction="low",
        qualifiers=("by gauge", "by straightedge", "by string angle"),
    ),
    MeasuredKind(
        "pin torque",
        "N·m",
        "string",
        (_t("any", "5.6", "13.6"),),
        direction="low",
        qualifiers=("turning up", "turning down"),
        source="common practice, no source; torque alone condemns no pin",
    ),
)
