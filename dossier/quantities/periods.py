"""Reads how long something takes and when it is next to be done: periods, months and seasons."""

import calendar
import re
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

from dossier.quantities.dates import MONTHS, month_number, parse_date, real_date
from dossier.quantities.number import read_number
from dossier.quantities.suggest import suggest, sure
from dossier.quantities.text import QuantityError, Source, plain

_DAYS = {"day": 1, "week": 7, "wk": 7, "fortnight": 14}
_MONTHS = {"month": 1, "mth": 1, "mo": 1, "quarter": 3, "year": 12, "yr": 12}
_DAYS_IN_A_MONTH = Decimal("30.436875")  # the Gregorian mean, 146,097 days in 4,800 months
_LONGEST = 100 * 12  # months
_NUMBERS = ("a", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
            "eleven", "twelve")  # fmt: skip
_TIMES = {"once": 1, "twice": 2, "thrice": 3, "three times": 3, "four times": 4, "six times": 6}
_RHYTHMS: tuple[tuple[str, str], ...] = (
    ("daily", "1 day"),
    ("weekly", "1 week"),
    ("fortnightly", "2 weeks"),
    ("monthly", "1 month"),
    ("quarterly", "3 months"),
    ("half-yearly", "6 months"),
    ("half yearly", "6 months"),
    ("half a year", "6 months"),
    ("yearly", "1 year"),
    ("annually", "1 year"),
    ("every year", "1 year"),
    ("every month", "1 month"),
    ("every week", "1 week"),
    ("every other year", "2 years"),
    ("every other month", "2 months"),
)
_COUNT = r"[0-9][0-9.,]*(?:\s[0-9]+/[0-9]+|/[0-9]+)?|" + "|".join(("an", *_NUMBERS[::-1]))
_PERIOD = re.compile(
    rf"(?:(?:in|after|every)\s+)?(?P<least>{_COUNT})(?:\s*(?:-|\bto\b|\bor\b)\s*(?P<most>{_COUNT}))?"
    r"\s*(?P<unit>day|week|wk|fortnight|month|mth|mo|quarter|year|yr)s?'?",
    re.IGNORECASE,
)
_TIMES_A_YEAR = re.compile(
    rf"(?P<times>{'|'.join(_TIMES)}|[1-9][0-9]?\s*(?:x|times))\s*(?:a|per|each|every|/)\s*year",
    re.IGNORECASE,
)
_EXAMPLE = "Write it like 3 weeks, 4-8 weeks or 6 months."

SEASONS: tuple[tuple[str, int], ...] = (
    ("spring", 3), ("summer", 6), ("autumn", 9), ("winter", 12),
)  # fmt: skip
"""The seasons and their first months in the north; each has three months (meteorological)."""

_WHEN_EXAMPLE = "Write it like 2026-10-01, 2026-10, October, autumn or 3 weeks."


@dataclass(frozen=True, slots=True)
class Period:
    """A span of time from `min_days` to `max_days`, which are equal unless a range was written.

    A month counts its mean length here; `add_period` counts real months, by the `text`.
    """

    min_days: int
    max_days: int
    text: str


@dataclass(frozen=True, slots=True)
class When:
    """A day, a month or a season in which something is to be done, or before which.

    `kind` says what is given: `date` has `day`; `month` has `month`, and `year` if it was
    written; `season` has the `season` and perhaps the `year` in which it begins; `named` has the
    `season` dry or damp, which only the climate of the place can date; `period` has `period`.
    """

    kind: Literal["date", "month", "season", "named", "period"]
    text: str
    day: date | None = None
    year: int | None = None
    month: int | None = None
    season: str | None = None
    period: Period | None = None
    before: bool = False


def parse_period(text: str) -> Period:
    """Read a period: `3 weeks`, `4-8 weeks`, `6 months`, `yearly`, `twice a year`.

    Raises QuantityError.
    """
    source = plain(text)
    least, most, monthly = _terms(source)
    in_days = _DAYS_IN_A_MONTH if monthly else Decimal(1)
    return Period(
        round(least * in_days), round(most * in_days), " ".join(source.text.casefold().split())
    )


def add_period(day: date, period: Period) -> tuple[date, date]:
    """Say from when to when a period that starts on a day is over.

    Months and years are counted by the calendar: one month after 31 January is the last day of
    February. Raises OverflowError past the year 9999.
    """
    least, most, monthly = _terms(plain(period.text))
    if monthly:
        return _add_months(day, least), _add_months(day, most)
    return day + timedelta(days=least), day + timedelta(days=most)


def _terms(source: Source) -> tuple[int, int, bool]:
    """Read the least and the most of a period, in days or (True) in months."""
    words = " ".join(source.text.casefold().split())
    if not words:
        raise source.error("The period is missing.", _EXAMPLE)
    rhythm = dict(_RHYTHMS).get(words)
    if rhythm:
        return _terms(plain(rhythm))
    if times := _TIMES_A_YEAR.fullmatch(words):
        return _times_a_year(source, times["times"])
    match = _PERIOD.fullmatch(source.text)
    if match is None:
        raise source.error(f"{source.quoted} is not a period.", _EXAMPLE)
    unit = match["unit"].casefold()
    size = _DAYS.get(unit) or _MONTHS[unit]
    least = _count(source.part(*match.span("least"))) * size
    most = _count(source.part(*match.span("most"))) * size if match["most"] else least
    monthly = unit in _MONTHS
    if least != int(least) or most != int(most):
        parts = "months" if monthly else "days"
        raise source.error(f"{source.quoted} is not a whole number of {parts}.", _EXAMPLE)
    if least > most:
        raise source.error(
            f"{source.quoted} runs backwards.",
            f"Write {match['most']}-{match['least']} {unit}s.",
        )
    if least <= 0:
        raise source.error(f"{source.quoted} is no time at all.", _EXAMPLE)
    if most > (_LONGEST if monthly else _LONGEST * _DAYS_IN_A_MONTH):
        raise source.error(f"{source.quoted} is longer than a century.", _EXAMPLE)
    return int(least), int(most), monthly


