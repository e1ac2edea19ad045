"""Pitch on the owner's page: in the words and figures of the visit's note."""

from __future__ import annotations

from dossier.edition.figures import AlongCompass, ThroughYears
from tests.analysis.one_piano import history
from tests.edition.pages import facts, page, plain_spaces, visit

BREAKS = "breaks: F2, C5"
ALONG = """
    air: 20 °C, 40 %
    found: A1 -8, E2 -2, A2 -20, A3 -20
    left: on pitch
    work: tuning
"""


def rows(table: object) -> list[tuple[str, ...]]:
    found = getattr(table, "rows", ())
    return [tuple(plain_spaces(cell) for cell in row) for row in found]


def test_a_visits_pitch_in_short() -> None:
    view = page(history({"2026-03-14": "found: 8 sharp\nleft: on pitch\nwork: tuning"}))
    assert facts(view, "2026-03-14") == {
        "Found": "8 cents sharp",
        "Left": "on pitch",
        "Change": "Lowered by 8 cents",
        "String tension": "−0.9 %",
    }


def test_what_was_assumed_says_so() -> None:
    view = page(history({"2026-03-14": "found: 6 flat\nwork: tuning"}))
    assert facts(view, "2026-03-14")["Left"] == "on pitch (not noted; assumed, since it was tuned)"


def test_a_hundred_cents_are_an_eighth_more_tension() -> None:
    """+12.25 %: T ∝ f², Mersenne.  Shown to a tenth, half to even."""
    view = page(history({"2026-03-14": "found: 100 flat\nleft: on pitch\nwork: pitch raise"}))
    told = facts(view, "2026-03-14")
    assert (told["Change"], told["String tension"]) == ("Raised by 100 cents", "+12.2 %")


def test_a_reading_in_hertz_says_so_and_the_page_says_what_that_means() -> None:
    view = page(history({"2026-03-14": "found: A4 442 Hz\nleft: as found"}))
    assert facts(view, "2026-03-14")["Found"] == (
        "8 cents sharp (read in Hz, against equal temperament)"
    )
    assert (
        "Readings in Hz are set against equal temperament; at the ends of the compass a good "
        "tuning lies up to 20 to 40 cents away from it." in view.limits
    )
    told = page(history({"2026-03-14": "found: A4 +8"}))
    assert not [limit for limit in told.limits if "Hz" in limit]


def test_another_target_is_named() -> None:
    view = page(history({"2026-03-14": "pitch: A4 = 435 Hz\nfound: 2 flat"}))
    assert facts(view, "2026-03-14") == {"Target": "A4 = 435 Hz", "Found": "2 cents flat"}


def test_the_widest_unison() -> None:
    note = "found: A4.1 -8, A4.2 -12, A4.3 -9, C5.1 -3, C5.2 -4"
    assert facts(page(history({"2026-03-14": note})), "2026-03-14")["Widest unison"] == (
        "A4, 4.0 cents"
    )


def test_a_floated_piano() -> None:
    view = page(history({"2026-03-14": "found: 30 flat\nfloated: yes\nwork: tuning"}))
    assert facts(view, "2026-03-14") == {
        "Found": "30 cents flat",
        "Left": "30 cents flat (not noted; assumed, since it was tuned)",
        "Tuned to": "the instrument's own pitch",
    }
    assert visit(view, "2026-03-14").title == "Tuning"


def test_registers_with_what_each_figure_rests_on() -> None:
    view = page(history({"2026-03-14": ALONG}, instrument=BREAKS))
    assert rows(visit(view, "2026-03-14").pitch) == [
        ("Bass", "−5", "", "", "3.0", "A1 to E2, 2 readings"),
        ("Tenor", "−20", "", "", "0.0", "A2 to A3, 2 readings"),
        (
            "Whole compass", "−14.3", "0", "+14.3", "8.0",
            "A1 to A3, 4 readings",
        ),
    ]  # fmt: skip


def test_one_figure_for_the_whole_needs_no_table() -> None:
    view = page(history({"2026-03-14": "found: 8 sharp"}))
    assert visit(view, "2026-03-14").pitch is None
    assert [figure.id for figure in view.pitch_figures] == ["ahead"]


