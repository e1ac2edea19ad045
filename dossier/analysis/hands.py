"""Since when an instrument has been its present client's, by its provenance.

`client:` in the instrument's file says whose it is now; a dated line of the provenance, "2023-06
sold, to marsh", says since when.  Without such a line it has always been theirs.
"""

from __future__ import annotations

from datetime import date, timedelta

from dossier.model import Event, Instrument


def last_change(instrument: Instrument) -> Event | None:
    """The last line of the provenance that names a client, None where none does."""
    named = [event for event in instrument.provenance if event.client]
    return max(named, key=_day, default=None)


def theirs_since(instrument: Instrument) -> date | None:
    """The first day on which the instrument was surely its present client's.

    None where it never changed hands; `date.max` where the last change of hands was to someone
    else, or has no last possible day.  When in doubt, a day belongs to the person before.
    """
    change = last_change(instrument)
    if change is None:
        return None
    return _day(change) if change.client == instrument.client else date.max


def _day(event: Event) -> date:
    when = event.when
    if when.latest is None or when.latest == date.max:
        return date.max
    return when.latest if when.earliest == when.latest else when.latest + timedelta(days=1)
