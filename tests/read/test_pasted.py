"""The table of a tuning program, pasted into a note, is read whatever parts its cells."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier.model import Pitch
from dossier.quantities import key_name
from tests.read.tiny_shop import VISIT, read, read_visit

PARTED = ("\t", ";", " ; ", " | ", "  ", "    ", " ")
HEADS = (None, ("Note", "Cents"), ("Name of note", "Deviation [ct]"))
tables = st.dictionaries(
    st.integers(1, 88),
    st.decimals(min_value=-99, max_value=99, places=1),
    min_size=1,
    max_size=12,
)


def readings(pitch: Pitch | None) -> list[tuple[int | None, Decimal]]:
    assert pitch is not None
    return [(one.key, one.cents) for one in pitch.readings]


@settings(max_examples=150, deadline=None)
@given(
    table=tables,
    parted=st.sampled_from(PARTED),
    head=st.sampled_from(HEADS),
    comma=st.booleans(),
    minus=st.sampled_from("-−–"),
    end=st.sampled_from(("\n", "\r\n")),
    stage=st.sampled_from(("found", "left")),
    in_key=st.booleans(),
)
def test_a_pasted_table_reads_as_what_was_heard(
    *,
    table: dict[int, Decimal],
    parted: str,
    head: tuple[str, str] | None,
    comma: bool,
    minus: str,
    end: str,
    stage: str,
    in_key: bool,
) -> None:
    if parted == " " and head is not None:
        head = ("Note", "Cents")
    rows = [
        parted.join((key_name(one, "ascii"), str(cents).replace("-", minus)))
        for one, cents in table.items()
    ]
    lines = [row.replace(".", ",") if comma else row for row in rows]
    if head is not None:
        lines.insert(0, parted.join(head))
    if in_key and len(lines) > 1:
        note = ["---", f"{stage}: |", *(f"  {line}" for line in lines), "---", "Tuned."]
    else:
        note = ["Tuned.", "", f"::: {stage}", *lines, ":::"]
    visit = read_visit(end.join([*note, ""]))
    assert readings(getattr(visit, stage)) == list(table.items())
    assert [one.markdown for one in visit.passages] == ["Tuned."]


@pytest.mark.parametrize(
    "lines",
    [
        "| Note | Target Hz | Cents |\n|------|-----------|-------|\n| A4 | 440.0 | +4,7 |",
        "Note   Target Hz   Measured Hz   Cents\n---------\nA4     440.00      441.20        4.7",
        "Key;Cents before;Cents after\n49;4,7;0,3",
        '"Note","Cents"\n"A4","4.7"',
        '"Note","Cents"\n"A4","4,7"',
        "A4 = 4.7",
        "A4: +4.7 cents",
        "A4,+4.7",
        "key 49\t4.7",
        "A4/a4\t4.7",
        "Name;Cents\nA4/G##4;4.7",
        "Note,Octave,Cents\nA4,4,4.7",
    ],
)
def test_the_column_that_is_meant_is_found_among_others(lines: str) -> None:
    assert readings(read_visit(f"::: found\n{lines}\n:::\n").found) == [(49, Decimal("4.7"))]


def test_of_two_stages_the_one_that_is_asked_for_is_read() -> None:
    table = "Note\tBefore\tAfter\nA4\t-12\t0.3\nC5\t-11\t0"
    visit = read_visit(f"::: found\n{table}\n:::\n\n::: left\n{table}\n:::\n")
    assert readings(visit.found) == [(49, Decimal(-12)), (52, Decimal(-11))]
    assert readings(visit.left) == [(49, Decimal("0.3")), (52, Decimal(0))]


def test_hertz_are_held_against_the_visit_s_own_pitch_and_each_has_its_line() -> None:
    visit = read_visit(
        "---\npitch: 442 Hz\n---\n::: found\nNote;Freq. (Hz)\nA4;442,0\n  A5 ; 885 \n:::\n"
    )
    assert readings(visit.found) == [(49, Decimal(0)), (61, Decimal("1.96"))]
    assert visit.found is not None
    places = [(one.span.line, one.span.column, one.span.width) for one in visit.found.readings]
    assert places == [(6, 1, 8), (7, 3, 8)]


def test_a_wrong_line_stops_its_instrument_and_the_rest_of_the_note_is_kept() -> None:
    notebook, found = read({VISIT: "Fine.\n::: found\nA4 1\nA5 loud\n:::\nAnd more.\n"})
    assert notebook.stopped == {"heron"}
    assert [one.span.line for one in found] == [4]
    shown = [one.markdown for one in notebook.visits["heron"][-1].passages]
    assert shown == ["Fine.", "And more."]
