"""Unisons that part, register by register and visit by visit."""

from __future__ import annotations

from datetime import date

from dossier.analysis.unisons import RegisterUnisons
from tests.analysis.one_piano import findings


def test_the_unisons_of_each_register_are_told_visit_by_visit() -> None:
    record = findings(
        {
            "2024-02-01": "found: A4.1 -8, A4.2 -12, C5 -3",
            "2025-02-01": (
                "found: C2.1 0, C2.2 2, A4.1 -1, A4.3 -4, B4.1 -2, B4.2 -7, C6.1 1, C6.2 3"
            ),
            "2026-02-01": "found: A4 -4",
        },
        instrument="breaks: F2, C5",
    ).unisons
    early, late = date(2024, 2, 1), date(2025, 2, 1)
    first, second = "2024-02-01", "2025-02-01"
    assert [(one.visit.rsplit("/", 1)[-1].removesuffix(".md"), one) for one in record] == [
        (first, RegisterUnisons(record[0].visit, early, "tenor", 1, 4.0, 4.0, 49)),
        (second, RegisterUnisons(record[1].visit, late, "bass", 1, 2.0, 2.0, 16)),
        (second, RegisterUnisons(record[2].visit, late, "tenor", 2, 4.0, 5.0, 51)),
        (second, RegisterUnisons(record[3].visit, late, "treble", 1, 2.0, 2.0, 64)),
    ]


def test_notes_read_as_a_whole_tell_nothing_of_their_unisons() -> None:
    assert findings({"2026-02-01": "found: A4 -4, C5 -3"}).unisons == ()
