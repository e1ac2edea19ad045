"""Reads values with their units, as people write them, into the unit that the model keeps.

Conversion is exact decimal arithmetic; a value is never rounded before it is shown.
"""

import re
from decimal import Decimal

from dossier.quantities.kinds import (
    DURATION,
    FREQUENCY,
    HUMIDITY,
    LENGTH,
    MASS,
    TEMPERATURE,
    TORQUE,
    Kind,
    Unit,
    find_unit,
    other_kind,
)
from dossier.quantities.number import leading_number, read_number
from dossier.quantities.suggest import suggest, sure
from dossier.quantities.text import QuantityError, Source, plain

_A4 = re.compile(r"(?:A4(?![0-9])\s*[=:]?|A\s*=|A\s+(?=[0-9])|A(?=[0-9]{3}))\s*", re.IGNORECASE)
_TIME = re.compile(r"(?P<hours>[0-9]{1,2}):(?P<minutes>[0-5][0-9])(?:\s*h)?", re.IGNORECASE)
_RH = re.compile(r"(?:RH|R\.H\.|humidity)[\s:=]*(?=[0-9])", re.IGNORECASE)
# What follows a number up to the next one.
_UNIT = re.compile(r"(?:[^0-9.,+-]|[.,+-](?!\s*[0-9]))*")
_SPOKEN = {"an hour": 60, "half an hour": 30, "half hour": 30, "a quarter of an hour": 15}


def parse_temperature(text: str, default: str = "°C") -> Decimal:
    """Read a temperature, in °C; a bare number is in the `default` unit. Raises QuantityError."""
    return read_measure(plain(text), TEMPERATURE, default)


def parse_humidity(text: str) -> Decimal:
    """Read a relative humidity, in per cent; a bare number is per cent. Raises QuantityError."""
    return read_measure(without_rh(plain(text)), HUMIDITY, "%")


def parse_length(text: str, default: str = "mm") -> Decimal:
    """Read a length, in mm: `10.2 mm`, `1/8 in`, `3 1/4"`, `5 ft 8 in`.

    A bare number is in the `default` unit. A minus sign is kept. Raises QuantityError.
    """
    return read_measure(plain(text), LENGTH, default)


def parse_torque(text: str, default: str = "N·m") -> Decimal:
    """Read a torque, in N·m: `48 in-lb`, `5.4 N·m`; a bare number is in the `default` unit.

    Raises QuantityError.
    """
    return read_measure(plain(text), TORQUE, default)


def parse_mass(text: str, default: str = "g") -> Decimal:
    """Read a mass, in g: `50 g`, `480 lb`; a bare number is in the `default` unit.

    Raises QuantityError.
    """
    return read_measure(plain(text), MASS, default)


def parse_frequency(text: str) -> Decimal:
    """Read a frequency, in Hz; a bare number is Hz. Raises QuantityError, also for none at all."""
    return _read_frequency(plain(text))


def parse_pitch(text: str) -> Decimal:
    """Read a reference pitch as the frequency of A4, in Hz: `A4 = 435 Hz`, `442 Hz`, `A440`.

    Raises QuantityError, also where the pitch is given by another note.
    """
    source = plain(text)
    a4 = _A4.match(source.text)
    if a4 is None and re.match(r"[A-H][#b]?'*[0-9]?", source.text, re.IGNORECASE):
        raise source.error(
            f"{source.quoted} does not say the pitch of A4.", "Write it like A4 = 440 Hz."
        )
    return _read_frequency(source.part(a4.end() if a4 else 0))


def parse_duration(text: str) -> int:
    """Read a duration, in whole minutes: `45 min`, `1 h 30`, `1.5 h`, `1:30`; bare is minutes.

    Raises QuantityError, also for a part of a minute or none at all.
    """
    source = plain(text)
    if spoken := _SPOKEN.get(" ".join(source.text.casefold().split())):
        return spoken
    if time := _TIME.fullmatch(source.text):
        minutes = Decimal(60 * int(time["hours"]) + int(time["minutes"]))
    else:
        minutes = read_measure(source, DURATION, "min")
    if minutes != int(minutes):
        raise source.error(
            f"{source.quoted} is not a whole number of minutes.",
            f"Write {max(round(minutes), 1)} min.",
        )
    if not minutes:
        raise source.error(f"{source.quoted} is no time at all.", "Write it like 45 min.")
    return int(minutes)


