"""A room and the logs of its hygrometer.  An instrument that moves leaves the old air behind."""

from __future__ import annotations

from array import array
from typing import TYPE_CHECKING

from dossier.model.record import Record, frozen

if TYPE_CHECKING:
    Integers = array[int]
    Floats = array[float]
else:
    Integers = Floats = array  # an array takes no parameters while a program runs


@frozen
class Log(Record):
    """One logger file as numeric columns of equal length, oldest row first.

    `seconds` are seconds since 1970-01-01 UTC (array type "q"), `temperature_c` in °C and
    `humidity` in % RH (type "d", NaN where the row has no such value), `lines` the row's line in
    the file (type "l").  A year of hourly rows is one record, not 8,760.
    """

    file: str
    seconds: Integers
    temperature_c: Floats
    humidity: Floats
    lines: Integers


@frozen
class Room(Record):
    """A room: its name for an owner, and how it is heated."""

    id: str
    name: str
    client: str = ""
    heating: str = ""
    about: str = ""
    private: str = ""
    logs: tuple[Log, ...] = ()
