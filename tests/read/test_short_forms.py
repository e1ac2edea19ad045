"""Short forms and nested forms, as people write them, come to the same records."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from dossier.model import Visit, Work
from dossier.quantities import Money, Place
from dossier.read import Occasion, Setting, read_visit_text
from tests.read.tiny_shop import read_visit


def note(text: str) -> Visit:
    return read_visit(f"---\n{text}\n---\n")


def work(text: str) -> Work:
    (piece,) = note(f"work: {text}").work
    return piece


@pytest.mark.parametrize(
    ("written", "kind"),
    [
        ("tuning", "tuning"),
        ("Pitch raise in two passes", "pitch raise"),
        ("raised the pitch by a quarter tone", "pitch raise"),
        ("eased keys F3-B3", "easing"),
        ("spliced the D#1 string", "repair"),
        ("regulated the dampers", "regulation"),
        ("needled C3-C6", "voicing"),
        ("humidity equipment fitted", "humidity equipment"),
        ("a new castor", "other"),
    ],
)
def test_the_kind_of_work_is_its_first_words_or_its_verb(written: str, kind: str) -> None:
    piece = work(written)
    assert (piece.kind, piece.text) == (kind, written)


def test_time_price_parts_and_warranty_may_stand_on_the_line() -> None:
    piece = work("spliced D#1, E1, with new wire, 1 h 30, $40, parts 6.50, warranty 2 years")
    assert piece.text == "spliced D#1, E1, with new wire"
    assert (piece.minutes, piece.warranty_until) == (90, date(2028, 3, 14))
    assert (piece.price, piece.parts) == (
        Money(Decimal("40.00"), "USD"), Money(Decimal("6.50"), "USD"),
    )  # fmt: skip
    assert piece.keys == (Place(7, 7), Place(8, 8))


def test_the_nested_form_of_work_says_all() -> None:
    piece = work(
        "\n  - treatment: thin adhesive in the pin block\n    keys: A0-F2\n    time: 2 h\n"
        "    price: 180 USD\n    warranty: 2027-01-31\n    irreversible: it cannot be taken out\n"
        "    by: the apprentice\n    component: pinblock"
    )
    assert (piece.kind, piece.component, piece.by) == ("treatment", "pin block", "the apprentice")
    assert (piece.minutes, piece.warranty_until) == (120, date(2027, 1, 31))
    assert piece.irreversible == "it cannot be taken out"
    assert piece.keys == (Place(1, 21),)


def test_readings_may_stand_on_many_lines() -> None:
    for text in (
        "found:\n  - A1 +6, A2 +4\n  - A3 9 sharp",
        "found: A1 +6, A2 +4,\n  A3 9 sharp",
        "found: |\n  A1 +6, A2 +4\n  A3 +9",
        "found: [A1 +6, A2 +4, A3 +9]",
    ):
        found = note(text).found
        assert found is not None
        assert [one.key for one in found.readings] == [13, 25, 37]
        assert [one.cents for one in found.readings] == [6, 4, 9]


def test_hertz_are_cents_against_the_pitch_of_the_visit() -> None:
    # 1200 log2(435 / 440) = -19.79, the old French pitch against today's
    at_today = note("found: 435 Hz").found
    at_its_own = note("pitch: A4 = 435 Hz\nfound: A4 435 Hz, A5 870 Hz").found
    assert at_today is not None
    assert at_its_own is not None
    assert at_today.readings[0].cents == Decimal("-19.79")
    assert [one.cents for one in at_its_own.readings] == [0, 0]


def test_a_figure_may_be_for_the_whole_and_have_a_qualifier() -> None:
    visit = note("key dip: 3/8 in\npin torque: F4.2 48 in-lb turning up, A4 5,4 N·m")
    dip, first, second = visit.measured
    assert (dip.place, dip.value) == (None, Decimal("9.525"))
    assert (first.place, first.qualifier) == (Place(45, 45, 2), "turning up")
    assert round(first.value, 2) == Decimal("5.42")
    assert (second.value, second.qualifier) == (Decimal("5.4"), "")


def test_marks_of_one_kind_are_parted_where_a_note_follows_a_comma() -> None:
    visit = note("bass strings: D#1 broken, E1, F1 rusty, worse than G1")
    assert [(mark.marked, mark.remark) for mark in visit.marks] == [
        ((Place(7, 7),), "broken"),
        ((Place(8, 8), Place(9, 9)), "rusty, worse than G1"),
    ]


def test_the_strings_of_a_note_may_be_a_range() -> None:
    (mark,) = note("loose pins: B4.1-.2, C5.2–.3 slip").marks
    assert mark.marked == (
        Place(51, 51, 1), Place(51, 51, 2), Place(52, 52, 2), Place(52, 52, 3),
    )  # fmt: skip
    assert mark.remark == "slip"


def test_what_is_clear_or_checked() -> None:
    visit = note("clear:\n  - sticking keys F3, D4, sluggish dampers\n  - moth\nchecked: all")
    assert [(one.kind, one.marked) for one in visit.cleared] == [
        ("sticking keys", (Place(33, 33), Place(42, 42))),
        ("sluggish dampers", ()),
        ("moth", ()),
    ]
    assert visit.checked_all
    looked = note("checked: buzzing, false beats")
    assert [one.kind for one in looked.cleared] == ["buzzing", "false beats"]
    assert not looked.checked_all


@pytest.mark.parametrize(
    ("written", "text", "month"),
    [
        ("move it, before October", "move it", 10),
        ("move it before the end of May", "move it", 5),
        ("move it, by 2026-11", "move it", 11),
        ("keep it by the window", "keep it by the window", None),
        ("let it settle before it is played", "let it settle before it is played", None),
    ],
)
def test_advice_has_a_time_where_its_end_names_one(
    written: str, text: str, month: int | None
) -> None:
    (advice,) = note(f"advice: {written}").advice
    assert (advice.text, advice.before.month if advice.before else None) == (text, month)


@pytest.mark.parametrize(
    ("written", "text", "when"),
    [
        ("check the splice, 4-8 weeks", "check the splice", "4-8 weeks"),
        ("tuning, October 2027", "tuning", "October 2027"),
        ("tuning, in 1 year", "tuning", "1 year"),
        ("tuning in 6 months", "tuning", "6 months"),
        ("voicing, then tuning before October.", "voicing, then tuning", "October"),
        ("look in on the owner", "look in on the owner", ""),
        ("look at D#1, E1", "look at D#1, E1", ""),
        ("a new castor", "a new castor", ""),
        ("2026-10-05", "2026-10-05", "2026-10-05"),
        ("October", "October", "October"),
        ("4-8 weeks", "4-8 weeks", "4-8 weeks"),
    ],
)
def test_what_comes_next(written: str, text: str, when: str) -> None:
    (follow,) = note(f"next: {written}").follow
    assert (follow.text, follow.when.text if follow.when else "") == (text, when)


@pytest.mark.parametrize(
    ("written", "what", "text", "service"),
    [
        ("found unplugged", "unplugged", "", ""),
        ("serviced, next service 2026-10", "serviced", "", "2026-10"),
        ("fitted 2026-03-10, two rods, next service October", "fitted", "two rods", "October"),
        ("dry, filled again", "dry", "filled again", ""),
        ("serviced, dry pads renewed", "serviced", "dry pads renewed", ""),
    ],
)
def test_humidity_equipment(written: str, what: str, text: str, service: str) -> None:
    (one,) = note(f"humidity equipment: {written}").equipment
    assert (one.what, one.text) == (what, text)
    assert (one.next_service.text if one.next_service else "") == service
    assert one.when == (date(2026, 3, 10) if "2026-03-10" in written else date(2026, 3, 14))


def test_pictures_have_captions_and_releases() -> None:
    visit = note("photos:\n  - file: media/PINS.JPG\n    caption: the pins\n    release: sale")
    (photo,) = visit.photos
    assert (photo.file, photo.caption, photo.release) == ("pins.jpg", "the pins", ("sale",))


def test_a_visit_is_read_from_its_text_alone() -> None:
    occasion = Occasion("gull", "2026-03-14", date(2026, 3, 14))
    visit, found = read_visit_text("---\nfixed: G4 buzz\n---\n", "gull.md", occasion, Setting())
    assert found == ()
    assert visit is not None
    assert visit.problem_news[0].problem == "G4 buzz"


def test_a_file_without_a_caption_has_none() -> None:
    assert [one.caption for one in note("photos: pins.jpg").photos] == [""]
