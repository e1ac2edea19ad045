"""Reads how far notes stood from where they belong, in cents or hertz, as heard at the piano."""

import re
from dataclasses import dataclass
from decimal import Decimal

from dossier.quantities.notes import HIGHEST, LOWEST, End, key_name, parse_place, read_end
from dossier.quantities.number import NUMBER, read_number
from dossier.quantities.text import QuantityError, Source, plain

# A comma between two digits is a decimal comma; any other parts two readings.
_BETWEEN = re.compile(r"[;\n]|,(?![0-9])|(?<![0-9]),")
_FIGURE = re.compile(
    rf"(?P<number>{NUMBER})\s*(?P<unit>cents?\b|cts?\b|c\b|¢|hz\b|hertz\b)?\.?"
    r"\s*(?P<way>flat|sharp|low|high)?",
    re.IGNORECASE,
)
_JOINT = re.compile(r"\s*[=:]?\s*")
_ON_PITCH = re.compile(r"(?:on|at|to)\s+pitch", re.IGNORECASE)
_UPWARDS = {"sharp": True, "high": True, "flat": False, "low": False}
# Nobody writes a plain 442 for cents, and nobody tunes a note to 90 Hz by ear and writes no unit.
CENTS_OR_HERTZ = 100
_EXAMPLE = "Write a note and its cents or hertz, as in A4 -12 or A4 442.1 Hz."


@dataclass(frozen=True, slots=True)
class ReadingText:
    """One reading as it was written: either `cents` or `hertz` is given, never both.

    `key` counts from 1 at A0 and is None for a figure of the whole instrument, whose hertz are
    those of A4. `string` counts from the left and is None for the note. `offset` and `length`
    say where the reading stands in the text.
    """

    key: int | None
    string: int | None
    cents: Decimal | None
    hertz: Decimal | None
    offset: int
    length: int


def parse_readings(
    text: str, lowest: int = LOWEST, highest: int = HIGHEST
) -> tuple[ReadingText, ...]:
    """Read readings parted by commas, semicolons or lines: `A1 +6, A3.2 8 flat, A4 442.1 Hz`.

    A bare number is cents. A figure without a note, as in `8 sharp`, is for the whole instrument.
    Raises QuantityError that points at the piece that cannot be read.
    """
    source = plain(text)
    readings = tuple(_read(piece, lowest, highest) for piece in source.split(_BETWEEN))
    if not readings:
        raise source.error("The reading is missing.", _EXAMPLE)
    return readings


def _read(piece: Source, lowest: int, highest: int) -> ReadingText:
    end = read_end(piece, lowest, highest)
    if end and piece.text[end.stop :][:1] == ",":
        name, digits = piece.text[: end.stop], piece.text[end.stop + 1 :]
        raise piece.error(
            f"{piece.quoted} could be {digits} or 0.{digits}.", f"Write it like {name} {digits}."
        )
    joint = _JOINT.match(piece.text, end.stop if end else 0)
    figure = piece.part(joint.end() if joint else 0)
    if _ON_PITCH.fullmatch(figure.text):
        return _reading(piece, end, (Decimal(0), None))
    if match := _FIGURE.fullmatch(figure.text):
        return _reading(piece, end, _read_figure(piece, figure, match))
    raise _no_reading(piece, figure, lowest, highest)


def _reading(
    piece: Source, end: End | None, figure: tuple[Decimal | None, Decimal | None]
) -> ReadingText:
    key, string = (end.key, end.string) if end else (None, None)
    return ReadingText(key, string, *figure, piece.offset, piece.length)


def _read_figure(
    piece: Source, figure: Source, match: re.Match[str]
) -> tuple[Decimal | None, Decimal | None]:
    """Read the cents or the hertz of a reading."""
    value = read_number(figure.part(match.start("number"), match.end("number")))
    signed = match["number"][0] in "+-"
    unit = (match["unit"] or "").casefold()
    if unit.startswith("h"):
        return None, _hertz(piece, value, plain_number=not signed and not match["way"])
    if not unit and not signed and not match["way"] and value >= CENTS_OR_HERTZ:
        raise piece.error(
            f"{piece.quoted} could be cents or hertz.",
            f"Write {match['number']} Hz or +{match['number']} cents.",
        )
    return _cents(piece, value, signed, match["way"]), None


def _hertz(piece: Source, value: Decimal, *, plain_number: bool) -> Decimal:
    if plain_number and value > 0:
        return value
    raise piece.error(
        f"{piece.quoted} is not a frequency.",
        "Write the frequency itself, as in A4 442.1 Hz, or how far off it is in cents.",
    )


def _cents(piece: Source, value: Decimal, signed: bool, way: str | None) -> Decimal:
    if way is None or not value:
        return value
    upwards = _UPWARDS[way.casefold()]
    if signed and upwards != (value > 0):
        raise piece.error(
            f"{piece.quoted} says two things: the sign one, the word {way.casefold()} another.",
            f"Write {abs(value)} {way.casefold()}.",
        )
    return abs(value) if upwards else -abs(value)


def _no_reading(piece: Source, figure: Source, lowest: int, highest: int) -> QuantityError:
    """Say why a piece is not a reading: a wrong note, no figure, a range, or nonsense."""
    if not figure.text:
        return piece.error(f"{piece.quoted} has no figure.", _EXAMPLE)
    first = re.match(r"\S*?(?=\s*[=:]|\s|$)", piece.text)
    word = piece.part(0, first.end()) if first else piece
    if re.search(r"[0-9]", word.text) and re.match(r"[A-Z]", word.text, re.IGNORECASE):
        try:
            place = parse_place(word.text, lowest, highest)
        except QuantityError as wrong:
            return word.error(wrong.message, wrong.hint, wrong.meant)
        if place.last != place.first:
            return word.error(
                f"{word.quoted} is a range, but a reading belongs to one note.",
                f"Write one reading a note, as in {key_name(place.first, 'ascii')} -8.",
            )
    if second := re.search(r"[A-G][#b]?[0-9]", figure.text, re.IGNORECASE):
        return piece.error(
            f"{piece.quoted} is more than one reading.",
            "Put a comma between two readings.",
            _parted(piece, figure.marks[second.start()] - piece.offset),
        )
    return piece.error(f"{piece.quoted} is not a pitch reading.", _EXAMPLE)


def _parted(piece: Source, at: int) -> str:
    """The text of a piece with a comma before its `at`-th letter."""
    return f"{piece.shown[:at].rstrip()}, {piece.shown[at:]}"