def test_assumed_registers_say_so_where_figures_rest_on_them() -> None:
    limit = "The breaks between bass, tenor and treble are not noted here and are assumed."
    assert limit in page(history({"2026-03-14": ALONG})).limits
    assert limit not in page(history({"2026-03-14": ALONG}, instrument=BREAKS)).limits
    assert limit not in page(history({"2026-03-14": "found: 8 sharp"})).limits


def test_the_picture_along_the_compass_has_its_sentence_and_its_basis() -> None:
    figure, _ = page(history({"2026-03-14": ALONG}, instrument=BREAKS)).pitch_figures
    assert (figure.id, figure.title) == ("pitch-along", "Found 14 cents flat, left on pitch")
    assert figure.basis == "A1 to A3, 4 readings, 14 March 2026"
    assert figure.alt == (
        "Chart of the pitch along the compass. As found: Bass 5 cents flat and Tenor 20 cents "
        "flat. As left: on pitch."
    )
    drawn = figure.drawn
    assert isinstance(drawn, AlongCompass)
    assert [(point.note, point.cents) for point in drawn.found] == [
        ("A1", -8), ("E2", -2), ("A2", -20), ("A3", -20),
    ]  # fmt: skip
    assert [(level.name, level.first, level.last) for level in drawn.found_levels] == [
        ("bass", 13, 20), ("tenor", 25, 37),
    ]  # fmt: skip
    assert rows(figure.table)[0] == ("A1", "−8 cents", "", "line 3")


def test_through_the_years_the_raises_and_the_moves_are_named() -> None:
    told = history(
        {
            "2024-03-14": "air: 20 °C, 40 %\nfound: 40 flat\nleft: on pitch\nwork: pitch raise",
            "2026-03-14": "air: 20 °C, 45 %\nfound: 6 flat\nwork: tuning",
        },
        instrument='provenance:\n  - "2025-06-10 moved, upstairs, source: own work"',
    )
    figure, _ = page(told).pitch_figures
    assert figure.title == "Found between 40 cents flat and 6 cents flat"
    assert figure.basis == "2 visits, March 2024 to March 2026"
    assert rows(figure.table) == [
        ("14 March 2024", "−40 cents", "0 cents", "440 Hz", "40 %"),
        ("14 March 2026", "−6 cents", "0 cents (not noted; assumed)", "440 Hz", "45 %"),
    ]
    assert isinstance(figure.drawn, ThroughYears)
    assert [tag.text for tag in figure.drawn.tags] == ["raise", "moved"]


def test_a_floated_tuning_is_no_raise_in_the_years() -> None:
    told = history(
        {
            "2024-03-14": "found: 40 flat\nfloated: yes\nwork: tuning",
            "2026-03-14": "found: 42 flat\nfloated: yes\nwork: tuning",
        }
    )
    (figure,) = page(told).pitch_figures
    assert isinstance(figure.drawn, ThroughYears)
    assert figure.drawn.tags == ()


def test_registers_stand_from_bass_to_treble_whichever_was_read_first() -> None:
    told = history(
        {
            "2024-03-14": "found: A5 -4, A6 -4\nleft: A1 0, A3 0, A5 0\nwork: tuning",
            "2025-03-14": "found: 3 flat\nwork: tuning",
            "2026-03-14": "found: A3 -6, A4 -6\nleft: A1 0\nwork: tuning",
        },
        instrument=BREAKS,
    )
    view = page(told)
    figure = next(figure for figure in view.pitch_figures if figure.id == "pitch-years")
    assert isinstance(figure.drawn, ThroughYears)
    assert figure.drawn.registers == ("bass", "tenor", "treble", "whole compass")
    for day, names in (
        ("2024-03-14", ["Bass", "Tenor", "Treble", "Whole compass"]),
        ("2026-03-14", ["Bass", "Tenor", "Whole compass"]),
    ):
        assert [row[0] for row in rows(visit(view, day).pitch)] == names
