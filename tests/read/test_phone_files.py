"""What telephones, Windows and cameras do to a file changes neither what it says nor where."""

from __future__ import annotations

import unicodedata

import pytest

from tests.read.tiny_shop import VISIT, read, read_visit

NOTE = """---
reason: café piano, yearly
found: A1 +6, H4 +9
private: key under the mat
---
Tuned.
"""
TOLD = f'{VISIT}:3:15: error: "H4" is not a note name. Did you mean B4?'


@pytest.mark.parametrize(
    ("how", "raw"),
    [
        ("as it is", NOTE.encode()),
        ("with a byte order mark", b"\xef\xbb\xbf" + NOTE.encode()),
        ("with the line ends of Windows", NOTE.replace("\n", "\r\n").encode()),
        ("with the line ends of old Macs", NOTE.replace("\n", "\r").encode()),
        ("both", b"\xef\xbb\xbf" + NOTE.replace("\n", "\r\n").encode()),
        ("in UTF-16", NOTE.encode("utf-16")),
        ("with letters and accents apart", unicodedata.normalize("NFD", NOTE).encode()),
        ("with a long dash for the fence", NOTE.replace("---", "—-").encode()),
    ],
)
def test_a_mistake_stays_where_it_is(how: str, raw: bytes) -> None:
    _, found = read({VISIT: raw})
    assert [str(one) for one in found] == [TOLD], how


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
def test_what_is_private_stays_so(mark: str, ends: str) -> None:
    note = mark + NOTE.replace("H4", "B4").replace("\n", ends)
    visit = read_visit(note)
    assert visit.private == "key under the mat"
    assert [passage.markdown for passage in visit.passages] == ["Tuned."]
    assert visit.reason == "café piano, yearly"


def test_quotes_that_a_telephone_curled_around_a_value_are_quotes() -> None:
    visit = read_visit("---\nproblem: “G5: rattles, they’d say”\n---\nFine.\n")
    (problem,) = visit.problems
    assert problem.text == "G5: rattles, they’d say"
    assert (problem.span.line, problem.span.column) == (2, 11)


def test_curled_quotes_inside_a_sentence_stay() -> None:
    notebook, _ = read({VISIT: "---\nsummary: The “heron” is well.\n---\n"})
    assert notebook.visits["heron"][1].summary == "The “heron” is well."


def test_spaces_that_only_look_like_spaces_part_key_and_value() -> None:
    visit = read_visit("---\nair:\u00a017.5\u202f°C, 71\u00a0%\n---\n")
    air = visit.air
    assert air is not None
    assert (str(air.temperature_c), str(air.humidity)) == ("17.5", "71")


def test_letters_of_windows_are_read_and_told_of() -> None:
    notebook, (found,) = read({VISIT: "Tuned the café piano.".encode("cp1252")})
    assert str(found) == (
        f"{VISIT}:1:14: warning: The file is not UTF-8; it was read as Windows text, so that this "
        'letter is "é". Save it as UTF-8.'
    )
    assert notebook.visits["heron"][1].passages[0].markdown == "Tuned the café piano."


def test_keys_are_matched_however_they_are_spelled() -> None:
    note = "---\nKey_Dip: A4 10 mm\nlet off: A4 2 mm\nPIN-TORQUE: A4 6 N·m\nphoto: pins.JPG\n---\n"
    visit = read_visit(note)
    assert [one.kind for one in visit.measured] == ["key dip", "let-off", "pin torque"]
    assert visit.photos[0].file == "pins.jpg"


def test_no_value_is_taken_for_what_yaml_would_make_of_it() -> None:
    note = "---\nreason: no\nsummary: 12:30\nsafe: 0442\nunsafe: 2026-02-30\n---\n"
    visit = read_visit(note)
    assert (visit.reason, visit.summary, visit.safe, visit.unsafe) == (
        "no",
        "12:30",
        "0442",
        "2026-02-30",
    )


def test_a_date_and_one_sentence_are_a_note() -> None:
    visit = read_visit("Tuned, all well.\n")
    assert visit.passages[0].markdown == "Tuned, all well."


def test_one_name_in_two_forms_of_unicode_is_told_of_twice() -> None:
    name = "instruments/wren/visits/2026-03-14-früh.md"
    _, found = read({unicodedata.normalize(form, name): "Tuned." for form in ("NFC", "NFD")})
    assert len({one.span.file for one in found}) == 2
    (sentence,) = {unicodedata.normalize("NFC", one.sentence) for one in found}
    assert sentence == (
        'In the file\'s name, "früh" is not lower-case letters, digits and hyphens. '
        "Rename it to 2026-03-14-fruh.md"
    )
