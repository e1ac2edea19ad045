"""What a buyer and an insurer are told: by whom, from when, and what is not known."""

from __future__ import annotations

import pytest

from dossier.edition.declared import APPRAISAL, OWNER, SALE, Edition
from dossier.edition.instrument_page import instrument_view
from dossier.edition.pages import Statement, StatementPart
from dossier.edition.statement import Issue, statement_view
from dossier.model import History
from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces, told

NOTES = {
    "2021-03-01": """
        air: 20 °C, 32 %
        found: A1 -8, A3 -8, A4 -8
        left: on pitch
        loose pins: C5 slips
        pin torque: C5.2 3.1 N·m turning up
        work: tuning, 85 EUR
        problem: a damper squeaks
        condition:
          pin block: fair, two pins slip
          keys: good
    """,
    "2023-05-01": """
        technician: Tam Reed
        reason: the pins, and Mrs Marsh's party
        summary: All well for the party.
        air: 21 °C, 45 %
        found: A1 +2, A3 +2, A4 +2
        left: as found
        checked: all
        work:
          - treatment: thin adhesive at two pins
            component: pin block
            irreversible: it can't be taken out again
            by: Tam Reed
        unsafe: do not move it, a leg is loose
        advice: move it away from the stove, before October
        corrected: 2023-05-09 the torque was not read
        condition:
          pin block: good
    """,
}


def statement(edition: Edition = SALE, *, instrument: str = "", client: str = "") -> Statement:
    known = history(NOTES, instrument=instrument, client=client)
    view = page(known, "2026-06-01", edition)
    assert view.statement is not None
    return view.statement


def part(name: str, edition: Edition = SALE, **files: str) -> StatementPart:
    return next(one for one in statement(edition, **files).parts if one.id == name)


def rows(name: str, table: int = 0, edition: Edition = SALE, **files: str) -> list[list[str]]:
    found = part(name, edition, **files).tables[table].rows
    return [[plain_spaces(cell) for cell in row] for row in found]


def said(name: str, edition: Edition = SALE, **files: str) -> list[str]:
    return [plain_spaces(text) for text in part(name, edition, **files).said]


def test_each_category_of_object_id_stands_even_where_nothing_is_recorded() -> None:
    own = """
    maker: Ottershaugh
    made: 1912~
    subject: not applicable
    """
    assert rows("identity", instrument=own) == [
        ["Type of object", "Upright"],
        ["Materials and techniques", "not recorded"],
        ["Measurements", "not recorded"],
        ["Inscriptions and markings", "not recorded"],
        ["Distinguishing features", "not recorded"],
        ["Title", "The heron upright"],
        ["Subject", "Not applicable"],
        ["Date or period", "About 1912 (how it is known is not recorded)"],
        ["Maker", "Ottershaugh"],
    ]


def test_where_it_came_from_is_told_by_role_with_source_and_certainty() -> None:
    own = """
    provenance:
      - "1912~ made, source: serial number list, likely"
      - "1934 sold, to a school, holder: a school"
      - "1961 moved, to the Marshes' parlour, room: parlour"
    """
    assert rows("provenance", instrument=own) == [
        ["About 1912", "Made", "", "serial number list", "likely"],
        ["1934", "Sold, to a school", "a school", "not recorded", "certain"],
        ["1961", "Moved", "", "not recorded", "certain"],
    ]
    released = rows("provenance", instrument=own, client="release:\n  sale: room")
    assert released[2] == ["1961", "Moved, to the Marshes' parlour", "", "not recorded", "certain"]
    assert said("provenance", instrument=own)[1] == "For 2 events no source is recorded."


def test_condition_has_its_day_and_its_observer_and_what_was_never_examined() -> None:
    condition = {row[0]: row[1:] for row in rows("condition")}
    assert condition["Pin block"] == [
        "good", "before: fair on 1 March 2021", "1 May 2023", "Tam Reed", "line 18",
    ]  # fmt: skip
    assert condition["Keys"] == ["good", "", "1 March 2021", "Ada Thorne", "line 11"]
    assert condition["Soundboard"] == ["not examined", "", "never", "", ""]
    assert len(condition) == 14


