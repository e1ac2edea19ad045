"""Why the pitch moved and what comes next, sentence by sentence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from dossier.analysis.answers import (
    Band,
    BestWindow,
    Estimate,
    Forecast,
    NotEnough,
    SeasonCoverage,
    Shares,
    Swing,
    WindowReason,
    YearlyDays,
)
from dossier.analysis.coming import Coming
from dossier.analysis.findings import Findings, analyse
from dossier.edition.drift_story import pitch_story, what_comes
from dossier.edition.situation import situation
from dossier.edition.voice import voice_of
from dossier.words import load
from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces

FIRST, SECOND = "2025-03-14", "2026-03-14"
HISTORY = history(
    {
        FIRST: "air: 20 °C, 40 %\nleft: on pitch\nwork: tuning",
        SECOND: "air: 20 °C, 55 %\nfound: 8 sharp\nleft: on pitch\nwork: tuning",
    }
)
VOICE = voice_of(HISTORY.shop, load("en-GB"))
FOUND = "On 14 March 2026 it was found 8 cents sharp and left on pitch."
ROSE = "Since 14 March 2025 the pitch had risen by about 8 cents."
NONE = Estimate(0.0, -0.3, 0.3, mostly_assumed=False)
SHARES = Shares(
    since=date(2025, 3, 14),
    until=date(2026, 3, 14),
    since_visit=FIRST,
    until_visit=SECOND,
    observed=8.0,
    humidity=Estimate(6.2, 3.4, 9.1, mostly_assumed=False),
    settling=NONE,
    slow_fall=NONE,
    rest=Estimate(1.8, -1.0, 4.0, mostly_assumed=False),
    moisture_since=7.7,
    moisture_until=10.1,
)
NO = NotEnough(("second visit",))


def findings(**answers: object) -> Findings:
    """What the analysis says of the two visits, with these answers of the drift model."""
    found = analyse(HISTORY)
    blank = replace(found.drift, shares=NO, swing=NO, band=NO, window=NO, seasons=NO)
    return replace(found, drift=replace(blank, **answers))  # type: ignore[arg-type]


def told(shares: Shares | NotEnough) -> str:
    return plain_spaces(pitch_story(findings(shares=shares), VOICE))


def comes(**answers: object) -> tuple[str, ...]:
    found = findings(**answers)
    now = situation(HISTORY, found, date(2026, 4, 1))
    return tuple(plain_spaces(text) for text in what_comes(found, now, VOICE))


def air(value: float, low: float, high: float, *, assumed: bool = False) -> Shares:
    return replace(SHARES, humidity=Estimate(value, low, high, mostly_assumed=assumed))


@pytest.mark.parametrize(
    ("shares", "sentence"),
    [
        (SHARES, "Most of that is consistent with damper air: about 6 cents, between 3 and 9."),
        (
            air(11.0, 8.6, 14.0),
            (
                "That is consistent with damper air, which alone would make about 11 cents, "
                "between 9 "
                "and 14."
            ),
        ),
        (
            air(2.6, 0.4, 5.0),
            (
                "Part of that is consistent with damper air: about 3 cents, between 0 and 5. "
                "5 cents of it stay unexplained."
            ),
        ),
        (
            air(-2.0, -4.0, 0.5),
            (
                "The drier air would have moved it the other way, by about 2 cents, somewhere "
                "between "
                "−4 and 0. 10 cents stay unexplained."
            ),
        ),
        (
            air(6.0, 1.0, 11.0, assumed=True),
            (
                "Most of that is consistent with damper air: about 6 cents, between 1 and 11. "
                "How much "
                "the air does here is mostly assumption so far; each visit makes it surer."
            ),
        ),
    ],
)
def test_the_air_is_consistent_with_a_move_and_never_its_cause(
    shares: Shares, sentence: str
) -> None:
    assert told(shares) == f"{FOUND} {ROSE} {sentence}"
    assert "cause" not in sentence


def test_settling_and_the_slow_fall_are_told_from_a_cent_on() -> None:
    shares = replace(
        air(12.0, 9.0, 15.0),
        settling=Estimate(-3.4, -5.0, -2.0, mostly_assumed=False),
        slow_fall=Estimate(-1.2, -2.1, -0.4, mostly_assumed=False),
    )
    assert told(shares).endswith(
        "between 9 and 15. Some settling after the work is usual, here about 3 cents, between 2 "
        "and 5. Strings also sink slowly with the years: about 1 cent, between 0 and 2."
    )


def test_what_is_missing_is_told_as_a_result() -> None:
    assert told(NO) == (
        f"{FOUND} Why it moved can't be said yet: one more visit that reads the pitch."
    )


def test_a_move_that_ended_before_the_last_visit_is_not_told_as_the_last() -> None:
    assert told(replace(SHARES, until_visit=FIRST)) == FOUND


SWING = Swing(
    cents=Estimate(12.0, 8.6, 16.0, mostly_assumed=False),
    steady=Estimate(5.0, 3.0, 7.0, mostly_assumed=False),
    saved=Estimate(7.1, 5.0, 9.0, mostly_assumed=False),
    steady_points=10.0,
    driest=(2, 20),
    dampest=(8, 25),
    moisture_low=6.8,
    moisture_high=9.9,
)


def test_the_seasons_swing_and_what_a_steady_room_would_save() -> None:
    first, *_ = comes(swing=SWING)
    assert first == (
        "Over a year the seasons of this room move the pitch by about 12 cents, between 9 and 16. "
        "A room held within 10 points of humidity would save about 7 cents of it."
    )
    steady = replace(
        SWING,
        cents=Estimate(3.0, -1.0, 7.0, mostly_assumed=True),
        saved=Estimate(0.0, 0.0, 0.0, mostly_assumed=True),
    )
    assert comes(swing=steady)[0] == (
        "Over a year the seasons of this room move the pitch by about 3 cents, somewhere between "
        "−1 and +7. This is mostly assumption so far."
    )


def band(first: date, low: float, high: float) -> Band:
    days = tuple(
        Forecast(
            first + timedelta(days=7 * week),
            Estimate((low + high) / 2, low, high, mostly_assumed=False),
            (),
        )
        for week in range(57)
    )
    return Band(since=first, visit=SECOND, start=0.0, days=days)


def test_the_forecast_is_told_by_its_ends() -> None:
    assert comes(band=band(date(2026, 3, 14), -9.6, 1.7))[0] == (
        "Left alone, it should lie between 10 cents flat and 2 cents sharp in September 2026."
    )
    assert comes(band=band(date(2026, 3, 14), -3.2, -2.9))[0] == (
        "Left alone, it should stand 3 cents flat in September 2026."
    )


@pytest.mark.parametrize(
    ("reason", "sentence"),
    [
        (
            "wood near its mean",
            (
                "The best time for the next tuning is in May 2027: the wood is then near its "
                "yearly "
                "mean, so that the tuning suits both seasons."
            ),
        ),
        (
            "before it is out",
            (
                "The best time for the next tuning is in May 2027, before the pitch is likely "
                "to be off "
                "by more than 10 cents."
            ),
        ),
        ("interval", "Any time in May 2027 suits the next tuning: the seasons move it little."),
    ],
)
def test_the_best_weeks_and_why(reason: WindowReason, sentence: str) -> None:
    window = BestWindow(
        first=date(2027, 5, 3),
        last=date(2027, 5, 24),
        reason=reason,
        settled=None,
        leaves=None,
        leaves_at=None,
        aim=0.0,
        threshold=10.0,
        asked=date(2027, 3, 14),
    )
    assert comes(window=window)[0] == sentence


def planned(first: date, last: date, **answers: object) -> str:
    """What is said first where the notes ask for a visit between those days."""
    found = replace(findings(**answers), coming=Coming(first, last, ()))
    now = situation(HISTORY, found, date(2026, 4, 1))
    return plain_spaces(what_comes(found, now, VOICE)[0])


def test_a_visit_planned_for_other_weeks_is_named_beside_the_best_ones() -> None:
    window = BestWindow(
        first=date(2027, 2, 20),
        last=date(2027, 5, 24),
        reason="interval",
        settled=None,
        leaves=None,
        leaves_at=None,
        aim=0.0,
        threshold=10.0,
        asked=date(2027, 3, 14),
    )
    best = "Any time from February to May 2027 suits the next tuning: the seasons move it little."
    assert planned(date(2027, 3, 1), date(2027, 3, 31), window=window) == best
    assert planned(date(2026, 10, 1), date(2026, 10, 31), window=window) == (
        f"{best} That is said of the air alone; the next visit stays as planned, in October 2026."
    )


def test_the_forecast_is_of_the_month_for_which_the_visit_is_planned() -> None:
    ahead = band(date(2026, 3, 14), -9.6, 1.7)
    assert planned(date(2026, 10, 1), date(2026, 10, 31), band=ahead) == (
        "Left alone, it should lie between 10 cents flat and 2 cents sharp in October 2026."
    )


def test_what_the_visits_have_not_seen_yet() -> None:
    seasons = SeasonCoverage(
        moisture_low=6.0,
        moisture_high=10.0,
        seen_low=8.0,
        seen_high=10.0,
        share=0.5,
        visits=2,
        dampest_seen=date(2025, 8, 2),
        driest_seen=None,
        dampest_days=YearlyDays((7, 20), (9, 20)),
        driest_days=YearlyDays((1, 15), (3, 14)),
    )
    assert comes(seasons=seasons)[0] == (
        "It has been visited at its dampest (August 2025), but not yet at its driest, between "
        "15 January and 14 March."
    )
    whole = replace(seasons, driest_seen=date(2026, 2, 7))
    assert comes(seasons=whole)[0] == (
        "It has been visited at its dampest (August 2025) and at its driest (February 2026)."
    )
    damp = replace(whole, dampest_seen=None)
    assert comes(seasons=damp)[0] == (
        "It has been visited at its driest (February 2026), but not yet at its dampest, between "
        "20 July and 20 September."
    )
    assert comes(seasons=replace(damp, driest_seen=None))[0] == (
        "It has not been visited yet at its dampest, between 20 July and 20 September, nor at its "
        "driest, between 15 January and 14 March."
    )


def test_nothing_is_foretold_to_a_client_at_rest() -> None:
    resting = history({SECOND: "found: 8 sharp\nleft: on pitch"}, client="status: dormant")
    view = page(resting, "2026-04-01")
    assert not any("Left alone" in text or "best time" in text for text in view.outlook)
    assert "ahead" not in [figure.id for figure in view.pitch_figures]
