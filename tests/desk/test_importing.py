"""Tables of readings and logs from other programs: read, told, and held until someone looked."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dossier.cli import main
from dossier.desk.importing import pitch_note
from tests.desk.shop import notebook, write

TODAY = date(2026, 6, 1)
SHAPES = {
    "of cents": "note,cents\nA1,+6\nA3,9\nA4,-2.5\n",
    "with decimal commas": "Note;Cent\nA1;+6,0\nA3;9,0\nA4;-2,5\n",
    "with tabs and key numbers": "Key No.\tOffset\n13\t6\n37\t9\n49\t-2.5\n",
    "with a title above and more columns": (
        "Session 7\n2026-05-30\n\nNo,Note name,Deviation (ct),Octave\n"
        "1,A1,6,1\n2,A3,9,3\n3,A4,-2.5,4\n"
    ),
    "without names": "A1 | +6\nA3 | +9\nA4 | -2.5\n",
    "in quotes, with a mark of byte order": (
        '\ufeff"Note","Cents"\n"A1","6"\n"A3","9"\n"A4","−2.5"\n'
    ),
}  # fmt: skip
HERTZ = "Note,Frequency (Hz)\nA4,442.1\nA5,\n"


@pytest.mark.parametrize("shape", SHAPES)
def test_a_table_of_readings_becomes_a_note_that_holds(shape: str) -> None:
    text, found = pitch_note(SHAPES[shape].encode(), Path("t.csv"), "found", TODAY)
    above = ["t.csv:1:1: info: Lines 1 to 2 hold no reading; left out."]
    assert [str(one) for one in found] == (above if "title" in shape else [])
    assert text is not None
    lines = text.split("\n")
    assert lines[4] == "hold: yes"
    readings = lines[5].replace("key 13", "A1").replace("key 37", "A3").replace("key 49", "A4")
    assert readings.replace(".0", "").replace("−", "-") == "found: A1 +6, A3 +9, A4 -2.5"


def test_hertz_stay_hertz_and_a_note_without_a_figure_is_told() -> None:
    text, found = pitch_note(HERTZ.encode(), Path("t.csv"), "left", TODAY)
    assert text is not None
    assert "\nleft: A4 442.1 Hz\n" in text
    assert [str(one) for one in found] == ["t.csv:3:1: info: A5 has no figure and is left out."]


_NONE = (
    "1:1: error: No column of notes with a column of cents or hertz was found. "
    "Write a line of names on top, as in: note,cents"
)
_READING = "Write a note and its cents or hertz, as in A4 -12 or A4 442.1 Hz."
BROKEN = {
    "note,cents\nH4,6\n": '2:1: error: "H4" is not a note name. Did you mean B4?',
    "note,cents\nA4,abc\n": f'2:1: error: "A4 abc" is not a pitch reading. {_READING}',
    "note,cents\nA4,6\nA3,1\na4,7\n": (
        '4:1: error: The note of "a4 +7" stands on line 2 too. '
        "Keep one of them, or name the strings, as in A4.1."
    ),
    "note,cents\n,6\n": '2:1: error: The row names no note: ",6".',
    "time,volume\n1,2\n": _NONE,
    "": _NONE,
    "note,cents\n": "1:1: error: The table has no reading.",
    "note,cents\nA9,6\n": '2:1: error: "A9" is outside the compass, A0 to C8.',
    "key,cents\n99,6\n": '2:1: error: "key 99" is outside the compass, keys 1 to 88.',
    "note,cents\nA4,6,5\n": (
        "2:1: error: The row has 3 cells, and 2 were expected. "
        "Where commas stand in its figures, part the cells by semicolons."
    ),
    "note;cents\nA4;6,5\nA3;1 2\n": f'3:1: error: "A3 1 2" is not a pitch reading. {_READING}',
    "note,hz\nA4,0\n": (
        '2:1: error: "A4 0 Hz" is not a frequency. '
        "Write the frequency itself, as in A4 442.1 Hz, or how far off it is in cents."
    ),
}


@pytest.mark.parametrize("table", BROKEN)
def test_a_broken_row_is_told_at_its_line_and_nothing_is_written(table: str) -> None:
    text, found = pitch_note(table.encode(), Path("t.csv"), "found", TODAY)
    assert text is None
    assert [str(one) for one in found] == [f"t.csv:{BROKEN[table]}"]


def run(content: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["import", *words, "--content", str(content)])


def test_the_note_stands_beside_the_day_s_other_and_holds_the_client(tmp_path: Path) -> None:
    content, table = write(tmp_path), tmp_path / "t.csv"
    table.write_text(SHAPES["of cents"], "utf-8")
    words = ["pitch", str(table), "--instrument", "heron", "--date", "2025-03-01"]
    first = run(content, *words)
    assert first.exit_code == 0, first.output
    note = content / "instruments/heron/visits/2025-03-01-2.md"
    assert first.stdout == f"{note}: look at it, and take out hold.\n"
    read = notebook(content)
    found = read.visits["heron"][-1].found
    assert found is not None
    assert [(one.key, one.cents) for one in found.readings] == [
        (13, 6),
        (37, 9),
        (49, Decimal("-2.5")),
    ]
    assert read.held() == {"marsh"}


def test_who_is_no_instrument_is_said(tmp_path: Path) -> None:
    table = tmp_path / "t.csv"
    table.write_text(SHAPES["of cents"], "utf-8")
    result = run(write(tmp_path), "pitch", str(table), "--instrument", "herom")
    assert (result.exit_code, result.stderr) == (
        2,
        "dossier: There is no instrument herom that can be read. Did you mean heron?\n",
    )


LOG = "time,temperature °C,humidity %\n2026-03-14 12:00,20.5,40\n2026-04-14 13:00,21,41\n"


def imported(content: Path, file: Path, words: Sequence[str] = ("--yes",)) -> Result:
    return run(content, "log", str(file), "--room", "parlour", *words)


def test_a_log_is_read_told_and_copied_once(tmp_path: Path) -> None:
    content, file = write(tmp_path), tmp_path / "export (3).csv"
    file.write_text(LOG, "utf-8")
    looked = imported(content, file, ())
    target = content / "rooms/parlour/2026-03-to-2026-04.csv"
    told = (
        "    time,temperature °C,humidity %\n"
        "    2026-03-14 12:00,20.5,40\n"
        "    2026-04-14 13:00,21,41\n"
        "2 rows, from 2026-03-14 12:00 to 2026-04-14 13:00 (America/New_York)\n"
        "temperature from 20.5 to 21.0 °C\n"
        "humidity from 40.0 to 41.0 %\n"
    )
    assert looked.stdout == f"{told}Nothing was copied: --yes copies it to {target}\n"
    assert not target.exists()
    assert imported(content, file).stdout == f"{told}Copied to {target}\n"
    assert target.read_bytes() == file.read_bytes()
    assert imported(content, file).stdout == f"{told}The same file is there already: {target}\n"
    file.write_text(LOG + "2026-04-14 14:00,21,41\n", "utf-8")
    assert imported(content, file).stdout.endswith("2026-03-to-2026-04-2.csv\n")


def test_a_log_that_cant_be_read_is_told_at_its_line(tmp_path: Path) -> None:
    file = tmp_path / "export.csv"
    file.write_text("time,humidity\n03/04/2026,40\n05/06/2026,41\n", "utf-8")
    result = imported(write(tmp_path), file)
    assert result.exit_code == 1
    assert result.stderr == (
        "export.csv:2:1: error: Nothing in the log tells whether its dates begin with the day or "
        "with the month. Export it with dates like 2026-03-14.\n"
        "    03/04/2026,40\n    ^\nNothing was copied.\n"
    )


def test_a_room_that_is_none_is_said(tmp_path: Path) -> None:
    file = tmp_path / "export.csv"
    file.write_text(LOG, "utf-8")
    result = run(write(tmp_path), "log", str(file), "--room", "attic")
    assert result.stderr == (
        "dossier: There is no room attic: a room is named by its file in rooms/.\n"
    )
