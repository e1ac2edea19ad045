"""Why an instrument's pitch moves, where it will be, and when to come back: all answers at once."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta

from dossier.analysis.answers import Basis, DriftAnswer, Forecast, NotEnough, Swing, WoodBasis
from dossier.analysis.backtest import back_test, coefficients, residuals, usual_error
from dossier.analysis.causes import Work, shares, swing
from dossier.analysis.coverage import season_coverage
from dossier.analysis.forecast import band, forecast
from dossier.analysis.learning import Evidence, evidence
from dossier.analysis.mixture import fit
from dossier.analysis.priors import STARTING, Priors
from dossier.analysis.room_years import RoomYears, room_years, wood_at_visits
from dossier.analysis.rows import as_rows
from dossier.analysis.series import Series, series
from dossier.analysis.window import best_window
from dossier.model import History
from dossier.quantities import add_period

YEAR = timedelta(days=365)

WOOD_BASES: tuple[WoodBasis, ...] = ("log", "reading", "curve")


def drift(history: History, priors: Priors = STARTING) -> DriftAnswer:
    """Return every drift answer of one instrument, each with its interval or with what is missing.

    Rests on the pitch, the air and the work of its visits, the logs of its rooms, and the shop's
    climate; on no other instrument except through `priors`.  Cents; knows no today: forecasts run
    from the last known pitch.  An instrument with one visit gets the starting values' wide answer.
    """
    years = room_years(history)
    work = working(history, years, priors)
    interval = _interval(history, work)
    found = band(work, interval)
    return DriftAnswer(
        basis=_basis(work.series, work, years, priors),
        shares=shares(work),
        swing=_swing(work),
        band=found,
        window=best_window(
            work,
            found,
            float(history.shop.thresholds.tuning),
            interval,
            timedelta(days=history.shop.clocks.settling),
        ),
        back_test=back_test(work.series, work.wood, priors),
        seasons=season_coverage(
            years.here.curve,
            work.wood,
            tuple(visit.date for visit in history.visits),
            tuple(
                visit.found is not None and stood == years.now
                for visit, stood in zip(history.visits, years.stood, strict=True)
            ),
        ),
        coefficients=coefficients(work),
        residuals=residuals(work),
        error=usual_error(work.fit),
    )


def working(history: History, years: RoomYears, priors: Priors) -> Work:
    """Return the comparisons, the wood at the visits and the fit that all answers draw on."""
    wood, known = wood_at_visits(history, years)
    compared = series(history, known)
    return Work(
        series=compared,
        wood=wood,
        room=years.here,
        readings=years.readings,
        fit=fit(as_rows(compared.comparisons), wood, priors),
    )


def forecast_on(
    history: History, days: tuple[date, ...], priors: Priors = STARTING
) -> tuple[Forecast, ...] | NotEnough:
    """Return the pitch on any days, in order, from the last known pitch on, if left alone."""
    return forecast(working(history, room_years(history), priors), days)


def shown(history: History) -> Evidence:
    """Return what an instrument shows of its coefficients, for `learning.learned`."""
    return evidence(working(history, room_years(history), STARTING).fit)


def _swing(work: Work) -> Swing | NotEnough:
    if work.room.curve.basis == "assumed":
        return NotEnough(("climate or log",))
    return swing(work)


def _interval(history: History, work: Work) -> timedelta:
    """The instrument's own interval, else the shop's, else a year, counted from the last work."""
    period = history.instrument.interval or history.shop.interval
    days = [item.set_day for item in work.series.known if item is not None]
    if period is None or not days:
        return YEAR
    last = date.fromordinal(max(days))
    return add_period(last, period)[1] - last


def _basis(compared: Series, work: Work, years: RoomYears, priors: Priors) -> Basis:
    visits = sorted({item.visit for item in compared.comparisons})
    ends = {end for item in compared.comparisons for end in (item.visit, item.before.visit)}
    counted = Counter(work.wood.basis[visit] for visit in ends)
    curve = years.here.curve
    return Basis(
        readings=len(visits),
        first=compared.visits[visits[0]][1] if visits else None,
        last=compared.visits[visits[-1]][1] if visits else None,
        wood=tuple((kind, counted[kind]) for kind in WOOD_BASES if counted[kind]),
        curve=curve.basis,
        curve_readings=curve.readings,
        cuts=compared.cuts,
        left_out=compared.left_out,
        instruments=priors.instruments,
    )
