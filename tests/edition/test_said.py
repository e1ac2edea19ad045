"""What the owner reads first, sentence by sentence."""

from __future__ import annotations

import pytest

from tests.analysis.one_piano import history
from tests.edition.pages import page, plain_spaces

TUNED = {"2026-03-14": "found: 4 flat\nleft: on pitch\nwork: tuning"}


def state(notes: dict[str, str], today: str = "2026-04-01", shop: str = "") -> tuple[str, str]:
    view = page(history(notes, shop=shop), today)
    return plain_spaces(view.state), view.state_level


def test_no_visit_yet() -> None:
    assert state({}) == ("No visit has been recorded yet.", "attention")
    view = page(history({}))
    assert view.pitch_story == "No pitch has been recorded yet."
    assert view.next_text == "None is planned."
    assert view.air_story == (
        "The air has not been read yet, so nothing can be said of the seasons.",
    )


@pytest.mark.parametrize(
    ("note", "sentence"),
    [
        (
            "found: 4 flat\nleft: on pitch\nwork: tuning",
            "Tuned on 14 March 2026 and left on pitch.",
        ),
        (
            "found: 40 flat\nleft: 2 flat\nwork: pitch raise",
            "Raised in pitch on 14 March 2026 and left 2 cents flat.",
        ),
        ("found: 40 flat\nfloated: yes\nwork: tuning", "Tuned to its own pitch on 14 March 2026."),
        ("floated: yes\nwork: tuning", "Tuned to its own pitch on 14 March 2026."),
        ("work: eased keys F3-B3", "Looked after on 14 March 2026."),
        ("air: 20 °C, 40 %", "Last seen on 14 March 2026."),
        ("summary: clean and in tune\nwork: tuning", "Clean and in tune."),
    ],
)
def test_the_state_begins_with_the_last_visit(note: str, sentence: str) -> None:
    told, level = state({"2026-03-14": note})
    rest = "" if note.startswith("summary") else " No problem is open."
    assert (told, level) == (f"{sentence}{rest}", "good")


def test_an_open_problem_is_told_in_full_and_two_by_their_number() -> None:
    one = {"2026-03-14": "work: tuning\nproblem: the left pedal squeaks"}
    assert state(one) == (
        "Tuned on 14 March 2026 and left on pitch. One problem is open: The left pedal squeaks.",
        "attention",
    )
    two = {"2026-03-14": "work: tuning\nproblem:\n  - the pedal squeaks\n  - G4 buzzes"}
    assert state(two)[0].endswith("2 problems are open.")


def test_a_warning_stands_above_all() -> None:
    view = page(history({"2026-03-14": "unsafe: the caster is cracked, don't move it"}))
    assert (view.unsafe, view.state_level) == ("The caster is cracked, don't move it.", "stop")
    assert [todo.why for todo in view.todos] == ["For safety."]


def test_a_poor_part_wants_attention() -> None:
    note = "work: tuning\ncondition:\n  bridges: poor\n  strings: failed\n  keys: good"
    assert state({"2026-03-14": note}) == (
        "Tuned on 14 March 2026 and left on pitch. In need of work: bridges and strings.",
        "attention",
    )


YEARLY = "interval: 1 year"


@pytest.mark.parametrize(
    ("tuned", "today", "text"),
    [
        ("2026-03-01", "2026-06-01", "In March 2027."),
        (
            "2026-03-14",
            "2027-03-13",
            "Between 14 March and 13 April 2027.",
        ),
        (
            "2026-03-14",
            "2027-03-14",
            "Due now, between 14 March and 13 April 2027.",
        ),
        ("2026-03-01", "2027-03-31", "Due now, in March 2027."),
        ("2026-03-01", "2027-04-01", "Was due in March 2027."),
    ],
)
def test_the_next_visit_comes_due(tuned: str, today: str, text: str) -> None:
    assert page(history({tuned: "work: tuning"}, shop=YEARLY), today).next_text == text


def test_an_overdue_visit_wants_attention() -> None:
    assert state(TUNED, "2027-04-14", shop=YEARLY) == (
        "Tuned on 14 March 2026 and left on pitch. The next visit is overdue.",
        "attention",
    )


@pytest.mark.parametrize("status", ["dormant", "left"])
def test_a_client_at_rest_or_gone_is_promised_and_asked_nothing(status: str) -> None:
    notes = {"2026-03-14": "work: tuning\nadvice: move it, before June\nnext: check, 4 weeks"}
    told = history(notes, shop=YEARLY, client=f"status: {status}")
    view = page(told, "2027-06-01")
    assert (view.next_text, view.next_when, view.next_why) == (
        "None is planned.", None, "",
    )  # fmt: skip
    assert view.todos == ()
    assert "overdue" not in view.state


def test_why_the_next_visit() -> None:
    assert page(history(TUNED, shop=YEARLY)).next_why == "The regular tuning."
    note = {"2026-03-14": "work: tuning\nnext: check the splice on D#1, 4-8 weeks"}
    assert page(history(note)).next_why == "Check the splice on D#1."
    glued = {"2026-03-14": "work: treatment of the pin block"}
    assert page(history(glued)).next_why == (
        "To see how the treatment holds: Treatment of the pin block."
    )


def test_at_most_three_things_to_do_the_most_pressing_first() -> None:
    note = """
        unsafe: the lid is loose
        humidity equipment: found unplugged
        advice:
          - a cover for the keys
          - move it off the wall, before June
        work: tuning
    """
    view = page(history({"2026-03-14": note}, shop=YEARLY), "2026-05-01")
    assert [(todo.text, todo.why, todo.when) for todo in view.todos] == [
        ("The lid is loose.", "For safety.", ""),
        (
            "Have the humidity equipment looked after.",
            "It was found unplugged on 14 March 2026.",
            "",
        ),
        (
            "Move it off the wall.",
            "Advised on 14 March 2026; please say yes or no.",
            "by 31 May 2026",
        ),
    ]


def test_what_was_agreed_is_still_to_do_and_what_was_declined_is_not() -> None:
    notes = {
        "2026-03-14": "advice:\n  - (wall) move it\n  - (lamp) another lamp",
        "2026-03-20": "agreed: wall\ndeclined: lamp",
    }
    view = page(history(notes))
    assert [(todo.text, todo.why) for todo in view.todos] == [
        ("Move it.", "Agreed; not yet seen done."),
    ]
