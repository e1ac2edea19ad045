"""Reads dates: the exact ones of visits, and the uncertain ones of an instrument's past (EDTF)."""

import calendar
import re
from dataclasses import dataclass
from datetime import date

from dossier.quantities.text import Source, plain

MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
"""The English names of the months, as a technician writes them; pages use the locale's."""

_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_MONTH = "(?P<month>" + "|".join(f"{name[:3]}(?:{name[3:]})?" for name in MONTHS) + r"|Sept)\.?"
_YEAR = "(?P<year>[0-9]{4})"
_DAY = "(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?"
_WRITTEN = (
    re.compile(rf"{_DAY}\.?\s*(?:of\s+)?{_MONTH},?\s+{_YEAR}", re.IGNORECASE),
    re.compile(rf"{_MONTH}\s+{_DAY},?\s+{_YEAR}", re.IGNORECASE),
)
_YEAR_FIRST = re.compile(r"([0-9]{4})[-./ ]([0-9]{1,2})[-./ ]([0-9]{1,2})")
_YEAR_LAST = re.compile(r"([0-9]{1,2})([-./ ])\s*([0-9]{1,2})[-./ ]\s*([0-9]{4})")
_TOGETHER = re.compile(r"([0-9]{4})([0-9]{2})([0-9]{2})")

