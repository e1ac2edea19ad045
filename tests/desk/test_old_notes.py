"""Old notes in free text: every word is kept, only the dates are read, and nothing is shown yet."""

from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner

from dossier.cli import main
from dossier.desk.files import DeskError
from dossier.desk.old_notes import draft, entries
from tests.desk.shop import notebook, write

BOOK = """bought the lamp

14.3.2019  heron, A = 438 Hz, 55 % in the room
raised, broke D#1 - see the invoice: #12

2 April 2020
all well: tuned
"""
DRAFT = """---
# Imported from book.txt, lines 3 to 4, word for word. Take the # off what is right,
# let the owner read what you take out of the bench's block, and take out hold.
hold: yes
#found: A4 438 Hz
#air: 55 %
---

::: bench
14.3.2019  heron, A = 438 Hz, 55 % in the room
raised, broke D#1 - see the invoice: #12
:::
"""


def folder(root: Path, **files: str) -> Path:
    place = root / "old"
    place.mkdir()
    for name, text in files.items():
        (place / f"{name.replace('_', '-')}.txt").write_text(text, "utf-8")
    return place


def test_each_dated_entry_is_a_draft_of_its_own_words(tmp_path: Path) -> None:
    found, left = entries(folder(tmp_path, book=BOOK))
    assert [(one.day, one.first, one.last) for one in found] == [
        (date(2019, 3, 14), 3, 4),
        (date(2020, 4, 2), 6, 7),
    ]
    assert draft(found[0]) == DRAFT
    assert left == ("book.txt:1:1: no date stands above these lines.",)


def test_a_file_may_say_its_day_in_its_name(tmp_path: Path) -> None:
    found, left = entries(folder(tmp_path, visit_2018_05_06="tuned, 8 cents flat\n"))
    assert [(one.day, one.words) for one in found] == [(date(2018, 5, 6), "tuned, 8 cents flat")]
    assert "#found: 8 cents flat\n" in draft(found[0])
    assert left == ()


def test_days_that_may_be_months_are_not_guessed(tmp_path: Path) -> None:
    with pytest.raises(DeskError) as error:
        entries(folder(tmp_path, book="3/4/2019 tuned\n\n5/6/2020 tuned\n"))
    assert str(error.value) == (
        "Nothing in these notes tells whether their dates begin with the day or with the month. "
        "Write one of them like 2026-03-14."
    )


def test_the_drafts_can_be_read_hold_the_client_and_write_over_nothing(tmp_path: Path) -> None:
    content = write(tmp_path)
    old = str(folder(tmp_path, book=BOOK))
    words = ["import", "notes", old, "--instrument", "heron", "--content", str(content)]
    looked = CliRunner().invoke(main, words)
    assert looked.stdout == (
        "2019-03-14  book.txt, lines 3 to 4\n2020-04-02  book.txt, lines 6 to 7\n"
        "Nothing was written: --yes writes the drafts.\n"
    )
    assert looked.stderr == (
        "book.txt:1:1: no date stands above these lines. It stays where it is.\n"
    )
    for _ in range(2):
        CliRunner().invoke(main, [*words, "--yes"])
    read = notebook(content)
    visits = read.visits["heron"]
    assert [visit.id for visit in visits[:4]] == [
        "2019-03-14", "2019-03-14-2", "2020-04-02", "2020-04-02-2",
    ]  # fmt: skip
    assert {passage.audience for visit in visits[:4] for passage in visit.passages} == {"bench"}
    assert read.held() == {"marsh"}
