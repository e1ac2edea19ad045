"""Condition, marks and measured kinds on the owner's page."""

from __future__ import annotations

import pytest

from dossier.edition.figures import AgainstTarget
from dossier.model import COMPONENTS
from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces, visit


def marks(notes: dict[str, str]) -> list[tuple[str, str, str, bool]]:
    found = page(history(notes)).marks
    return [(line.kind, line.marked, line.state, line.is_open) for line in found]


SEEN = {"2025-02-01": "air: 20 °C, 32 %\nloose pins: C5-E5"}


@pytest.mark.parametrize(
    ("later", "state", "is_open"),
    [
        ("", "new", True),
        ("loose pins: C5-E5", "seen again", True),
        ("work: tuning", "not checked since 1 February 2025", True),
        ("work:\n  - repair: bigger pins at C5-E5\n    component: tuning pins", "treated", False),
        (
            "air: 20 °C, 60 %\nclear: loose pins",
            "holding; to be checked again in the dry season",
            False,
        ),
        ("air: 20 °C, 31 %\nclear: loose pins", "recovered", False),
    ],
)
def test_what_became_of_a_mark(later: str, state: str, is_open: bool) -> None:
    notes = {**SEEN, **({"2026-02-01": later} if later else {})}
    assert marks(notes) == [("Loose pins", "C5–E5", state, is_open)]


def test_open_marks_come_first() -> None:
    notes = {
        "2025-02-01": "sticking keys: F3, A3-B3\nmoth: C4",
        "2025-03-01": "clear: sticking keys F3\nmoth: C4 larvae",
    }
    assert marks(notes) == [
        ("Sticking keys", "A3–B3", "not checked since 1 February 2025", True),
        ("Moth", "C4", "seen again", True),
        ("Sticking keys", "F3", "recovered", False),
    ]


def test_the_picture_of_the_marks_says_how_many_are_open() -> None:
    (figure,) = page(history({"2025-02-01": "sticking keys: F3, A3-B3 in rain"})).mark_figures
    assert (figure.title, figure.basis) == ("1 mark is open", "1 mark")
    assert figure.alt == "Chart of marked notes along the compass: Sticking keys F3, A3–B3 (new)."
    assert figure.table.rows == (
        ("Sticking keys", "F3, A3–B3", "new", "1 February 2025", "in rain"),
    )
    assert page(history({"2025-02-01": "work: tuning"})).mark_figures == ()


def test_a_visit_tells_its_marks_and_what_it_found_right() -> None:
    notes = {
        **SEEN,
        "2026-02-01": "sticking keys: F3 in rain\nclear: loose pins C5-D5\nchecked: all",
    }
    assert visit(page(history(notes)), "2026-02-01").lines == (
        "Sticking keys: F3 (in rain).",
        "Looked at again and found right: loose pins, C5–D5.",
        "Every earlier mark was looked at again; those not named are right.",
    )


def test_every_component_is_told_also_the_unseen_ones() -> None:
    view = page(
        history(
            {
                "2023-03-14": "condition:\n  keys: poor",
                "2024-03-14": "condition:\n  keys: very good\n  ribs: not examined",
                "2025-03-14": "condition:\n  keys: fair, front bushings swollen",
                "2026-03-14": "condition:\n  keys: not examined",
            }
        )
    )
    lines = {line.component: line for line in view.condition}
    assert len(lines) == len(COMPONENTS)
    keys = lines["Keys"]
    assert (keys.grade, keys.rank, keys.remark, keys.seen, keys.before) == (
        "fair", 3, "Front bushings swollen", "14 March 2025", "very good on 14 March 2024",
    )  # fmt: skip
    for unseen in ("Ribs", "Plate"):
        line = lines[unseen]
        assert (line.grade, line.rank, line.seen) == ("not examined", None, "")
    assert view.condition_story == "1 of 14 components have been looked at."


