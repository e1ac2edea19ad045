"""The life of an instrument as one picture: what is a mark, what a bar, and what is behind."""

from __future__ import annotations

from datetime import date

from dossier.edition.figures import LifePicture
from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces

BORN = 'made: 1912\nprovenance:\n  - "1912 made"\n  - "1998 bought, from a school"'
NOTES = {
    "2019-04-06": "work: tuning\nproblem:\n  - what: G4 buzzes\n    slug: buzz",
    "2020-05-02": "work: tuning\nfixed: buzz",
    "2021-05-01": "work: pitch raise\nreopened: buzz\nunsafe: the lid is loose",
    "2022-05-07": "work: repair\nsafe: hinged anew",
}


def life(notes: dict[str, str], instrument: str = BORN) -> LifePicture:
    found = page(history(notes, instrument=instrument)).life
    assert found is not None
    return found


def test_moments_are_marks_and_what_lasts_is_a_bar() -> None:
    found = life(NOTES)
    assert [(mark.when.year, mark.kind) for mark in found.marks] == [
        (1912, "origin"), (1998, "origin"),
        (2019, "visit"), (2020, "visit"), (2021, "raise"), (2022, "repair"),
    ]  # fmt: skip
    assert [(span.kind, span.short, span.pieces) for span in found.spans] == [
        ("safety", "The lid is loose", ((date(2021, 5, 1), date(2022, 5, 7)),)),
        (
            "problem",
            "G4 buzzes",
            ((date(2019, 4, 6), date(2020, 5, 2)), (date(2021, 5, 1), None)),
        ),
    ]
    assert found.title == "4 visits since April 2019, 1 problem open"


def test_each_bar_says_in_words_from_when_to_when() -> None:
    assert [plain_spaces(span.name) for span in life(NOTES).spans] == [
        "Safety warning, 1 May 2021 to 7 May 2022: The lid is loose.",
        "Problem, 6 April 2019 to 2 May 2020, open since 1 May 2021: G4 buzzes.",
    ]


def test_the_dry_months_stand_behind_the_years_of_the_notes_alone() -> None:
    found = life(NOTES)
    assert found.first == date(2019, 4, 6)
    assert found.seasons[0][0] >= found.first
    assert found.seasons[-1] == (date(2022, 1, 1), date(2022, 4, 1))
    assert len(found.seasons) == 3


def test_one_day_alone_is_no_picture() -> None:
    assert page(history({"2019-04-06": "work: tuning"})).life is None


def test_the_legend_names_only_what_is_drawn() -> None:
    found = life({"2019-04-06": "work: tuning"})
    assert [kind for kind, _ in found.legend] == ["origin", "visit"]
