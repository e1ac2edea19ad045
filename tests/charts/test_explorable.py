"""The chart that a reader goes into: the same figures, each said, on an axis that can be moved."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from dossier import charts
from dossier.charts import axes, explorable
from dossier.charts.engine import engine, engine_name
from dossier.edition.figures import Drawn
from dossier.quantities import Formatter
from tests.charts import samples

FORM = Formatter("en-GB")


def explored(drawn: Drawn) -> Any:
    figure = samples.figure("one", drawn)
    return json.loads(explorable.charts([figure], FORM)["one"])


def told(drawn: Drawn) -> list[str]:
    """What is said at each figure, once each, in the order of the data."""
    datasets = explored(drawn)["spec"]["datasets"]
    rows = [row for values in datasets.values() for row in values]
    return list(dict.fromkeys(row["said"] for row in rows if "said" in row))


@pytest.mark.parametrize(("name", "drawn"), samples.SAMPLES, ids=[n for n, _ in samples.SAMPLES])
def test_every_figure_is_said_and_the_data_is_the_pictures_own(name: str, drawn: Drawn) -> None:
    made, still = explored(drawn)["spec"], charts.spec(drawn, charts.LIGHT, "screen")
    bare = {
        key: [{field: row[field] for field in row if field != "said"} for row in rows]
        for key, rows in made["datasets"].items()
    }
    assert bare == still["datasets"], name
    assert all(told(drawn))
    assert not re.search(r'"#[0-9a-f]{6}"', json.dumps(made)), "a colour that knows no dark mode"


def test_a_reading_is_said_with_its_note_its_stage_and_its_unit() -> None:
    assert told(samples.along(samples.keys((49, -4.5)), samples.keys((49, 0.5)))) == [
        "A4, as found: −4.5 cents from A4 = 440 Hz",
        "A4, as left: +0.5 cents from A4 = 440 Hz",
    ]


def test_a_day_of_the_room_is_said_with_its_range() -> None:
    assert told(samples.ROOM_ONE_DAY) == ["14 March 2026: 40\u00a0% (38 … 43\u00a0%)"]


def test_marks_and_measured_figures_and_costs_are_said() -> None:
    assert "F3–G♯3, loose tuning pins: pins driven" not in told(samples.MARKS)
    assert "D3–F3, loose tuning pins: pins driven" in told(samples.MARKS)
    assert told(samples.TARGET)[0].startswith("11 April ")
    assert all(line.endswith("\u00a0mm") for line in told(samples.TARGET))
    assert all(re.fullmatch(r"20\d\d, .+: \S+\u00a0[\d,]+\.\d\d", t) for t in told(samples.COST))


def test_an_axis_of_notes_or_days_can_be_moved_and_one_of_years_not() -> None:
    keys, days = explored(samples.ALONG), explored(samples.YEARS)
    assert keys["stretch"]["kind"] == "keys"
    assert (keys["stretch"]["from"], keys["stretch"]["to"]) == (0, 89)
    assert [keys["stretch"]["names"][key] for key in ("1", "49", "88")] == ["A0", "A4", "C8"]
    assert days["stretch"]["kind"] == "days"
    assert days["stretch"]["months"][2] == "Mar"
    assert explored(samples.COST)["stretch"] is None
    assert explored(samples.SEASON)["stretch"] is None
    for made in (keys, days):
        assert [one["name"] for one in made["spec"]["params"]] == [
            "lower", "upper", "near", "ticks", "names",
        ]  # fmt: skip


def test_the_names_of_an_axis_come_back_out_of_its_expression() -> None:
    named = {"1": "A0", "2.5": 'a "quoted" (name)[1]', "-3": "März"}
    expression = axes.labels(
        ((float(at) if "." in at else int(at), named[at]) for at in named), "x"
    )
    assert axes.named(expression) == named


def test_the_page_is_handed_its_charts_by_a_script() -> None:
    made = explorable.script({"a": '{"spec":1}', "b": "2"})
    assert made == b'dossierCharts({"a":{"spec":1},"b":2});\n'


def test_the_engine_is_the_same_each_time_and_named_by_what_it_hangs_on() -> None:
    import vl_convert

    assert engine() == vl_convert.javascript_bundle().encode()  # type: ignore[call-arg]
    assert b"window.vegaEmbed=" in engine()
    assert re.fullmatch(r"charts-\d[\w.]+\.js", engine_name())
