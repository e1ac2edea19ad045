"""A later note names an earlier problem or advice by its note and a word, its day, or its slug."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from tests.read.tiny_shop import read

BUZZ = "2025-03-01-1"
LYRE = "2025-06-01-1"


def news(*notes: str) -> tuple[list[tuple[str, str, str]], list[str]]:
    """What became of the problems in notes a month apart, and what was found."""
    lyre = "---\nproblem: lyre creaks at the left pedal\n---\n"
    files = {"instruments/heron/visits/2025-06-01.md": lyre}
    for month, note in enumerate(notes, 1):
        files[f"instruments/heron/visits/2026-{month:02}-01.md"] = f"---\n{note}\n---\nSeen.\n"
    notebook, found = read(files)
    told: list[tuple[str, str, str]] = [
        (one.problem, one.what, one.text)
        for visit in notebook.visits["heron"]
        for one in visit.problem_news
    ]
    return told, [one.code for one in found]


@pytest.mark.parametrize(
    ("reference", "problem"),
    [
        ("G4 buzz", BUZZ),
        ("g4 buzzing", BUZZ),
        ("the buzz", BUZZ),
        ("G4", BUZZ),
        ("key 47 buzz", BUZZ),
        ("key 48 buzz", ""),
        ("2025-03-01 buzz", BUZZ),
        ("2025-03-01-1", BUZZ),
        ("lyre", LYRE),
        ("creaking lyre", LYRE),
        ("A4 buzz", ""),
        ("2025-06-01 buzz", ""),
        ("rattle", ""),
    ],
)
def test_a_reference_means_the_problem_in_which_all_of_it_occurs(
    reference: str, problem: str
) -> None:
    told, codes = news(f"fixed: {reference}, felt renewed")
    assert told == ([(problem, "fixed", "felt renewed")] if problem else [])
    assert codes == ([] if problem else ["problem-unknown"])


def test_a_slug_names_a_problem_in_all_three_ways_of_writing_it() -> None:
    for note in (
        "problem (hinge): desk rattles",
        "problem: (hinge) desk rattles",
        "problem:\n  - what: desk rattles\n    slug: hinge\n    component: case\n    keys: G4, C5",
    ):
        assert news(note, "fixed: hinge") == ([("hinge", "fixed", "")], [])


def test_news_may_be_a_map() -> None:
    note = "watched:\n  - problem: G4 buzz\n    text: still there, softer"
    assert news(note) == ([(BUZZ, "watched", "still there, softer")], [])


def test_of_two_that_fit_the_open_one_is_meant() -> None:
    told, codes = news("fixed: G4 buzz", "problem: G4 buzzes again", "fixed: G4 buzz")
    assert codes == []
    assert [problem for problem, _, _ in told] == [BUZZ, "2026-02-01-1"]


def test_a_problem_that_came_back_is_the_closed_one() -> None:
    told, codes = news(
        "fixed: G4 buzz", "problem: G4 buzzes below", "reopened: G4 buzz", "fixed: G4 buzz below"
    )
    assert codes == []
    assert [problem for problem, _, _ in told] == [BUZZ, BUZZ, "2026-02-01-1"]


def test_where_an_earlier_note_cannot_be_read_only_its_own_mistake_is_told() -> None:
    assert news("problem: x: y", "fixed: x") == ([], ["yaml-second-colon"])


@pytest.mark.parametrize(
    ("notes", "answers"),
    [
        (["agreed: outer wall, this summer"], [("wall", "agreed", "this summer")]),
        (["declined: wall"], [("wall", "declined", "")]),
        (["done: move"], [("wall", "done", "")]),
        (
            ["advice: a humidifier, by 2026-10", "agreed: wall", "done: humidifier, in the loft"],
            [("wall", "agreed", ""), ("2026-01-01-advice-1", "done", "in the loft")],
        ),
    ],
)
def test_advice_is_answered_by_its_words(
    notes: Sequence[str], answers: list[tuple[str, str, str]]
) -> None:
    files = {
        f"instruments/heron/visits/2026-{month:02}-01.md": f"---\n{note}\n---\n"
        for month, note in enumerate(notes, 1)
    }
    notebook, found = read(files)
    assert [str(one) for one in found] == []
    assert [
        (one.advice, one.what, one.text)
        for visit in notebook.visits["heron"]
        for one in visit.advice_news
    ] == answers
