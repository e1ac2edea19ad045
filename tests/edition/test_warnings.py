"""A warning is told alike in every place: on the page, in the picture, in short and on the line."""

from __future__ import annotations

from datetime import date

import pytest

from dossier.edition.declared import SALE
from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces

LID, LEG = "unsafe: the lid is loose", "unsafe: a leg is loose"
HINGED, MENDED = "safe: the lid is hinged anew", "safe: all is mended"
Bar = tuple[str, date, date | None]


def bars(notes: dict[str, str]) -> list[Bar]:
    found = page(history(notes)).life
    assert found is not None
    return [(one.short, *one.pieces[0]) for one in found.spans if one.kind == "safety"]


def moments(notes: dict[str, str]) -> list[tuple[str, str, str]]:
    found = page(history(notes)).timeline
    return [(str(one.when), one.label, one.text) for one in found if one.label.startswith("Safety")]


def in_short(notes: dict[str, str]) -> list[str]:
    view = page(history(notes), edition=SALE)
    assert view.statement is not None
    brief = next(part for part in view.statement.parts if part.id == "brief")
    return [plain_spaces(text) for text in brief.said if text.startswith("Warning")]


ONE_OF_TWO = {"2024-03-01": LID, "2025-03-01": f"{HINGED}\n{LEG}", "2026-03-01": "work: tuning"}


def test_of_two_warnings_the_one_is_lifted_and_the_other_stands_in_every_place() -> None:
    assert page(history(ONE_OF_TWO)).unsafe == "A leg is loose."
    assert bars(ONE_OF_TWO) == [
        ("The lid is loose", date(2024, 3, 1), date(2025, 3, 1)),
        ("A leg is loose", date(2025, 3, 1), None),
    ]
    assert in_short(ONE_OF_TWO) == [
        "Warning of 1 March 2025, not lifted since: A leg is loose.",
        "Warning of 1 March 2024, lifted on 1 March 2025: The lid is hinged anew.",
    ]
    assert moments(ONE_OF_TWO) == [
        ("2024-03-01", "Safety warning", "The lid is loose."),
        ("2025-03-01", "Safety warning lifted", "The lid is hinged anew."),
        ("2025-03-01", "Safety warning", "A leg is loose."),
    ]


@pytest.mark.parametrize("lifted", [False, True])
def test_a_warning_after_another_lifts_it_in_no_place(lifted: bool) -> None:
    notes = {
        "2024-03-01": LID,
        "2025-03-01": LEG,
        "2026-03-01": MENDED if lifted else "work: tuning",
    }
    ends = date(2026, 3, 1) if lifted else None
    assert page(history(notes)).unsafe == ("" if lifted else "The lid is loose; a leg is loose.")
    assert bars(notes) == [
        ("The lid is loose", date(2024, 3, 1), ends),
        ("A leg is loose", date(2025, 3, 1), ends),
    ]
    assert in_short(notes) == (
        [
            "Warning of 1 March 2024, lifted on 1 March 2026: All is mended.",
            "Warning of 1 March 2025, lifted on 1 March 2026: All is mended.",
        ]
        if lifted
        else ["Warning of 1 March 2024, not lifted since: The lid is loose; a leg is loose."]
    )
    assert [label for _, label, _ in moments(notes)] == [
        "Safety warning",
        "Safety warning",
        *(["Safety warning lifted"] if lifted else []),
    ]


def test_what_lifts_nothing_is_told_by_its_visit_alone() -> None:
    notes = {"2024-03-01": "work: tuning", "2025-03-01": MENDED}
    assert (bars(notes), in_short(notes), moments(notes)) == ([], [], [])
    lines = page(history(notes)).visits[0].lines
    assert "Warning lifted: All is mended." in lines
