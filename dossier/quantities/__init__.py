"""Quantities as people write them: read, convert, and show them for a locale.

Every parser takes a text and returns a value, or raises QuantityError with a message, a hint and
the place in the text. Nothing here reads a file or knows what a visit is.
"""

from dossier.quantities.air import parse_air
from dossier.quantities.currency import CURRENCIES
from dossier.quantities.dates import MONTHS, Uncertain, parse_date, parse_edtf
from dossier.quantities.kinds import IN_LB, INCH
from dossier.quantities.locale import MINUS, NO_BREAK, Formatter, parse_locale
from dossier.quantities.money import Money, parse_currency, parse_money
from dossier.quantities.notes import (
    HIGHEST,
    LOWEST,
    Place,
    key_name,
    parse_key,
    parse_place,
    parse_places,
    place_name,
)
from dossier.quantities.periods import (
    SEASONS,
    Period,
    When,
    add_period,
    parse_period,
    parse_when,
    window,
)
from dossier.quantities.readings import CENTS_OR_HERTZ, ReadingText, parse_readings
from dossier.quantities.suggest import suggest, sure
from dossier.quantities.text import QuantityError
from dossier.quantities.units import (
    parse_duration,
    parse_frequency,
    parse_humidity,
    parse_length,
    parse_mass,
    parse_pitch,
    parse_temperature,
    parse_torque,
)

__all__ = [
    "CENTS_OR_HERTZ",
    "CURRENCIES",
    "HIGHEST",
    "INCH",
    "IN_LB",
    "LOWEST",
    "MINUS",
    "MONTHS",
    "NO_BREAK",
    "SEASONS",
    "Formatter",
    "Money",
    "Period",
    "Place",
    "QuantityError",
    "ReadingText",
    "Uncertain",
    "When",
    "add_period",
    "key_name",
    "parse_air",
    "parse_currency",
    "parse_date",
    "parse_duration",
    "parse_edtf",
    "parse_frequency",
    "parse_humidity",
    "parse_key",
    "parse_length",
    "parse_locale",
    "parse_mass",
    "parse_money",
    "parse_period",
    "parse_pitch",
    "parse_place",
    "parse_places",
    "parse_readings",
    "parse_temperature",
    "parse_torque",
    "parse_when",
    "place_name",
    "suggest",
    "sure",
    "window",
]
