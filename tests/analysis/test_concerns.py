"""Problems and advice: opened in one note, answered in another, open until then."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.analysis.concerns import AdviceLife, ProblemLife
from tests.analysis.one_piano import findings

BUZZ = "problem: G4 buzzes when played hard"


def problem(notes: dict[str, str]) -> ProblemLife:
    (life,) = findings(notes).problems
    return life


def advice(notes: dict[str, str], shop: str = "") -> AdviceLife:
    (life,) = findings(notes, shop=shop).advice
    return life


def test_a_problem_is_open_from_the_day_it_was_seen() -> None:
    life = problem({"2025-03-01": BUZZ, "2025-09-01": "work: tuning"})
    assert (life.state, life.is_open, life.since, life.days_open) == (
        "seen", True, date(2025, 3, 1), None,
    )  # fmt: skip


@pytest.mark.parametrize("what", ["watched", "diagnosed"])
def test_a_problem_that_is_looked_into_stays_open(what: str) -> None:
    life = problem({"2025-03-01": BUZZ, "2025-09-01": f"{what}: G4 buzz, a loose screw"})
    assert (life.state, life.is_open) == (what, True)
    assert [(news.when, news.text) for news in life.news] == [
        (date(2025, 9, 1), "a loose screw"),
    ]


def test_a_fixed_problem_tells_how_long_it_was_open() -> None:
    """1 March to 1 September: 184 days."""
    life = problem({"2025-03-01": BUZZ, "2025-09-01": "fixed: G4 buzz, hinge pin"})
    assert (life.state, life.is_open, life.days_open) == ("fixed", False, 184)


def test_a_reopened_problem_is_open_again_with_its_whole_story() -> None:
    notes = {
        "2025-03-01": BUZZ,
        "2025-09-01": "fixed: G4 buzz, hinge pin",
        "2026-03-01": "reopened: G4 buzz, it is back",
    }
    life = problem(notes)
    assert (life.state, life.is_open, life.days_open) == ("reopened", True, None)
    assert [news.what for news in life.news] == ["fixed", "reopened"]


def test_the_days_on_which_it_was_thought_fixed_are_not_counted() -> None:
    """184 days until it was fixed, and one from its return until it was glued."""
    notes = {
        "2025-03-01": BUZZ,
        "2025-09-01": "fixed: G4 buzz, hinge pin",
        "2026-03-01": "reopened: G4 buzz, it is back",
        "2026-03-02": "fixed: G4 buzz, glued",
    }
    assert problem(notes).days_open == 185


def test_a_problem_with_a_slug_is_called_by_it() -> None:
    life = problem({"2025-03-01": "problem (lyre): wobbles", "2025-09-01": "fixed: lyre"})
    assert (life.problem.id, life.problem.text, life.state) == ("lyre", "wobbles", "fixed")


WALL = "advice (wall): move it off the outer wall"


@pytest.mark.parametrize(
    ("answer", "state", "is_open"),
    [("agreed", "agreed", True), ("declined", "declined", False), ("done", "done", False)],
)
def test_advice_is_answered(answer: str, state: str, is_open: bool) -> None:
    life = advice({"2025-03-01": WALL, "2025-09-01": f"{answer}: wall, by the owner"})
    assert (life.state, life.is_open, life.waiting) == (state, is_open, False)


def test_advice_that_was_agreed_is_open_until_it_is_done() -> None:
    notes = {"2025-03-01": WALL, "2025-09-01": "agreed: wall", "2026-03-01": "done: wall"}
    life = advice(notes)
    assert ([news.what for news in life.news], life.is_open) == (["agreed", "done"], False)


def test_the_shops_patience_waits_for_an_answer() -> None:
    """180 days unless the shop says otherwise: common practice, no source."""
    life = advice({"2025-03-01": WALL})
    assert (life.state, life.waiting, life.window) == ("given", True, None)
    assert life.decide_by == date(2025, 8, 28)
    patient = advice({"2025-03-01": WALL}, shop="clocks:\n  advice: 30 days")
    assert patient.decide_by == date(2025, 3, 31)


@pytest.mark.parametrize("word", ["before", "by"])
def test_advice_with_a_last_day_can_be_done_until_then(word: str) -> None:
    """It is not late, nor waiting long, on the day after it was given."""
    life = advice({"2025-03-01": f"{WALL}, {word} October"})
    assert life.advice.text == "move it off the outer wall"
    assert (life.before, life.window) == (True, (date(2025, 3, 1), date(2025, 9, 30)))
    assert life.decide_by == date(2025, 8, 28)


def test_a_last_day_soon_is_the_day_to_decide_by() -> None:
    assert advice({"2025-03-01": f"{WALL}, before April"}).decide_by == date(2025, 3, 31)
