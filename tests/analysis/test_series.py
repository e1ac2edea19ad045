"""Which figures of a history compare with which, and where it stops being the same instrument."""

from datetime import date

import pytest

from dossier.analysis.answers import Cut, LeftOut
from dossier.analysis.room_years import room_years, wood_at_visits
from dossier.analysis.series import Comparison, Series, sections, series
from dossier.model import History
from tests.analysis.one_piano import PIANO, Notes, history
from tests.bench_analysis import CLIMATE

TUNED = "air: 20 °C, 45 %\nfound: A1 -6, A4 -9, A6 -4\nleft: on pitch\nwork: tuning"
READ = "air: 20 °C, 45 %\nfound: A1 +3, A4 +5, A6 +2\nleft: as found"
REGISTERS = ("bass", "tenor", "treble")


def told(whole: History) -> Series:
    _, known = wood_at_visits(whole, room_years(whole))
    return series(whole, known)


def compared(notes: Notes, instrument: str = "") -> tuple[Comparison, ...]:
    return told(history(notes, instrument=instrument)).comparisons


def lines(found: tuple[Comparison, ...]) -> list[tuple[str, float, float]]:
    return [(REGISTERS[item.register], item.before.cents, item.cents) for item in found]


def test_found_compares_with_left() -> None:
    found = compared({"2024-03-01": TUNED, "2024-09-01": READ})
    assert lines(found) == [("bass", 0.0, 3.0), ("tenor", 0.0, 5.0), ("treble", 0.0, 2.0)]
    assert [item.before.raised for item in found] == [6.0, 9.0, 4.0]


def test_a_visit_that_tuned_nothing_left_the_pitch_as_found() -> None:
    notes = {"2024-03-01": TUNED, "2024-09-01": READ, "2025-03-01": READ}
    *_, last = compared(notes)
    assert (last.before.cents, last.moved, last.before.read) == (2.0, 0.0, True)
    # It goes on settling from the work half a year before it, since which its share is told.
    assert last.before.raised == 4.0
    assert date.fromordinal(last.before.set_day) == date(2024, 3, 1)
    assert last.since_set.cents == 0.0


def test_tuned_without_a_word_of_how_it_was_left_is_at_the_target_with_a_wider_error() -> None:
    bare = TUNED.replace("left: on pitch\n", "")
    found = compared({"2024-03-01": bare, "2024-09-01": READ})
    assert [(item.before.cents, item.before.shared) for item in found] == [(0.0, 4.0)] * 3


def test_a_raise_that_nobody_measured_widens_the_error() -> None:
    unread = "air: 20 °C, 45 %\nleft: on pitch\nwork: tuning"
    found = compared({"2024-03-01": unread, "2024-09-01": READ})
    assert [item.before.raised for item in found] == [0.0] * 3
    assert [item.before.shared for item in found] == pytest.approx([2.56] * 3)


def test_a_single_figure_speaks_for_every_register_with_a_wider_error() -> None:
    found = compared({"2024-03-01": TUNED, "2024-09-01": "air: 20 °C, 45 %\nfound: 8 sharp"})
    assert [(item.cents, item.own, item.shared) for item in found] == [(8.0, 4.0, 9.0)] * 3


def test_a_register_that_was_not_read_waits_for_the_next_reading() -> None:
    only_tenor = "air: 20 °C, 45 %\nfound: A4 +4\nleft: as found"
    found = compared({"2024-03-01": TUNED, "2024-09-01": only_tenor, "2025-03-01": READ})
    assert lines(found) == [
        ("tenor", 0.0, 4.0),
        ("bass", 0.0, 3.0),
        ("tenor", 4.0, 5.0),
        ("treble", 0.0, 2.0),
    ]


def test_slack_pins_and_new_splices_say_nothing_of_their_register() -> None:
    slack = READ.replace("A6 +2", "A6 +2, C5.2 -38") + "\nloose pins: C5.2"
    splice = READ.replace("A1 +3", "A1 +3, D#1 -22") + "\nclear: bass strings D#1"
    for note in (slack, splice):
        found = compared({"2024-03-01": TUNED, "2024-09-01": note})
        assert [item.cents for item in found] == [3.0, 5.0, 2.0]


def test_one_string_pulled_up_leaves_the_other_registers_as_found() -> None:
    pulled = "air: 20 °C, 45 %\nfound: A4 +5\nleft: A4 0\nwork: pulled A4 down"
    notes = {"2024-03-01": TUNED, "2024-05-01": pulled, "2024-09-01": READ}
    assert lines(compared(notes))[1:] == [
        ("bass", 0.0, 3.0),
        ("tenor", 0.0, 5.0),
        ("treble", 0.0, 2.0),
    ]


def test_two_visits_of_one_day_are_not_compared() -> None:
    assert compared({"2024-03-01": TUNED, "2024-03-01-evening": READ}) == ()


def test_without_air_climate_or_log_a_reading_is_left_out_and_counted() -> None:
    bare = READ.replace("air: 20 °C, 45 %\n", "")
    found = told(history({"2024-03-01": TUNED, "2024-09-01": bare}))
    assert found.comparisons == ()
    assert found.left_out == (LeftOut("2024-09-01", date(2024, 9, 1), "air"),)


