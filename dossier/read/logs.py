"""A hygrometer's log to numeric columns, from whatever shape the logger exports.

A year of hourly rows is read in less than a fifth of a second.  A row that cannot be read is left
out and told of, once for each kind of trouble in a file; nothing in a log makes the reader fail.
"""

from __future__ import annotations

import csv
import math
import re
import statistics
from array import array
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import datetime, timedelta, tzinfo
from itertools import pairwise
from zoneinfo import ZoneInfo

from dossier.diagnostics import Span
from dossier.model import Log
from dossier.read.log_header import LogHead, read_head
from dossier.read.log_times import AmbiguousDatesError, LocalClock, ToDatetime, is_time, reader_for
from dossier.read.pieces import Findings, quote
from dossier.read.text import decode

# What a room's air can be; anything else is a logger's slip, such as -999 for no value.
COLDEST, HOTTEST = -40.0, 60.0
_NAN = math.nan
_NUMBER = re.compile(r"[-+−–]?\d+(?:[.,]\d+)?")
# A gap is told of when it is longer than a day and this many times the usual step.
_GAP_STEPS = 4
_DAY = 86400


@dataclass(slots=True)
class _Trouble:
    """Rows of one kind of trouble: how many, the first of them, and what stood there."""

    count: int = 0
    line: int = 0
    shown: str = ""

    def add(self, line: int, shown: str) -> None:
        self.count += 1
        if self.count == 1:
            self.line, self.shown = line, shown


@dataclass(slots=True)
class _Columns:
    seconds: array[int] = field(default_factory=lambda: array("q"))
    temperature: array[float] = field(default_factory=lambda: array("d"))
    humidity: array[float] = field(default_factory=lambda: array("d"))
    lines: array[int] = field(default_factory=lambda: array("l"))
    short: _Trouble = field(default_factory=_Trouble)
    time: _Trouble = field(default_factory=_Trouble)
    nonsense: _Trouble = field(default_factory=_Trouble)
    left_out: _Trouble = field(default_factory=_Trouble)


def read_log(
    raw: bytes, file: str, time_zone: str, findings: Findings, *, imperial: bool = False
) -> Log | None:
    """Read one logger file.  None, with an error, where its head can't be understood.

    Times without an offset are in the shop's `time_zone`.  A temperature without a unit is °C, or
    °F with `imperial`, and a warning says so.
    """
    text, found = decode(raw, file)
    findings.add(found)
    if text is None:
        return None
    lines = text.split("\n")
    head = read_head(lines, file, is_time, findings)
    if head is None:
        return None
    rows = list(_rows(lines, head))
    try:
        to_datetime = reader_for(_stamp(row, head) for _, row in rows)
    except AmbiguousDatesError:
        findings.error(
            "log-date-order",
            "Nothing in the log tells whether its dates begin with the day or with the month.",
            Span(file, head.first_row),
            "Export it with dates like 2026-03-14.",
        )
        return None
    zone = head.zone or ZoneInfo(time_zone)
    fahrenheit = _unit(head, rows, file, imperial, findings)
    columns = _read_rows(rows, head, to_datetime, zone, fahrenheit)
    _tell(columns, file, findings)
    _tell_left_out(columns.left_out, zone, file, findings)
    if not columns.seconds:
        findings.error(
            "log-no-data",
            "The log has no row that can be read.",
            Span(file, min(head.first_row, len(lines))),
            "Export it again, with a time and a temperature or humidity in each row.",
        )
        return None
    columns = _in_order(columns)
    _tell_gaps(columns, zone, file, findings)
    return Log(
        span=Span(file, head.first_row),
        file=file,
        seconds=columns.seconds,
        temperature_c=columns.temperature,
        humidity=columns.humidity,
        lines=columns.lines,
    )


def _rows(lines: list[str], head: LogHead) -> Iterator[tuple[int, list[str]]]:
    """The rows below the head, each with its line; csv looks only at lines that have quotes."""
    for number in range(head.first_row, len(lines) + 1):
        line = lines[number - 1]
        if not line or line.isspace():
            continue
        if '"' not in line:
            yield number, line.split(head.delimiter)
            continue
        try:
            yield number, next(csv.reader([line], delimiter=head.delimiter), [])
        except csv.Error:
            yield number, [line]


def _stamp(row: list[str], head: LogHead) -> str:
    if len(row) <= head.time:
        return ""
    if head.clock is None:
        return row[head.time].strip()
    return f"{row[head.time].strip()} {row[head.clock].strip()}" if len(row) > head.clock else ""


def _unit(
    head: LogHead,
    rows: list[tuple[int, list[str]]],
    file: str,
    imperial: bool,
    findings: Findings,
) -> bool:
    """Whether the temperatures are in °F: by the head, by the cells, else by the shop."""
    if head.temperature is None or head.fahrenheit is not None:
        return bool(head.fahrenheit)
    for _, row in rows[:5]:
        cell = row[head.temperature] if len(row) > head.temperature else ""
        if re.search(r"[CF]\s*$", cell, re.IGNORECASE):
            return cell.rstrip()[-1] in "fF"
    unit = "°F" if imperial else "°C"
    findings.warning(
        "log-unit",
        f"The log does not say in which unit its temperatures are; they were read as {unit}.",
        Span(file, head.first_row - 1),
        f"Write the unit into the name of the column, as in temperature {unit}",
    )
    return imperial


