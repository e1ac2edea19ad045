"""What a chart's specification holds is what the view holds: nothing added, nothing worked out."""

from __future__ import annotations

import typing
from dataclasses import replace
from datetime import date
from typing import Any

import pytest
from altair.utils.schemapi import SchemaValidationError

from dossier import charts
from dossier.edition.figures import Drawn, MeasuredPoint
from tests.charts import samples

Row = dict[str, Any]


def rows(drawn: Drawn, *fields: str) -> list[tuple[Any, ...]]:
    """The rows of all layers that have these fields, once each, in their order."""
    spec = charts.spec(drawn, charts.LIGHT, "screen")
    held = [row for values in spec["datasets"].values() for row in values]
    found = [
        tuple(row[field] for field in fields)
        for row in held
        if all(field in row for field in fields)
    ]
    return list(dict.fromkeys(found))


def layers(node: Row) -> list[Row]:
    """The layers of a specification that hold a mark."""
    inner = node.get("layer", [])
    return [node] if "mark" in node else [found for each in inner for found in layers(each)]


def test_every_class_of_drawable_data_has_a_chart_and_a_sample() -> None:
    classes = set(typing.get_args(Drawn))
    assert len(classes) >= 7
    assert set(charts.draughtsmen()) == classes
    assert {type(drawn) for _, drawn in samples.SAMPLES} == classes


@pytest.mark.parametrize("medium", ["screen", "print"])
@pytest.mark.parametrize(("name", "drawn"), samples.SAMPLES, ids=[n for n, _ in samples.SAMPLES])
def test_a_specification_keeps_the_grammar(name: str, drawn: Drawn, medium: charts.Medium) -> None:
    spec = charts.spec(drawn, charts.LIGHT, medium, validate=True)
    assert spec["$schema"] == f"https://vega.github.io/schema/vega-lite/v{charts.VEGA_LITE}.1.json"
    assert len(layers(spec)) > 1, name
    assert "params" not in spec, "the static picture has no interaction"


def test_a_fault_against_the_grammar_is_noticed() -> None:
    crooked = replace(charts.LIGHT, found=7)  # type: ignore[arg-type]
    with pytest.raises(SchemaValidationError, match="'7' is an invalid value"):
        charts.spec(samples.ALONG, crooked, "screen", validate=True)


def test_pitch_along_the_compass_holds_each_reading_and_level() -> None:
    drawn = samples.ALONG
    readings = [(one.key, one.note, one.cents) for one in (*drawn.found, *drawn.left)]
    assert rows(drawn, "key", "note", "cents") == readings
    levels = [
        (one.name, one.first, one.last, one.cents)
        for one in (*drawn.found_levels, *drawn.left_levels)
    ]
    assert rows(drawn, "register", "key", "to", "cents") == levels


def test_a_key_is_joined_to_what_it_was_left_at() -> None:
    drawn = samples.along(samples.keys((1, -3.0), (49, -4.5)), samples.keys((49, 0.5), (88, 1.0)))
    spec = charts.spec(drawn, charts.LIGHT, "screen")
    ways = [values for values in spec["datasets"].values() if "to" in values[0]]
    assert ways == [[{"key": 49, "cents": -4.5, "to": 0.5}]]


def test_pitch_through_the_years_holds_each_level_and_the_air() -> None:
    drawn = samples.YEARS
    points = [(p.when.isoformat(), p.register, p.stage, p.cents) for p in drawn.points]
    assert sorted(rows(drawn, "when", "register", "stage", "cents")) == sorted(set(points))
    air = [(when.isoformat(), value) for when, value in drawn.humidity]
    assert rows(drawn, "when", "humidity") == air
    assert rows(drawn, "when", "tag") == [
        ("2017-05-06", "pitch raise"),
        ("2021-08-20", "moved to the parlour"),
        ("2024-11-02", "humidifier fitted"),
    ]


def test_the_whole_instruments_figure_fills_the_gap_of_each_register() -> None:
    """A register left with the whole is drawn as left, and its line comes from there."""
    spec = charts.spec(samples.YEARS, charts.LIGHT, "screen")
    courses = [
        [(row["when"], row["register"], row["cents"]) for row in spec["datasets"][name]]
        for name in (
            each["data"]["name"] for each in layers(spec) if each["mark"]["type"] == "line"
        )
    ]
    assert [course[:3] for course in courses] == [
        [
            ("2017-05-06", samples.WHOLE, -18.0),
            ("2017-05-06", samples.WHOLE, 0.0),
            ("2019-03-30", samples.WHOLE, -12.0),
        ]
    ] * 3
    assert [{register for _, register, _ in course[4:]} for course in courses] == [
        {"bass"},
        {"tenor"},
        {"treble"},
    ]


def test_a_raise_from_afar_is_a_figure_at_the_scales_end() -> None:
    drawn = samples.YEARS_MANY
    first = [point for point in drawn.points if point.when == samples.MANY_DAYS[0]]
    far = [point.cents for point in first if point.stage == 0]
    assert far == [-68.8, -66.4, -66.4]
    written = [text for (text,) in rows(drawn, "text")]
    assert [text for text in written if text.startswith("−6")] == ["−68.8", "−66.4"]
    shown = dict(rows(drawn, "cents", "shown"))
    assert {cents for cents, at in shown.items() if cents != at} == {-68.8, -66.4}
    assert min(shown.values()) > -16


