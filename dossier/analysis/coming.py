"""When to come back, and why: the technician's own word first, then intervals and clocks."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Literal

from dossier.analysis.clocks import Clock
from dossier.analysis.seasons import when_window
from dossier.analysis.tuning import tuned
from dossier.model import History
from dossier.quantities import Period, add_period

SLACK_SHARE, LEAST_SLACK = 12, 14
"""A regular tuning is due within a twelfth of its interval, two weeks at least: a month after a
year.  Common practice, no source."""

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
    stands, and the regular tuning beside it unless that comes first.  The window is that of the
    most pressing reason.
    """
    if not history.visits:
        return None
    last = history.visits[-1]
    reasons = [
        Reason("follow", follow.text, *when_window(history.shop, follow.when, last.date))
        for follow in last.follow
        if follow.when is not None
    ]
    regular = _regular(history, clocks)
    if regular is not None and not any(reason.earliest <= regular.latest for reason in reasons):
        reasons.append(regular)
    reasons.extend(
        Reason(clock.kind, clock.text, clock.ends, clock.ends)
        for clock in clocks
        if clock.closed is None and clock.kind in ("treatment", "equipment service")
    )
    if not reasons:
        return None
    ordered = tuple(sorted(reasons, key=lambda reason: (reason.latest, reason.earliest)))
    return Coming(ordered[0].earliest, ordered[0].latest, ordered)


def _regular(history: History, clocks: tuple[Clock, ...]) -> Reason | None:
    """The regular tuning: the interval after the last one, not before a new room is got used to."""
    interval = _interval(history)
    served = [visit for visit in history.visits if tuned(visit)]
    if interval is None or not served:
        return None
    earliest, latest = add_period(served[-1].date, interval)
    settled = [clock.ends for clock in clocks if clock.kind == "acclimatising"]
    earliest = max([earliest, *settled])
    slack = max(LEAST_SLACK, interval.min_days // SLACK_SHARE)
    return Reason("interval", "", earliest, max(latest, earliest + timedelta(days=slack)))


def _interval(history: History) -> Period | None:
    return history.instrument.interval or history.client.interval or history.shop.interval