def _read_rows(
    rows: list[tuple[int, list[str]]],
    head: LogHead,
    to_datetime: ToDatetime,
    zone: tzinfo,
    fahrenheit: bool,
) -> _Columns:
    columns = _Columns()
    clock = LocalClock(zone)
    to_celsius = _celsius if fahrenheit else _as_it_is
    for number, row in rows:
        try:
            seconds = clock.seconds(to_datetime(_stamp(row, head)))
        except (ValueError, OverflowError):
            columns.time.add(number, _stamp(row, head) or head.delimiter.join(row))
            continue
        if clock.left_out:
            columns.left_out.add(number, _stamp(row, head))
        unlikely = columns.nonsense.count
        warm = _value(row, head.temperature, number, columns, to_celsius, COLDEST, HOTTEST)
        damp = _value(row, head.humidity, number, columns, _as_it_is, 0.0, 100.0)
        if math.isnan(warm) and math.isnan(damp):
            if columns.nonsense.count == unlikely:
                columns.short.add(number, head.delimiter.join(row))
            continue
        columns.seconds.append(seconds)
        columns.temperature.append(warm)
        columns.humidity.append(damp)
        columns.lines.append(number)
    return columns


def _value(
    row: list[str],
    column: int | None,
    number: int,
    columns: _Columns,
    convert: Callable[[float], float],
    low: float,
    high: float,
) -> float:
    if column is None or column >= len(row):
        return _NAN
    cell = row[column]
    if "," in cell:
        cell = cell.replace(",", ".")
    try:
        value = convert(float(cell))
    except ValueError:
        match = _NUMBER.match(cell.strip())
        if match is None:
            if cell.strip():
                columns.nonsense.add(number, cell.strip())
            return _NAN
        value = convert(float(re.sub("[−–]", "-", match[0]).replace(",", ".")))
    if low <= value <= high:
        return value
    columns.nonsense.add(number, cell.strip())
    return _NAN


def _as_it_is(value: float) -> float:
    return value


def _celsius(value: float) -> float:
    return (value - 32) / 1.8


def _tell(columns: _Columns, file: str, findings: Findings) -> None:
    for trouble, code, message in (
        (columns.time, "log-time", "whose time cannot be read"),
        (columns.nonsense, "log-nonsense", "with a figure that no room's air can have"),
        (columns.short, "log-short", "without a figure"),
    ):
        if trouble.count:
            rows = "one row" if trouble.count == 1 else f"{trouble.count:,} rows"
            begins = "" if trouble.count == 1 else ", beginning here"
            findings.warning(
                code,
                f"The log has {rows} {message}{begins}: {quote(trouble.shown)}.",
                Span(file, trouble.line),
                "What cannot be read is left out.",
            )


def _tell_left_out(rows: _Trouble, zone: tzinfo, file: str, findings: Findings) -> None:
    """A logger that knows no summer time writes an hour that its place did not have."""
    if rows.count:
        count = "a row" if rows.count == 1 else f"{rows.count} rows, beginning here,"
        findings.info(
            "log-hour-left-out",
            f"The log has {count} at an hour that the clocks of {zone} left out in spring: "
            f"{quote(rows.shown)}.",
            Span(file, rows.line),
            "Where the logger knows no summer time, write its offset into the head, as in "
            "time UTC+00:00",
        )


def _in_order(columns: _Columns) -> _Columns:
    """The rows oldest first, because some loggers write the newest first."""
    seconds = columns.seconds
    if all(seconds[at] <= seconds[at + 1] for at in range(len(seconds) - 1)):
        return columns
    order = sorted(range(len(seconds)), key=seconds.__getitem__)
    return _Columns(
        array("q", (seconds[at] for at in order)),
        array("d", (columns.temperature[at] for at in order)),
        array("d", (columns.humidity[at] for at in order)),
        array("l", (columns.lines[at] for at in order)),
    )


def _tell_gaps(columns: _Columns, zone: tzinfo, file: str, findings: Findings) -> None:
    seconds = columns.seconds
    if len(seconds) < 3:
        return
    steps = [later - earlier for earlier, later in pairwise(seconds)]
    usual = statistics.median_low(steps)
    least = max(_DAY, _GAP_STEPS * usual)
    gaps = [at for at, step in enumerate(steps) if step > least]
    if not gaps:
        return
    longest = max(gaps, key=lambda at: steps[at])
    days = (
        datetime.fromtimestamp(seconds[longest], zone).date(),
        datetime.fromtimestamp(seconds[longest + 1], zone).date(),
    )
    count = "a gap" if len(gaps) == 1 else f"{len(gaps)} gaps, the longest"
    findings.info(
        "log-gap",
        f"The log has {count} from {days[0]} to {days[1]} "
        f"({timedelta(seconds=steps[longest]).days} days).",
        Span(file, columns.lines[longest + 1]),
        "Nothing is said of the air in between.",
    )
