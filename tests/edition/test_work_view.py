"""Work, problems, advice and money on the owner's page."""

from __future__ import annotations

import pytest

from dossier.edition.declared import BENCH
from dossier.edition.figures import CostYears
from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces, visit

WORK = """
    fee: 30 EUR
    work:
      - tuning, 85 EUR
      - repair: spliced the D#1 string
        price: 40 EUR
        parts: 6.50 EUR
        time: 45 min
        warranty: 1 year
        by: A. Thorne
      - treatment: thin adhesive at C5-E5
        irreversible: the adhesive stays in the wood
"""


def test_work_is_told_without_its_costs_unless_they_are_shown() -> None:
    view = page(history({"2026-03-14": WORK}))
    assert [(line.kind, line.text, plain_spaces(line.detail), line.cost) for line in view.work] == [
        ("Tuning", "", "", ""),
        (
            "Repair",
            "Spliced the D#1 string",
            "by A. Thorne; 45 mins; warranty until 14 March 2027",
            "",
        ),
        (
            "Treatment",
            "Thin adhesive at C5-E5",
            "can't be undone: the adhesive stays in the wood",
            "",
        ),
    ]
    assert view.cost_figures == ()


@pytest.mark.parametrize(
    ("shop", "client", "shown"),
    [
        ("", "", False),
        ("show costs: no", "", False),
        ("show costs: yes", "", True),
        ("show costs: yes", "show costs: no", False),
        ("show costs: no", "show costs: yes", True),
    ],
)
def test_the_clients_wish_on_costs_comes_before_the_shops(
    shop: str, client: str, shown: bool
) -> None:
    told = history({"2026-03-14": WORK}, shop=shop, client=client)
    view = page(told)
    costs = [line.cost for line in view.work if line.cost]
    assert costs == (["€85.00", "€46.50", "€30.00"] if shown else [])
    assert [line.cost for line in visit(view, "2026-03-14").work if line.cost] == costs
    assert bool(view.cost_figures) is shown
    assert [line.cost for line in page(told, edition=BENCH).work if line.cost] == [
        "€85.00", "€46.50", "€30.00",
    ]  # fmt: skip


def test_what_was_paid_by_year_and_kind() -> None:
    notes = {"2025-03-14": "work: tuning, 80.10 EUR", "2026-03-14": WORK}
    (figure,) = page(history(notes, shop="show costs: yes")).cost_figures
    assert (figure.id, figure.title, figure.basis) == (
        "cost-eur", "€241.60 since 2025", "what was noted in 2 years, in EUR",
    )  # fmt: skip
    assert figure.table.rows == (
        ("2025", "Tuning", "€80.10"),
        ("2026", "Repair", "€46.50"),
        ("2026", "Tuning", "€85.00"),
        ("2026", "Visit", "€30.00"),
    )
    assert isinstance(figure.drawn, CostYears)
    assert [cost.amount for cost in figure.drawn.costs] == [80.1, 46.5, 85.0, 30.0]


def test_each_currency_has_a_picture_of_its_own() -> None:
    notes = {"2026-03-14": "work:\n  - tuning, 80 EUR\n  - tuning, 90 USD"}
    figures = page(history(notes, shop="show costs: yes")).cost_figures
    assert [(f.id, f.title) for f in figures] == [
        ("cost-eur", "€80.00 since 2026"),
        ("cost-usd", "US$90.00 since 2026"),
    ]


BUZZ = {"2025-03-01": "problem:\n  - G4 buzzes when played hard\n  - the pedal squeaks"}


def test_a_problem_tells_its_story_and_the_open_ones_come_first() -> None:
    notes = {
        **BUZZ,
        "2025-09-01": "diagnosed: G4 buzz, a loose hinge",
        "2026-03-01": "fixed: G4 buzz, hinge screwed",
    }
    lines = page(history(notes)).problems
    assert [(line.text, line.is_open, line.state, line.since) for line in lines] == [
        ("The pedal squeaks.", True, "seen", "1 March 2025"),
        ("G4 buzzes when played hard.", False, "fixed", "1 March 2025"),
    ]
    assert lines[1].story == (
        "Diagnosed on 1 September 2025: A loose hinge.",
        "Fixed on 1 March 2026: Hinge screwed.",
        "It was open for 365 days.",
    )
    assert lines[1].target == "visit-2025-03-01"


def test_a_visit_tells_what_it_did_to_a_problem() -> None:
    view = page(history({**BUZZ, "2025-09-01": "watched: G4 buzz, still there"}))
    assert visit(view, "2025-03-01").problems == (
        "New: G4 buzzes when played hard.",
        "New: The pedal squeaks.",
    )
    assert visit(view, "2025-09-01").problems == (
        "Watched: G4 buzzes when played hard. Still there.",
    )


WALL = "advice (wall): move it off the outer wall"


def advised(today: str, words: str = "", answer: str = "") -> str:
    notes = {"2025-03-01": f"{WALL}{words}"}
    if answer:
        notes["2025-06-01"] = f"{answer}: wall"
    (line,) = page(history(notes), today).advice
    return line.state


@pytest.mark.parametrize(
    ("words", "today", "state"),
    [
        ("", "2025-03-02", "waiting for an answer"),
        ("", "2025-08-28", "waiting for an answer"),
        ("", "2025-08-29", "waiting long for an answer"),
        (", before October", "2025-08-28", "waiting for an answer"),
        (", before October", "2025-09-30", "waiting long for an answer"),
        (", before October", "2025-10-01", "overdue"),
    ],
)
def test_unanswered_advice_on_a_day(words: str, today: str, state: str) -> None:
    assert advised(today, words) == state


@pytest.mark.parametrize("answer", ["agreed", "declined", "done"])
def test_answered_advice(answer: str) -> None:
    assert advised("2026-06-01", "", answer) == answer


def test_agreed_advice_is_overdue_once_its_time_is_over_and_done_advice_never() -> None:
    assert advised("2025-10-01", ", before October", "agreed") == "overdue"
    assert advised("2025-10-01", ", before October", "done") == "done"
    assert advised("2025-10-01", ", before October", "declined") == "declined"


def test_advice_tells_when_it_should_be_done_and_what_became_of_it() -> None:
    notes = {
        "2025-03-01": f"{WALL}, before October",
        "2025-06-01": "agreed: wall, after the summer",
    }
    (line,) = page(history(notes)).advice
    assert (line.text, line.given, line.waiting) == (
        "Move it off the outer wall.", "1 March 2025", True,
    )  # fmt: skip
    assert line.story == (
        "To be done by 30 September 2025.",
        "Agreed on 1 June 2025: After the summer.",
    )