def test_with_a_climate_the_years_own_course_stands_in_for_the_air() -> None:
    bare = READ.replace("air: 20 °C, 45 %\n", "")
    whole = history({"2024-03-01": TUNED, "2024-09-01": bare}, shop=CLIMATE)
    wood, _ = wood_at_visits(whole, room_years(whole))
    assert wood.basis == ("reading", "curve")
    assert len(told(whole).comparisons) == 3


CUTS = [
    ("provenance:\n  - 2024-06 moved, up the hill, source: the owner, certain", "", "moved", ""),
    ("provenance:\n  - 2024-06-10 restrung, source: the bill, certain", "", "restrung", ""),
    ("provenance:\n  - 2024-06-10 pin block, new, source: the bill, certain", "", "pin block", ""),
    ("humidity equipment: fitted 2024-06-10, inside the case", "", "equipment fitted", ""),
    ("", "humidity equipment: dry", "equipment found dry", "2024-09-01"),
    ("", "humidity equipment: unplugged", "equipment found unplugged", "2024-09-01"),
    ("", "pitch: A4 = 442 Hz", "target changed", "2024-09-01"),
]


@pytest.mark.parametrize(("instrument", "note", "kind", "visit"), CUTS)
def test_a_comparison_does_not_run_across(
    instrument: str, note: str, kind: str, visit: str
) -> None:
    notes = {"2024-03-01": TUNED, "2024-09-01": f"{TUNED}\n{note}".strip(), "2025-03-01": TUNED}
    if kind == "target changed":
        notes["2025-03-01"] += f"\n{note}"
    found = told(history(notes, instrument=instrument))
    assert {item.visit for item in found.comparisons} == {2}
    assert found.left_out == (LeftOut("2024-09-01", date(2024, 9, 1), kind),)  # type: ignore[arg-type]
    assert [(cut.kind, cut.visit) for cut in found.cuts] == [(kind, visit)]


def test_a_new_room_is_a_move() -> None:
    moved = (
        "---\nclient: marsh\ntitle: The heron upright\nshape: upright\nstands:\n"
        "  - parlour\n  - attic, since 2024-06-10\n---\n"
    )
    files = {
        f"{PIANO}/instrument.md": moved,
        "rooms/attic.md": "---\nname: the attic\nclient: marsh\n---\n",
    }
    found = told(history({"2024-03-01": TUNED, "2024-09-01": READ}, files=files))
    assert found.cuts == (Cut("moved", date(2024, 6, 10), ""),)
    assert found.comparisons == ()
    # Where it stands now is known all the same, so that a forecast can begin there.
    assert [item.cents for item in found.known if item] == [3.0, 5.0, 2.0]


@pytest.mark.parametrize(
    "work",
    ["restringing, three weeks", "treatment: adhesive in the pin block\n    component: pin block"],
)
def test_what_was_seen_before_new_wire_or_a_mended_block_says_nothing(work: str) -> None:
    mended = TUNED.replace("work: tuning", f"work:\n  - tuning\n  - {work}")
    notes = {
        "2023-03-01": TUNED,
        "2023-09-01": TUNED,
        "2024-03-01": mended,
        "2024-09-01": TUNED,
    }
    found = told(history(notes))
    assert {item.visit for item in found.comparisons} == {3}
    assert [left.why for left in found.left_out] == ["earlier state", "earlier state"]


def test_with_the_equipment_off_again_only_times_without_it_count() -> None:
    notes = {
        "2023-03-01": TUNED,
        "2023-09-01": TUNED,
        "2024-03-01": f"{TUNED}\nhumidity equipment: fitted",
        "2024-09-01": TUNED,
        "2025-03-01": f"{TUNED}\nhumidity equipment: removed",
        "2025-09-01": TUNED,
    }
    found = told(history(notes))
    # What was found at the fitting is still of the time without it; what was found at the
    # removal is of the time with it.
    assert sorted({item.visit for item in found.comparisons}) == [1, 2, 5]
    assert [(left.visit, left.why) for left in found.left_out] == [
        ("2024-09-01", "earlier state"),
        ("2025-03-01", "earlier state"),
    ]


def test_a_floated_piano_compares_where_its_pitch_was_read_and_not_else() -> None:
    floated = "air: 20 °C, 45 %\nfloated: yes\nfound: 30 flat\nwork: tuning"
    for left, count, kinds in (("\nleft: 31 flat", 3, []), ("", 0, ["floated"])):
        found = told(history({"2024-03-01": floated + left, "2024-09-01": READ}))
        assert len(found.comparisons) == count
        assert [cut.kind for cut in found.cuts] == kinds


@pytest.mark.parametrize(
    ("breaks", "firsts"),
    [
        ("", [[1], [27], [52]]),
        ("breaks: F2, C#5", [[1], [21], [53]]),
        ("breaks: A2", [[1], [25], [52]]),
        ("breaks: E2, C5, C7", [[1], [20], [52, 76]]),
        ("breaks: F1, D2, A3, D5", [[1, 9], [18, 37], [54]]),
    ],
)
def test_an_instruments_own_sections_make_three_registers(
    breaks: str, firsts: list[list[int]]
) -> None:
    parts = sections(history({}, instrument=breaks))
    assert [[first for _, first, _ in part] for part in parts] == firsts
    assert sum(last - first + 1 for part in parts for _, first, last in part) == 88
