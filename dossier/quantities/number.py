"""Reads a number as people write it: a point or a comma, a fraction, a sign of any shape."""

import re
from decimal import Decimal

from dossier.quantities.text import QuantityError, Source

# A number of more digits than this is a slip, and exact arithmetic on it would not be exact.
_MOST_DIGITS = 15

NUMBER = r"[+-]?\s*(?:[0-9]+(?:\s+|-)[0-9]+/[0-9]+|[0-9]+/[0-9]+|[.,]?[0-9]+(?:[.,][0-9]+)*)"
_NUMBER = re.compile(NUMBER)
_PARTS = re.compile(
    r"(?P<sign>[+-]?)\s*"
    r"(?:(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<over>[0-9]+)/(?P<under>[0-9]+)|(?P<digits>[0-9.,]+))"
)
_GROUPED = re.compile(
    r"[0-9]{1,3}(?:,[0-9]{3})+\.[0-9]+|[0-9]{1,3}(?:,[0-9]{3}){2,}"  # 1,234.5 and 1,234,567
    r"|[0-9]{1,3}(?:\.[0-9]{3})+,[0-9]+"  # 1.234,5
)
_EITHER = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def leading_number(source: Source) -> Source | None:
    """Find the number that a source begins with."""
    match = _NUMBER.match(source.text)
    return source.part(0, match.end()) if match else None


def read_number(source: Source, *, thousands: bool = False) -> Decimal:
    """Read a whole source as one number.

    A comma is a decimal comma, as in `17,5`. `1,000` could be one or a thousand and is refused,
    unless `thousands` says that only a thousand makes sense (three decimals of a dollar do not).
    Raises QuantityError.
    """
    parts = _PARTS.fullmatch(source.text)
    if parts is None:
        raise source.error(f"{source.quoted} is not a number.", "Write it like 17.5 or 3 1/4.")
    if len(source.text) > _MOST_DIGITS < sum(letter.isdigit() for letter in source.text):
        raise source.error(f"{source.quoted} has too many digits.", "Was a key held down?")
    if parts["digits"]:
        value = _decimal(source, parts["digits"], thousands)
    elif int(parts["under"]) == 0:
        raise source.error(f"{source.quoted} divides by zero.", "Write it like 1/8.")
    else:
        value = int(parts["whole"] or 0) + Decimal(parts["over"]) / int(parts["under"])
    return -value if parts["sign"] == "-" and value else value


def _decimal(source: Source, digits: str, thousands: bool) -> Decimal:
    if "," not in digits and digits.count(".") < 2:
        return Decimal(digits)
    if _EITHER.fullmatch(digits):
        if thousands:
            return Decimal(digits.replace(",", ""))
        whole = digits.replace(",", "")
        raise source.error(
            f"{source.quoted} could mean {whole} or {digits.replace(',', '.')}.",
            f"Write {whole} or {digits.replace(',', '.')}.",
        )
    if _GROUPED.fullmatch(digits):
        mark = max(digits.rfind("."), digits.rfind(","))
        if digits.count(digits[mark]) > 1:
            return Decimal(digits.replace(digits[mark], ""))
        return Decimal(f"{re.sub('[.,]', '', digits[:mark])}.{digits[mark + 1 :]}")
    if digits.count(".") + digits.count(",") > 1:
        raise _badly_grouped(source)
    return Decimal(digits.replace(",", "."))


def _badly_grouped(source: Source) -> QuantityError:
    return source.error(
        f"{source.quoted} is not one number.",
        "Write a decimal point, as in 17.5, and a space after a comma that parts two values.",
    )
