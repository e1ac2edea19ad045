"""Histories of a few notes, made up of lines that a technician could write."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import strategies as st

from dossier.model import History
from tests.analysis.one_piano import history

LINES: tuple[tuple[str, ...], ...] = (
    ("", "air: 20 °C, 32 %", "air: 61 %", "air: 18.5 °C", "air: 22 °C, 47 %"),
    (
        "",
        "found: 8 sharp",
        "found: on pitch",
        "found: A1 -8, A2 -4, A4.1 -6, A4.2 -9, A6 +3",
        "found: A4 442 Hz",
        "found: 40 flat",
    ),
    ("", "left: on pitch", "left: as found", "left: A1 -1, A4 0, A6 +1", "floated: yes"),
    (
        "",
        "work: tuning, 85 EUR",
        "work: pitch raise",
        "work: eased keys F3-B3",
        "work: treatment of the pin block, 20 USD",
        "work: spliced the D#1 string",
    ),
    ("", "loose pins: C5-E5", "sticking keys: F3, G3", "moth: C4 larvae"),
    ("", "checked: all", "clear: loose pins C5", "clear: sticking keys"),
    (
        "",
        "advice: move it off the wall, before October",
        "advice: a humidifier, dry season",
        "advice: a cover for the keys",
    ),
    ("", "problem: the pedal squeaks {n}", "problem: G4 buzzes {n}"),
    (
        "",
        "next: check of the splice, 4-8 weeks",
        "next: tuning, dry season",
        "next: tuning, before June",
    ),
    (
        "",
        "humidity equipment: fitted",
        "humidity equipment: serviced, next service October",
        "humidity equipment: found dry",
    ),
    ("", "unsafe: the lid is loose", "safe: the lid is firm"),
    ("", "key dip: A1 10.2 mm, A4 11 mm", "pin torque: F4.2 4.5 N·m turning up"),
    ("", "condition:\n  keys: fair\n  ribs: not examined", "condition:\n  tuning pins: poor"),
    ("", "fee: 12.34 EUR", "hold: no", "pitch: A4 = 435 Hz", "corrected: 2025-06-01 misread"),
)
INSTRUMENTS = (
    "",
    "breaks: F2, C5",
    'made: 1934\nprovenance:\n  - "2025-06-10 moved, upstairs, source: own work"',
    "humidity equipment: fitted 2024-10-04, next service October",
    "shape: grand\ncontrolled materials: ivory, keytops, said by the first owner",
)
SHOPS = ("", "interval: 1 year", "interval: 6 months\nshow costs: yes", "units: imperial")
CLIENTS = ("", "status: dormant", "interval: 3 months\nshow costs: yes")


@st.composite
def histories(draw: st.DrawFn) -> History:
    """Up to four visits between 2024 and 2027."""
    gaps = draw(st.lists(st.integers(1, 400), max_size=4))
    notes: dict[str, str] = {}
    day = date(2024, 1, 1)
    for n, gap in enumerate(gaps):
        day += timedelta(days=gap)
        chosen = [draw(st.sampled_from(lines)).format(n=n) for lines in LINES]
        lines = [line for line in chosen if line]
        notes[day.isoformat()] = "\n".join(lines) or "summary: nothing was done"
    return history(
        notes,
        instrument=draw(st.sampled_from(INSTRUMENTS)),
        shop=draw(st.sampled_from(SHOPS)),
        client=draw(st.sampled_from(CLIENTS)),
    )
