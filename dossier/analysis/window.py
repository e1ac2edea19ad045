"""When the next tuning is best: the wood near its mean, the raise settled, the pitch still in."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import numpy as np

from dossier.analysis.answers import Band, BestWindow, NotEnough, WindowReason
from dossier.analysis.causes import Work, register_shares
from dossier.analysis.ranges import Column
from dossier.analysis.wood_state import CONSTANTS_DAYS, YEAR_WEIGHTS, lagged

NEAR_MEAN = 0.4
"""Part of half the wood's yearly range within which it is near its mean: about three weeks."""

HARDLY = 0.3
"""% of moisture by which the wood goes either way in a room that hardly swings."""

WEEK = timedelta(weeks=1)

Span = tuple[date, date]


def best_window(
    work: Work, found: Band | NotEnough, threshold: float, interval: timedelta, settling: timedelta
) -> BestWindow | NotEnough:
    """Return the weeks in which the next tuning is best.

    Of the weeks in which the wood is near its yearly mean, after the last raise has settled and
    before the forecast is more than `threshold` cents off, those nearest to the day by the
    interval: tuned at the mean, an instrument is half the swing off at either end.  `settling`:
    how long a raise needs.  Common practice, no source.
    """
    if isinstance(found, NotEnough):
        return found
    known = [(place, item) for place, item in enumerate(work.series.known) if item is not None]
    weights = register_shares(work.series, [place for place, _ in known])
    aim = float(weights @ np.array([item.aim for _, item in known]))
    set_on = date.fromordinal(max(item.set_day for _, item in known))
    raised = float(weights @ np.array([item.raised for _, item in known]))
    settled = set_on + settling if raised > threshold else None
    leaves = next((day for day in found.days[1:] if abs(day.overall.value - aim) > threshold), None)
    asked = set_on + interval
    first = max(settled or found.since, found.since) + timedelta(days=1)
    limit = max(first, leaves.when if leaves else found.days[-1].when)
    spans = _near_mean(work, first, limit)
    chosen, reason = _chosen(spans, first, limit if leaves else None, asked)
    return BestWindow(
        first=chosen[0],
        last=chosen[1],
        reason=reason,
        settled=settled,
        leaves=leaves.when if leaves else None,
        leaves_at=leaves.overall.value if leaves else None,
        aim=aim,
        threshold=threshold,
        asked=asked,
    )


def _chosen(
    spans: list[Span], first: date, leaves: date | None, asked: date
) -> tuple[Span, WindowReason]:
    if spans:
        return min(spans, key=lambda span: _apart(span, asked)), "wood near its mean"
    if leaves is not None:
        return (max(first, leaves - 6 * WEEK), leaves), "before it is out"
    start = max(first, asked - 3 * WEEK)
    return (start, start + 6 * WEEK), "interval"


def _near_mean(work: Work, first: date, last: date) -> list[Span]:
    """The spans in which the wood is near its yearly mean, at the usual lag."""
    curve = work.room.curve
    days = np.arange(first.toordinal(), last.toordinal() + 1, dtype=np.float64)
    usual = usual_wood(work, days) - curve.mean
    half = float(np.abs(usual_wood(work, days[0] + np.arange(366.0)) - curve.mean).max())
    if half < HARDLY:
        return []
    near = np.abs(usual) <= NEAR_MEAN * half
    edges = np.flatnonzero(np.diff(np.concatenate([[False], near, [False]]).astype(np.int8)))
    return [
        (date.fromordinal(int(days[start])), date.fromordinal(int(days[end - 1])))
        for start, end in list(pairwise(edges.tolist()))[::2]
        if end - start >= 7
    ]


def usual_wood(work: Work, days: Column) -> Column:
    """Return the wood of a usual year as the mixture has it, % moisture, (days)."""
    found = work.fit
    cells = np.zeros((len(CONSTANTS_DAYS), len(YEAR_WEIGHTS)))
    np.add.at(cells, (found.constant, found.year), found.weight)
    return np.asarray(np.tensordot(cells, lagged(work.room.curve, days), 2))


def _apart(span: Span, day: date) -> int:
    """Days between a day and the middle of a span."""
    middle = span[0] + (span[1] - span[0]) / 2
    return abs((middle - day).days)
