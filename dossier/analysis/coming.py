"""When to come back, and why: the technician's own word first, then intervals and clocks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from dossier.analysis.clocks import Clock
from dossier.analysis.seasons import when_window
from dossier.analysis.tuning import tuned
from dossier.model import History
from dossier.quantities import Period, add_period

ReasonKind = Literal["follow", "interval", "settling", "treatment", "equipment service"]


@dataclass(frozen=True, slots=True)
class Reason:
    """One reason to come: what for, and the window of days in which it is best."""

    kind: ReasonKind
    text: str
    earliest: date
    latest: date


@dataclass(frozen=True, slots=True)
class Coming:
    """The next visit: its window, and every reason for it, the most pressing first."""

    earliest: date
    latest: date
    reasons: tuple[Reason, ...]


def coming(history: History, clocks: tuple[Clock, ...]) -> Coming | None:
    """The next visit as the notes ask for it, None where nothing does.

    What an earlier note asked for is answered by any later visit; what the last note asks for
    stands.  The window is that of the most pressing reason.
    """
    if not history.visits:
        return None
    last = history.visits[-1]
    reasons = [
        Reason("follow", follow.text, *when_window(history.shop, follow.when, last.date))
        for follow in last.follow
        if follow.when is not None
    ]
    interval = _interval(history)
    served = [visit for visit in history.visits if tuned(visit)]
    if interval is not None and served and not any(r.kind == "follow" for r in reasons):
        reasons.append(Reason("interval", "", *add_period(served[-1].date, interval)))
    reasons.extend(
        Reason(clock.kind, clock.text, clock.ends, clock.ends)
        for clock in clocks
        if clock.closed is None and clock.kind in ("treatment", "equipment service")
    )
    if not reasons:
        return None
    ordered = tuple(sorted(reasons, key=lambda reason: (reason.latest, reason.earliest)))
    return Coming(ordered[0].earliest, ordered[0].latest, ordered)


def _interval(history: History) -> Period | None:
    return history.instrument.interval or history.client.interval or history.shop.interval