def test_problems_stand_in_the_open_and_the_warning_first() -> None:
    warning = "Warning of 1 May 2023, not lifted since: Do not move it, a leg is loose."
    declined = "No advice is recorded as declined."
    assert said("problems") == [warning, "1 problem is open.", declined]
    assert rows("problems") == [
        ["A damper squeaks.", "open (seen)", "1 March 2021", "nothing yet", "line 8"]
    ]
    assert said("brief")[:3] == [
        warning,
        "Last seen on 1 May 2023: found 2 cents sharp, left as found, in air of 21 °C, 45 %.",
        "1 problem is open: A damper squeaks.",
    ]


def test_what_cannot_be_undone_is_said_in_short_and_with_the_work() -> None:
    undone = (
        "1 May 2023: Thin adhesive at two pins. It can’t be undone: It can't be taken out again."
    )
    assert undone in said("brief")
    assert said("work") == [undone]
    assert rows("work") == [
        ["1 March 2021", "Tuning", "Ada Thorne", "line 7"],
        [
            "1 May 2023",
            "Treatment: thin adhesive at two pins; can't be undone: it can't be taken out again",
            "Tam Reed",
            "line 10",
        ],
    ]
    assert "No treatment that can’t be undone is recorded." in said_of(
        history({"2021-03-01": "work: tuning"}), "brief"
    )


def said_of(known: History, name: str) -> tuple[str, ...]:
    found = page(known, edition=SALE).statement
    assert found is not None
    return next(one for one in found.parts if one.id == name).said


def test_pitch_and_figures_have_their_air_and_the_line_of_their_note() -> None:
    assert rows("pitch") == [
        ["1 March 2021", "−8 cents", "0 cents", "440 Hz", "20 °C, 32 %", "lines 2, 3, 4"],
        ["1 May 2023", "+2 cents", "as found", "440 Hz", "21 °C, 45 %", "lines 5, 6, 7"],
    ]
    assert rows("measured") == [
        [
            "Pin torque", "C5, string 2", "3.1 N·m, turning up", "outside", "1 March 2021",
            "20 °C, 32 %", "line 6",
        ]
    ]  # fmt: skip


def test_years_without_a_visit_and_corrections_are_told() -> None:
    assert said("visits") == [
        "The record has 2 visits, the first on 1 March 2021, the last on 1 May 2023.",
        "Years without a visit: 2022.",
        "Nothing was observed before the first visit, between visits, or since the last.",
    ]
    assert [plain_spaces(text) for text in part("visits").after] == [
        "The note of 1 May 2023 was corrected on 9 May 2023: The torque was not read."
    ]
    assert rows("visits")[1] == ["1 May 2023", "Tam Reed", "Treatment"]


def test_who_states_it_and_what_they_are_to_the_owner() -> None:
    facts = {fact.label: fact.value for fact in part("author").facts}
    assert facts == {
        "Author": "Ada Thorne",
        "Workshop": "Millrace Pianos",
        "Relation to the seller": "not stated",
    }
    client = "relation: paid for the work, no share in a sale"
    facts = {fact.label: fact.value for fact in part("author", APPRAISAL, client=client).facts}
    assert facts["Relation to the owner"] == "Paid for the work, no share in a sale."


@pytest.mark.parametrize(
    ("material", "why"),
    [
        ("ivory", "African elephant ivory: CITES Appendix I since 18 January 1990"),
        (
            "Brazilian rosewood",
            "Brazilian rosewood (Dalbergia nigra): CITES Appendix I since 1992",
        ),
        (
            "Indian rosewood",
            (
                "Other rosewoods (Dalbergia): CITES Appendix II; finished instruments are exempt "
                "under annotation #15"
            ),
        ),
        ("tortoiseshell", "May be controlled"),
    ],
)
def test_a_declared_material_has_its_caution(material: str, why: str) -> None:
    """CITES: Loxodonta africana, Appendix I, 18 January 1990; Dalbergia nigra, Appendix I, 1992."""
    own = f"controlled materials: {material}, keytops, said by the maker's list"
    (row,) = rows("materials", instrument=own)
    assert row[1:] == ["keytops", "the maker's list", "declared, not tested", why]


def test_that_no_material_is_declared_is_no_finding() -> None:
    assert said("materials")[0] == (
        "None is declared in this record. That is no finding: nothing was tested for ivory, "
        "tortoiseshell or rosewood."
    )


