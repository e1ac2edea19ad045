"""A view holds only plain values, and says the same as long as nothing changes."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.edition.declared import BENCH, OWNER
from dossier.edition.instrument_page import instrument_view, sentences
from dossier.edition.listed import LinkRow, Listed
from dossier.edition.lists import bench_index, client_view
from dossier.edition.rows import due_rows, instrument_row, open_rows
from dossier.edition.situation import situation
from dossier.edition.view import Fact, canonical, digest, plain
from dossier.model import History, Notebook
from dossier.render.html import instrument_page
from dossier.theme import find_theme
from dossier.words import load
from tests.analysis.one_piano import history
from tests.edition.pages import page, told
from tests.edition.tiny_histories import histories

TODAY = "2026-11-25"


def test_plain_values() -> None:
    assert plain((Fact("a", "b"), None, True, 1, 0.5, Decimal("1.50"), date(2026, 3, 1))) == [
        {"label": "a", "value": "b", "source": ""}, None, True, 1, 0.5, "1.50", "2026-03-01",
    ]  # fmt: skip


@pytest.mark.parametrize("value", [["list"], {"a": 1}, {1}, frozenset("a"), b"bytes", object()])
def test_anything_else_is_refused(value: object) -> None:
    with pytest.raises(TypeError, match=f"^a view can't hold {type(value).__name__}$"):
        plain((value,))


def test_canonical_json_has_one_form() -> None:
    @dataclass(frozen=True)
    class Late:
        b: str
        a: str

    assert canonical(Late("ü", "x")) == '{"a":"x","b":"ü"}'
    assert digest(Late("ü", "x")) == hashlib.sha256('{"a":"x","b":"ü"}'.encode()).hexdigest()


def test_every_page_of_the_demo_is_plain_and_the_same_twice(demo: Notebook) -> None:
    for slug in demo.instruments:
        for edition in (OWNER, BENCH):
            first, second = (canonical(page(demo.history(slug), TODAY, edition)) for _ in range(2))
            assert first == second
            json.loads(first)


def test_the_lists_of_the_demo_are_plain(demo: Notebook) -> None:
    all_told = [told(demo.history(slug), TODAY) for slug in sorted(demo.instruments)]
    views = [instrument_view(BENCH, one) for one in all_told]
    rows = tuple(
        instrument_row(one, view, bench=True) for one, view in zip(all_told, views, strict=True)
    )
    listed = Listed(
        rows=rows,
        due=tuple(r for o, v in zip(all_told, views, strict=True) for r in due_rows(o, v)),
        open=tuple(r for o, v in zip(all_told, views, strict=True) for r in open_rows(o, v)),
    )
    day = date.fromisoformat(TODAY)
    link = LinkRow("A", "", "0/", "", day, None)
    index = bench_index(demo.shop, all_told[0].voice, day, listed, (link,), ("one",))
    assert len(plain(index)["rows"]) == len(demo.instruments)
    client = demo.clients["marlpit"]
    first_page = client_view(demo.shop, all_told[0].voice, client.id, client, rows)
    assert len(plain(first_page)["rows"]) == len(rows)


@settings(max_examples=60)
@given(histories(), st.sampled_from((OWNER, BENCH)))
def test_any_history_makes_a_plain_page_that_says_something(made: History, edition: object) -> None:
    view = page(made, "2026-06-01", BENCH if edition is BENCH else OWNER)
    assert json.loads(canonical(view)) == plain(view)
    assert view.state
    said = sentences(view, load("en-GB"))
    assert all(text == text.strip() for text in said)
    assert not [text for text in said if "None " in text.replace("None is planned", "")]
    assert not [text for text in said if ".." in text or "  " in text]


@settings(max_examples=40)
@given(histories(), st.dates(date(2024, 1, 1), date(2028, 1, 1)), st.integers(1, 60))
def test_two_days_between_which_nothing_changes_have_one_page(
    made: History, day: date, later: int
) -> None:
    first, second = told(made, day), told(made, day + timedelta(days=later))
    if first.now == second.now:
        assert canonical(instrument_view(OWNER, first)) == canonical(instrument_view(OWNER, second))
        assert canonical(instrument_view(BENCH, first)) == canonical(instrument_view(BENCH, second))


def test_an_idle_week_rebuilds_nothing(demo: Notebook) -> None:
    """Nothing of the heron comes due in these days."""
    heron = demo.history("heron")
    days = [date(2026, 12, 10) + timedelta(days=n) for n in range(7)]
    assert len({situation(heron, told(heron, day).findings, day).due for day in days}) == 1
    assert len({digest(page(heron, day)) for day in days}) == 1


def test_a_page_is_dated_by_its_last_visit_or_correction_and_never_by_today() -> None:
    notes = {"2025-03-14": "work: tuning"}
    assert page(history(notes), "2027-01-01").as_of_text == "14 March 2025"
    notes["2025-03-14"] = "work: tuning\ncorrected: 2025-05-02 the date was misread"
    view = page(history(notes), "2031-01-01")
    assert view.as_of_text == "2 May 2025"
    assert view.visits[0].corrections == ("Corrected on 2 May 2025: The date was misread.",)
    assert "2031" not in canonical(view)


def test_the_page_of_an_only_instrument_says_what_its_link_is() -> None:
    """An owner of one instrument has no first page beside it that would say so."""
    said = "Whoever has this link can read the page. If it got into wrong hands, ask for a new one."
    view = page(history({"2026-03-01": "work: tuning"}))
    assert said in view.limits
    assert said in instrument_page(view, {}, {}, load("en-GB"), find_theme()).decode()
