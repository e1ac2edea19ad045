"""Reads the air of a room, a temperature and a humidity, from one short line."""

import re
from decimal import Decimal

from dossier.quantities.kinds import HUMIDITY, TEMPERATURE, Kind, find_unit
from dossier.quantities.number import NUMBER, leading_number
from dossier.quantities.text import QuantityError, Source, plain
from dossier.quantities.units import read_measure, without_rh

# A comma between two digits is a decimal comma; any other parts two values.
_BETWEEN = re.compile(
    r"[;&\n]|\band\b|\bat\b|,(?![0-9])|(?<![0-9]),|(?<![0-9])/(?=\s*[0-9])", re.IGNORECASE
)
# Two values with only a space between them, as in `68F 45%`.
_TWO = re.compile(rf"[^0-9]*{NUMBER}\s*[^0-9\s][^0-9]*?(?P<gap>\s+)(?=[+-]?[0-9])")
_EXAMPLE = "Write it like 17.5 °C, 71 %."


def parse_air(text: str, default: str = "°C") -> tuple[Decimal | None, Decimal | None]:
    """Read the air of a room: a temperature in °C, a relative humidity in per cent, or both.

    `17.5 °C, 71 %` may come in either order. One of two values may be bare; a bare temperature is
    in the `default` unit. Raises QuantityError, also where nothing tells which of them is which.
    """
    source = plain(text)
    pieces = [half for piece in source.split(_BETWEEN) for half in _halves(piece)]
    if not 1 <= len(pieces) <= 2:
        raise _no_air(source)
    kinds = _kinds(source, pieces)
    temperature = humidity = None
    for piece, kind in zip(pieces, kinds, strict=True):
        if kind is HUMIDITY:
            humidity = read_measure(without_rh(piece), HUMIDITY, "%")
        else:
            temperature = read_measure(piece, TEMPERATURE, default)
    return temperature, humidity


def _halves(piece: Source) -> tuple[Source, ...]:
    two = _TWO.match(piece.text)
    return (piece.part(0, two.start("gap")), piece.part(two.end("gap"))) if two else (piece,)


def _kinds(source: Source, pieces: list[Source]) -> tuple[Kind, ...]:
    """Tell a temperature from a humidity by the units; one bare value is what the other is not."""
    told = [_told(piece) for piece in pieces]
    if told == [None]:
        raise source.error(
            f"{source.quoted} does not say whether it is a temperature or a humidity.", _EXAMPLE
        )
    if told == [None, None]:
        raise source.error(
            f"{source.quoted} does not say which is the temperature and which the humidity.",
            _EXAMPLE,
        )
    other = HUMIDITY if TEMPERATURE in told else TEMPERATURE
    kinds = tuple(kind or other for kind in told)
    if len(kinds) == 2 and kinds[0] is kinds[1]:
        raise _no_air(source)
    return kinds


def _told(piece: Source) -> Kind | None:
    figure = without_rh(piece)
    number = leading_number(figure)
    if number is None:
        raise _no_air(piece)
    unit = figure.part(len(number.text)).text
    if figure is not piece or find_unit(HUMIDITY, unit):
        return HUMIDITY
    return TEMPERATURE if unit else None


def _no_air(source: Source) -> QuantityError:
    if not source.text:
        return source.error("The air is missing.", _EXAMPLE)
    return source.error(f"{source.quoted} is not one temperature and one humidity.", _EXAMPLE)
