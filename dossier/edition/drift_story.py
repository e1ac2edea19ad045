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
    Estimate,
    Forecast,
    NotEnough,
    SeasonCoverage,
    Shares,
    Swing,
    YearlyDays,
)
from dossier.analysis.findings import Findings
from dossier.analysis.tuning import VisitPitch
from dossier.edition.situation import Situation
from dossier.edition.voice import Voice
from dossier.words import Words

WORTH = 1.0
"""Cents from which a cause is worth a sentence; a reading is no finer than that."""

ALL, MOST, PART = 1.15, 0.5, 0.25
"""Share of the move from which a cause is called more than all, most, or part of it."""

NEEDS: dict[str, str] = {
    "pitch read": "a visit that reads the pitch before tuning",
    "pitch set or read": "a visit that notes how the pitch was left",
    "second visit": "one more visit that reads the pitch",
    "climate or log": "a logger in the room, or air readings in several seasons",
}


def pitch_story(findings: Findings, voice: Voice) -> str:
    """How the pitch was found and left at the last visit, and what its last move rests on."""
    if not findings.pitches:
        return voice.words("No pitch has been recorded yet.")
    said = [_found_and_left(findings.pitches[-1], voice)]
    shares = findings.drift.shares
    if isinstance(shares, Shares):
        if shares.until_visit == findings.pitches[-1].visit:
            said.extend(_why(shares, _moved(shares, findings), voice))
    elif len(findings.pitches) > 1:
        said.append(_missing(shares, voice.words("Why it moved can't be said yet"), voice))
    return " ".join(said)


def _found_and_left(pitch: VisitPitch, voice: Voice) -> str:
    w, when = voice.words, voice.form.date(pitch.when)
    found = voice.pitch(pitch.found.overall.cents) if pitch.found else ""
    left = voice.pitch(pitch.left.overall.cents) if pitch.left else ""
    if pitch.found and pitch.left and pitch.floated:
        return w(
            "On {date} it was found {found} and tuned to itself, {left}.",
            date=when,
            found=found,
            left=left,
        )
    if pitch.found and pitch.left:
        return w(
            "On {date} it was found {found} and left {left}.", date=when, found=found, left=left
        )
    if pitch.found:
        return w("On {date} it was found {found} and not tuned.", date=when, found=found)
    return w(
        "On {date} it was tuned and left {left}; how it was found was not noted.",
        date=when,
        left=left,
    )


def _moved(shares: Shares, findings: Findings) -> float:
    """The move as the page's other figures show it: from the level left to the level found."""
    at = {pitch.visit: pitch for pitch in findings.pitches}
    since, until = at.get(shares.since_visit), at.get(shares.until_visit)
    start = (since.left or since.found) if since else None
    if start is None or until is None or until.found is None:
        return shares.observed
    return until.found.overall.cents - start.overall.cents


def _why(shares: Shares, moved: float, voice: Voice) -> Iterator[str]:
    w = voice.words
    size = abs(round(moved))
    since = voice.form.date(shares.since)
    if size < WORTH:
        yield w("Since {date} it had hardly moved.", date=since)
        return
    if moved > 0:
        yield w.plural(
            "Since {date} the pitch had risen by about {n} cent.",
            "Since {date} the pitch had risen by about {n} cents.",
            size,
            date=since,
        )
    else:
        yield w.plural(
            "Since {date} the pitch had fallen by about {n} cent.",
            "Since {date} the pitch had fallen by about {n} cents.",
            size,
            date=since,
        )
    yield from _air_share(shares, moved, voice)
    yield from _other_shares(shares, moved, voice)


def _air_share(shares: Shares, moved: float, voice: Voice) -> Iterator[str]:
    w, humidity = voice.words, shares.humidity
    if abs(humidity.value) < WORTH:
        return
    air = w("damper air") if humidity.value > 0 else w("drier air")
    figure = _about(humidity, voice)
    part = humidity.value / moved
    if part > ALL:
        yield w(
            "That is consistent with {air}, which alone would make {figure}.",
            air=air,
            figure=figure,
        )
    elif part >= MOST:
        yield w("Most of that is consistent with {air}: {figure}.", air=air, figure=figure)
    elif part >= PART:
        yield w("Part of that is consistent with {air}: {figure}.", air=air, figure=figure)
    elif part < 0:
        yield w("The {air} would have moved it the other way, by {figure}.", air=air, figure=figure)
    if humidity.mostly_assumed and part >= PART:
        yield w(
            "How much the air does here is mostly assumption so far; each visit makes it surer."
        )


