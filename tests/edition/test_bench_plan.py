"""The bench's way to the pitch, in the words and figures that a technician reads."""

from __future__ import annotations

from dossier.edition.pages import BenchNotes
from dossier.edition.view import Table, canonical
from tests.analysis.one_piano import PIANO, history
from tests.edition.pages import bench_page, page, plain_spaces

BREAKS = "breaks: F2, C5"
SCALE = {
    f"{PIANO}/scale.csv": "note,length_mm,diameter_mm,cover_mm,g_per_m,strings\n"
    "A1,1300,1.000,0.500,,2\nF3,956,1.025,,,3\nA4,412,0.925,,,3\nA7,62,0.775,,,3\n"
}


def bench(
    found: str,
    more: str = "",
    *,
    own: str = "made: 1975",
    shop: str = "",
    files: dict[str, str] | None = None,
) -> BenchNotes:
    note = f"found: {found}\nleft: as found\n{more}"
    told = history({"2026-03-14": note}, instrument=f"{BREAKS}\n{own}", shop=shop, files=files)
    notes = bench_page(told).bench
    assert notes is not None
    return notes


def words(notes: BenchNotes) -> list[str]:
    return [plain_spaces(line) for line in notes.plan_words]


def rows(table: Table | None) -> list[tuple[str, ...]]:
    assert table is not None
    return [tuple(plain_spaces(cell) for cell in row) for row in table.rows]


def test_a_raise_in_one_pass() -> None:
    notes = bench("30 flat")
    assert words(notes) == [
        (
            "Found 30 cents flat of A4 = 440 Hz on 14 March 2026 and not tuned since (one figure "
            "for the whole)."
        ),
        "A raise by 30 cents: 1 pass, then the tuning.",
        (
            "Overshoot: a third of the way in the bass, a fifth in the low tenor, a quarter above, "
            "25 cents at most. Common practice, no source."
        ),
        # 2^(30/600) = 1.0353; of 18 to 20 short tons (160.1 to 177.9 kN) less 3.4 %
        (
            "Tension of all strings: +3.5 %. That is 5.5 kN to 6.1 kN where they hold 18–20 short "
            "tons, as is assumed for a large instrument; no scale is on file."
        ),
    ]
    assert notes.plan is not None
    assert plain_spaces(notes.plan.caption) == "Plan, in cents from A4 = 440 Hz"
    assert notes.plan.columns == (
        "Register", "Keys", "Stands at", "Pass 1: set to", "falls back to", "Tension, %",
    )  # fmt: skip
    assert rows(notes.plan) == [
        ("Bass", "A0–E2", "−30.0", "+10.0", "0.0", "+3.5"),
        ("Low tenor", "F2–E3", "−30.0", "+6.0", "0.0", "+3.5"),
        ("Tenor", "F3–B4", "−30.0", "+7.5", "0.0", "+3.5"),
        ("Treble", "C5–C8", "−30.0", "+7.5", "0.0", "+3.5"),
    ]


def test_a_long_way_goes_to_the_pitch_first() -> None:
    notes = bench("80 flat")
    assert words(notes)[1:3] == [
        "A raise by 80 cents: 2 passes, then the tuning.",
        (
            "More than 50 cents away, so the first pass goes to the pitch itself; the overshoot "
            "belongs to the next one."
        ),
    ]
    assert rows(notes.plan)[0] == ("Bass", "A0–E2", "−80.0", "0.0", "−26.7", "+8.9", "0.0", "+9.7")


def test_a_lowering_rises_back() -> None:
    notes = bench("20 sharp")
    assert words(notes)[1] == "A lowering by 20 cents: 1 pass, then the tuning."
    assert notes.plan is not None
    assert notes.plan.columns[4] == "rises back to"
    assert rows(notes.plan)[0] == ("Bass", "A0–E2", "+20.0", "−6.7", "0.0", "−2.3")