def test_nothing_graded_yet() -> None:
    assert page(history({})).condition_story == "No component has been graded yet."


def test_what_is_in_need_of_work() -> None:
    note = "condition:\n  bridges: poor\n  strings: failed\n  keys: fair"
    assert page(history({"2026-03-14": note})).condition_story == (
        "3 of 14 components have been looked at. In need of work: bridges and strings."
    )


def measured(note: str, instrument: str = "") -> tuple[str, str]:
    told = history({"2026-03-14": note}, instrument=instrument)
    (figure,) = page(told).measured_figures
    return plain_spaces(figure.title), plain_spaces(figure.sentence)


@pytest.mark.parametrize(
    ("note", "title", "sentence"),
    [
        (
            "key dip: A1 10.6 mm, A4 10 mm",
            "Key dip: 1 of 2 figures outside the target",
            "Key dip as measured, against 9.5 to 10.5 mm (common practice, no source).",
        ),
        (
            "key dip: A4 10 mm",
            "Key dip: within the target",
            "Key dip as measured, against 9.5 to 10.5 mm (common practice, no source).",
        ),
        (
            "drop: A4 3 mm",
            "Drop on 14 March 2026",
            "Drop as measured. No target is known.",
        ),
        (
            "pin torque: C5 4.5 N·m turning up",
            "Pin torque: 1 of 1 figures outside the target",
            (
                "Pin torque as measured, against 5.6 to 13.6 N·m (common practice, no source; "
                "torque alone condemns no pin)."
            ),
        ),
    ],
)
def test_a_measured_kind_against_its_target(note: str, title: str, sentence: str) -> None:
    assert measured(note) == (title, sentence)


def test_the_instruments_own_target_is_named() -> None:
    own = "targets:\n  key dip: 9.8-10.2 mm"
    assert measured("key dip: A4 10.3 mm", instrument=own) == (
        "Key dip: 1 of 1 figures outside the target",
        "Key dip as measured, against 9.8 to 10.2 mm (the instrument's own specification).",
    )


def test_figures_are_shown_in_the_shops_units() -> None:
    told = history({"2026-03-14": "key dip: A4 10 mm"}, shop="units: imperial")
    (figure,) = page(told).measured_figures
    assert plain_spaces(figure.table.rows[0][2]) == "0.394 in"
    assert plain_spaces(figure.sentence) == (
        "Key dip as measured, against 0.374 in to 0.413 in (common practice, no source)."
    )


def test_a_visits_measured_figures_with_their_verdict_and_line() -> None:
    note = "key dip:\n  - A1 10.6 mm, A3 10.7 mm\n  - A4 10 mm\n  - A5 10.2 mm\ndrop: 3 mm"
    table = visit(page(history({"2026-03-14": note})), "2026-03-14").measured
    assert table is not None
    assert [tuple(plain_spaces(cell) for cell in row) for row in table.rows] == [
        ("Drop", "3 mm", "", "line 6"),
        ("Key dip", "A1: 10.6 mm; A3: 10.7 mm", "outside", "line 3"),
        ("Key dip", "A4: 10 mm", "within", "line 4"),
        ("Key dip", "A5: 10.2 mm", "within", "line 5"),
    ]


def test_a_picture_of_measured_figures_keeps_to_the_shops_units() -> None:
    notes = {"2025-02-01": "key dip: A1 10.16 mm\npin torque: A1 5.65 N·m turning up"}
    found = page(history(notes, shop="units: imperial")).measured_figures
    drawn = [figure.drawn for figure in found]
    assert all(isinstance(one, AgainstTarget) for one in drawn)
    shown = {one.unit: one.points[0].value for one in drawn if isinstance(one, AgainstTarget)}
    assert shown == {"in": 0.4, "in·lb": 50.01}
    metric = page(history(notes)).measured_figures[0].drawn
    assert isinstance(metric, AgainstTarget)
    assert (metric.unit, metric.points[0].value) == ("mm", 10.16)
