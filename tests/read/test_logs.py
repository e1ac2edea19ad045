"""Hygrometer logs of many shapes: each reads to the same columns, and trouble is told of once."""

from __future__ import annotations

import math
import time
from array import array
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from dossier.model import Log
from dossier.read.logs import read_log
from dossier.read.pieces import Findings

FILE = "rooms/parlour/log.csv"
# Noon and one o'clock on 14 March 2026 in Dublin, which is on UTC in winter.
NOON = int(datetime(2026, 3, 14, 12, tzinfo=UTC).timestamp())


def told(
    text: str | bytes, zone: str = "Europe/Dublin", *, imperial: bool = False
) -> tuple[Log | None, list[str]]:
    findings = Findings()
    raw = text.encode() if isinstance(text, str) else text
    log = read_log(raw, FILE, zone, findings, imperial=imperial)
    return log, [str(one) for one in findings.all]


def read(text: str | bytes, *, imperial: bool = False) -> tuple[Log, list[str]]:
    log, found = told(text, imperial=imperial)
    assert log is not None
    return log, found


SHAPES = {
    "plain": "time,temperature °C,humidity %\n2026-03-14 12:00,20.5,40\n2026-03-14 13:00,21,41\n",
    "with a T and an offset": "time,temp (°C),rh\n2026-03-14T14:00+02:00,20.5,40\n"
    "2026-03-14T15:00+02:00,21,41\n",
    "of Fahrenheit": "Time\tTemp (°F)\tHumidity (%RH)\n2026-03-14 12:00:00\t68.9\t40\n"
    "2026-03-14 13:00:00\t69.8\t41\n",
    "with decimal commas": "Datum;Temperatur °C;rel. Feuchte %\n14.03.2026 12:00;20,5;40,0\n"
    "14.03.2026 13:00;21,0;41,0\n",
    "in quotes": '"No.","Date Time","Temp, °C","RH, %"\n"1","03/14/2026 12:00:00 PM","20,5","40"\n'
    '"2","03/14/2026 01:00:00 PM","21,0","41"\n',
    "day first, two digits of the year": "Date;RH (%);Temp. (°C)\n14/03/26 12:00;40;20,5\n"
    "14/03/26 13:00;41;21\n",
    "of date and time apart": "Date,Time,Temperature (C),Humidity\n2026-03-14,12:00,20.5,40\n"
    "2026-03-14,13:00,21,41\n",
    "of seconds since 1970": f"timestamp,temp_c,humidity\n{NOON},20.5,40\n{NOON + 3600},21,41\n",
    "of milliseconds": f"epoch,temp_c,humidity\n{NOON}000,20.5,40\n{NOON + 3600}000,21,41\n",
    "with two lines of head": "Time,Temperature,Humidity\n,°F,%\n2026-03-14 12:00,68.9,40\n"
    "2026-03-14 13:00,69.8,41\n",
    "with a title above": "Logger 7, parlour\nSerial: 12\n\ntime,temp °C,hum %\n"
    "2026-03-14 12:00,20.5,40\n2026-03-14 13:00,21,41\n",
    "with a zone in the head": 'Row,"Time, GMT+01:00",Temp °C,RH %\n1,2026-03-14 13:00,20.5,40\n'
    "2,2026-03-14 14:00,21,41\n",
    "newest first": "time,temp °C,hum %\n2026-03-14 13:00,21,41\n2026-03-14 12:00,20.5,40\n",
    "with units in the cells": "time,temperature,humidity\n2026-03-14 12:00,68.9 °F,40 %\n"
    "2026-03-14 13:00,69.8 °F,41 %\n",
    "with a dew point": "time,dew point °C,temp °C,hum %\n2026-03-14 12:00,6,20.5,40\n"
    "2026-03-14 13:00,7,21,41\n",
}


@pytest.mark.parametrize("text", SHAPES.values(), ids=SHAPES.keys())
def test_a_log_of_any_shape_reads_to_the_same_columns(text: str) -> None:
    log, found = read(text)
    assert found == []
    assert log.seconds == array("q", [NOON, NOON + 3600])
    assert log.temperature_c.tolist() == pytest.approx([20.5, 21])
    assert log.humidity.tolist() == [40, 41]


def test_the_columns_are_numbers_and_know_their_lines() -> None:
    log, _ = read(SHAPES["with a title above"])
    assert (log.seconds.typecode, log.temperature_c.typecode) == ("q", "d")
    assert (log.humidity.typecode, log.lines.typecode) == ("d", "l")
    assert log.lines.tolist() == [5, 6]
    assert log.span.line == 5


