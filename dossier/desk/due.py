"""Who is to be visited, why and by when, in order of need."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Literal

from dossier.analysis.answers import BestWindow, SeasonCoverage, YearlyDays
from dossier.analysis.coming import Reason
from dossier.analysis.seasoning import room_on
from dossier.desk.known import Known
from dossier.desk.visit import known_of
from dossier.edition.situation import Situation, situation
from dossier.model import Client, Notebook
from dossier.quantities import Period, add_period
from dossier.render.events import Event, events_file

Need = Literal["unsafe", "overdue", "due", "soon", "open"]
NEEDS: tuple[Need, ...] = ("unsafe", "overdue", "due", "soon", "open")
"""From the most pressing on.  "due" is within its window, "soon" has one that opens within the
time that was asked for, "open" has something open and no date."""

_LEAST_READ = 2  # visits that found a pitch


@dataclass(frozen=True, slots=True)
class DueVisit:
    """One instrument that is to be visited.  `latest` is the last day of the pressing reason."""

    need: Need
    earliest: date | None
    latest: date | None
    instrument: str
    title: str
    client: str
    name: str
    contact: str
    phone: str
    address: str
    room: str
    last_visit: date | None
    last_contact: date | None
    why: tuple[str, ...]

    @property
    def place(self) -> str:
        """The town or island of the address, which its last part names."""
        return self.address.rpartition(",")[2].strip()


@dataclass(frozen=True, slots=True)
class DueList:
    """What is due, and what is not in the list: later ones, and clients at rest or gone.

    `stopped` are the instruments whose notes can't all be read, so that more may be due.
    """

    visits: tuple[DueVisit, ...]
    later: int
    dormant: int
    left: int
    stopped: tuple[str, ...]


def due_list(notebook: Notebook, today: date, within: Period) -> DueList:
    """Every instrument that needs a visit by the end of a period from today."""
    horizon = add_period(today, within)[1]
    status = [client.status for client in notebook.clients.values()]
    visits: list[DueVisit] = []
    later = 0
    for slug, own in sorted(notebook.instruments.items()):
        client = notebook.clients.get(own.client)
        if client is None or client.status != "active":
            continue
        known = known_of(notebook, slug, today)
        now = situation(known.history, known.findings, today)
        found = _due(known, now, client, horizon)
        if found is not None:
            visits.append(found)
        elif known.findings.coming is not None:
            later += 1
    return DueList(
        visits=tuple(sorted(visits, key=by_need)),
        later=later,
        dormant=status.count("dormant"),
        left=status.count("left"),
        stopped=tuple(sorted(notebook.stopped)),
    )


def by_need(due: DueVisit) -> tuple[int, date, str, str]:
    """The order of need: unsafe, overdue, due, soon, open; within each by the last day."""
    return NEEDS.index(due.need), due.latest or date.max, due.name.casefold(), due.title.casefold()


def by_place(due: DueVisit) -> tuple[str, str, int, date, str, str]:
    """The order of a journey: what lies in one place stands together."""
    return due.place.casefold(), due.address.casefold(), *by_need(due)


def _due(known: Known, now: Situation, client: Client, horizon: date) -> DueVisit | None:
    coming = known.findings.coming
    reasons = [one for one in coming.reasons if one.earliest <= horizon] if coming else []
    need = _need(known, now, reasons)
    if need is None:
        return None
    own, history = known.history.instrument, known.history
    room = room_on(history, known.today)
    last = known.last.date if known.last else None
    contacts = [day for day in (last, client.last_contacted) if day and day <= known.today]
    return DueVisit(
        need=need,
        earliest=reasons[0].earliest if reasons else None,
        latest=reasons[0].latest if reasons else None,
        instrument=own.id,
        title=own.title,
        client=client.id,
        name=client.name,
        contact=client.contact,
        phone=client.phone,
        address=client.address,
        room=room.name if room else "",
        last_visit=last,
        last_contact=max(contacts, default=None),
        why=(*_why(known, now, reasons), *_foretold(known, horizon)),
    )


def _need(known: Known, now: Situation, reasons: list[Reason]) -> Need | None:
    if known.findings.unsafe is not None:
        return "unsafe"
    if any(reason.latest < known.today for reason in reasons):
        return "overdue"
    if any(reason.earliest <= known.today for reason in reasons):
        return "due"
    if reasons:
        return "soon"
    problems = any(life.is_open for life in known.findings.problems)
    return "open" if problems or now.undecided or now.late or known.last is None else None


def _why(known: Known, now: Situation, reasons: Iterable[Reason]) -> Iterator[str]:
    """Every reason in a few words, the pressing ones first.  None of it is private."""
    findings = known.findings
    if findings.unsafe is not None:
        yield f"unsafe: {findings.unsafe.text}"
    if known.last is None:
        yield "first visit"
    yield from (reason_in_words(reason) for reason in reasons)
    yield from (f"open problem: {life.problem.text}" for life in findings.problems if life.is_open)
    for life in findings.advice:
        if life.advice.id in now.undecided:
            yield f"advice to decide: {life.advice.text}"
        elif life.advice.id in now.in_season:
            yield f"advice in season: {life.advice.text}"
        elif life.advice.id in now.late:
            yield f"advice not yet done: {life.advice.text}"


def _foretold(known: Known, horizon: date) -> Iterator[str]:
    """What the drift of this instrument says of a visit by then; it adds nobody to the list.

    Nothing is foretold of an instrument whose pitch was not read twice: it would all be assumed.
    """
    answer, today = known.findings.drift, known.today
    window, seasons = answer.window, answer.seasons
    read = sum(1 for visit in known.history.visits if visit.found is not None)
    leaves = window.leaves if isinstance(window, BestWindow) and read >= _LEAST_READ else None
    if isinstance(window, BestWindow) and leaves is not None and leaves <= horizon:
        since = "by now" if leaves <= today else f"from {leaves}"
        yield f"pitch likely beyond {window.threshold:.0f} cents {since}"
    if isinstance(seasons, SeasonCoverage):
        for state, when, days in (
            ("driest", seasons.driest_seen, seasons.driest_days),
            ("dampest", seasons.dampest_seen, seasons.dampest_days),
        ):
            opens = _next_opening(days, today, horizon) if when is None else None
            if opens is not None:
                yield f"not yet seen at its {state}: a visit from {opens[0]} to {opens[1]} would"


def _next_opening(days: YearlyDays, today: date, horizon: date) -> tuple[date, date] | None:
    """The days of this year or next that are still to come and begin by the horizon."""
    for year in (today.year - 1, today.year, today.year + 1):
        first, last = date(year, *days.first), date(year, *days.last)
        if last < first:
            last = date(year + 1, *days.last)
        if last >= today and first <= horizon:
            return max(first, today), last
    return None


def reason_in_words(reason: Reason) -> str:
    """A reason to come as the technician calls it."""
    named = {
        "interval": "the regular tuning",
        "treatment": "check of the treatment",
        "equipment service": "service of the humidity equipment",
    }
    plain = named.get(reason.kind, "")
    if reason.kind == "treatment" and reason.text:
        return f"{plain}: {reason.text}"
    return plain or reason.text or reason.kind


def due_calendar(due: DueList, today: date) -> bytes:
    """The dated visits as a calendar (RFC 5545): one event for each client and day.

    What is due already stands on today.  How to get in stays in the client's file: calendars are
    copied to many machines.
    """
    together: dict[tuple[str, date], list[DueVisit]] = {}
    for one in due.visits:
        if one.earliest is not None or one.need == "unsafe":
            day = today if one.need == "unsafe" else max(one.earliest or today, today)
            together.setdefault((one.client, day), []).append(one)
    return events_file(_event(group, day, today) for (_, day), group in together.items())


def _event(group: list[DueVisit], day: date, today: date) -> Event:
    first = group[0]
    what = first.title if len(group) == 1 else f"{len(group)} instruments"
    reach = ", ".join(part for part in (first.contact, first.phone) if part)
    told = [f"{one.title}: {'; '.join(one.why)}" for one in group]
    return Event(
        name=f"dossier-due:{min(one.instrument for one in group)}",
        stand=today,
        day=day,
        summary=f"{first.name}: {what}",
        description="\n".join([*told, *([reach] if reach else [])]),
        location=first.address,
    )


def due_data(due: DueList) -> dict[str, object]:
    """The list for other programs; the keys are part of the command line's contract."""
    return {
        "due": [_as_data(one) for one in due.visits],
        "later": due.later,
        "left_out": {"dormant": due.dormant, "left": due.left},
        "not_read": list(due.stopped),
    }


def _as_data(due: DueVisit) -> dict[str, object]:
    def iso(day: date | None) -> str | None:
        return day.isoformat() if day else None

    return {
        "need": due.need,
        "earliest": iso(due.earliest),
        "latest": iso(due.latest),
        "instrument": due.instrument,
        "title": due.title,
        "client": due.client,
        "name": due.name,
        "contact": due.contact,
        "phone": due.phone,
        "address": due.address,
        "room": due.room,
        "last_visit": iso(due.last_visit),
        "last_contact": iso(due.last_contact),
        "why": list(due.why),
    }
