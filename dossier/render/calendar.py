"""The next visit as an iCalendar file (RFC 5545), for the owner's own calendar."""

from __future__ import annotations

from dossier.edition.pages import InstrumentView
from dossier.render.events import Event, events_file
from dossier.words import Words


def calendar(view: InstrumentView, words: Words) -> bytes | None:
    """A calendar of one event, the day from which the next visit is due; None where none is.

    Calendars are shared and copied about, so the event names nothing but the shop.  Its UID stays
    the same, and its sequence number grows with the record, so that a newer file moves the entry.
    """
    if view.next_when is None:
        return None
    return events_file(
        [
            Event(
                name=f"dossier-visit:{view.slug}",
                stand=view.as_of or view.next_when,
                day=view.next_when,
                summary=words("Piano: the next visit is due"),
                description=_how(view, words),
            )
        ]
    )


def _how(view: InstrumentView, words: Words) -> str:
    """How to make it a real appointment: this entry is only a reminder."""
    reach = " · ".join(part for part in (view.sender.phone, view.sender.email) if part)
    if not reach:
        return words("A day still has to be agreed with {shop}.", shop=view.sender.name)
    return words(
        "A day still has to be agreed with {shop}: {reach}", shop=view.sender.name, reach=reach
    )