def test_a_log_in_utf16_with_windows_line_ends() -> None:
    log, found = read(SHAPES["plain"].replace("\n", "\r\n").encode("utf-16"))
    assert found == []
    assert log.humidity.tolist() == [40, 41]


def test_one_figure_a_row_is_enough() -> None:
    log, found = read("time,humidity %\n2026-03-14 12:00,40\n2026-03-14 13:00,41\n")
    assert found == []
    assert all(map(math.isnan, log.temperature_c))
    assert log.humidity.tolist() == [40, 41]


def test_the_hour_that_comes_twice_in_autumn_is_two_hours() -> None:
    rows = "01:00", "01:30", "01:00", "01:30", "02:00"
    stamps = "\n".join(f"2025-10-26 {row},20" for row in rows)
    log, found = read(f"time,temp °C\n2025-10-26 00:30,20\n{stamps}\n")
    assert found == []
    steps = [later - earlier for earlier, later in pairwise(log.seconds)]
    assert steps == [1800] * 5


def test_the_hour_that_is_missing_in_spring_is_no_gap() -> None:
    log, found = read("time,temp °C\n2026-03-29 00:30,20\n2026-03-29 02:00,20\n")
    assert found == []
    assert log.seconds[1] - log.seconds[0] == 1800


def test_an_hour_that_no_clock_showed_in_spring_is_told_once() -> None:
    rows = "00:30", "01:00", "01:30", "02:00"
    text = "time,temp °C\n" + "".join(f"2026-03-29 {row},20\n" for row in rows)
    log, found = read(text + "2026-03-30 01:30,20\n")
    assert len(log.seconds) == 5
    (only,) = found
    assert only == (
        f"{FILE}:3:1: info: The log has 2 rows, beginning here, at an hour that the clocks of "
        'Europe/Dublin left out in spring: "2026-03-29 01:00". Where the logger knows no summer '
        "time, write its offset into the head, as in time UTC+00:00"
    )
    _, found = read(text.replace("time,", "time UTC+00:00,"))
    assert found == []


def test_fahrenheit_is_taken_from_the_shop_where_nothing_says_so() -> None:
    log, found = read("time,temp,hum\n2026-03-14 12:00,68,40\n", imperial=True)
    assert log.temperature_c.tolist() == [20]
    (only,) = found
    assert only == (
        f"{FILE}:1:1: warning: The log does not say in which unit its temperatures are; they were "
        "read as °F. Write the unit into the name of the column, as in temperature °F"
    )


def test_a_thousand_bad_rows_are_one_finding() -> None:
    start = datetime(2026, 1, 1, tzinfo=UTC)
    stamps = [f"{start + timedelta(hours=hour):%Y-%m-%d %H:%M}" for hour in range(1000)]
    log, found = read(
        "time,temp °C\n2025-12-31 23:00,20\n" + "".join(f"{stamp},999\n" for stamp in stamps)
    )
    assert len(log.seconds) == 1
    (only,) = found
    assert only == (
        f"{FILE}:3:1: warning: The log has 1,000 rows with a figure that no room's air can have, "
        'beginning here: "999". What cannot be read is left out.'
    )


def test_a_gap_is_told_of_with_its_days() -> None:
    days = [1, 2, 3, 4, 5, 20, 21, 22]
    log, found = read(
        "time,temp °C\n" + "".join(f"2026-03-{day:02} {hour:02}:00,20\n" for day in days
                                   for hour in range(24))
    )  # fmt: skip
    assert len(log.seconds) == 8 * 24
    (only,) = found
    assert only == (
        f"{FILE}:122:1: info: The log has a gap from 2026-03-05 to 2026-03-20 (14 days). "
        "Nothing is said of the air in between."
    )


def test_dates_are_day_first_where_only_the_day_moves() -> None:
    log, found = read("time,temp °C\n03/02/2026 12:00,20\n04/02/2026 12:00,21\n")
    assert found == []
    assert datetime.fromtimestamp(log.seconds[0], UTC).date().isoformat() == "2026-02-03"


def test_a_year_of_hourly_rows_is_read_in_a_fifth_of_a_second() -> None:
    start = datetime(2025, 1, 1, tzinfo=UTC)
    rows = [
        f"{start + timedelta(hours=hour):%d.%m.%Y %H:%M};{20 + hour % 7},5;{40 + hour % 9},1"
        for hour in range(8760)
    ]
    raw = ("Zeit;Temperatur °C;Feuchte %\n" + "\n".join(rows)).encode()
    begun = time.process_time()
    log, _ = read(raw)
    assert len(log.seconds) == 8760
    assert time.process_time() - begun < 0.2
