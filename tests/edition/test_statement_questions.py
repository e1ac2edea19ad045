"""What a sharp buyer and a sharp insurer ask next, and what the statement answers."""

from __future__ import annotations

from dataclasses import replace

from dossier.edition.declared import APPRAISAL, SALE, Edition
from dossier.edition.pages import Statement, StatementPart
from dossier.model import History
from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces

PINS = {
    "2021-01-30": """
        air: 20 °C, 31 %
        found: A4 -9
        loose pins: B4.1, B4.2, C5.3 slip by themselves
    """,
    "2021-07-31": """
        air: 21 °C, 54 %
        found: A4 +12
        clear: loose pins B4, C5
    """,
    "2022-02-05": """
        air: 21 °C, 32 %
        found: A4 -11
        loose pins: B4, C5.3, D5.1
        work:
          - treatment: thin adhesive at twelve pins, B4-D5
            irreversible: it stays in the block
            component: pin block
            price: 180 EUR
    """,
    "2023-01-28": """
        air: 21 °C, 30 %
        found: A4 -12
        clear: loose pins B4, C5
        uneven keys: C3-G4
    """,
}


def statement(known: History, edition: Edition = SALE, today: str = "2026-06-01") -> Statement:
    found = page(known, today, edition).statement
    assert found is not None
    return found


def part(name: str, known: History, edition: Edition = SALE, **day: str) -> StatementPart:
    return next(one for one in statement(known, edition, **day).parts if one.id == name)


def rows(found: StatementPart, table: int = 0) -> list[list[str]]:
    return [[plain_spaces(cell) for cell in row] for row in found.tables[table].rows]


def said(name: str, known: History, edition: Edition = SALE, **day: str) -> list[str]:
    return [plain_spaces(text) for text in part(name, known, edition, **day).said]


# Which pins? --------------------------------------------------------------------------------------


def test_each_pin_has_the_day_on_which_it_was_last_loose_and_last_firm() -> None:
    treated = "Treatment on 5 February 2022"
    assert rows(part("marks", history(PINS)), 1) == [
        ["Uneven keys, C3–G4", "28 January 2023", "28 January 2023", "1", "never", "none noted"],
        [
            "Loose pins, B4, string not noted", "5 February 2022", "5 February 2022", "1",
            "28 January 2023", treated,
        ],
        [
            "Loose pins, B4, string 1", "30 January 2021", "5 February 2022", "2",
            "28 January 2023", treated,
        ],
        [
            "Loose pins, B4, string 2", "30 January 2021", "5 February 2022", "2",
            "28 January 2023", treated,
        ],
        [
            "Loose pins, C5, string 3", "30 January 2021", "5 February 2022", "2",
            "28 January 2023", treated,
        ],
        ["Loose pins, D5, string 1", "5 February 2022", "5 February 2022", "1", "never", treated],
    ]  # fmt: skip


def test_twelve_loose_pins_are_twelve_rows_and_not_a_number() -> None:
    pins = ", ".join(f"{note}.{pin}" for note in ("C5", "C#5", "D5", "D#5") for pin in (1, 2, 3))
    found = rows(part("marks", history({"2021-01-30": f"loose pins: {pins}"})), 1)
    assert [row[0] for row in found] == [
        f"Loose pins, {note}, string {pin}"
        for note in ("C5", "C♯5", "D5", "D♯5")
        for pin in (1, 2, 3)
    ]
    assert {row[2] for row in found} == {"30 January 2021"}


def test_a_note_that_was_found_right_and_wrong_on_one_day_was_wrong() -> None:
    notes = {"2021-01-30": "sticking keys: C4", "2021-03-01": "sticking keys: C4\nchecked: all"}
    ((_, first, last, times, right, _),) = rows(part("marks", history(notes)), 1)
    assert (first, last, times, right) == ("30 January 2021", "1 March 2021", "2", "never")


def test_that_no_mark_was_noted_is_said() -> None:
    assert said("marks", history({"2021-01-30": "work: tuning"})) == ["No mark is recorded."]


# When is it looked at next? -----------------------------------------------------------------------

NEXT = {
    "2026-02-01": """
        work: tuning
        next:
          - check of the treated pins in the dry weeks, February 2027
          - ask the winder for a bass string
    """
}


def test_the_plan_is_that_of_the_day_of_issue_and_no_promise() -> None:
    known = history(NEXT, instrument="interval: 6 months")
    found = part("next", known)
    assert said("next", known)[0] == (
        "Next visit, as planned on the day of issue: In August 2026. The regular tuning."
    )
    assert rows(found) == [
        ["The regular tuning.", "in August 2026", "the usual interval"],
        [
            "Check of the treated pins in the dry weeks.", "in February 2027",
            "the note of 1 February 2026, line 4",
        ],
        [
            "Ask the winder for a bass string.", "no day noted",
            "the note of 1 February 2026, line 5",
        ],
    ]  # fmt: skip
    assert said("next", known)[1] == (
        "This is the plan on the day of issue, and no promise that anybody comes. It was agreed "
        "with the seller. Whether it holds for a buyer is not recorded."
    )


def test_a_visit_that_did_not_happen_is_not_hidden() -> None:
    known = history(NEXT)
    late = (
        "Next visit, as planned on the day of issue: Was due in February 2027. "
        "Check of the treated pins in the dry weeks."
    )
    assert late in said("brief", known, today="2027-06-01")
    assert said("next", known, today="2027-06-01")[0] == late


def test_nothing_is_planned_where_nothing_is() -> None:
    found = part("next", history({"2021-01-30": "work: tuning"}), APPRAISAL)
    assert found.said[0] == "Next visit, as planned on the day of issue: None is planned."
    assert found.tables == ()


