"""The life of a mark, a grade and a measured figure, from one note to the next."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dossier.analysis.condition import MarkLife
from tests.analysis.one_piano import dry_log, findings

SLUGGISH = "sluggish dampers"


def lives(notes: dict[str, str], files: dict[str, str] | None = None) -> list[tuple[str, str, str]]:
    """Each life as its kind, its keys (F3 is 33) and its state."""
    found = findings(notes, files=files)
    return [(life.kind, keys(life), life.state) for life in found.marks]


def keys(life: MarkLife) -> str:
    return " ".join(f"{first}-{last}" for first, last in life.places)


def one(notes: dict[str, str], files: dict[str, str] | None = None) -> MarkLife:
    (life,) = findings(notes, files=files).marks
    return life


def test_a_mark_is_new_when_it_is_first_seen() -> None:
    life = one({"2025-03-01": "sticking keys: F3-B3, D4 after rain"})
    assert (life.kind, life.component, life.places) == (
        "sticking keys", "keys", ((33, 39), (42, 42)),
    )  # fmt: skip
    assert (life.state, life.is_open, life.remark) == ("new", True, "after rain")
    assert (life.first_seen, life.last_seen) == (date(2025, 3, 1), date(2025, 3, 1))


def test_a_mark_seen_again_keeps_the_day_on_which_it_was_first_seen() -> None:
    life = one({"2025-03-01": "sticking keys: F3", "2025-09-01": "sticking keys: F3"})
    assert (life.state, life.first_seen, life.last_seen) == (
        "seen again", date(2025, 3, 1), date(2025, 9, 1),
    )  # fmt: skip


def test_a_mark_that_a_later_note_leaves_out_was_not_checked_and_never_healed() -> None:
    life = one({"2025-03-01": "sticking keys: F3", "2025-09-01": "work: tuning"})
    assert (life.state, life.is_open, life.last_looked) == (
        "not checked since", True, date(2025, 3, 1),
    )  # fmt: skip


def test_keys_with_different_stories_part() -> None:
    notes = {"2025-03-01": "sticking keys: F3-A3", "2025-09-01": "sticking keys: G3"}
    assert lives(notes) == [
        ("sticking keys", "33-34 36-37", "not checked since"),
        ("sticking keys", "35-35", "seen again"),
    ]


def test_a_treated_mark_is_open_no_more_until_it_is_seen_again() -> None:
    notes = {"2025-03-01": "sticking keys: F3-A3\nwork: eased keys F3-A3"}
    assert lives(notes) == [("sticking keys", "33-37", "treated")]
    notes["2025-09-01"] = "work: tuning"
    assert lives(notes) == [("sticking keys", "33-37", "treated")]
    notes["2026-03-01"] = "sticking keys: F3"
    assert lives(notes) == [
        ("sticking keys", "33-33", "seen again"),
        ("sticking keys", "34-37", "treated"),
    ]


def test_work_on_other_keys_treats_nothing() -> None:
    notes = {"2025-03-01": "sticking keys: F3", "2025-09-01": "work: eased keys C4-E4"}
    assert lives(notes) == [("sticking keys", "33-33", "not checked since")]


@pytest.mark.parametrize(
    "work",
    [
        "eased keys C5-E5",
        "tuning, C5-E5 twice",
        "rough tuning C5-E5",
        "pitch raise, C5-E5 in three passes",
        "voiced C5-E5",
        "regulation of C5-E5",
        "repair: bushings of C5-E5\n    component: keys",
    ],
)
def test_work_treats_only_what_it_reaches(work: str) -> None:
    """A loose pin is not helped by an eased key, whatever note both stand on."""
    notes = {"2025-03-01": "loose pins: C5-E5", "2025-09-01": f"work:\n  - {work}"}
    assert lives(notes) == [("loose pins", "52-56", "not checked since")]


def test_work_on_the_component_itself_treats() -> None:
    notes = {
        "2025-03-01": "loose pins: C5-E5\nbroken strings: D5",
        "2025-09-01": "work:\n  - repair: oversize pins at C5-E5\n    component: tuning pins",
    }
    assert lives(notes) == [
        ("broken strings", "54-54", "not checked since"),
        ("loose pins", "52-56", "treated"),
    ]


def test_a_cleared_kind_is_right_in_all_its_places() -> None:
    notes = {"2025-03-01": f"{SLUGGISH}: C5-G5\nmoth: C4", "2025-09-01": f"clear: {SLUGGISH}"}
    assert lives(notes) == [
        (SLUGGISH, "52-59", "recovered"),
        ("moth", "40-40", "not checked since"),
    ]


def test_part_of_a_range_is_cleared() -> None:
    notes = {"2025-03-01": f"{SLUGGISH}: C5-G5", "2025-09-01": f"clear: {SLUGGISH} C5-E5"}
    assert lives(notes) == [
        (SLUGGISH, "52-56", "recovered"),
        (SLUGGISH, "57-59", "not checked since"),
    ]


def test_checked_all_clears_what_the_note_does_not_mark_again() -> None:
    notes = {
        "2025-03-01": f"{SLUGGISH}: C5-E5\nsticking keys: F3, G3",
        "2025-09-01": "checked: all\nsticking keys: G3",
    }
    assert sorted(lives(notes)) == [
        (SLUGGISH, "52-56", "recovered"),
        ("sticking keys", "33-33", "recovered"),
        ("sticking keys", "35-35", "seen again"),
    ]


def test_checked_names_a_kind() -> None:
    notes = {
        "2025-03-01": f"{SLUGGISH}: C5\nsticking keys: F3",
        "2025-09-01": "checked: sticking keys",
    }
    assert sorted(lives(notes)) == [
        (SLUGGISH, "52-52", "not checked since"),
        ("sticking keys", "33-33", "recovered"),
    ]


def test_a_mark_that_comes_back_after_it_recovered_is_new() -> None:
    life = one(
        {
            "2025-03-01": "sticking keys: F3",
            "2025-06-01": "clear: sticking keys",
            "2025-09-01": "sticking keys: F3",
        }
    )
    assert (life.state, life.first_seen) == ("new", date(2025, 9, 1))


SEEN_DRY = {"2025-02-01": "air: 20 °C, 32 %\nloose pins: C5-E5"}


def test_a_pin_that_grips_in_damp_wood_is_only_holding() -> None:
    notes = {**SEEN_DRY, "2025-08-01": "air: 21 °C, 62 %\nclear: loose pins"}
    life = one(notes)
    assert (life.state, life.is_open) == ("holding", False)
    seen, clear = life.moisture
    assert seen is not None
    assert clear is not None
    assert seen < clear


def test_it_recovers_only_once_it_grips_in_wood_at_least_as_dry() -> None:
    notes = {
        **SEEN_DRY,
        "2025-08-01": "air: 21 °C, 62 %\nclear: loose pins",
        "2026-01-20": "air: 20 °C, 36 %\nclear: loose pins",
    }
    assert one(notes).state == "holding"
    notes["2026-02-10"] = "air: 20 °C, 32 %\nclear: loose pins"
    assert one(notes).state == "recovered"


def test_no_reading_of_the_air_means_no_recovery() -> None:
    notes = {**SEEN_DRY, "2026-02-10": "clear: loose pins"}
    assert one(notes).state == "holding"


def test_a_mark_that_does_not_hide_in_damp_wood_recovers_at_once() -> None:
    notes = {
        "2025-02-01": "air: 20 °C, 32 %\nsticking keys: C5",
        "2025-08-01": "air: 21 °C, 62 %\nclear: sticking keys",
    }
    assert one(notes).state == "recovered"


def test_the_rooms_log_speaks_for_the_wood_before_the_reading_of_one_hour() -> None:
    """The windows were open on the day; the month before had been damp."""
    notes = {**SEEN_DRY, "2026-02-10": "air: 20 °C, 30 %\nclear: loose pins"}
    assert one(notes).state == "recovered"
    log = {"rooms/parlour/2026.csv": dry_log(date(2026, 1, 5), 40, humidity=55)}
    assert one(notes, log).state == "holding"


def test_a_log_of_a_few_days_does_not_speak_for_the_wood() -> None:
    notes = {**SEEN_DRY, "2026-02-10": "air: 20 °C, 30 %\nclear: loose pins"}
    log = {"rooms/parlour/2026.csv": dry_log(date(2026, 2, 4), 7, humidity=55)}
    assert one(notes, log).state == "recovered"


def test_a_dry_month_in_the_log_ends_the_waiting() -> None:
    notes = {**SEEN_DRY, "2026-02-10": "air: 20 °C, 50 %\nclear: loose pins"}
    assert one(notes).state == "holding"
    log = {"rooms/parlour/2026.csv": dry_log(date(2026, 1, 5), 40, humidity=30)}
    assert one(notes, log).state == "recovered"


def test_not_examined_never_counts_as_a_look() -> None:
    found = findings(
        {
            "2025-03-01": "condition:\n  pin block: fair, two pins weak\n  ribs: not examined",
            "2026-03-01": "condition:\n  pin block: not examined",
        }
    )
    components = {life.component: life for life in found.components}
    assert components["pin block"].seen == date(2025, 3, 1)
    assert [look[1:3] for look in components["pin block"].looks] == [("fair", "two pins weak")]
    assert components["ribs"].seen is None
    assert len(components["ribs"].grades) == 1
    assert components["plate"].grades == ()


def measured(note: str, *, instrument: str = "", shop: str = "") -> dict[str, object]:
    (life,) = findings({"2025-03-01": note}, instrument=instrument, shop=shop).measured
    return {
        "target": life.target,
        "outside": [str(figure.value) for figure in life.figures if life.outside(figure)],
    }


OWN = "targets:\n  key dip: 9.8-10.2 mm"
SHOPS = """
measured kinds:
  - name: key dip
    unit: mm
    target: 9.6-10.4 mm
    source: the shop's own rule
