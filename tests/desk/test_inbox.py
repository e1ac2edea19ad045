"""A note of the inbox, filed where it belongs, with its pictures and without a letter lost."""

from pathlib import Path

import pytest

from dossier.desk.files import DeskError
from dossier.desk.inbox import Filing, carry_out, plan_filing, waiting
from dossier.read import open_folder, read_notebook
from tests.desk import shop

NOTE = "---\ninstrument: heron\nreason: quick look\ndate: 2026-05-04\n---\nA look.\n"


def plan(content: Path, path: str = "inbox/a.md") -> Filing:
    read, _ = read_notebook(content, shop.TODAY)
    assert read is not None
    return plan_filing(path, open_folder(content), read, content)


def test_a_note_goes_among_the_visits_without_the_keys_that_its_place_says(tmp_path: Path) -> None:
    content = shop.write(tmp_path, {"inbox/a.md": NOTE})
    before = shop.notebook(content).visits["heron"][-1]
    assert waiting(open_folder(content)) == ("inbox/a.md",)
    carry_out(plan(content), content)
    target = content / "instruments/heron/visits/2026-05-04.md"
    assert target.read_text("utf-8") == "---\nreason: quick look\n---\nA look.\n"
    assert waiting(open_folder(content)) == ()
    after = shop.notebook(content).visits["heron"][-1]
    assert (after.id, after.reason) == (before.id, before.reason)


def test_the_bytes_of_the_rest_stay_as_they_are(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    raw = b"\xef\xbb\xbf---\r\nInstrument: heron\r\nreason: caf\xc3\xa9\r\n---\r\n\r\nA  look.\r\n"
    (content / "inbox").mkdir()
    (content / "inbox/2026-05-04.md").write_bytes(raw)
    filing = plan(content, "inbox/2026-05-04.md")
    assert filing.raw == raw.replace(b"Instrument: heron\r\n", b"")


def test_its_pictures_go_with_it(tmp_path: Path) -> None:
    note = NOTE.replace("reason:", "photos: Felt.JPG the felt\nreason:")
    content = shop.write(tmp_path, {"inbox/a.md": note, "inbox/felt.jpg": "felt"})
    filing = plan(content)
    assert filing.pictures == (("inbox/felt.jpg", "instruments/heron/media/felt.jpg"),)
    carry_out(filing, content)
    assert (content / "instruments/heron/media/felt.jpg").read_text("utf-8") == "felt"
    assert list((content / "inbox").iterdir()) == []
    shop.notebook(content)


def test_another_picture_of_that_name_is_not_overwritten(tmp_path: Path) -> None:
    note = NOTE.replace("reason:", "photos: pins.jpg the pins\nreason:")
    content = shop.write(tmp_path, {"inbox/a.md": note, "inbox/pins.jpg": "other pins"})
    filing = plan(content)
    assert filing.trouble == (
        "There is another pins.jpg in instruments/heron/media/: give one of them another name."
    )
    with pytest.raises(DeskError):
        carry_out(filing, content)
    assert (content / "inbox/a.md").exists()


def test_a_day_that_has_a_note_gets_a_second_one(tmp_path: Path) -> None:
    there = "instruments/heron/visits/2026-05-04.md"
    content = shop.write(tmp_path, {"inbox/a.md": NOTE, there: "Tuned.\n"})
    carry_out(plan(content), content)
    assert (content / there).read_text("utf-8") == "Tuned.\n"
    assert (content / "instruments/heron/visits/2026-05-04-2.md").exists()


def test_a_note_that_appears_meanwhile_is_not_overwritten(tmp_path: Path) -> None:
    content = shop.write(tmp_path, {"inbox/a.md": NOTE})
    filing = plan(content)
    target = content / filing.target
    target.write_text("mine", "utf-8")
    with pytest.raises(DeskError, match="nothing is overwritten"):
        carry_out(filing, content)
    assert target.read_text("utf-8") == "mine"
    assert (content / "inbox/a.md").exists()


NOBODYS = (
    "The note does not name its instrument, so it belongs to nobody yet. "
    "Write instrument: and the name of its folder between the lines of ---."
)


@pytest.mark.parametrize(
    ("note", "trouble"),
    [
        ("A look.\n", NOBODYS),
        (
            "---\ninstrument: hern\ndate: 2026-05-04\n---\nx\n",
            'There is no instrument "hern". Did you mean "heron"?',
        ),
        (
            "---\ninstrument: >\n  heron\ndate: 2026-05-04\n---\nx\n",
            "Its keys instrument and date don't stand on lines of their own.",
        ),
    ],
)
def test_what_cannot_be_filed_says_why(tmp_path: Path, note: str, trouble: str) -> None:
    content = shop.write(tmp_path, {"inbox/a.md": note})
    assert plan(content).trouble == trouble
