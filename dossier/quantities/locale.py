"""Shows quantities as a reader's country writes them.

What a reader sees is rounded here and nowhere else, half to even, and a number never parts from
its unit at the end of a line. The words around a figure are the caller's.
"""

import datetime as dt
import re
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from functools import cache
from typing import TYPE_CHECKING, Literal

from dossier.quantities.currency import CURRENCIES
from dossier.quantities.dates import Uncertain
from dossier.quantities.kinds import IN_LB, INCH
from dossier.quantities.money import Money
from dossier.quantities.text import plain

if TYPE_CHECKING:
    from babel import Locale

MINUS = "\u2212"
NO_BREAK = "\u00a0"

_PARTS_OF_AN_INCH = 32  # a finer fraction is not found on a technician's rule
# A language, a script, a country or region: BCP 47.  What Babel can't place, it leaves out unsaid.
_LOCALE = re.compile(r"[a-z]{2,3}([-_][a-z]{4})?([-_]([a-z]{2}|\d{3}))?", re.IGNORECASE)
_GROUPED_FROM = 10_000  # four figures are read more easily, and more safely, in one piece


@dataclass(frozen=True, slots=True)
class Formatter:
    """Writes figures for one locale (`en_US`, `de-CH`) and one system of units.

    Numbers may be Decimal, int or float. Where `digits` can be left out, a figure shows as many
    decimals as it has, up to those its unit can use; a given number of digits is kept to, so that
    columns stand straight. Raises ValueError for a number that is not finite.
    """

    locale: str
    units: Literal["metric", "imperial"] = "metric"

    @property
    def signs(self) -> tuple[str, str]:
        """What the locale writes before the decimals of a number and between its thousands."""
        from babel.numbers import get_decimal_symbol, get_group_symbol

        locale = _locale(self.locale)
        return get_decimal_symbol(locale), get_group_symbol(locale)

    def number(self, x: Decimal | float, digits: int = 0) -> str:
        """Write a number with so many decimals, and a real minus sign."""
        return self._write(_rounded(x, digits), digits)

    def signed(self, x: Decimal | float, digits: int = 0) -> str:
        """Write a deviation: +6, −8, and 0 without a sign."""
        value = _rounded(x, digits)
        return ("+" if value > 0 else "") + self._write(value, digits)

    def cents_number(self, x: Decimal | float, digits: int | None = None) -> str:
        """Write a deviation in cents, to a tenth at most; its noun is the caller's."""
        return self.signed(x, _digits(x, 1) if digits is None else digits)

    def temperature(self, c: Decimal | float, digits: int | None = None) -> str:
        """Write a temperature, given in °C, in °C or °F."""
        if self.units == "imperial":
            return self._measure(_decimal(c) * 9 / 5 + 32, "°F", digits, 1)
        return self._measure(c, "°C", digits, 1)

    def humidity(self, rh: Decimal | float, digits: int | None = None) -> str:
        """Write a relative humidity, given in per cent."""
        return self._measure(rh, "%", digits, 1)

    def length(self, mm: Decimal | float, digits: int | None = None) -> str:
        """Write a length, given in mm, in mm or in inches: a fraction if a rule shows it."""
        if self.units == "metric":
            return self._measure(mm, "mm", digits, 2)
        inches = _decimal(mm) / INCH
        parts = inches * _PARTS_OF_AN_INCH
        if digits is None and parts == parts.to_integral_value():
            return _fraction(int(parts)) + NO_BREAK + "in"
        return self._measure(inches, "in", digits, 3)

    def torque(self, nm: Decimal | float, digits: int | None = None) -> str:
        """Write a torque, given in N·m, in N·m or inch-pounds."""
        if self.units == "imperial":
            return self._measure(_decimal(nm) / IN_LB, "in·lb", digits, 1)
        return self._measure(nm, "N·m", digits, 2)

    def on_axis(self, x: Decimal | float, unit: str) -> tuple[float, str]:
        """Give a figure in mm or N·m, or in a unit of all shops, as an axis takes it: figure, unit.

        A range's open end stays infinite.
        """
        if self.units == "imperial" and unit == "mm":
            return round(float(x) / float(INCH), 4), "in"
        if self.units == "imperial" and unit == "N·m":
            return round(float(x) / float(IN_LB), 2), "in·lb"
        return float(x), unit

    def hertz(self, x: Decimal | float, digits: int | None = None) -> str:
        """Write a frequency in Hz."""
        return self._measure(x, "Hz", digits, 2)

    def money(self, money: Money) -> str:
        """Write an amount with the decimals of its currency (ISO 4217) and the locale's sign."""
        from babel.numbers import format_currency, get_currency_symbol

        digits = CURRENCIES[money.currency]
        locale = _locale(self.locale)
        shape = locale.currency_formats["standard"].pattern
        if get_currency_symbol(money.currency, locale).isalpha():  # KWD 1.234, not KWD1.234
            shape = shape.replace("¤#", f"¤{NO_BREAK}#").replace("0¤", f"0{NO_BREAK}¤")
        shape = shape.replace("0.00", f"0.{'0' * digits}" if digits else "0")
        value = _rounded(money.amount, digits)
        text: str = format_currency(
            abs(value), money.currency, shape, locale, currency_digits=False
        )
        return (MINUS if value < 0 else "") + text

    def date(self, d: dt.date) -> str:
        """Write a day in full: 14 March 2026."""
        return self._date(d, "long")

    def day(self, d: dt.date) -> str:
        """Write a day where its year is plain from what follows: 24 October."""
        from babel.dates import format_skeleton

        text: str = format_skeleton("MMMMd", d, locale=_locale(self.locale))
        return text

    def short_date(self, d: dt.date) -> str:
        """Write a day in short, as a table has room for, and still in one meaning: 14 Mar 2026."""
        return self._date(d, "medium")

    def month(self, d: dt.date) -> str:
        """Write the month and year of a day: March 2026."""
        from babel.dates import format_skeleton

        text: str = format_skeleton("yMMMM", d, locale=_locale(self.locale))
        return text

    def month_tick(self, d: dt.date) -> str:
        """Write a month as the tick of an axis: Apr, and with its year in January: Jan 2026."""
        from babel.dates import format_skeleton

        skeleton = "yMMM" if d.month == 1 else "MMM"
        text: str = format_skeleton(skeleton, d, locale=_locale(self.locale))
        return text

    def month_name(self, month: int, *, short: bool = False) -> str:
        """Write a month, from 1 to 12, as it stands alone; in short, as an axis has room for."""
        width = "abbreviated" if short else "wide"
        return str(_locale(self.locale).months["stand-alone"][width][month])

    def duration(self, minutes: int) -> str:
        """Write a duration in hours and minutes: 1 hr 30 min."""
        from babel.units import format_unit

        hours, rest = divmod(minutes, 60)
        parts = [(hours, "duration-hour"), (rest, "duration-minute")]
        shown = [part for part in parts if part[0]] or parts[1:]
        texts = [format_unit(n, unit, "short", locale=_locale(self.locale)) for n, unit in shown]
        return NO_BREAK.join(texts).replace(" ", NO_BREAK)

    def uncertain(self, edtf: Uncertain) -> str:
        """Write the dates of an uncertain date: 1912, 1910–1919, May 1912, 1890–1905.

        About, perhaps, before and after are words, and so the caller's.
        """
        known = [end for end in edtf.text.split("/") if end not in {"", ".."}]
        first = self._end(edtf.earliest, known[0]) if edtf.earliest else ""
        last = self._end(edtf.latest, known[-1]) if edtf.latest else ""
        if first == last or not first or not last:
            return first or last
        joint = "–" if len(first) == len(last) == 4 else f"{NO_BREAK}– "
        return first + joint + last

    def _write(self, value: Decimal, digits: int, grouped_from: int = _GROUPED_FROM) -> str:
        from babel.numbers import format_decimal

        pattern = "#,##0" if grouped_from and abs(value) >= grouped_from else "0"
        pattern += f".{'0' * digits}" if digits else ""
        text: str = format_decimal(abs(value), pattern, _locale(self.locale))
        return (MINUS if value < 0 else "") + text

    def _measure(self, x: Decimal | float, unit: str, digits: int | None, most: int) -> str:
        shown = _digits(x, most) if digits is None else digits
        return self._write(_rounded(x, shown), shown, grouped_from=0) + NO_BREAK + unit

    def _date(self, d: dt.date, length: Literal["long", "medium"]) -> str:
        from babel.dates import format_date

        text: str = format_date(d, length, _locale(self.locale))
        return text

    def _end(self, day: dt.date, edtf: str) -> str:
        """Write an end of an uncertain date as exactly as its EDTF knows it."""
        known = edtf.rstrip("~?%").removesuffix("-XX").removesuffix("-XX").count("-")
        return (f"{day.year:04}", self.month(day), self.date(day))[known]