def _count(source: Source) -> Decimal:
    word = source.text.casefold()
    if word in {"an", *_NUMBERS}:
        return Decimal(1 if word == "an" else max(_NUMBERS.index(word), 1))
    return read_number(source)


def _times_a_year(source: Source, times: str) -> tuple[int, int, bool]:
    count = _TIMES.get(times) or int(re.sub("[^0-9]", "", times))
    if 12 % count:
        raise source.error(f"{source.quoted} is not a whole number of months.", _EXAMPLE)
    return 12 // count, 12 // count, True


def _add_months(day: date, months: int) -> date:
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    if year > date.max.year:
        raise OverflowError(f"{months} months after {day} is past the calendar")
    return date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def parse_when(text: str) -> When:
    """Read when something is to be done: `2026-10-01`, `2026-10`, `October`, `autumn 2026`,
    `dry season`, `3 weeks`, each also with `before`.

    Raises QuantityError.
    """
    source = plain(text)
    lead = re.match(r"(?P<before>before)\b\s*|in\b\s*|on\b\s*", source.text, re.IGNORECASE)
    what = source.part(lead.end() if lead else 0)
    what = what.part(4) if what.text[:4].casefold() == "the " else what
    before = bool(lead and lead["before"])
    if not what.text:
        raise source.error("The time is missing.", _WHEN_EXAMPLE)
    found = _read_month(what, before) or _read_season(what, before)
    if found:
        return found
    if re.match(r"[0-9]{1,4}[-./][0-9]", what.text) and not _PERIOD.fullmatch(what.text):
        return When("date", what.text, day=_parse_day(what), before=before)
    try:
        period = parse_period(what.text)
    except QuantityError as wrong:
        raise _no_when(what, wrong) from None
    if before:
        raise source.error(
            f"{source.quoted} does not say before which day.", f"Write {period.text} or a date."
        )
    return When("period", period.text, period=period)


def _parse_day(source: Source) -> date:
    try:
        return parse_date(source.text)
    except QuantityError as wrong:
        raise source.error(wrong.message, wrong.hint) from None


def _read_month(source: Source, before: bool) -> When | None:
    if match := re.fullmatch(r"([0-9]{4})-([0-9]{2})", source.text):
        first = real_date(source, int(match[1]), int(match[2]), 1)
        return When("month", source.text, year=first.year, month=first.month, before=before)
    match = re.fullmatch(r"([A-Za-z]+)\.?(?:,?\s+([1-9][0-9]{3}))?", source.text)
    month = month_number(match[1]) if match else None
    if match is None or month is None:
        return None
    year = int(match[2]) if match[2] else None
    text = f"{MONTHS[month - 1]} {year}" if year else MONTHS[month - 1]
    return When("month", text, year=year, month=month, before=before)


def _read_season(source: Source, before: bool) -> When | None:
    words = source.text.casefold().split()
    if words[1:] == ["season"] and words[0] in {"dry", "damp", "wet", "humid"}:
        season = "dry" if words[0] == "dry" else "damp"
        return When("named", f"{season} season", season=season, before=before)
    name = "autumn" if words[0] == "fall" else words[0]
    year = words[1] if len(words) > 1 else None
    if (
        name not in dict(SEASONS)
        or len(words) > 2
        or (year and not re.fullmatch("[1-9][0-9]{3}", year))
    ):
        return None
    text = f"{name} {year}" if year else name
    return When("season", text, year=int(year) if year else None, season=name, before=before)


def _no_when(source: Source, wrong: QuantityError) -> QuantityError:
    """Say what is wrong: with the period, if it is nearly one, or else with the time."""
    if not wrong.message.endswith("is not a period."):
        return source.error(wrong.message, wrong.hint)
    names = (*MONTHS, *dict(SEASONS), "dry season", "damp season")
    near = suggest(source.text, names)
    return source.error(
        f"{source.quoted} is not a time that a calendar knows.",
        f"Did you mean {near}?" if near else _WHEN_EXAMPLE,
        sure(source.text, names) or "",
    )


def window(when: When, from_date: date, *, southern: bool = False) -> tuple[date, date]:
    """Say from which to which day something is to be done, both included, seen from a day.

    A month or season without a year is the next one that begins after `from_date`. `southern`
    turns the seasons round. What is to be done before something may be done from `from_date` on.
    Raises ValueError for the dry and the damp season: they come from the climate of the place.
    """
    first, last = _span(when, from_date, southern)
    if not when.before:
        return first, last
    last = first - timedelta(days=1)
    return min(from_date, last), last


def _span(when: When, from_date: date, southern: bool) -> tuple[date, date]:
    if when.day:
        return when.day, when.day
    if when.period:
        return add_period(from_date, when.period)
    if when.month:
        return _months(when.month, 1, when.year, from_date)
    if when.kind == "named" or when.season is None:
        raise ValueError(f"the {when.text} is dated by the climate of the place")
    begins = dict(SEASONS)[when.season]
    return _months((begins + 5) % 12 + 1 if southern else begins, 3, when.year, from_date)


def _months(month: int, length: int, year: int | None, from_date: date) -> tuple[date, date]:
    """Find the months from `month` on, in a year or as the next after a day."""
    first = date(year or from_date.year, month, 1)
    if year is None and first <= from_date:
        first = date(from_date.year + 1, month, 1)
    return first, _add_months(first, length) - timedelta(days=1)
