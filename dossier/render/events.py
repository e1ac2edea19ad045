"""All-day events as the bytes of an iCalendar file (RFC 5545): what every calendar here shares."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from uuid import NAMESPACE_OID, uuid5

_OCTETS = 75  # RFC 5545, 3.1
_FIRST_DAY = date(2000, 1, 1)


@dataclass(frozen=True, slots=True)
class Event:
    """A day in a calendar.

    `name` identifies the event from file to file, so that a newer one moves the entry and adds
    none; `stand` is the day of what is known, from which its sequence number grows.
    """

    name: str
    stand: date
    day: date
    summary: str
    description: str
    location: str = ""


def events_file(events: Iterable[Event]) -> bytes:
    """A calendar of all-day events that take nobody's time (RFC 5545, 3.6.1)."""
    lines = (
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//dossier//visits//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        *(line for event in events for line in _lines(event)),
        "END:VCALENDAR",
    )
    return "".join(f"{_folded(line)}\r\n" for line in lines).encode()


def _lines(event: Event) -> Iterator[str]:
    yield "BEGIN:VEVENT"
    yield f"UID:{uuid5(NAMESPACE_OID, event.name)}"
    yield f"DTSTAMP:{event.stand:%Y%m%d}T000000Z"
    yield f"SEQUENCE:{max(0, (event.stand - _FIRST_DAY).days)}"
    yield f"DTSTART;VALUE=DATE:{event.day:%Y%m%d}"
    yield f"DTEND;VALUE=DATE:{event.day + timedelta(days=1):%Y%m%d}"
    yield f"SUMMARY:{_escaped(event.summary)}"
    yield f"DESCRIPTION:{_escaped(event.description)}"
    if event.location:
        yield f"LOCATION:{_escaped(event.location)}"
    yield "CLASS:PRIVATE"
    yield "TRANSP:TRANSPARENT"
    yield "END:VEVENT"


def _escaped(text: str) -> str:
    """TEXT as RFC 5545, 3.3.11, writes it; other control characters may not stand in it."""
    for plain, written in (("\\", "\\\\"), (";", "\\;"), (",", "\\,"), ("\n", "\\n")):
        text = text.replace(plain, written)
    return "".join(character for character in text if character.isprintable())


def _folded(line: str) -> str:
    """The line in pieces of at most 75 octets, none of which ends within a character."""
    pieces, piece, room = [], "", _OCTETS
    for character in line:
        octets = len(character.encode())
        if octets > room:
            pieces.append(piece)
            piece, room = "", _OCTETS - 1  # the space that begins the next line
        piece += character
        room -= octets
    return "\r\n ".join([*pieces, piece])
