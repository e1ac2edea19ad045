"""What a new owner may read of the time before: the instrument's history, not the person's.

Whatever is not named here is left out.  Of a visit before the change of hands there stays what was
measured, found and done; of the home, the advice, the prose, the pictures and the money nothing.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, date, datetime

from dossier.analysis.hands import last_change, theirs_since
from dossier.model import Event, History, Instrument, Log, Room, Standing, Visit

MOVES = frozenset({"moved", "stored"})

# Each of them is the technician's own finding or work, in the order of the record.
KEPT_OF_A_VISIT: tuple[str, ...] = (
    "id", "instrument", "date", "order", "technician", "air", "reference_hz", "floated", "found",
    "left", "measured", "cleared", "checked_all", "problems", "unsafe", "safe", "span", "places",
)  # fmt: skip


def handed_on(history: History) -> History:
    """The history as its present client may read it; the same object where it was always theirs.

    To be analysed anew: what follows from the notes may rest on what is left out here.
    """
    since = theirs_since(history.instrument)
    if since is None:
        return history
    instrument, visits = history.instrument, history.visits
    former = [visit for visit in visits if visit.date < since]
    advised = frozenset(advice.id for visit in former for advice in visit.advice)
    standings = _standings(history)
    return replace(
        history,
        instrument=replace(
            instrument,
            standings=standings,
            photo=_photo(instrument, former),
            consents=tuple(one for one in instrument.consents if one.when >= since),
            provenance=tuple(_event(one, since) for one in instrument.provenance),
            equipment=tuple(
                replace(one, text="") if one.when is None or one.when < since else one
                for one in instrument.equipment
            ),
        ),
        visits=tuple(
            _before(visit) if visit.date < since else _after(visit, advised) for visit in visits
        ),
        rooms=_rooms(history.rooms, standings, since),
    )


def pictures(history: History) -> frozenset[str]:
    """The files of all pictures that a page of this history may show."""
    named = {
        photo.file for visit in history.visits for photo in visit.photos if photo.kind == "picture"
    }
    own = history.instrument.photo
    return frozenset({*named, *((own,) if own else ())})


def recordings(history: History) -> Mapping[str, bool]:
    """The files of all recordings that a page of this history may play, and which are films."""
    return {
        one.file: one.kind == "video"
        for visit in history.visits
        for one in visit.photos
        if one.kind != "picture"
    }


def _before(visit: Visit) -> Visit:
    """A visit to the person before: what was measured, found and done, and no word beyond."""
    return Visit(
        **{name: getattr(visit, name) for name in KEPT_OF_A_VISIT},
        marks=tuple(replace(mark, remark="") for mark in visit.marks),
        condition=tuple(replace(one, remark="") for one in visit.condition),
        equipment=tuple(replace(one, text="") for one in visit.equipment),
        problem_news=tuple(replace(one, text="") for one in visit.problem_news),
        work=tuple(replace(one, price=None, parts=None, warranty_until=None) for one in visit.work),
    )


def _after(visit: Visit, advised: frozenset[str]) -> Visit:
    """A visit to the present client, without answers to advice that was given to another."""
    news = tuple(one for one in visit.advice_news if one.advice not in advised)
    return visit if news == visit.advice_news else replace(visit, advice_news=news)


def _photo(instrument: Instrument, former: list[Visit]) -> str:
    """The instrument's portrait, unless a visit to the person before brought it."""
    taken = {photo.file for visit in former for photo in visit.photos}
    return "" if instrument.photo in taken else instrument.photo


def _event(event: Event, since: date) -> Event:
    """A line of the provenance.  Where it went in a former home's time is told by no word."""
    last = event.when.latest
    if event.kind not in MOVES or (last is not None and last >= since):
        return event
    return replace(event, text="", room="")


def _standings(history: History) -> tuple[Standing, ...]:
    """Where it has stood in the present client's time; before that, one place without a name."""
    told = history.instrument.standings
    theirs = tuple(one for one in told if _is_theirs(one, history))
    former = [one for one in told if one not in theirs]
    if not former:
        return theirs
    return (Standing(span=former[0].span, room=""), *theirs)


def _is_theirs(standing: Standing, history: History) -> bool:
    """Whether a place is the present client's: by the room's own file, else by when it began."""
    room = history.rooms.get(standing.room)
    if room is not None and room.client:
        return room.client == history.client.id
    change = last_change(history.instrument)
    sold = change.when.earliest if change and change.client == history.client.id else None
    begun = standing.since.earliest if standing.since is not None else None
    return sold is not None and begun is not None and begun >= sold


def _rooms(
    rooms: Mapping[str, Room], standings: tuple[Standing, ...], since: date
) -> dict[str, Room]:
    """The rooms of those places, their logs from the day of the change on."""
    named = {standing.room for standing in standings}
    return {
        name: replace(room, logs=tuple(_from(log, since) for log in room.logs))
        for name, room in rooms.items()
        if name in named
    }


def _from(log: Log, since: date) -> Log:
    first = datetime(since.year, since.month, since.day, tzinfo=UTC).timestamp()
    at = bisect_left(log.seconds, first)
    if not at:
        return log
    return replace(
        log,
        seconds=log.seconds[at:],
        temperature_c=log.temperature_c[at:],
        humidity=log.humidity[at:],
        lines=log.lines[at:],
    )