def test_old_wire_without_consent_is_tuned_where_it_stands() -> None:
    notes = bench("35 flat", own="made: 1912")
    assert words(notes)[1:] == [
        "No raise for now: tune it where it stands, 35 cents flat.",
        (
            "Wire of before 1940 breaks readily, and no consent to a raise is recorded: ask first, "
            "and write it into the instrument's file."
        ),
    ]
    assert notes.plan is None


def test_a_rise_in_steps_names_them_and_why() -> None:
    own = "made: 1912\nconsent: raise on old wire in steps, 2023-06-24, by the owner"
    more = "rusty strings: C3-A7 brown film\ncondition:\n  strings: poor, original wire"
    notes = bench("92 flat", more, own=own)
    assert words(notes)[1:5] == [
        (
            "A slow rise in 4 steps, to −69, −46, −23 and 0 cents; from one to the next at least "
            "21 days. The table is the first of them: 1 pass, then the tuning."
        ),
        "A raise in steps was agreed on 24 June 2023.",
        "Strings graded poor on 14 March 2026: original wire.",
        "Rusty strings at C3–A7, last seen on 14 March 2026.",
    ]


def test_what_speaks_against_it_is_said_with_its_place_and_day() -> None:
    more = (
        "loose pins: E6-A#6\nbroken strings: D#1\npin torque: A4 3 N·m turning up\n"
        "condition:\n  plate: failed, cracked at a bar\n  pin block: poor\n  tuning pins: poor"
    )
    own = "made: 1975\nleave below pitch: as agreed"
    assert words(bench("40 flat", more, own=own))[2:] == [
        "It is kept below pitch: as agreed.",
        "Pin block graded poor on 14 March 2026.",
        "Tuning pins graded poor on 14 March 2026.",
        "Plate graded failed on 14 March 2026: cracked at a bar.",
        "Loose pins at E6–A♯6, 14 March 2026: see to the pins first.",
        "Pin torque at A4 was failing on 14 March 2026.",
        "Strings have broken: D♯1, 14 March 2026.",
    ]


def test_a_refusal_and_a_consent() -> None:
    refused = "made: 1975\nconsent: no pitch raise, 2026-01-02, by the owner"
    assert words(bench("40 flat", own=refused))[2:] == ["A raise was refused on 2 January 2026."]
    agreed = "made: 1912\nconsent: pitch raise, 2026-01-02, by the owner"
    assert words(bench("40 flat", own=agreed))[2] == (
        "Wire of before 1940; a raise was agreed on 2 January 2026."
    )


def test_registers_that_lie_apart_are_evened_out_without_a_raise() -> None:
    notes = bench("A1 -60, D2 -60, A3 -30, A4 -30, A6 -30", "loose pins: E6")
    assert words(notes)[1:3] == [
        "No raise for now: tune it where it stands, 50 cents flat.",
        "The registers lie apart: 1 pass, then the tuning.",
    ]


def test_what_was_not_read_and_what_nobody_noted_is_said() -> None:
    notes = bench("A3 -30, A4 -30", own="shape: upright")
    assert words(notes)[-2:] == [
        "No reading in: bass and treble. The level of the whole is taken there.",
        "How old the wire is was never noted: look at it first.",
    ]


def test_with_a_scale_the_load_is_told_in_newtons_and_the_weakest_string_by_name() -> None:
    notes = bench("30 flat", files=SCALE)
    assert words(notes)[-2:] == [
        "Tension of all strings: +3.5 %; of those in the scale from 7.0 kN to 7.3 kN.",
        (
            "At the height of the overshoot A7 has 66 % of new wire's least strength in use, the "
            "most of all."
        ),
    ]
    assert notes.plan is not None
    assert notes.plan.columns[-2:] == ("Tension, %", "Load")
    # A1: 2 strings of 465 N at pitch; 930 N (1 - 2^(-30/600)) = 32 N
    assert rows(notes.plan)[0][-2:] == ("+3.5", "0.0 kN")