_POINT = re.compile(
    r"(?P<year>[0-9]{4}|[0-9]{3}X|[0-9]{2}XX)"
    r"(?:-(?P<month>[0-9]{2}|XX)(?:-(?P<day>[0-9]{2}|XX))?)?(?P<doubt>[~?%]?)",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Uncertain:
    """A date of the past as far as it is known; `text` is its EDTF.

    It lies from `earliest` to `latest`, both included; one of them is None where that side is
    open. `approximate` (`~`) and `uncertain` (`?`) are the writer's doubt, and widen nothing.
    """

    earliest: date | None
    latest: date | None
    text: str
    approximate: bool = False
    uncertain: bool = False


def parse_date(text: str) -> date:
    """Read a plain ISO date, `2026-03-14`.

    No other order is read, because 3/4/2026 is two dates; the error names the likely one. Raises
    QuantityError.
    """
    source = plain(text)
    if not source.text:
        raise source.error("The date is missing.", "Write it like 2026-03-14.")
    if match := _ISO.fullmatch(source.text):
        return real_date(source, int(match[1]), int(match[2]), int(match[3]))
    if re.fullmatch(r"[0-9]{4}-[0-9]{2}", source.text):
        raise source.error(f"{source.quoted} has no day.", f"Write it like {source.text}-14.")
    meant = [day.isoformat() for day in _meant(source.text)]
    raise source.error(
        f"{source.quoted} is not a date.",
        f"Write {' or '.join(meant)}." if meant else "Write it like 2026-03-14.",
        meant[0] if len(meant) == 1 else "",
    )


def real_date(source: Source, year: int, month: int, day: int) -> date:
    """Make a date, or say which part of it does not exist. Raises QuantityError."""
    if not year:
        raise source.error(f"{source.quoted} has no year 0.", "Write it like 2026-03-14.")
    if not 1 <= month <= 12:
        raise source.error(f"{source.quoted} has no month {month:02}.", "Months are 01 to 12.")
    last = calendar.monthrange(year, month)[1]
    if not 1 <= day <= last:
        raise source.error(
            f"{source.quoted} does not exist.", f"{MONTHS[month - 1]} {year} has {last} days."
        )
    return date(year, month, day)


def month_number(name: str) -> int | None:
    """Find a month by its English name or its first three letters; None if it is none."""
    short = name.casefold().rstrip(".")
    for number, month in enumerate(MONTHS, 1):
        if short in {month.casefold(), month[:3].casefold()} or (short, number) == ("sept", 9):
            return number
    return None


def _meant(text: str) -> tuple[date, ...]:
    """Guess which dates a text that is no ISO date may mean; two where nothing decides."""
    for pattern in _WRITTEN:
        if match := pattern.fullmatch(text):
            month = month_number(match["month"]) or 0
            return _real((int(match["year"]), month, int(match["day"])))
    if match := _YEAR_FIRST.fullmatch(text) or _TOGETHER.fullmatch(text):
        return _real((int(match[1]), int(match[2]), int(match[3])))
    if match := _YEAR_LAST.fullmatch(text):
        first, second, year = int(match[1]), int(match[3]), int(match[4])
        if match[2] == ".":
            return _real((year, second, first))
        return _real((year, first, second), (year, second, first))
    return ()


def _real(*candidates: tuple[int, int, int]) -> tuple[date, ...]:
    days: list[date] = []
    for year, month, day in candidates:
        real = year and 1 <= month <= 12 and 1 <= day <= calendar.monthrange(year, month)[1]
        if real and date(year, month, day) not in days:
            days.append(date(year, month, day))
    return tuple(days)


def parse_edtf(text: str) -> Uncertain:
    """Read a date of the past in the Extended Date/Time Format, as far as instruments need it.

    `1912`, `1912-05`, `1912-05-01`, `191X`, `19XX`, each with `~` (about), `?` (perhaps) or `%`
    (both) after it, and intervals: `1890/1905`, `../1930`, `1930/..`. English is not read, but the
    error says how to write it. Raises QuantityError. Source: ISO 8601-2:2019, EDTF, from memory.
    """
    source = plain(text)
    if not source.text:
        raise source.error("The date is missing.", "Write it like 1912 or 1912~.")
    if source.text.casefold() in _NOTHING_KNOWN:
        raise source.error(
            f"{source.quoted} is not a date in EDTF.",
            "Leave the line out where nothing is known.",
        )
    if meant := _edtf_meant(source.text):
        raise source.error(
            f"{source.quoted} is not a date in EDTF.",
            f"Write {' or '.join(meant)}.",
            meant[0] if len(meant) == 1 else "",
        )
    if "/" not in source.text:
        return _point(source)
    slash = source.text.index("/")
    first, last = source.part(0, slash), source.part(slash + 1)
    start, end = _end(first), _end(last)
    if start is None and end is None:
        raise source.error(f"{source.quoted} says nothing.", "Leave the line out.")
    if start and start.earliest and end and end.latest and start.earliest > end.latest:
        raise source.error(
            f"{source.quoted} ends before it begins.", f"Write {end.text}/{start.text}."
        )
    ends = [point for point in (start, end) if point]
    return Uncertain(
        start.earliest if start else None,
        end.latest if end else None,
        "/".join(point.text if point else ".." for point in (start, end)),
        any(point.approximate for point in ends),
        any(point.uncertain for point in ends),
    )


def _end(source: Source) -> Uncertain | None:
    """Read an end of an interval; None where it is open or unknown."""
    return None if source.text in {"", ".."} else _point(source)


def _point(source: Source) -> Uncertain:
    match = _POINT.fullmatch(source.text)
    if match is None:
        raise source.error(
            f"{source.quoted} is not a date in EDTF.",
            "Write it like 1912, 1912~, 191X, ../1930 or 1890/1905.",
        )
    year, month, day = (match[name] or "XX" for name in ("year", "month", "day"))
    low, high = (int(year.upper().replace("X", digit)) for digit in "09")
    month_known, day_known = month.isdigit(), day.isdigit()
    if (month_known and low != high) or (day_known and not month_known):
        raise source.error(
            f"{source.quoted} knows a smaller part better than a larger one.",
            "Write only what is known, such as 191X.",
        )
    first = real_date(source, low or min(high, 1), int(month) if month_known else 1, 1)
    last_month = int(month) if month_known else 12
    last = date(high, last_month, calendar.monthrange(high, last_month)[1])
    if day_known:
        first = last = real_date(source, low, int(month), int(day))
    doubt = match["doubt"]
    return Uncertain(first, last, source.text.upper(), doubt in set("~%"), doubt in set("?%"))


_NOTHING_KNOWN = frozenset(("unknown", "not known", "?", "n/a", "xxxx", "none"))
_IN_ENGLISH: tuple[tuple[str, str], ...] = (
    (r"(?:before|until|till|up to|by|pre-?)\s*(\d{4})", r"../\1"),
    (r"(?:after|since|from|post-?)\s*(\d{4})", r"\1/.."),
    (r"(?:c|ca|circa|about|around|approx|approximately)\.?\s*(\d{4})", r"\1~"),
    (r"~\s*(\d{4})", r"\1~"),
    (r"\?\s*(\d{4})", r"\1?"),
    (r"(?:probably|perhaps|possibly|maybe|presumably)\s+(\d{4})", r"\1?"),
    (r"(\d{4})\s*\(?(?:probably|perhaps|possibly|maybe)\)?", r"\1?"),
    (r"(?:in )?(?:the )?(\d{2})00'?s", r"\1XX"),
    (r"(?:in )?(?:the )?(\d{3})0'?s", r"\1X"),
    (r"(?:between|from)?\s*(\d{4})\s*(?:-|\bto\b|\band\b|\bor\b)\s*(\d{4})", r"\1/\2"),
    (r"(\d{2})(\d{2})\s*-\s*([2-9]\d|1[3-9])", r"\1\2/\1\3"),
    (r"(\d{4})\s*(?:-|\.\.)", r"\1/.."),
    (r"\.\.\s*(\d{4})", r"../\1"),
    (r"(\d{3})[?_-]", r"\1X"),
    (r"(\d{2})(?:\?\?|__|--)", r"\1XX"),
)


def _edtf_meant(text: str) -> tuple[str, ...]:
    """How EDTF writes what a text says in English; nothing if it is not known English."""
    for pattern, edtf in _IN_ENGLISH:
        if match := re.fullmatch(pattern, text, re.IGNORECASE | re.ASCII):
            return (match.expand(edtf),)
    if match := re.fullmatch(r"(?:the )?(\d{2})th century", text, re.IGNORECASE | re.ASCII):
        return (f"{int(match[1]) - 1}XX",)
    if match := re.fullmatch(rf"{_MONTH},?\s+{_YEAR}", text, re.IGNORECASE):
        return (f"{match['year']}-{month_number(match['month']):02}",)
    return () if _ISO.fullmatch(text) else tuple(day.isoformat() for day in _meant(text))