def parse_locale(text: str) -> str:
    """Read the name of a locale, `en_GB` or `de-CH`, as the formatter takes it.

    Raises QuantityError for one that the CLDR does not know.
    """
    from babel import Locale, UnknownLocaleError

    source = plain(text)
    if not source.text:
        raise source.error("The locale is missing.", "Write it like en-US or de-CH.")
    unknown = source.error(
        f"{source.quoted} is not a known locale.",
        "Write a language and a country, such as en-US or de-CH.",
    )
    if not _LOCALE.fullmatch(source.text):
        raise unknown
    try:
        return str(Locale.parse(source.text.replace("-", "_")))
    except (UnknownLocaleError, ValueError, TypeError):
        raise unknown from None


@cache
def _locale(name: str) -> "Locale":
    from babel import Locale

    return Locale.parse(name.replace("-", "_"))


def _decimal(x: Decimal | float) -> Decimal:
    """Take a float at the shortest decimal that is it: 0.1 is a tenth."""
    value = x if isinstance(x, Decimal) else Decimal(repr(float(x)))
    if not value.is_finite():
        raise ValueError(f"{x} cannot be shown to a reader")
    return value


def _rounded(x: Decimal | float, digits: int) -> Decimal:
    value = _decimal(x).quantize(Decimal(1).scaleb(-digits), ROUND_HALF_EVEN)
    return value or abs(value)


def _digits(x: Decimal | float, most: int) -> int:
    """Count the decimals that a figure has when it is rounded to `most` of them."""
    exponent = _rounded(x, most).normalize().as_tuple().exponent
    return max(-exponent, 0) if isinstance(exponent, int) else 0


def _fraction(parts: int) -> str:
    """Write thirty-seconds of an inch as a rule shows them: 3 1/4."""
    from fractions import Fraction

    whole, rest = divmod(abs(parts), _PARTS_OF_AN_INCH)
    sign = MINUS if parts < 0 else ""
    broken = str(Fraction(rest, _PARTS_OF_AN_INCH)) if rest else ""
    if not broken:
        return f"{sign}{whole}"
    return f"{sign}{whole}{NO_BREAK}{broken}" if whole else sign + broken
