"""The drift answers as a technician would check them, on invented visits."""

from __future__ import annotations

from dataclasses import fields
from datetime import date, timedelta

import numpy as np
import pytest

from dossier.analysis.answers import (
    BackTest,
    Band,
    BestWindow,
    DriftAnswer,
    Estimate,
    NotEnough,
    SeasonCoverage,
    Shares,
    Swing,
)
from dossier.analysis.coverage import day_of_year
from dossier.analysis.drift import drift, forecast_on
from dossier.analysis.priors import STARTING
from dossier.model import History
from tests.analysis.one_piano import history
from tests.bench_analysis import CLIMATE

STEADY_CLIMATE = "climate:\n" + "\n".join(
    f"  {month}: {degrees} °C, 45 %"
    for month, degrees in (
        ("january", 18), ("february", 18), ("march", 19), ("april", 19), ("may", 20),
        ("june", 20), ("july", 20), ("august", 20), ("september", 20), ("october", 19),
        ("november", 19), ("december", 18),
    )
)  # fmt: skip
SPRING, AUTUMN = "air: 20 °C, 36 %", "air: 20 °C, 62 %"


def visits(count: int, spring: float = -10.0, autumn: float = 10.0) -> dict[str, str]:
    """Half-yearly tunings, found flat in March and sharp in September."""
    notes = {}
    for place in range(count):
        air, off, month = (AUTUMN, autumn, 9) if place % 2 else (SPRING, spring, 3)
        keys = ", ".join(f"A{octave} {off:+.0f}" for octave in range(1, 7))
        day = date(2015 + place // 2, month, 10)
        notes[day.isoformat()] = f"{air}\nfound: {keys}\nleft: on pitch\nwork: tuning"
    return notes


def answer(count: int, spring: float = -10.0, autumn: float = 10.0) -> DriftAnswer:
    return drift(history(visits(count, spring, autumn), shop=CLIMATE))


def shares(found: DriftAnswer) -> Shares:
    assert isinstance(found.shares, Shares)
    return found.shares


def swing(found: DriftAnswer) -> Swing:
    assert isinstance(found.swing, Swing)
    return found.swing


def band(found: DriftAnswer) -> Band:
    assert isinstance(found.band, Band)
    return found.band


def window(found: DriftAnswer) -> BestWindow:
    assert isinstance(found.window, BestWindow)
    return found.window


def wide(figure: Estimate) -> float:
    assert figure.low <= figure.value <= figure.high
    return figure.high - figure.low


def test_the_shares_add_up_to_what_was_observed() -> None:
    told = shares(answer(8))
    assert told.observed == pytest.approx(10.0)
    parts = (told.humidity, told.settling, told.slow_fall, told.rest)
    assert sum(part.value for part in parts) == pytest.approx(told.observed)
    assert (told.since, told.until) == (date(2018, 3, 10), date(2018, 9, 10))
    assert told.moisture_since < told.moisture_until


def test_a_piano_that_follows_the_seasons_is_seen_to() -> None:
    told = shares(answer(10))
    assert told.humidity.low > 5.0
    assert told.humidity.value > 4.0 * abs(told.slow_fall.value)
    assert not told.humidity.mostly_assumed


def test_a_piano_that_only_falls_is_seen_to() -> None:
    note = "air: 20 °C, 45 %\nfound: A1 -9, A4 -9, A6 -9\nleft: on pitch\nwork: tuning"
    notes = {f"{year}-05-10": note for year in range(2015, 2025)}
    told = shares(drift(history(notes, shop=CLIMATE)))
    assert abs(told.humidity.value) < 0.5
    assert told.slow_fall.value + told.settling.value == pytest.approx(-9.0, abs=1.5)


def test_a_raise_falls_back_within_weeks() -> None:
    notes = {
        "2024-03-10": f"{SPRING}\nfound: 60 flat\nleft: on pitch\nwork: pitch raise",
        "2024-04-10": f"{SPRING}\nfound: A1 -13, A4 -13, A6 -13\nleft: as found",
    }
    told = shares(drift(history(notes, shop=CLIMATE)))
    assert told.settling.value < -8.0
    assert abs(told.slow_fall.value) < 0.5


def test_more_visits_make_narrower_answers() -> None:
    few, some, many = (answer(count) for count in (1, 4, 12))
    assert wide(swing(few).cents) > wide(swing(some).cents) > wide(swing(many).cents)
    assert swing(few).cents.mostly_assumed
    assert not swing(many).cents.mostly_assumed
    later = [band(found).days[26].overall for found in (few, some, many)]
    assert wide(later[0]) > wide(later[1]) > wide(later[2])


def test_a_steady_room_saves_the_most_of_a_strong_swing() -> None:
    weak, strong = swing(answer(10, -3.0, 3.0)), swing(answer(10, -15.0, 15.0))
    assert strong.cents.value > 2.0 * weak.cents.value
    assert strong.saved.value > 2.0 * weak.saved.value
    for told in (weak, strong):
        assert told.steady.value + told.saved.value == pytest.approx(told.cents.value)
    assert strong.driest[0] in (2, 3)
    assert strong.dampest[0] in (8, 9)
    assert 5.0 < strong.moisture_low < strong.moisture_high < 12.0


def test_a_room_that_is_steady_already_leaves_nothing_to_save() -> None:
    notes = {
        day: note.replace("36 %", "44 %").replace("62 %", "48 %")
        for day, note in visits(10).items()
    }
    told = swing(drift(history(notes, shop=STEADY_CLIMATE)))
    assert told.saved.value == pytest.approx(0.0, abs=0.3)
    assert told.saved.low == 0.0
    assert told.steady.value == pytest.approx(told.cents.value, abs=0.3)


def test_one_visit_gets_an_honest_wide_answer() -> None:
    found = answer(1)
    assert found.basis.readings == 0
    assert found.shares == NotEnough(("second visit",))
    assert found.back_test == NotEnough(("second visit",))
    assert found.residuals == ()
    in_summer = band(found).days[25].overall
    assert in_summer.mostly_assumed
    assert 5.0 < in_summer.value < 20.0
    assert wide(in_summer) > 15.0


def test_without_any_pitch_nothing_is_forecast_and_it_says_why() -> None:
    found = drift(history({"2024-03-01": "air: 20 °C, 45 %"}, shop=CLIMATE))
    assert found.band == NotEnough(("pitch set or read",))
    assert found.window == NotEnough(("pitch set or read",))
    assert found.shares == NotEnough(("second visit",))
    assert isinstance(found.seasons, SeasonCoverage)


def test_a_piano_never_visited_has_answers_too() -> None:
    found = drift(history({}))
    assert found.swing == NotEnough(("climate or log",))
    assert found.seasons == NotEnough(("climate or log",))
    assert found.basis.wood == ()


def test_the_band_begins_where_the_pitch_stood_and_opens() -> None:
    told = band(answer(6))
    assert (told.since, told.start) == (date(2017, 9, 10), 0.0)
    assert told.days[0].when == told.since
    assert told.days[0].overall.value == pytest.approx(0.0, abs=1e-9)
    assert {
        later.when - one.when for one, later in zip(told.days, told.days[1:], strict=False)
    } == {timedelta(weeks=1)}
    first, winter = told.days[0].overall, told.days[26].overall
    assert wide(winter) > 1.3 * wide(first)
    assert winter.value < -5.0


def test_each_register_has_its_own_line_and_the_compass_lies_between_them() -> None:
    notes = {
        day: note.replace("A3 -10, A4 -10", "A3 -18, A4 -18").replace(
            "A3 +10, A4 +10", "A3 +18, A4 +18"
        )
        for day, note in visits(10).items()
    }
    winter = band(drift(history(notes, shop=CLIMATE))).days[26]
    cents = {name: line.value for name, line in winter.registers}
    assert list(cents) == ["bass", "tenor", "treble"]
    assert cents["tenor"] < min(cents["bass"], cents["treble"]) - 2.0
    assert min(cents.values()) < winter.overall.value < max(cents.values())


def test_any_days_may_be_asked_for() -> None:
    whole = history(visits(6), shop=CLIMATE)
    told = band(drift(whole))
    days = (told.days[3].when, told.days[30].when)
    asked = forecast_on(whole, days)
    assert not isinstance(asked, NotEnough)
    assert [line.when for line in asked] == list(days)
    assert asked[1].overall.value == pytest.approx(told.days[30].overall.value)


def test_the_next_tuning_is_best_with_the_wood_near_its_mean() -> None:
    whole = history(visits(10, -5.0, 5.0), shop=CLIMATE, instrument="interval: 8 months")
    told = window(drift(whole))
    assert told.leaves is None
    assert told.reason == "wood near its mean"
    assert told.asked == date(2020, 5, 10)
    # The wood passes its mean after the air has, three weeks to either side.
    assert date(2020, 5, 1) < told.first < told.last < date(2020, 8, 1)
    assert 30 < (told.last - told.first).days < 60


def test_a_tuning_comes_before_the_pitch_is_out() -> None:
    notes = visits(10, -24.0, 24.0)
    told = window(drift(history(notes, shop=CLIMATE, instrument="interval: 8 months")))
    assert told.leaves is not None
    assert told.leaves_at is not None
    assert told.leaves_at < -told.threshold
    assert told.first <= told.last <= told.leaves


def test_nobody_tunes_before_a_raise_has_settled() -> None:
    notes = {"2024-03-10": f"{SPRING}\nfound: 60 flat\nleft: on pitch\nwork: pitch raise"}
    told = window(drift(history(notes, shop=CLIMATE)))
    assert told.settled == date(2024, 3, 31)
    assert told.first > told.settled


def test_a_window_for_a_floated_piano_is_about_where_it_was_left() -> None:
    note = f"{SPRING}\nfloated: yes\nfound: 33 flat\nleft: 31 flat\nwork: tuning"
    told = window(drift(history({"2024-03-10": note}, shop=CLIMATE)))
    assert told.aim == pytest.approx(-31.0)
    assert told.leaves is None or told.leaves > date(2024, 4, 10)


def test_a_long_interval_gets_a_long_band() -> None:
    whole = history(visits(4), shop=CLIMATE, instrument="interval: 2 years")
    told = drift(whole)
    assert band(told).days[-1].when > date(2018, 11, 1)
    assert window(told).asked == date(2018, 9, 10)


def test_the_back_test_knows_no_later_visit() -> None:
    short, long = answer(6), answer(12)
    assert isinstance(short.back_test, BackTest)
    assert isinstance(long.back_test, BackTest)
    first = [row.predicted.value for row in short.back_test.rows]
    again = [row.predicted.value for row in long.back_test.rows[: len(first)]]
    # But for the room's year, which all readings of the air tell.
    np.testing.assert_allclose(first, again, atol=0.8)
    assert [row.rests_on for row in short.back_test.rows] == [0, 1, 2, 3, 4]
    assert long.back_test.error < 0.5 * long.back_test.naive
    assert long.back_test.inside >= 9
    assert long.back_test.naive == pytest.approx(10.0)


def test_residuals_are_what_the_fit_leaves() -> None:
    found = answer(8)
    assert len(found.residuals) == 21
    assert {one.register for one in found.residuals} == {"bass", "tenor", "treble"}
    for one in found.residuals:
        assert one.moved == pytest.approx(one.fitted + one.left_over)
        assert abs(one.left_over) < 4.0
        assert one.earlier < one.when


def test_the_humidity_response_is_only_told_where_a_log_drives_the_wood() -> None:
    names = {one.name for one in answer(8).coefficients}
    assert names == {"slow fall", "settling share"}
    logged = drift(with_log())
    assert {one.name for one in logged.coefficients} == {*names, "humidity response"}
    assert logged.basis.wood == (("log", 4),)
    response = [one for one in logged.coefficients if one.name == "humidity response"]
    assert [one.register for one in response] == ["bass", "tenor", "treble"]
    assert all(wide(one.estimate) < wide(one.assumed) for one in response)
    assert response[0].assumed.value == STARTING.humidity.mean


def with_log() -> History:
    rows = [
        f"{day}T{hour:02}:00:00Z,20.0,{50 + 13 * np.sin(2 * np.pi * (step - 150) / 365.25):.1f}"
        for step in range(900)
        for day in [date(2015, 1, 1) + timedelta(days=step)]
        for hour in (0, 6, 12, 18)
    ]
    log = "\n".join(["time (UTC),temperature (°C),humidity (%)", *rows, ""])
    notes = {day: note for day, note in visits(5).items() if day > "2015-06"}
    return history(notes, shop=CLIMATE, files={"rooms/parlour/log.csv": log})


def test_a_log_makes_the_answer_surer() -> None:
    logged = with_log()
    bare = history({day: note for day, note in visits(5).items() if day > "2015-06"}, shop=CLIMATE)
    assert wide(swing(drift(logged)).cents) < wide(swing(drift(bare)).cents)


def test_the_settling_time_is_in_no_answer() -> None:
    named = {one.name for one in answer(4).coefficients} | {item.name for item in fields(Shares)}
    assert not [name for name in named if "time" in name or "days" in name]


def test_seasons_that_were_not_seen_are_named_with_the_visit_that_would_show_them() -> None:
    autumns = {day: note for day, note in visits(8).items() if "-09-" in day}
    found = drift(history(autumns, shop=CLIMATE)).seasons
    assert isinstance(found, SeasonCoverage)
    assert found.dampest_seen == date(2018, 9, 10)
    assert found.driest_seen is None
    assert (found.driest_days.first[0], found.driest_days.last[0]) in {(1, 3), (1, 4), (2, 4)}
    assert found.share < 0.3
    whole = answer(8).seasons
    assert isinstance(whole, SeasonCoverage)
    assert whole.driest_seen == date(2018, 3, 10)
    assert whole.share > 0.8


def test_a_cut_leaves_the_last_change_untold() -> None:
    notes = visits(6)
    last = max(notes)
    notes[last] += "\nhumidity equipment: dry"
    found = drift(history(notes, shop=CLIMATE))
    assert found.shares == NotEnough(("second visit",))
    assert [left.why for left in found.basis.left_out][-1] == "equipment found dry"


def test_the_basis_tells_what_it_rests_on() -> None:
    basis = answer(8).basis
    assert (basis.readings, basis.first, basis.last) == (7, date(2015, 9, 10), date(2018, 9, 10))
    assert basis.wood == (("reading", 8),)
    assert (basis.curve, basis.curve_readings, basis.instruments) == ("climate", 8, 0)
    assert (basis.cuts, basis.left_out) == ((), ())


def test_the_same_notes_give_the_same_answer() -> None:
    assert answer(5) == answer(5)


def test_a_day_of_the_year_is_never_the_one_that_some_years_lack() -> None:
    begin = date(2023, 1, 1).toordinal()
    found = {day_of_year(begin + half / 2) for half in range(4 * 2 * 366)}
    assert len(found) == 365
    assert (2, 29) not in found