def test_the_weakest_strings_stand_at_the_target_and_at_the_pitch() -> None:
    notes = bench("30 flat", files=SCALE)
    assert notes.string_table is not None
    assert notes.string_table.columns == (
        "Note", "Wire", "One string", "Strength in use", "At the pitch last known", "B, 10⁻⁴",
    )  # fmt: skip
    assert rows(notes.string_table)[0] == ("A7", "0.775 mm", "705 N", "66 %", "64 %", "128.9")
    # 2 x 465.1 + 3 x (722.4 + 692.6 + 705.5) N by hand
    facts = [
        (fact.label, plain_spaces(fact.value), plain_spaces(fact.source)) for fact in notes.strings
    ]
    assert facts[:3] == [
        ("Tension of the notes in the scale", "7.3 kN (744 kgf, 0.8 short tons)",
         "at A4 = 440 Hz, 4 notes, 11 strings"),
        ("At the pitch last known", "7.0 kN (718 kgf, 0.8 short tons)", "14 March 2026"),
        ("Not in the scale", "84 notes", ""),
    ]  # fmt: skip
    assert [plain_spaces(line) for line in notes.string_words][1:] == [
        (
            "Wound strings without a mass are worked out for one layer of round copper wire laid "
            "turn to turn."
        )
    ]


def test_a_shop_that_reckons_in_pounds_reads_pounds_force() -> None:
    notes = bench("30 flat", shop="units: imperial", files=SCALE)
    assert rows(notes.string_table)[0][1:3] == ("0.031 in", "159 lbf")
    (figure,) = notes.string_figures
    assert plain_spaces(figure.title) == "Tension between 105 lbf and 162 lbf a string"


def test_without_a_scale_the_total_is_an_assumption_and_says_so() -> None:
    (fact,) = bench("on pitch").strings
    assert (plain_spaces(fact.value), fact.source) == (
        "about 18–20 short tons (160 kN to 178 kN)",
        "assumed for a large instrument; no scale is on file",
    )


def test_the_finding_of_the_chart_is_the_jump_at_a_break() -> None:
    rows_ = "note,length_mm,diameter_mm\nE2,1206,1.05\nF2,1300,1.05\nF#2,1300,1.05\n"
    notes = bench("on pitch", files={f"{PIANO}/scale.csv": rows_})
    (figure,) = notes.string_figures
    # (87.307 / 82.407 x 1300 / 1206)^2 = 1.304
    assert plain_spaces(figure.title) == "Tension rises by 30 % at the break, F2"
    (jump,) = [fact for fact in notes.strings if fact.label == "Break at F2"]
    assert plain_spaces(jump.value) == "tension +30.4 %, inharmonicity × 0.66"


def test_unisons_that_parted_latest_first() -> None:
    told = history(
        {
            "2025-02-01": "found: A4.1 -8, A4.2 -12",
            "2026-02-01": "found: C2.1 0, C2.2 2, A4.1 -1, A4.3 -4, B4.1 -2, B4.2 -7",
        },
        instrument=BREAKS,
    )
    notes = bench_page(told).bench
    assert notes is not None
    assert rows(notes.unisons) == [
        ("1 February 2026", "Tenor", "2", "4.0", "5.0 at B4"),
        ("1 February 2026", "Bass", "1", "2.0", "2.0 at C2"),
        ("1 February 2025", "Tenor", "1", "4.0", "4.0 at A4"),
    ]


def test_the_owner_reads_nothing_of_the_plan() -> None:
    told = history({"2026-03-14": "found: 30 flat\nleft: as found"}, instrument=BREAKS, files=SCALE)
    view = page(told)
    assert view.bench is None
    assert "vershoot" not in canonical(view)
    assert "string-tension" not in canonical(view)
    assert "string-tension" in canonical(bench_page(told))