def _other_shares(shares: Shares, moved: float, voice: Voice) -> Iterator[str]:
    w = voice.words
    if abs(shares.settling.value) >= WORTH:
        figure = _about(shares.settling, voice)
        yield w("Some settling after the work is usual, here {figure}.", figure=figure)
    if abs(shares.slow_fall.value) >= WORTH:
        figure = _about(shares.slow_fall, voice)
        yield w("Strings also sink slowly with the years: {figure}.", figure=figure)
    told = (shares.humidity, shares.settling, shares.slow_fall)
    yield from _rest(moved, tuple(cause.value for cause in told), w)


def _rest(moved: float, causes: tuple[float, ...], w: Words) -> Iterator[str]:
    """What the causes leave over, or by how much several go beyond what was found."""
    rest = round(moved - sum(causes))
    size = abs(rest)
    if size < 3 or size <= PART * abs(moved):
        return
    if rest * moved < 0:
        if sum(abs(cause) >= WORTH for cause in causes) < 2:
            return  # the figure of the one that was told is already larger
        yield w.plural(
            "Together that would be {n} cent more than was found.",
            "Together that would be {n} cents more than was found.",
            size,
        )
    elif size > abs(round(moved)):
        yield w.plural("{n} cent stays unexplained.", "{n} cents stay unexplained.", size)
    else:
        yield w.plural(
            "{n} cent of it stays unexplained.", "{n} cents of it stay unexplained.", size
        )


def _about(figure: Estimate, voice: Voice) -> str:
    """A figure with its interval: "about 6 cents, between 3 and 9"; signed where it may be none."""
    w, f = voice.words, voice.form
    size = abs(round(figure.value))
    if figure.low < 0 < figure.high:
        return w.plural(
            "about {n} cent, somewhere between {low} and {high}",
            "about {n} cents, somewhere between {low} and {high}",
            size,
            low=f.cents_number(round(figure.low), 0),
            high=f.cents_number(round(figure.high), 0),
        )
    low, high = sorted((abs(figure.low), abs(figure.high)))
    return w.plural(
        "about {n} cent, between {low} and {high}",
        "about {n} cents, between {low} and {high}",
        size,
        low=f.number(round(low), 0),
        high=f.number(round(high), 0),
    )


def what_comes(findings: Findings, now: Situation, voice: Voice) -> tuple[str, ...]:
    """The seasons' swing, the forecast, the best weeks and what the visits have not seen yet.

    For a client who rests or left nothing is foretold.
    """
    answer = findings.drift
    ahead = findings.coming is not None and now.due == "later"
    asked = findings.coming.earliest if findings.coming and ahead else None
    said = []
    if isinstance(answer.swing, Swing):
        said.append(_swing(answer.swing, voice))
    if now.served and isinstance(answer.band, Band):
        said.append(_forecast(answer.band, asked, voice))
    if now.served and isinstance(answer.window, BestWindow):
        said.append(_window(answer.window, voice) + _planned(answer.window, findings, now, voice))
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
        "Over a year the seasons of this room move the pitch by {figure}.",
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
    # Not before the day that was asked for, or it would be told of the month before.
    after = [one for one in band.days if one.when >= day]
    return after[0] if after else band.days[-1]


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


def _planned(window: BestWindow, findings: Findings, now: Situation, voice: Voice) -> str:
    """A word on a visit that is planned for other weeks, so that two dates don't contradict."""
    coming = findings.coming
    if coming is None or now.due != "later":
        return ""
    if window.first <= coming.latest and coming.earliest <= window.last:
        return ""
    when = voice.window(coming.earliest, coming.latest)
    return " " + voice.words(
        "That is said of the air alone; the next visit stays as planned, {when}.", when=when
    )


def _seasons(seasons: SeasonCoverage, voice: Voice) -> str:
    w, month = voice.words, voice.form.month
    damp, dry = _yearly(seasons.dampest_days, voice), _yearly(seasons.driest_days, voice)
    if seasons.dampest_seen and seasons.driest_seen:
        return w(
            "It has been visited at its dampest ({damp}) and at its driest ({dry}).",
            damp=month(seasons.dampest_seen),
            dry=month(seasons.driest_seen),
        )
    if seasons.dampest_seen:
        return w(
            "It has been visited at its dampest ({damp}), but not yet at its driest, {dry}.",
            damp=month(seasons.dampest_seen),
            dry=dry,
        )
    if seasons.driest_seen:
        return w(
            "It has been visited at its driest ({dry}), but not yet at its dampest, {damp}.",
            dry=month(seasons.driest_seen),
            damp=damp,
        )
    return w(
        "It has not been visited yet at its dampest, {damp}, nor at its driest, {dry}.",
        damp=damp,
        dry=dry,
    )


def _yearly(days: YearlyDays, voice: Voice) -> str:
    """A part of every year: "between 15 January and 14 March"."""
    first, last = (date(2001, *part) for part in (days.first, days.last))
    return voice.words(
        "between {first} and {last}", first=voice.form.day(first), last=voice.form.day(last)
    )
