"""A later statement says what an earlier one said otherwise."""

from __future__ import annotations

import json
from datetime import date

from dossier.edition.declared import SALE
from dossier.edition.pages import StatementPart
from dossier.edition.statement import Issue, statement_view
from dossier.render.data import history_json
from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces, told

FIRST = {"2025-03-01": "work: tuning\nproblem: (buzz) it buzzes\ncondition:\n  keys: good"}
THEN = {
    "2025-03-01": "work: tuning\nproblem: (buzz) it buzzes\ncondition:\n  keys: good",
    "2026-03-01": "fixed: buzz, a screw\ncondition:\n  keys: fair",
}


def later(then: dict[str, str], now: dict[str, str], now_own: str = "") -> StatementPart:
    earlier = page(history(then, instrument="maker: Alder"), "2025-06-01", SALE)
    before = json.loads(history_json(earlier))["history"]
    known = told(history(now, instrument=now_own or "maker: Alder"), "2026-06-01")
    view = statement_view(SALE, known, Issue(date(2026, 6, 1), 2, before))
    assert view.statement is not None
    return view.statement.parts[1]


def test_the_same_record_differs_in_nothing() -> None:
    part = later(FIRST, FIRST)
    assert plain_spaces(part.title) == "What differs from the statement of 1 June 2025"
    assert part.said == ("Nothing but the date: the record has not changed since.",)
    assert part.tables == ()


def test_what_was_added_and_changed_is_told_line_by_line() -> None:
    part = later(FIRST, THEN)
    rows = [[plain_spaces(cell) for cell in row] for row in part.tables[0].rows]
    assert [
        "Condition",
        "Keys · good · 1 March 2025 · Ada Thorne · line 5",
        "Keys · fair · before: good on 1 March 2025 · 1 March 2026 · Ada Thorne · line 4",
    ] in rows
    assert [
        "Problems and warnings",
        "It buzzes. · open (seen) · 1 March 2025 · nothing yet · line 3",
        "It buzzes. · fixed · 1 March 2025 · Fixed on 1 March 2026: A screw. · line 3",
    ] in rows
    assert [
        "When it was seen", "nothing", "1 March 2026 · Ada Thorne · Looked at, nothing done",
    ] in rows  # fmt: skip
    assert part.said == (
        "That was number 1. It stays as it was issued, and this one takes its place.",
    )


def test_what_is_gone_is_told() -> None:
    part = later(THEN, FIRST, "model: none")
    rows = [[plain_spaces(cell) for cell in row] for row in part.tables[0].rows]
    assert ["Identity", "Maker · Alder", "Maker · not recorded"] in rows
    assert [
        "When it was seen", "1 March 2026 · Ada Thorne · Looked at, nothing done",
        "no longer there",
    ] in rows  # fmt: skip
    assert ["Identity", "nothing", "Model: none"] in rows


def test_a_third_one_is_compared_with_the_second_alone() -> None:
    """What differed before is no part of what is compared."""
    second = statement_view(
        SALE,
        told(history(THEN), "2026-06-01"),
        Issue(
            date(2026, 6, 1),
            2,
            json.loads(history_json(page(history(FIRST), "2025-06-01", SALE)))["history"],
        ),
    )
    before = json.loads(history_json(second))["history"]
    third = statement_view(
        SALE, told(history(THEN), "2026-07-01"), Issue(date(2026, 7, 1), 3, before)
    )
    assert third.statement is not None
    assert third.statement.parts[1].tables == ()
