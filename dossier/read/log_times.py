"""The times of a log, in whatever shape the logger writes them, as seconds since 1970 UTC."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone, tzinfo

_DIGITS = re.compile(r"\d{9,10}(?:\.\d+)?|\d{12,13}")
_ISO = re.compile(r"\d{4}-\d\d-\d\d[T ]\d\d:\d\d")
_WRITTEN = re.compile(
    r"(?P<a>\d{1,4})(?P<sign>[-./])(?P<b>\d{1,2})(?P=sign)(?P<c>\d{1,4})"
    r"(?:[T ,]+(?P<hour>\d{1,2})[:.](?P<minute>\d\d)(?:[:.](?P<second>\d\d)(?:[.,]\d+)?)?"
    r"\s*(?P<half>[ap]\.?m\.?)?)?\s*(?P<zone>Z|[+-]\d\d:?\d\d)?",
    re.IGNORECASE,
)
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)

ToDatetime = Callable[[str], datetime]


class AmbiguousDatesError(ValueError):
    """Nothing in the file tells whether its dates begin with the day or with the month."""


def is_time(cell: str) -> bool:
    """Whether a cell holds a date or a time stamp."""
    cell = cell.strip()
    return bool(_ISO.match(cell) or _WRITTEN.fullmatch(cell) or _DIGITS.fullmatch(cell))


def reader_for(stamps: Iterable[str]) -> ToDatetime:
    """A function that reads this file's time stamps; it raises ValueError for a bad one.

    Its results without an offset are local.  Raises AmbiguousDatesError.
    """
    shown = [stamp for stamp in stamps if stamp]
    first = next((stamp for stamp in shown if is_time(stamp)), "")
    if _DIGITS.fullmatch(first):
        return _from_epoch
    if not first or _ISO.match(first):
        return _from_iso
    return _from_written(_order(shown))


def _from_epoch(stamp: str) -> datetime:
    value = float(stamp)
    seconds = value / 1000 if value > 1e11 else value
    return _EPOCH + timedelta(seconds=seconds)


def _from_iso(stamp: str) -> datetime:
    try:
        return datetime.fromisoformat(stamp)
    except ValueError:
        return _written(stamp, "ymd")


def _order(stamps: list[str]) -> str:
    """Tell day-first from month-first by what the whole file allows, or by which part moves."""
    firsts: set[int] = set()
    seconds: set[int] = set()
    for stamp in stamps:
        match = _WRITTEN.fullmatch(stamp)
        if match is None:
            continue
        if len(match["a"]) == 4:
            return "ymd"
        if match["sign"] == ".":
            return "dmy"
        firsts.add(int(match["a"]))
        seconds.add(int(match["b"]))
    # What is above 12 is a day; within one month only the day moves; 03/03 is itself either way.
    if max(firsts, default=0) > 12 or (
        len(seconds) == 1 and (len(firsts) > 1 or firsts == seconds)
    ):
        return "dmy"
    if max(seconds, default=0) > 12 or (len(firsts) == 1 and len(seconds) > 1):
        return "mdy"
    raise AmbiguousDatesError


def _from_written(order: str) -> ToDatetime:
    def read(stamp: str) -> datetime:
        return _written(stamp, order)

    return read


def _written(stamp: str, order: str) -> datetime:
    match = _WRITTEN.fullmatch(stamp)
    if match is None:
        raise ValueError(stamp)
    by_letter = dict(zip(order, (int(match["a"]), int(match["b"]), int(match["c"])), strict=True))
    year = by_letter["y"] if by_letter["y"] > 99 else 2000 + by_letter["y"]
    hour = int(match["hour"] or 0)
    if half := match["half"]:
        if not 1 <= hour <= 12:
            raise ValueError(stamp)
        hour = hour % 12 + (12 if half[0] in "pP" else 0)
    zone = _offset(match["zone"])
    return datetime(
        year, by_letter["m"], by_letter["d"], hour, int(match["minute"] or 0),
        int(match["second"] or 0), tzinfo=zone,
    )  # fmt: skip


def _offset(text: str | None) -> tzinfo | None:
    if not text:
        return None
    if text in "zZ":
        return UTC
    minutes = int(text[1:3]) * 60 + int(text[-2:])
    return timezone(timedelta(minutes=-minutes if text[0] == "-" else minutes))


@dataclass(slots=True)
class LocalClock:
    """Turns a logger's local times into seconds, across the hour that comes twice in autumn.

    The rows are in order, so an hour that seems to go back is the second of the two.  `left_out`
    says of the last moment that the clocks left it out in spring; it is read as an hour later.
    """

    zone: tzinfo
    last: int = -(2**62)
    left_out: bool = False
    _day: tuple[int, int, int, int] = (0, 0, 0, 0)
    _base: int = 0
    _plain: bool = False

    def seconds(self, moment: datetime) -> int:
        if moment.tzinfo is None:
            self.last = self._local(moment)
        else:
            self.last, self.left_out = int(moment.timestamp()), False
        return self.last

    def _local(self, moment: datetime) -> int:
        day = (moment.year, moment.month, moment.day, 0)
        if day != self._day:
            self._new_day(moment, day)
            self.left_out = False
        if self._plain:
            return self._base + moment.hour * 3600 + moment.minute * 60 + moment.second
        early = int(moment.replace(tzinfo=self.zone, fold=0).timestamp())
        shown = datetime.fromtimestamp(early, self.zone)
        self.left_out = (shown.hour, shown.minute) != (moment.hour, moment.minute)
        if early <= self.last:
            late = int(moment.replace(tzinfo=self.zone, fold=1).timestamp())
            return late if late > self.last else early
        return early

    def _new_day(self, moment: datetime, day: tuple[int, int, int, int]) -> None:
        """On a day without a change of clocks, seconds since midnight are enough, and faster."""
        midnight = moment.replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=self.zone)
        try:
            next_day = midnight + timedelta(days=1)
            length = next_day.timestamp() - midnight.timestamp()
        except OverflowError:
            length = 0.0
        self._day = day
        self._base = int(midnight.timestamp())
        self._plain = length == 86400
