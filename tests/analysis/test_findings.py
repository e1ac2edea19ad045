"""Everything about one instrument in one value, which knows no reader and no today."""

from __future__ import annotations

from datetime import date

from dossier.analysis.findings import analyse
from dossier.analysis.safety import Safety
from tests.analysis.one_piano import findings, history

UNSAFE = "unsafe: the back caster is cracked, don't move it"


def test_a_piano_without_a_visit_has_findings_all_the_same() -> None:
    found = findings({})
    assert (found.last, found.pitches, found.marks, found.coming) == (None, (), (), None)
    assert {life.seen for life in found.components} == {None}
    assert len(found.components) == 14


def test_registers_are_the_instruments_own_or_say_that_they_are_assumed() -> None:
    own = findings({}, instrument="breaks: F2, C5")
    assert (own.registers, own.registers_assumed) == (
        (("bass", 1, 20), ("tenor", 21, 51), ("treble", 52, 88)),
        False,
    )
    assumed = findings({})
    assert (assumed.registers[1], assumed.registers_assumed) == (("tenor", 27, 51), True)


def test_a_short_compass_has_registers_of_its_own() -> None:
    found = findings({}, instrument="compass: C2-C7\nbreaks: F3")
    assert found.registers == (("bass", 16, 32), ("treble", 33, 76))
    many = findings({}, instrument="breaks: C2, C3, C4, C5")
    assert [name for name, _, _ in many.registers] == [f"section {n}" for n in range(1, 6)]


def test_a_warning_stands_until_a_later_note_lifts_it() -> None:
    notes = {"2025-03-01": UNSAFE, "2025-09-01": "work: tuning"}
    assert findings(notes).unsafe == Safety(
        "the back caster is cracked, don't move it", date(2025, 3, 1), "2025-03-01"
    )
    notes["2026-03-01"] = "safe: caster replaced"
    assert findings(notes).unsafe is None


def test_one_warning_lifted_and_another_given_at_one_visit() -> None:
    notes = {"2025-03-01": UNSAFE, "2026-03-01": "safe: caster replaced\nunsafe: the lid is loose"}
    found = findings(notes)
    assert found.unsafe == Safety("the lid is loose", date(2026, 3, 1), "2026-03-01")


def test_a_warning_that_follows_another_does_not_lift_it() -> None:
    notes = {"2025-03-01": UNSAFE, "2025-09-01": "unsafe: The lid is loose."}
    both = Safety(
        "the back caster is cracked, don't move it; The lid is loose",
        date(2025, 3, 1),
        "2025-03-01",
    )
    assert findings(notes).unsafe == both
    said_again = {**notes, "2026-03-01": f"{UNSAFE}."}
    assert findings(said_again).unsafe == both
    lifted = {**notes, "2026-03-01": "safe: all mended"}
    assert findings(lifted).unsafe is None
    assert [one.lifted for one in findings(lifted).warnings] == [date(2026, 3, 1)] * 2


def test_equipment_is_told_in_order_of_its_days_from_both_files() -> None:
    found = findings(
        {"2025-10-10": "humidity equipment: found unplugged"},
        instrument="humidity equipment: fitted 2024-10-04",
    )
    assert [(when, note.what) for when, note in found.equipment] == [
        (date(2024, 10, 4), "fitted"),
        (date(2025, 10, 10), "unplugged"),
    ]


def test_the_same_notes_give_the_same_findings() -> None:
    notes = {
        "2025-03-01": f"{UNSAFE}\nair: 20 °C, 40 %\nfound: A1 -3, A4 -5\nloose pins: C5-E5",
        "2025-09-01": "air: 20 °C, 60 %\nclear: loose pins\nwork: tuning",
    }
    assert analyse(history(notes)) == analyse(history(dict(reversed(notes.items()))))
