"""The history as JSON."""

import json
from dataclasses import fields, replace

from dossier.edition.pages import InstrumentView
from dossier.render.data import history_json
from tests.render import sample_view


def test_it_says_how_it_is_read_and_what_it_cannot_say() -> None:
    view = sample_view.owner_view()
    history = json.loads(history_json(view))
    assert (history["schema"], history["version"]) == ("dossier-history", 1)
    assert history["limits"] == list(view.limits)


def test_it_holds_the_view_and_nothing_else() -> None:
    history = json.loads(history_json(sample_view.owner_view()))["history"]
    left_out = {"limits", "bench", "statement"}
    assert set(history) == {field.name for field in fields(InstrumentView)} - left_out
    assert history["visits"][0]["when"] == "2026-03-14"
    assert history["visits"][0]["work"][0] == {
        "cost": "160.00\N{NO-BREAK SPACE}USD",
        "detail": "",
        "kind": "tuning",
        "target": "",
        "text": "Tuned the whole compass",
        "when": "2026-03-14",
        "when_text": "14\N{NO-BREAK SPACE}March 2026",
    }


def test_the_bench_is_in_it_only_where_the_view_has_it() -> None:
    bench = json.loads(history_json(sample_view.bench_view()))["history"]["bench"]
    assert bench["access"] == "Side gate, code 4410; ring twice. Parking behind the bakery."


def test_a_statement_says_nothing_of_what_it_leaves_out() -> None:
    """An empty list of things to do would say that there are none."""
    document = json.loads(history_json(sample_view.sale_view()))
    assert document["limits"] == ["What is not named was not looked at."]
    history = document["history"]
    assert history.keys() & {"todos", "visits", "client", "air_story", "limits"} == set()
    assert history["statement"]["number"] == 2
    assert [part["id"] for part in history["statement"]["parts"]][:2] == ["brief", "identity"]
    assert b"pins.jpg" not in history_json(sample_view.sale_view())


def test_it_is_tidy_and_always_the_same() -> None:
    data = history_json(replace(sample_view.bare_view(), title="Der Flügel ♯"))
    assert data == history_json(replace(sample_view.bare_view(), title="Der Flügel ♯"))
    lines = data.decode().splitlines()
    assert lines[:3] == ["{", ' "history": {', '  "about": [],']
    assert '  "title": "Der Flügel ♯",' in lines
    assert data.endswith(b"}\n")
