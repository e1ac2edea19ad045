"""The units that people write, by kind of quantity, and how each is converted.

The factors are the defined ones: 1 in = 25.4 mm and 1 lb = 453.59237 g (international yard and
pound agreement, 1959), standard gravity 9.80665 m/s² (CGPM, 1901); from memory.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

from dossier.quantities.currency import CURRENCIES

IN_LB = Decimal("0.1129848290276167")
"""Newton metres in one inch-pound-force: 25.4 mm times 4.4482216152605 N."""

INCH = Decimal("25.4")
"""Millimetres in an inch."""

_ABSOLUTE_ZERO = Decimal("-273.15")


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit and its spellings; the kind's own unit is (value + shift) * factor / divisor."""

    symbol: str
    spellings: tuple[str, ...]
    factor: Decimal = Decimal(1)
    shift: Decimal = Decimal(0)
    divisor: Decimal = Decimal(1)
    smaller: str = ""  # the unit of a bare number that follows, as in 5 ft 8

    def convert(self, value: Decimal) -> Decimal:
        """Turn a value in this unit into the kind's own unit."""
        return (value + self.shift) * self.factor / self.divisor


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of quantity: how a message calls it, an example, and the units it may come in."""

    name: str
    a_name: str
    example: str
    units: tuple[Unit, ...]
    least: Decimal | None = Decimal(0)


TEMPERATURE = Kind(
    "temperature",
    "a temperature",
    "17.5 °C",
    (
        Unit("°C", ("°c", "c", "degc", "degreesc", "celsius", "°celsius", "degreescelsius")),
        Unit(
            "°F",
            ("°f", "f", "degf", "degreesf", "fahrenheit", "degreesfahrenheit"),
            factor=Decimal(5),
            shift=Decimal(-32),
            divisor=Decimal(9),
        ),
        Unit("K", ("k", "kelvin"), shift=_ABSOLUTE_ZERO),
    ),
    least=_ABSOLUTE_ZERO,
)
HUMIDITY = Kind(
    "relative humidity",
    "a relative humidity",
    "71 %",
    (Unit("%", ("%", "%rh", "rh", "rh%", "percent", "percentrh", "pct")),),
)
LENGTH = Kind(
    "length",
    "a length",
    "10.2 mm or 3/8 in",
    (
        Unit("mm", ("mm", "millimetre", "millimetres", "millimeter", "millimeters")),
        Unit("cm", ("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Decimal(10)),
        Unit("m", ("m", "metre", "metres", "meter", "meters"), Decimal(1000)),
        Unit("in", ("in", "ins", "inch", "inches", '"', "''"), INCH),
        Unit("ft", ("ft", "foot", "feet", "'"), 12 * INCH, smaller="in"),
    ),
    least=None,  # a downbearing may be negative
)
TORQUE = Kind(
    "torque",
    "a torque",
    "48 in-lb or 5.4 N·m",
    (
        Unit("N·m", ("nm", "newtonmetre", "newtonmetres", "newtonmeter", "newtonmeters")),
        Unit("N·cm", ("ncm",), Decimal("0.01")),
        Unit(
            "in-lb",
            ("inlb", "inlbs", "inlbf", "lbin", "lbsin", "lbfin", "inchlb", "inchpounds"),
            IN_LB,
        ),
        Unit(
            "ft-lb",
            ("ftlb", "ftlbs", "ftlbf", "lbft", "lbfft", "footpound", "footpounds"),
            12 * IN_LB,
        ),
        Unit("kgf·cm", ("kgfcm", "kgcm", "cmkg", "cmkgf"), Decimal("0.0980665")),
    ),
)
MASS = Kind(
    "weight",
    "a weight",
    "50 g or 480 lb",
    (
        Unit("g", ("g", "gr", "gram", "grams", "gramme", "grammes")),
        Unit("kg", ("kg", "kgs", "kilo", "kilos", "kilogram", "kilograms"), Decimal(1000)),
        Unit("lb", ("lb", "lbs", "pound", "pounds"), Decimal("453.59237"), smaller="oz"),
        Unit("oz", ("oz", "ounce", "ounces"), Decimal("28.349523125")),
    ),
)
FREQUENCY = Kind(
    "frequency",
    "a frequency",
    "440 Hz",
    (
        Unit("Hz", ("hz", "hertz", "cps")),
        Unit("kHz", ("khz", "kilohertz"), Decimal(1000)),
    ),
)
DURATION = Kind(
    "duration",
    "a duration",
    "45 min or 1 h 30 min",
    (
        Unit("min", ("min", "mins", "minute", "minutes", "m")),
        Unit("h", ("h", "hr", "hrs", "hour", "hours"), Decimal(60), smaller="min"),
    ),
)
INTERVAL = Kind("interval", "an interval", "12 cents", (Unit("cents", ("cent", "cents", "¢")),))

KINDS = (TEMPERATURE, HUMIDITY, LENGTH, TORQUE, MASS, FREQUENCY, DURATION, INTERVAL)
"""Every kind, in the order in which a spelling that two of them share is understood."""


def find_unit(kind: Kind, spelling: str) -> Unit | None:
    """Find a unit of a kind by any of its spellings; dots, spaces and hyphens do not count."""
    shape = re.sub(r"[\s.·*-]", "", spelling.casefold())
    return next((unit for unit in kind.units if shape in unit.spellings), None)


def other_kind(kind: Kind, spelling: str) -> str:
    """Say what else a spelling is a unit of, as `a length`; empty if of nothing known here."""
    for other in KINDS:
        if other is not kind and find_unit(other, spelling):
            return other.a_name
    return "an amount of money" if spelling.strip(" .").upper() in CURRENCIES else ""
