"""Lists over instruments: a school's first page, and the bench's."""

from __future__ import annotations

from dataclasses import replace

from dossier.edition.declared import OWNER
from dossier.edition.instrument_page import instrument_view
from dossier.edition.listed import InstrumentRow
from dossier.edition.lists import client_view
from dossier.edition.pages import ClientView
from dossier.edition.rows import due_rows, instrument_row, open_rows
from dossier.edition.voice import voice_of
from dossier.words import load
from tests.analysis.one_piano import history
from tests.edition.pages import told


def row(notes: dict[str, str], today: str = "2026-06-01", *, bench: bool = False) -> InstrumentRow:
    one = told(history(notes), today)
    return instrument_row(one, instrument_view(OWNER, one), bench=bench)


def first_page(*rows: InstrumentRow) -> ClientView:
    of = history({})
    return client_view(of.shop, voice_of(of.shop, load("en-GB")), "marsh", of.client, rows)


def test_a_row_says_what_an_instrument_is_and_needs() -> None:
    found = row({"2026-03-14": "work: tuning\nproblem: the pedal squeaks"})
    assert (found.title, found.kicker, found.place, found.last_text, found.open_count) == (
        "The heron upright", "Upright", "the parlour", "14 March 2026", 1,
    )  # fmt: skip
    assert (found.state_level, found.client, found.client_slug) == ("attention", "", "")


def test_only_the_bench_reads_the_client_in_a_row() -> None:
    found = row({"2026-03-14": "work: tuning"}, bench=True)
    assert (found.client, found.client_slug) == ("The Marshes", "marsh")


def test_a_warning_is_the_state_of_its_row() -> None:
    assert row({"2026-03-14": "unsafe: the lid is loose"}).state == "The lid is loose."


def test_a_clients_page_lists_the_instruments_by_their_titles() -> None:
    rows = [replace(row({}), title=title) for title in ("wren", "Alto", "heron")]
    view = first_page(*rows)
    assert (view.title, [line.title for line in view.rows]) == (
        "The Marshes", ["Alto", "heron", "wren"],
    )  # fmt: skip


def test_a_clients_page_counts_what_needs_attention() -> None:
    poor = row({"2026-05-09": "problem: the pedal squeaks"})
    view = first_page(poor, row({"2026-05-09": "work: tuning"}), poor)
    assert view.intro == "3 instruments are looked after here. 2 need attention."
    unseen = first_page(row({}))
    assert unseen.intro == "1 instrument is looked after here. 1 needs attention."
    fine = first_page(row({"2026-05-09": "work: tuning"}))
    assert fine.intro == "1 instrument is looked after here. None needs attention."


def test_a_client_whose_file_cannot_be_read_is_not_named() -> None:
    of = history({})
    view = client_view(of.shop, voice_of(of.shop, load("en-GB")), "marsh", None, ())
    assert view.title == "Your instruments"


def test_who_is_due_and_why() -> None:
    notes = {"2026-03-01": "work: tuning\nnext: check the splice, 4 weeks"}
    one = told(history(notes, shop="interval: 1 month"), "2026-05-01")
    (due,) = due_rows(one, instrument_view(OWNER, one))
    assert (due.client, due.place, due.overdue) == ("The Marshes", "the parlour", True)
    assert due.why == ("Check the splice.",)


def test_a_dormant_client_is_never_due() -> None:
    notes = {"2026-03-01": "work: tuning\nnext: check the splice, 4 weeks"}
    one = told(history(notes, client="status: dormant"), "2026-05-01")
    assert due_rows(one, instrument_view(OWNER, one)) == ()


def test_all_that_is_open_on_an_instrument() -> None:
    note = """
        unsafe: the lid is loose
        problem: the pedal squeaks
        sticking keys: F3-B3
        advice: move it off the wall
    """
    one = told(history({"2026-03-14": note}), "2026-06-01")
    rows = open_rows(one, instrument_view(OWNER, one))
    assert [(r.kind, r.text, r.since) for r in rows] == [
        ("Warnings", "The lid is loose.", "14 March 2026"),
        ("Problems", "The pedal squeaks.", "14 March 2026"),
        ("Marks", "Sticking keys F3–B3", "14 March 2026"),
        ("Advice, waiting for an answer", "Move it off the wall.", "14 March 2026"),
    ]
