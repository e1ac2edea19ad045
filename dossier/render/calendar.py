"""The next visit as an iCalendar file (RFC 5545), for the owner's own calendar."""

from __future__ import annotations

from datetime import date, timedelta
from uuid import NAMESPACE_OID, uuid5

from dossier.edition.pages import InstrumentView
from dossier.words import Words

_OCTETS = 75  # RFC 5545, 3.1
_FIRST_DAY = date(2000, 1, 1)


def calendar(view: InstrumentView, words: Words) -> bytes | None:
    """A calendar of one event, the day from which the next visit is due; None where none is.

    Calendars are shared and copied about, so the event names nothing but the shop.  Its UID stays
    the same, and its sequence number grows with the record, so that a newer file moves the entry.
    """
    if view.next_when is None:
        return None
    stand = view.as_of or view.next_when
    lines = (
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//dossier//visits//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        "BEGIN:VEVENT",
        f"UID:{uuid5(NAMESPACE_OID, f'dossier-visit:{view.slug}')}",
        f"DTSTAMP:{stand:%Y%m%d}T000000Z",
        f"SEQUENCE:{max(0, (stand - _FIRST_DAY).days)}",
        f"DTSTART;VALUE=DATE:{view.next_when:%Y%m%d}",
        f"DTEND;VALUE=DATE:{view.next_when + timedelta(days=1):%Y%m%d}",
        f"SUMMARY:{_escaped(words('Piano: the next visit is due'))}",
        f"DESCRIPTION:{_escaped(_how(view, words))}",
        "CLASS:PRIVATE",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
        "END:VCALENDAR",
    )
    return "".join(f"{_folded(line)}\r\n" for line in lines).encode()


def _how(view: InstrumentView, words: Words) -> str:
    """How to make it a real appointment: this entry is only a reminder."""
    reach = " · ".join(part for part in (view.sender.phone, view.sender.email) if part)
    if not reach:
        return words("A day still has to be agreed with {shop}.", shop=view.sender.name)
    return words(
        "A day still has to be agreed with {shop}: {reach}", shop=view.sender.name, reach=reach
    )


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
