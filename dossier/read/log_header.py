"""The head of a logger's file: its delimiter, which column is what, in which unit and time zone."""

from __future__ import annotations

import csv
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, timedelta, timezone, tzinfo
from typing import Literal

from dossier.diagnostics import Span
from dossier.read.pieces import Findings, quote

_DELIMITERS = (";", "\t", ",", "|")
# A logger may write a few lines about itself first.
_DEEPEST_HEADER = 40
_DEW = re.compile(
    r"dew|frost|wet.?bulb|heat index|taupunkt|vpd|absolute|abs\.?\s*hum", re.IGNORECASE
)
_TIME = re.compile(r"time|date|stamp|zeit|datum|epoch|fecha|heure|hora|^utc$", re.IGNORECASE)
_TEMPERATURE = re.compile(r"temp|°\s*[cf]\b|℃|℉|celsius|fahrenheit|^t\b|^[cf]$", re.IGNORECASE)
_HUMIDITY = re.compile(r"hum|\brh\b|r\.h\.|^rh|feuchte|%", re.IGNORECASE)
_FAHRENHEIT = re.compile(
    r"°\s*f\b|℉|fahrenheit|\bdeg\.?\s*f\b|[(\[]\s*f\s*[)\]]|\bf$|_f\b", re.IGNORECASE
)
_CELSIUS = re.compile(
    r"°\s*c\b|℃|celsius|\bdeg\.?\s*c\b|[(\[]\s*c\s*[)\]]|\bc$|_c\b", re.IGNORECASE
)
_OFFSET = re.compile(
    r"(?:utc|gmt)\s*(?:(?P<sign>[+\-−–])\s*(?P<hours>\d{1,2}):?(?P<minutes>\d\d)?)?", re.IGNORECASE
)

Role = Literal["time", "date", "temperature", "humidity"]


@dataclass(frozen=True, slots=True)
class LogHead:
    """What a log's first lines say.  `first_row` counts lines of the file from 1.

    `clock` is the second column of a time that is split into date and time of day; `zone` is None
    where the head names none.
    """

    delimiter: str
    first_row: int
    time: int
    clock: int | None
    temperature: int | None
    humidity: int | None
    fahrenheit: bool | None
    zone: tzinfo | None
    names: tuple[str, ...]


def cells(line: str, delimiter: str) -> list[str]:
    """One line's cells, without the quotes around them."""
    try:
        return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter), [])]
    except csv.Error:
        return [line]


def read_head(
    lines: list[str], file: str, is_time: Callable[[str], bool], findings: Findings
) -> LogHead | None:
    """Find the line that names the columns.  None, with a finding, where none does.

    `is_time` tells whether a cell holds a time, so that a line of units below the names is known.
    """
    best: tuple[int, str, list[str]] | None = None
    for at, line in enumerate(lines[:_DEEPEST_HEADER]):
        for delimiter in _DELIMITERS:
            names = cells(line, delimiter)
            if len(names) < 2:
                continue
            roles = [_role(name) for name in names]
            if "time" in roles and ("temperature" in roles or "humidity" in roles):
                return _head(lines, at, delimiter, names, file, is_time, findings)
            if best is None and any(roles) and not any(map(is_time, names)):
                best = (at, delimiter, names)
    _no_head(lines, best, file, is_time, findings)
    return None


def _role(name: str) -> Role | None:
    if _DEW.search(name):
        return None
    if _TIME.search(name):
        return "time"
    if _TEMPERATURE.search(name):
        return "temperature"
    return "humidity" if _HUMIDITY.search(name) else None


def _head(
    lines: list[str],
    at: int,
    delimiter: str,
    names: list[str],
    file: str,
    is_time: Callable[[str], bool],
    findings: Findings,
) -> LogHead | None:
    first_row = at + 2
    roles = [_role(name) for name in names]
    units = cells(lines[at + 1], delimiter) if at + 1 < len(lines) else []
    if _are_units(units, len(names), is_time):
        names = [f"{name} {unit}" for name, unit in zip(names, units, strict=True)]
        first_row += 1
    times = [column for column, role in enumerate(roles) if role == "time"]
    split = len(times) == 2 and "date" in names[times[0]].casefold().replace("datum", "date")
    if _twice(roles, names, times, split, Span(file, at + 1, 1, len(lines[at])), findings):
        return None
    temperature = roles.index("temperature") if "temperature" in roles else None
    return LogHead(
        delimiter,
        first_row,
        times[0],
        times[1] if split else None,
        temperature,
        roles.index("humidity") if "humidity" in roles else None,
        None if temperature is None else _is_fahrenheit(names[temperature]),
        _zone(" ".join(names[time] for time in times)),
        tuple(names),
    )


def _are_units(units: list[str], width: int, is_time: Callable[[str], bool]) -> bool:
    """A second line of the head, such as `;°F;%`."""
    return (
        len(units) == width
        and not any(map(is_time, units))
        and any(_TEMPERATURE.search(unit) or _HUMIDITY.search(unit) for unit in units)
        and not any(re.fullmatch(r"[-+]?\d+([.,]\d+)?", unit) for unit in units)
    )


def _twice(
    roles: list[Role | None],
    names: list[str],
    times: list[int],
    split: bool,
    span: Span,
    findings: Findings,
) -> bool:
    for role in ("time", "temperature", "humidity"):
        columns = [names[at] for at, found in enumerate(roles) if found == role]
        if len(columns) > 1 and not (role == "time" and split and len(times) == 2):
            findings.error(
                "log-column-twice",
                f"The log has two columns of {role}: {quote(columns[0])} and {quote(columns[1])}.",
                span,
                "Delete one of them, or rename the one that is not meant.",
            )
            return True
    return False


def _is_fahrenheit(name: str) -> bool | None:
    if _FAHRENHEIT.search(name):
        return True
    return False if _CELSIUS.search(name) else None


def _zone(name: str) -> tzinfo | None:
    match = _OFFSET.search(name)
    if match is None:
        return None
    if match["hours"] is None:
        return UTC
    hours, minutes = int(match["hours"]), int(match["minutes"] or 0)
    if hours > 14 or minutes > 59:
        return None
    delta = timedelta(hours=hours, minutes=minutes)
    return timezone(delta if match["sign"] == "+" else -delta)


def _no_head(
    lines: list[str],
    best: tuple[int, str, list[str]] | None,
    file: str,
    is_time: Callable[[str], bool],
    findings: Findings,
) -> None:
    example = "Name the columns in the first line, as in time,temperature °C,humidity %"
    if best is not None:
        at, _, names = best
        roles = [_role(name) for name in names]
        missing = "column for the time" if "time" not in roles else "temperature and no humidity"
        findings.error(
            "log-columns",
            f"The log has no {missing}; its columns are {', '.join(map(quote, names[:8]))}.",
            Span(file, at + 1, 1, len(lines[at])),
            example,
        )
        return
    first = next((at for at, line in enumerate(lines) if line.strip()), None)
    if first is None:
        findings.error(
            "log-empty", "The log is empty.", Span(file), "Delete it, or export it again."
        )
        return
    headless = any(is_time(cell) for sign in _DELIMITERS for cell in cells(lines[first], sign))
    message = "The log begins with figures, and nothing says which column is which."
    findings.error(
        "log-columns",
        message if headless else "No line of the log names its columns.",
        Span(file, first + 1, 1, len(lines[first])),
        example,
    )