"""


def test_the_instruments_own_specification_comes_before_the_shops() -> None:
    told = measured("key dip: A1 10.3 mm, A4 10 mm", instrument=OWN, shop=SHOPS)
    assert told == {
        "target": (Decimal("9.8"), Decimal("10.2"), "the instrument's own specification"),
        "outside": ["10.3"],
    }


def test_the_shops_rule_comes_before_common_practice() -> None:
    told = measured("key dip: A1 10.45 mm, A4 10.3 mm", shop=SHOPS)
    assert told == {
        "target": (Decimal("9.6"), Decimal("10.4"), "the shop's own rule"),
        "outside": ["10.45"],
    }


def test_common_practice_is_named_as_such() -> None:
    told = measured("key dip: A1 10.6 mm, A4 10.3 mm")
    assert told == {
        "target": (Decimal("9.5"), Decimal("10.5"), "common practice, no source"),
        "outside": ["10.6"],
    }


def test_a_target_holds_for_its_form_of_instrument() -> None:
    assert measured("drop: A4 3 mm") == {"target": None, "outside": []}
    assert measured("drop: A4 3 mm", instrument="shape: grand") == {
        "target": (Decimal(1), Decimal("2.4"), "common practice, no source"),
        "outside": ["3"],
    }


def test_only_the_troubled_side_of_a_target_is_outside() -> None:
    """Torque above the range troubles nobody; lost motion can't be too little."""
    told = measured("pin torque: A2 5.0 N·m turning up, C5 15 N·m turning up")
    assert told["outside"] == ["5.0"]
    assert measured("lost motion: A2 0 mm, C5 0.8 mm")["outside"] == ["0.8"]


def test_a_figure_keeps_its_place_its_words_and_its_line() -> None:
    (life,) = findings({"2025-03-01": "air: 20 °C, 40 %\nlet-off: 2 mm"}).measured
    assert [(f.key, f.value, f.line) for f in life.figures] == [(None, Decimal(2), 3)]
    (life,) = findings({"2025-03-01": "pin torque: F4.2 4.5 N·m turning up"}).measured
    assert [(f.key, f.value, f.qualifier) for f in life.figures] == [
        (45, Decimal("4.5"), "turning up"),
    ]


def test_the_last_figures_are_those_of_the_last_visit_that_measured() -> None:
    (life,) = findings(
        {
            "2024-03-01": "key dip: A1 11 mm, A4 11 mm",
            "2025-03-01": "key dip: A4 10 mm",
            "2026-03-01": "work: tuning",
        }
    ).measured
    assert [(f.visit, str(f.value)) for f in life.latest] == [("2025-03-01", "10")]
