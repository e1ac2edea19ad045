"""The one place where today enters: what is due, running or overdue on a day.

The value changes only on days on which something changes (a clock closes, a date is passed),
and holds dates, never ages, so that an idle day rebuilds nothing.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from dossier.analysis.clocks import Clock
from dossier.analysis.findings import Findings
from dossier.model import History

Due = Literal["none", "later", "due", "overdue"]


@dataclass(frozen=True, slots=True)
class Situation:
    """What of the findings stands open on a day.

    `running` are the open clocks; `due` says where the next visit's window lies; `undecided` are
    the ids of advice that has waited too long for an answer, `in_season` of advice whose time
    has come, `late` of advice whose time is over; `served` says that the client is an active one.
    """

    running: tuple[Clock, ...]
    due: Due
    undecided: frozenset[str]
    in_season: frozenset[str]
    late: frozenset[str]
    served: bool


def steady(findings: Findings, today: date) -> tuple[date, date]:
    """The first and the last day around `today` on which the situation is the same.

    Nothing changes between the days on which a clock starts, runs out or is answered, a visit
    comes due or is late, or advice comes into its time or out of it.
    """
    after = timedelta(days=1)
    turns = {day for clock in findings.clocks for day in (clock.started, clock.ends)}
    turns |= {clock.closed for clock in findings.clocks if clock.closed is not None}
    if findings.coming is not None:
        turns |= {findings.coming.earliest, findings.coming.latest + after}
    for life in findings.advice:
        turns.add(life.decide_by + after)
        if life.window is not None:
            turns |= {life.window[0], life.window[1] + after}
    first = max((day for day in turns if day <= today), default=date.min)
    last = min((day for day in turns if day > today), default=None)
    return first, last - after if last is not None else date.max


def situation(history: History, findings: Findings, today: date) -> Situation:
    """What of an instrument's findings stands open on `today`."""
    coming = findings.coming
    due: Due = "none"
    if coming is not None:
        due = "later" if today < coming.earliest else "due" if today <= coming.latest else "overdue"
    open_advice = [life for life in findings.advice if life.is_open]
    return Situation(
        running=tuple(clock for clock in findings.clocks if clock.open_on(today)),
        due=due,
        undecided=frozenset(
            life.advice.id for life in open_advice if life.waiting and today > life.decide_by
        ),
        in_season=frozenset(
            life.advice.id
            for life in open_advice
            if life.window is not None
            and not life.before
            and life.window[0] <= today <= life.window[1]
        ),
        late=frozenset(
            life.advice.id for life in open_advice if life.window and today > life.window[1]
        ),
        served=history.client.status == "active",
    )
