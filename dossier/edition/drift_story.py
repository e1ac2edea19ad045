"""Why the pitch moved and what comes next, in plain words.

It says "consistent with", never "caused by"; every figure stands with its interval, and where
most of it is assumption so far, it says that too.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from dossier.analysis.answers import (
    Band,
    BestWindow,
    DriftAnswer,
    Estimate,
    Forecast,
    NotEnough,
    SeasonCoverage,
    Shares,
    Swing,
    YearlyDays,
)
from dossier.edition.voice import Voice

WORTH = 1.0
"""Cents from which a cause is worth a sentence; a reading is no finer than that."""

MOST, PART = 0.5, 0.25
"""Share of the move from which a cause is called most of it, or part of it."""

NEEDS: dict[str, str] = {
    "pitch read": "a visit that reads the pitch before tuning",
    "pitch set or read": "a visit that notes how the pitch was left",
    "second visit": "one more visit that reads the pitch",
    "air": "the air read at the visits",
    "climate or log": "a logger in the room, or air readings in several seasons",
}


def why_it_moved(answer: DriftAnswer, voice: Voice) -> tuple[str, ...]:
    """What the last move of the pitch is consistent with, cause by cause, with intervals."""
    shares = answer.shares
    if isinstance(shares, NotEnough):
        return (_missing(shares, voice.words("Why the pitch moves can't be said yet"), voice),)
    return tuple(_shares(shares, voice))


def _shares(shares: Shares, voice: Voice) -> Iterator[str]:
    w = voice.words
    size = abs(round(shares.observed))
    since = voice.form.date(shares.since)
    if size < WORTH:
        yield w("Since {date} the pitch has hardly moved.", date=since)
        return
    if shares.observed > 0:
        yield w.plural(
            "Since {date} the pitch rose by about {n} cent.",
            "Since {date} the pitch rose by about {n} cents.",
            size,
            date=since,
        )
    else:
        yield w.plural(
            "Since {date} the pitch fell by about {n} cent.",
            "Since {date} the pitch fell by about {n} cents.",
            size,
            date=since,
        )
    yield from _causes(shares, voice)


def _causes(shares: Shares, voice: Voice) -> Iterator[str]:
    w = voice.words
    air = w("damper air") if shares.humidity.value > 0 else w("drier air")
    humid = _about(shares.humidity, voice)
    part = shares.humidity.value / shares.observed
    if part >= MOST:
        yield w("Most of that is consistent with {air}: {figure}.", air=air, figure=humid)
    elif part >= PART:
        yield w("Part of that is consistent with {air}: {figure}.", air=air, figure=humid)
    elif abs(shares.humidity.value) >= WORTH and part < 0:
        yield w("The {air} would have moved it the other way: {figure}.", air=air, figure=humid)
    if abs(shares.settling.value) >= WORTH:
        settled = _about(shares.settling, voice)
        yield w("Settling after the raise is usual, here {figure}.", figure=settled)
    if abs(shares.slow_fall.value) >= WORTH:
        fall = _about(shares.slow_fall, voice)
        yield w("Strings also sink slowly with the years: {figure}.", figure=fall)
    rest = abs(round(shares.rest.value))
    if rest >= 3 and rest > PART * abs(shares.observed):
        yield w.plural(
            "{n} cent of it stays unexplained.", "{n} cents of it stay unexplained.", rest
        )
    if shares.humidity.mostly_assumed and part >= PART:
        yield w(
            "How much the air does here is mostly assumption so far; each visit makes it surer."
        )


def _about(figure: Estimate, voice: Voice) -> str:
    """A figure with its interval: "about 6 cents, between 3 and 9", signs left to the words."""
    w, f = voice.words, voice.form
    low, high = sorted((abs(figure.low), abs(figure.high)))
    if figure.low < 0 < figure.high:
        return w(
            "about {n} cents, somewhere between {low} and {high}",
            n=f.cents_number(round(figure.value), 0),
            low=f.cents_number(round(figure.low), 0),
            high=f.cents_number(round(figure.high), 0),
        )
    return w(
        "about {n} cents, between {low} and {high}",
        n=f.number(abs(round(figure.value)), 0),
        low=f.number(round(low), 0),
        high=f.number(round(high), 0),
    )


def what_comes(answer: DriftAnswer, asked: date | None, voice: Voice) -> tuple[str, ...]:
    """The seasons' swing, the forecast, the best weeks and what the visits have not seen yet.

    `asked` is the first day of the next visit's window, None where none is planned.
    """
    said = []
    if isinstance(answer.swing, Swing):
        said.append(_swing(answer.swing, voice))
    if isinstance(answer.band, Band):
        said.append(_forecast(answer.band, asked, voice))
    if isinstance(answer.window, BestWindow):
        said.append(_window(answer.window, voice))
    if isinstance(answer.seasons, SeasonCoverage):
        said.append(_seasons(answer.seasons, voice))
    lacking = [
        part for part in (answer.swing, answer.band, answer.seasons) if isinstance(part, NotEnough)
    ]
    if lacking:
        needs = tuple(dict.fromkeys(need for part in lacking for need in part.needs))
        said.append(_missing(NotEnough(needs), voice.words("More could be said with"), voice))
    return tuple(text for text in said if text)


def _missing(lack: NotEnough, lead: str, voice: Voice) -> str:
    needs = voice.listed(voice.words(NEEDS[need]) for need in lack.needs)
    return voice.words("{lead}: {needs}.", lead=lead, needs=needs)


def _swing(swing: Swing, voice: Voice) -> str:
    w, f = voice.words, voice.form
    told = w(
        "In this room the seasons move the pitch by {figure} over a year.",
        figure=_about(swing.cents, voice),
    )
    saved = round(swing.saved.value)
    if saved >= WORTH:
        told += " " + w.plural(
            "A room held within {points} points of humidity would save about {n} cent of it.",
            "A room held within {points} points of humidity would save about {n} cents of it.",
            saved,
            points=f.number(round(swing.steady_points), 0),
        )
    if swing.cents.mostly_assumed:
        told += " " + w("This is mostly assumption so far.")
    return told


def _forecast(band: Band, asked: date | None, voice: Voice) -> str:
    w = voice.words
    chosen = _at(band, asked)
    if chosen is None:
        return ""
    low, high = voice.pitch(chosen.overall.low), voice.pitch(chosen.overall.high)
    month = voice.form.month(chosen.when)
    if low == high:
        return w("Left alone, it should stand {pitch} in {month}.", pitch=low, month=month)
    return w(
        "Left alone, it should lie between {low} and {high} in {month}.",
        low=low,
        high=high,
        month=month,
    )


def _at(band: Band, asked: date | None) -> Forecast | None:
    """The forecast nearest to the next visit, else at half a year; None beyond the band."""
    if not band.days:
        return None
    day = asked or band.since + timedelta(days=182)
    if day > band.days[-1].when + timedelta(days=31):
        return None
    return min(band.days, key=lambda one: abs((one.when - day).days))


def _window(window: BestWindow, voice: Voice) -> str:
    w = voice.words
    when = voice.window(window.first, window.last)
    if window.reason == "wood near its mean":
        return w(
            "The best time for the next tuning is {when}: the wood is then near its yearly mean, "
            "so that the tuning suits both seasons.",
            when=when,
        )
    if window.reason == "before it is out":
        return w(
            "The best time for the next tuning is {when}, before the pitch is likely to be off by "
            "more than {n} cents.",
            when=when,
            n=voice.form.number(round(window.threshold), 0),
        )
    return w("Any time {when} suits the next tuning: the seasons move it little.", when=when)


def _seasons(seasons: SeasonCoverage, voice: Voice) -> str:
    w = voice.words
    if seasons.dampest_seen and seasons.driest_seen:
        return w(
            "Its visits have seen it at its dampest ({damp}) and at its driest ({dry}).",
            damp=voice.form.month(seasons.dampest_seen),
            dry=voice.form.month(seasons.driest_seen),
        )
    return f"{_damp(seasons, voice)} {_dry(seasons, voice)}"


def _damp(seasons: SeasonCoverage, voice: Voice) -> str:
    w = voice.words
    if seasons.dampest_seen:
        month = voice.form.month(seasons.dampest_seen)
        return w("Seen at its dampest: yes, in {month}.", month=month)
    days = _yearly(seasons.dampest_days, voice)
    return w("Seen at its dampest: not yet; a visit {days} would.", days=days)


def _dry(seasons: SeasonCoverage, voice: Voice) -> str:
    w = voice.words
    if seasons.driest_seen:
        month = voice.form.month(seasons.driest_seen)
        return w("Seen at its driest: yes, in {month}.", month=month)
    days = _yearly(seasons.driest_days, voice)
    return w("Seen at its driest: not yet; a visit {days} would.", days=days)


def _yearly(days: YearlyDays, voice: Voice) -> str:
    """A part of every year: "between 15 January and 14 March"."""
    first, last = (date(2001, *part) for part in (days.first, days.last))
    return voice.words(
        "between {first} and {last}", first=voice.form.day(first), last=voice.form.day(last)
    )