def test_the_forecast_is_a_band_and_never_a_line_alone() -> None:
    drawn = samples.AHEAD
    days = [(day.when.isoformat(), day.low, day.middle, day.high) for day in drawn.days]
    assert rows(drawn, "when", "low", "cents", "high") == days
    points = [(p.when.isoformat(), p.stage, p.cents) for p in drawn.points]
    assert rows(drawn, "when", "stage", "cents") == points
    assert rows(drawn, "when", "until") == [("2026-10-01", "2026-11-10")]
    spec = charts.spec(drawn, charts.LIGHT, "print")
    (area,) = [each for each in layers(spec) if each["mark"]["type"] == "area"]
    assert area["encoding"]["y2"] == {"field": "high"}


def test_the_rooms_year_holds_each_day_and_leaves_gaps_open() -> None:
    drawn = samples.ROOM
    days = [(day.when.isoformat(), day.low, day.mean, day.high) for day in drawn.days]
    assert rows(drawn, "when", "low", "humidity", "high") == days
    assert sum(row[2] is None for row in days) == 40
    paths = [
        each["mark"]
        for each in layers(charts.spec(drawn, charts.LIGHT, "print"))
        if each["mark"]["type"] in {"line", "area"}
    ]
    assert [mark["invalid"] for mark in paths] == ["break-paths-show-path-domains"] * 2


def test_a_day_between_two_gaps_is_still_seen() -> None:
    spec = charts.spec(samples.ROOM, charts.LIGHT, "screen")
    (piece,) = [each for each in layers(spec) if each["mark"].get("strokeCap") == "round"]
    alone = spec["datasets"][piece["data"]["name"]]
    assert [row["when"] for row in alone] == [samples.ROOM.days[202].when.isoformat()]


def test_the_season_holds_each_month_and_reading() -> None:
    drawn = samples.SEASON
    assert rows(drawn, "month", "humidity") == [(m.month, m.warmed) for m in drawn.months]
    readings = rows(drawn, "when", "at", "humidity")
    assert [(when, value) for when, _, value in readings] == [
        (when.isoformat(), value) for when, value in drawn.readings
    ]
    places = {when: at for when, at, _ in readings}
    assert places["2024-02-29"] == pytest.approx(1 + 28 / 29, abs=0.001)
    assert places["2024-12-31"] == pytest.approx(11 + 30 / 31, abs=0.001)


def test_marks_hold_each_span_with_its_state() -> None:
    drawn = samples.MARKS
    marks = {(m.row, m.first, m.last, m.state) for m in drawn.marks}
    assert set(rows(drawn, "row", "first", "last", "state")) == marks
    spec = charts.spec(drawn, charts.LIGHT, "screen")
    bars = [each for each in layers(spec) if each["mark"]["type"] == "rect"]
    fills = {
        row["state"].startswith("open"): bar["mark"]["fill"]
        for bar in bars
        for row in spec["datasets"][bar["data"]["name"]]
    }
    assert fills == {True: charts.LIGHT.warn, False: charts.LIGHT.ground}


def test_measured_figures_are_held_visit_by_visit() -> None:
    drawn = samples.TARGET
    points = {(p.when.isoformat(), p.key, p.note, p.value) for p in drawn.points}
    assert set(rows(drawn, "when", "key", "note", "value")) == points
    assert rows(drawn, "low", "high") == [(9.8, 10.2)]
    written = [text for (text,) in rows(drawn, "text")]
    assert written == [
        "key dip, mm",
        "target",
        "April 2026",
        "April 2023",
        "April 2018 – April 2020",
    ]


def test_figures_of_one_visit_that_are_told_apart_get_signs_of_their_own() -> None:
    written = [text for (text,) in rows(samples.TARGET_TWICE, "text")]
    assert written == ["pin torque, N·m", "May 2026, turning down", "May 2026, turning up"]


def test_two_visits_of_one_day_get_signs_of_their_own() -> None:
    day = date(2026, 5, 2)
    morning, evening = (
        MeasuredPoint(day, f"2 May 2026, visit {n}", 40, "C4", value)
        for n, value in ((1, 1.8), (2, 0.3))
    )
    drawn = replace(samples.TARGET, points=(morning, evening))
    written = [text for (text,) in rows(drawn, "text")]
    assert written == ["key dip, mm", "target", "2 May 2026, visit 2", "2 May 2026, visit 1"]


def test_a_target_without_an_upper_end_reaches_to_the_edge() -> None:
    ((low, high),) = rows(samples.TARGET_OPEN, "low", "high")
    assert low == 5.6
    assert 5.6 < high < 7


def test_costs_are_stacked_by_kind_and_no_year_is_left_out() -> None:
    drawn = samples.COST
    costs = [(cost.year, cost.kind, cost.amount) for cost in drawn.costs]
    assert rows(drawn, "year", "kind", "amount") == costs
    (bars,) = [
        each
        for each in layers(charts.spec(drawn, charts.LIGHT, "print"))
        if each["mark"]["type"] == "bar"
    ]
    assert bars["encoding"]["x"]["scale"]["domain"] == list(range(2017, 2027))
    assert bars["encoding"]["fill"]["scale"]["domain"] == list(samples.KINDS_IN_ORDER)


def test_tension_holds_each_string_and_names_the_signs_that_it_uses() -> None:
    drawn = samples.TENSION
    pulls = {(p.key, p.note, p.tension, p.wound, p.weak) for p in drawn.pulls}
    assert set(rows(drawn, "key", "note", "tension", "wound", "weak")) == pulls
    written = [text for (text,) in rows(drawn, "text")]
    assert written == ["tension of one string, N", "wound", "plain", "nearest to breaking"]
    part = [text for (text,) in rows(samples.TENSION_PART, "text")]
    assert part == ["tension of one string, lbf", "nearest to breaking"]
