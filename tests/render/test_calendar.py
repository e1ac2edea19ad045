"""The next visit in the owner's calendar, against RFC 5545."""

from dataclasses import replace
from datetime import date

from dossier import words as catalogues
from dossier.edition.pages import InstrumentView
from dossier.render.calendar import calendar
from tests.render import sample_view

SHOP = "Alder & Reed Piano Service: +1 555 0142 · ines@alder-and-reed.example"
WORDS = catalogues.load("en")


def lines(view: InstrumentView) -> list[str]:
    """The content lines, folded ones joined again."""
    data = calendar(view, WORDS)
    assert data is not None
    return data.decode().replace("\r\n ", "").split("\r\n")


def test_one_event_for_the_day_from_which_the_visit_is_due() -> None:
    assert lines(sample_view.owner_view()) == [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "PRODID:-//dossier//visits//EN",
        "CALSCALE:GREGORIAN",
        "METHOD:PUBLISH",
        "BEGIN:VEVENT",
        "UID:bfb91218-f764-5ef2-af41-f11ab959d159",
        "DTSTAMP:20260314T000000Z",
        "SEQUENCE:9569",
        "DTSTART;VALUE=DATE:20260915",
        "DTEND;VALUE=DATE:20260916",
        "SUMMARY:Piano: the next visit is due",
        f"DESCRIPTION:A day still has to be agreed with {SHOP}",
        "CLASS:PRIVATE",
        "TRANSP:TRANSPARENT",
        "END:VEVENT",
        "END:VCALENDAR",
        "",
    ]


def test_no_date_no_calendar() -> None:
    assert calendar(sample_view.bare_view(), WORDS) is None


def test_nothing_of_the_home_is_in_it() -> None:
    text = "\n".join(lines(sample_view.owner_view()))
    for private in ("Quill", "parlour", "alder-upright", "upright"):
        assert private not in text


def test_no_line_is_longer_than_75_octets_and_no_character_is_cut() -> None:
    view = sample_view.owner_view()
    data = calendar(replace(view, sender=replace(view.sender, name="Flügel & Söhne " * 9)), WORDS)
    assert data is not None
    folded = data.split(b"\r\n")
    assert max(len(line) for line in folded) == 75
    assert any(line.startswith(b" ") for line in folded)
    for line in folded:
        line.decode()
    assert b"\n" not in data.replace(b"\r\n", b"")


def test_marks_that_mean_something_in_a_calendar_are_escaped() -> None:
    view = sample_view.owner_view()
    sender = replace(view.sender, name="Reed; Alder, \\Sons\nEND:VEVENT\x07", phone="", email="")
    assert (
        "DESCRIPTION:A day still has to be agreed with Reed\\; Alder\\, \\\\Sons\\nEND:VEVENT."
        in (lines(replace(view, sender=sender)))
    )


def test_a_newer_record_replaces_the_entry_and_does_not_add_one() -> None:
    view = sample_view.owner_view()
    later = replace(view, as_of=date(2026, 5, 1), next_when=date(2026, 11, 2))
    before, after = (dict(line.split(":", 1) for line in lines(v) if line) for v in (view, later))
    assert before["UID"] == after["UID"]
    assert int(before["SEQUENCE"]) < int(after["SEQUENCE"])


def test_two_instruments_have_two_entries() -> None:
    view = sample_view.owner_view()
    assert lines(view)[6] != lines(replace(view, slug="hall-grand"))[6]