def test_an_appraisers_value_is_quoted_for_an_insurer_alone() -> None:
    own = "valued: 2024-05-02, 12,000 EUR, for insurance, by R. Fenwick, appraiser"
    assert rows("valuation", edition=APPRAISAL, instrument=own) == [
        [
            "2 May 2024", "€12,000.00", "for insurance", "not recorded", "R. Fenwick, appraiser",
            "line 6 of the instrument’s file",
        ]
    ]  # fmt: skip
    names = {one.id for one in statement(SALE, instrument=own).parts}
    assert "valuation" not in names


def test_reasons_summaries_and_advice_are_the_owners_affairs() -> None:
    text = str(statement())
    for word in ("party", "stove", "All well", "Marsh"):
        assert word not in text


def test_what_is_released_is_shown_latest_first_without_links_and_other_pictures() -> None:
    notes = {
        "2021-03-01": "---\nreason: pins\nrelease: sale\n---\nTwo slip.\n",
        "2022-03-01": (
            "---\nrelease: sale\n---\nSee [the list](https://marsh.example/x) and "
            "![the room](odile.jpg).\n\n::: bench\nThey quarrel.\n:::\n"
        ),
        "2023-03-01": "---\nrelease: appraisal\n---\nFor the insurer.\n",
    }
    found = page(history(notes), edition=SALE).statement
    assert found is not None
    (shown,) = [one.notes for one in found.parts if one.id == "notes"]
    assert [(plain_spaces(n.heading), [p.markdown for p in n.passages]) for n in shown] == [
        ("1 March 2022", ["See the list and the room."]),
        ("1 March 2021: Pins", ["Two slip."]),
    ]


def test_a_picture_stands_where_it_is_released_itself() -> None:
    photos = "photos:\n  - file: pins.jpg\n    caption: the pins\n    release: sale\n  - room.jpg"
    known = history(
        {"2021-03-01": f"---\n{photos}\n---\nx\n"},
        instrument="photo: pins.jpg",
        files={"instruments/heron/media/pins.jpg": "", "instruments/heron/media/room.jpg": ""},
    )
    sale, appraisal = page(known, edition=SALE), page(known, edition=APPRAISAL)
    assert (sale.photo.file, sale.photo.caption) == ("pins.jpg", "The pins") if sale.photo else None
    assert appraisal.photo is None
    assert "room.jpg" not in str(sale)
    assert "pins.jpg" not in str(appraisal)


def test_costs_stand_where_they_are_released_and_nowhere_else() -> None:
    client = "release:\n  sale: costs"
    assert rows("work", client=client)[0] == [
        "1 March 2021", "Tuning", "Ada Thorne", "€85.00", "line 7",
    ]  # fmt: skip
    assert rows("costs", client=client) == [["2021", "Tuning", "€85.00"]]
    assert "€" not in str(statement(APPRAISAL, client=client))


def test_an_instrument_without_a_visit_has_a_statement() -> None:
    found = page(history({}), edition=SALE).statement
    assert found is not None
    assert found.parts[0].said[0] == "No visit is recorded."


def test_a_statement_is_no_page_and_a_page_no_statement() -> None:
    known = told(history(NOTES), "2026-06-01")
    with pytest.raises(ValueError, match="the edition sale is no page but a statement"):
        instrument_view(SALE, known)
    with pytest.raises(ValueError, match="the edition owner is no statement"):
        statement_view(OWNER, known, Issue(known.history.visits[0].date))


def test_a_value_of_the_time_before_a_change_of_hands_stays_with_the_person_before() -> None:
    own = """
    valued:
      - 2020-01-01, 9000 EUR, by R. Fenwick
      - 2025-01-01, 8000 EUR, by R. Fenwick
    provenance: 2022-06-01 sold, to marsh
    """
    assert [row[0] for row in rows("valuation", edition=APPRAISAL, instrument=own)] == [
        "1 January 2025"
    ]


def test_to_whom_a_warranty_holds_is_not_guessed() -> None:
    note = "---\nwork:\n  - repair: spliced D#1\n    warranty: 2 years\n---\nx\n"
    found = page(history({"2021-03-01": note}), edition=SALE).statement
    assert found is not None
    (work,) = (one for one in found.parts if one.id == "work")
    assert [plain_spaces(text) for text in work.after] == [
        (
            "Whether a warranty passes to a buyer is not recorded: ask the technician. The last "
            "day of a warranty on record is 1 March 2023."
        )
    ]
