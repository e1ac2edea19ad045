"""A name in what a stranger would read stops the statement, whichever field holds it."""

from __future__ import annotations

import pytest

from dossier.checks.leaving import given_away
from dossier.edition.declared import SALE
from dossier.edition.view import canonical
from dossier.model import Notebook
from tests.analysis.one_piano import notebook
from tests.edition.pages import page

CLIENT = """
contact: Odile Quillfeather
kind: home
phone: +999 555 0164
email: odile@post.example
address: 4 Whelk Row, Quernhithe
"""
VISIT = "instruments/heron/visits/2025-03-01.md"


def given(note: str, *, instrument: str = "", client: str = "") -> list[str]:
    read: Notebook = notebook(
        {"2025-03-01": note}, instrument=instrument, client=f"{CLIENT}{client}",
        files={"clients/school.md": "---\nname: Pond Street School\nkind: school\n---\n"},
    )  # fmt: skip
    known = read.history("heron")
    shown = canonical(page(known, edition=SALE))
    return [str(one) for one in given_away(read, known, "sale", shown)]


def test_plain_records_give_nobody_away() -> None:
    assert given("work: tuning\nproblem: the damper of D4 buzzes") == []


@pytest.mark.parametrize(
    ("note", "column", "what"),
    [
        ("problem: Odile says it buzzes", "2:10", '"Odile" is the client\'s own name'),
        ("work: repair at Quillfeather's wish", "2:7",
         '"Quillfeather" is the client\'s own name'),
        ("loose pins: C5 said Odile", "2:16", '"Odile" is the client\'s own name'),
        ("unsafe: ring +999 555 0164 first", "2:9",
         '"+999 555 0164" is the client\'s telephone number'),
        ("corrected: 2025-03-02 moved to 4 Whelk Row", "2:23",
         '"Whelk Row" is where the client lives'),
        ("problem: as at Pond Street School", "2:10",
         '"Pond Street School" is the client\'s own name (of another client)'),
    ],
)  # fmt: skip
def test_a_name_in_any_record_that_is_shown_is_an_error_at_its_place(
    note: str, column: str, what: str
) -> None:
    assert given(note) == [
        (
            f"{VISIT}:{column}: error: {what}, and the statement would show it. "
            "Write it by role, such as the owner, or release it in the client's file."
        )
    ]


def test_what_the_statement_does_not_show_may_name_them() -> None:
    assert given("reason: Odile's party\nprivate: Odile\nadvice: ring Odile") == []


def test_prose_is_looked_into_where_it_is_released() -> None:
    assert given("---\n---\nOdile plays well.\n") == []
    (found,) = given("---\nrelease: sale\n---\n[Odile](x) plays well.\n")
    assert '"Odile" is the client\'s own name' in found


def test_what_the_client_released_may_be_told() -> None:
    assert given("problem: Odile says it buzzes", client="release:\n  sale: owner") == []
    assert len(given("problem: Odile says so", client="release:\n  appraisal: owner")) == 1


def test_the_instruments_title_and_folder_are_looked_into() -> None:
    (found,) = given("work: tuning", instrument="maker: Quillfeather & Son")
    assert found.startswith("instruments/heron/instrument.md:6:8: error: ")