# What was the owner told and would not do? --------------------------------------------------------

ADVICE = {
    "2024-03-01": """
        unsafe: do not move, a caster is cracked
        advice:
          - (caster) have the caster replaced before it is moved
          - (stove) move it away from the stove
          - (cover) a cover against the dust
    """,
    "2025-03-01": """
        declined:
          - caster, too dear for Mrs Marsh
          - stove
    """,
    "2026-03-01": """
        agreed: stove
        done: stove
        safe: caster held by a wedge, play it but do not move it
    """,
}


def test_advice_that_was_declined_is_in_the_open_without_the_owners_reason() -> None:
    for edition in (SALE, APPRAISAL):
        found = part("problems", history(ADVICE), edition)
        assert rows(found, 1) == [
            [
                "Have the caster replaced before it is moved.", "1 March 2024", "1 March 2025",
                "line 4",
            ]
        ]  # fmt: skip
        told = str(statement(history(ADVICE), edition))
        assert "1 piece of advice was declined by the owner, and stands so." in told
        for word in ("dear", "Marsh", "stove", "dust"):
            assert word not in told


def test_advice_to_the_person_before_stays_with_them() -> None:
    sold = "provenance: 2025-06-01 sold, to marsh"
    assert "replaced" not in str(statement(history(ADVICE, instrument=sold)))


def test_a_lifted_warning_stands_in_short_with_what_still_binds() -> None:
    assert said("brief", history(ADVICE))[0] == (
        "Warning of 1 March 2024, lifted on 1 March 2026: Caster held by a wedge, play it but do "
        "not move it."
    )


# Is it rosewood? ----------------------------------------------------------------------------------


def test_who_tested_a_material_how_and_when() -> None:
    own = """
    controlled materials:
      - rosewood, case veneer, said by a dealer, tested by A. Fenn, pores under a lens, 2025-03-20
      - ebony, sharps
      - material: ivory
        where: keytops
        tested by: A. Fenn
    """
    found = part("materials", history({}, instrument=own))
    assert [[row[0], row[3]] for row in rows(found)] == [
        ["Rosewood", "tested or identified by A. Fenn: pores under a lens; 20 March 2025"],
        ["Ebony", "declared, not tested"],
        ["Ivory", "tested or identified by A. Fenn: how is not recorded; day not recorded"],
    ]
    assert "Material that trade law may control: ebony, sharps (declared, not tested)." in said(
        "brief", history({}, instrument=own)
    )


# Who are they? ------------------------------------------------------------------------------------


def test_each_who_came_or_worked_has_a_qualification_or_none_stated() -> None:
    notes = {
        "2024-03-01": "technician: Tam Reed\nwork: tuning",
        "2025-03-01": """
            work:
              - repair: a leg
                by: Wren Fell
              - tuning
        """,
    }
    shop = """
    qualification: tuner, trained 1990-1994
    colleagues:
      - Tam Reed, repairer of actions, trained 2003-2006
      - Sedge Moor, apprentice
    """
    found = part("author", history(notes, shop=shop))
    assert rows(found) == [
        ["Tam Reed", "1", "1", "Repairer of actions, trained 2003-2006"],
        ["Ada Thorne", "1", "1", "Tuner, trained 1990-1994"],
        ["Wren Fell", "0", "1", "qualification not stated"],
    ]
    assert "Sedge" not in str(statement(history(notes, shop=shop)))


# What is it worth? --------------------------------------------------------------------------------


def test_a_value_has_its_basis_and_none_is_of_our_making() -> None:
    own = "valued: 2024-05-02, 12,000 EUR, for insurance, basis replacement, by R. Fenwick"
    (row,) = rows(part("valuation", history({}, instrument=own), APPRAISAL))
    assert row[2:5] == ["for insurance", "replacement", "R. Fenwick"]
    assert said("valuation", history({}), APPRAISAL) == ["No valuation is recorded."]


# What can I see? ----------------------------------------------------------------------------------


def test_the_views_that_are_missing_are_named() -> None:
    photos = """
        photos:
          - file: front.jpg
            caption: the front
            shows: front
            release: sale
          - file: pins.jpg
            release: sale
          - file: room.jpg
            shows: side
    """
    media = {f"instruments/heron/media/{name}.jpg": "" for name in ("front", "pins", "room")}
    known = history({"2024-03-01": photos}, files=media)
    found = part("views", known)
    assert rows(found) == [
        ["The whole from the front", "The front", "1 March 2024", "line 3"],
        ["View not noted", "none noted", "1 March 2024", "line 7"],
    ]
    assert [plain_spaces(text) for text in found.said] == [
        "2 pictures are released.",
        (
            "Of these customary views there is none: the whole from another side; the inside, "
            "with plate, strings and pins; maker's name, serial number and other markings; "
            "damage, wear and repairs."
        ),
    ]
    assert said("views", known, APPRAISAL)[0] == "No picture is released."


def test_a_german_buyer_is_answered_in_german() -> None:
    known = history({**PINS, **NEXT, **ADVICE})
    shop = replace(known.shop, locale="de-DE")
    german = replace(known, shop=shop)
    titles = [one.title for one in statement(german).parts]
    assert "Wann es wieder angesehen wird" in titles
    assert "Bilder, und welche Ansichten fehlen" in titles
    assert rows(part("marks", german), 1)[2][0] == "Lockere Stimmnägel, B4, Saite 1"
    assert said("problems", german)[-1] == (
        "1 Rat wurde vom Besitzer abgelehnt, und dabei blieb es."
    )
