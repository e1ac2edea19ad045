"""The picture of what comes next: the last visits, the forecast as a band, the best weeks."""

from __future__ import annotations

from datetime import date, timedelta

from dossier.analysis.answers import Band, BestWindow, DriftAnswer, Forecast, NotEnough
from dossier.analysis.findings import Findings
from dossier.edition.figures import Ahead, AheadDay, Figure, YearPoint
from dossier.edition.view import Table
from dossier.edition.voice import Voice

BACK_DAYS = 800
"""Days before the last visit that the picture of what comes next shows."""


def ahead_figures(findings: Findings, answer: DriftAnswer, voice: Voice) -> tuple[Figure, ...]:
    """The picture of what comes next: the last visits, the forecast as a band, the best weeks."""
    band = answer.band
    if isinstance(band, NotEnough) or not band.days:
        return ()
    w, f = voice.words, voice.form
    window = answer.window if isinstance(answer.window, BestWindow) else None
    last = band.days[-1]
    low, high = voice.pitch(last.overall.low), voice.pitch(last.overall.high)
    figure = Figure(
        id="ahead",
        title=_title(band, voice),
        sentence=w(
            "The last visits, and where the pitch should lie if nobody tunes it: four times in "
            "five it should stay within the band."
        ),
        alt=w(
            "Chart of the forecast from {first} to {last}: at the end between {low} and {high}.",
            first=f.date(band.since),
            last=f.date(last.when),
            low=low,
            high=high,
        ),
        basis=_rests_on(answer, voice),
        table=_ahead_table(band, voice),
        signs=voice.form.signs,
        drawn=Ahead(
            points=_points(findings, band, voice),
            days=tuple(
                AheadDay(
                    day.when,
                    round(day.overall.low, 1),
                    round(day.overall.value, 1),
                    round(day.overall.high, 1),
                )
                for day in band.days
            ),
            window=(window.first, window.last) if window else None,
            found_word=w("as found"),
            left_word=w("as left"),
            band_word=w("four times in five"),
            window_word=w("best weeks"),
            cents_word=w("cents from the target"),
            ticks=_ticks(band, voice),
        ),
    )
    return (figure,)


def _title(band: Band, voice: Voice) -> str:
    """How far the pitch should wander: the lowest and the highest that the band reaches."""
    low = voice.pitch(min(day.overall.low for day in band.days))
    high = voice.pitch(max(day.overall.high for day in band.days))
    month = voice.form.month(band.days[-1].when)
    if low == high:
        return voice.words("Likely to stay {pitch} until {month}", pitch=low, month=month)
    return voice.words(
        "Likely to stay between {low} and {high} until {month}", low=low, high=high, month=month
    )


def _ticks(band: Band, voice: Voice) -> tuple[tuple[date, str], ...]:
    """The first day of every half-year from the first visit shown to the band's end."""
    first, last = band.since - timedelta(days=BACK_DAYS), band.days[-1].when
    halves = (date(y, m, 1) for y in range(first.year, last.year + 1) for m in (1, 7))
    return tuple((day, voice.form.month_tick(day)) for day in halves if first <= day <= last)


def _rests_on(answer: DriftAnswer, voice: Voice) -> str:
    w, basis = voice.words, answer.basis
    if not basis.readings or basis.first is None or basis.last is None:
        return w("general experience; no comparison of visits yet")
    return w.plural(
        "{n} comparison of visits, {first} to {last}",
        "{n} comparisons of visits, {first} to {last}",
        basis.readings,
        first=voice.form.month(basis.first),
        last=voice.form.month(basis.last),
    )


def _points(findings: Findings, band: Band, voice: Voice) -> tuple[YearPoint, ...]:
    whole = voice.words("whole compass")
    start = band.since - timedelta(days=BACK_DAYS)
    return tuple(
        YearPoint(pitch.when, whole, number, round(stage.overall.cents, 1))
        for pitch in findings.pitches
        if start <= pitch.when <= band.since
        for number, stage in enumerate((pitch.found, pitch.left))
        if stage is not None
    )


def _ahead_table(band: Band, voice: Voice) -> Table:
    """The forecast at the first of each month that the band reaches."""
    w = voice.words
    months: dict[tuple[int, int], Forecast] = {}
    for day in band.days:
        months.setdefault((day.when.year, day.when.month), day)
    return Table(
        caption=w("Forecast of the pitch, if nobody tunes it"),
        columns=(w("Day"), w("Lowest likely"), w("Middle"), w("Highest likely")),
        rows=tuple(
            (
                voice.form.date(day.when),
                voice.cents(day.overall.low),
                voice.cents(day.overall.value),
                voice.cents(day.overall.high),
            )
            for day in months.values()
        ),
        numeric=(False, True, True, True),
    )