def _read_frequency(source: Source) -> Decimal:
    hertz = read_measure(source, FREQUENCY, "Hz")
    if not hertz:
        raise source.error(f"{source.quoted} is not a frequency.", "Write it like 440 Hz.")
    return hertz


def without_rh(source: Source) -> Source:
    """Take the letters away that some write before the figure, as in `RH 71 %`."""
    letters = _RH.match(source.text)
    return source.part(letters.end()) if letters else source


def read_measure(source: Source, kind: Kind, default: str) -> Decimal:
    """Read a value of a kind: a number and its unit, or a larger and a smaller unit together.

    A bare number is in the `default` unit. Raises QuantityError.
    """
    if not source.text:
        raise source.error(f"The {kind.name} is missing.", f"Write it like {kind.example}.")
    pieces = _pieces(source, kind)
    if len(pieces) == 1:
        number, unit = pieces[0]
        total = _unit(source, kind, unit, default).convert(read_number(number))
    else:
        total = _two_units(source, kind, pieces)
    if kind.least is not None and total < kind.least:
        raise source.error(
            f"{source.quoted} is less than {kind.a_name} can be.",
            f"Write it like {kind.example}.",
        )
    return total


def _two_units(source: Source, kind: Kind, pieces: list[tuple[Source, Source]]) -> Decimal:
    """Read `5 ft 8 in` or `1 h 30`: a unit, then a number of its smaller one, which may be bare."""
    (number, unit), (more, small), *others = pieces
    larger = find_unit(kind, unit.text)
    if others or not (larger and larger.smaller):
        raise _not_one(source, kind)
    smaller = _unit(source, kind, small, larger.smaller)
    if smaller is not find_unit(kind, larger.smaller):
        raise _not_one(source, kind)
    # A hyphen between feet and inches is no minus sign.
    rest = smaller.convert(abs(read_number(more)))
    total = larger.convert(read_number(number))
    return total - rest if number.text.startswith("-") else total + rest


def _not_one(source: Source, kind: Kind) -> QuantityError:
    return source.error(
        f"{source.quoted} is not one {kind.name}.",
        f"Write one number and its unit, such as {kind.example}.",
    )


def _pieces(source: Source, kind: Kind) -> list[tuple[Source, Source]]:
    """Split `5 ft 8 in` into numbers and the units that follow them."""
    pieces: list[tuple[Source, Source]] = []
    rest = source
    while rest.text:
        number = leading_number(rest)
        if number is None:
            raise source.error(
                f"{source.quoted} is not {kind.a_name}.", f"Write it like {kind.example}."
            )
        after = rest.part(len(number.text))
        unit = _UNIT.match(after.text)
        stop = unit.end() if unit else 0
        pieces.append((number, after.part(0, stop)))
        rest = after.part(stop)
    return pieces


# What a telephone or a scanner makes of a figure; to take it out would make another number.
_LIKE_DIGITS = {"O": "0", "o": "0", "I": "1", "l": "1"}


def _unit(source: Source, kind: Kind, written: Source, default: str) -> Unit:
    """Find the unit that is written, or the default one for none, or for a mere `°`."""
    spelling = written.text
    if not spelling or (kind is TEMPERATURE and spelling in {"°", "deg", "degrees"}):
        spelling = default
    if found := find_unit(kind, spelling):
        return found
    if other := other_kind(kind, spelling):
        raise source.error(
            f"{source.quoted} is {other}, not {kind.a_name}.", f"Write it like {kind.example}."
        )
    if digit := _LIKE_DIGITS.get(spelling[0]):
        raise written.error(
            f"{written.quoted} is not a unit of {kind.name}.",
            f'Was the letter "{spelling[0]}" meant for a {digit}?',
        )
    symbols = [unit.symbol for unit in kind.units]
    near = suggest(spelling, symbols)
    raise written.error(
        f"{written.quoted} is not a unit of {kind.name}.",
        f"Did you mean {near}?" if near else f"Write it like {kind.example}.",
        sure(spelling, symbols) or "",
    )
