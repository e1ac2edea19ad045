"""The desk's commands as they are typed: what they print, write, ask and end with."""

from __future__ import annotations

import json
import stat
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dossier.cli import main
from tests.desk import shop
from tests.desk.test_due import FILES

COMMANDS = ("start", "visit", "round", "inbox", "import", "preview", "due", "schema")
NOTE = "instruments/heron/visits/2026-06-01.md"


def run(*words: str, content: Path | None = None, given: str = "") -> Result:
    where = ["--content", str(content)] if content else []
    return CliRunner().invoke(main, [*words, *where], input=given)


def editor(folder: Path, script: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """An editor that does to the note what a person would."""
    path = folder / "editor"
    path.write_text(f"#!/bin/sh\n{script}\n", "utf-8")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.setenv("EDITOR", str(path))


@pytest.mark.parametrize("command", COMMANDS)
def test_the_help_of_each_command_shows_an_example_of_it(command: str) -> None:
    result = run(command, "--help")
    assert result.exit_code == 0
    assert f"Example:  dossier {command}" in result.output


def test_a_shop_is_begun_and_can_be_checked_at_once(tmp_path: Path) -> None:
    folder = tmp_path / "my-shop"
    result = run("start", str(folder), "--today", "2026-03-14")
    assert (result.exit_code, result.stdout.split("\n")[-2]) == (
        0,
        (
            f"Next: cd {folder}, write over the files in content, and then dossier check and "
            "dossier build."
        ),
    )
    checked = run("check", "--today", "2026-03-14", content=folder / "content")
    assert (checked.exit_code, checked.output) == (
        0,
        "Read 1 instrument of 1 client, 1 visit: no problems.\n",
    )
    again = run("start", str(folder))
    assert (again.exit_code, "is not empty" in again.stderr) == (2, True)


def test_a_visit_is_begun_without_an_editor_and_printed_without_a_file(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    printed = run("visit", "heron", "--print", "--date", "2026-06-01", content=content)
    assert printed.stdout.startswith("---\ninstrument: heron\ndate: 2026-06-01\n")
    assert not (content / NOTE).exists()
    for name in ("2026-06-01.md", "2026-06-01-2.md"):
        begun = run("visit", "heron", "--no-edit", "--date", "2026-06-01", content=content)
        path = content / "instruments/heron/visits" / name
        assert (begun.exit_code, begun.stdout) == (0, f"{path}\n")
        assert "#reason: check the splice\n" in path.read_text("utf-8")


def test_what_is_written_in_the_editor_is_kept_and_the_rest_taken_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = shop.write(tmp_path)
    editor(tmp_path, 'sed -i "s/^#left/left/" "$1" && echo Tuned. >> "$1"', monkeypatch)
    result = run("visit", "heron", "--edit", "--date", "2026-06-01", content=content)
    assert (result.exit_code, result.stdout) == (0, f"Written: {content / NOTE}\n")
    assert (content / NOTE).read_text("utf-8") == "---\nleft: on pitch\n---\n\nTuned.\n"


def test_a_mistake_is_shown_with_its_caret_and_the_note_opened_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = shop.write(tmp_path)
    first = 'sed -i "s/^#fee.*/fee: 98 UDS/" "$1"; echo Tuned. >> "$1"'
    second = 'sed -i "s/UDS/USD/" "$1"'
    script = f'if grep -q UDS "$1"; then {second}; else {first}; fi'
    editor(tmp_path, script, monkeypatch)
    result = run(
        "visit", "heron", "--edit", "--date", "2026-06-01", content=content, given="n\ny\n"
    )
    begun = Path(__file__).with_name("heron-note.md").read_text("utf-8").split("\n")
    line = begun.index("#fee: 120 USD") + 1
    assert result.stderr == (
        f'{NOTE}:{line}:9: error: "UDS" is not a currency of ISO 4217. Did you mean USD?\n'
        "    fee: 98 UDS\n            ^^^\n"
    )
    assert result.stdout == (
        "Did you mean USD? Put it in? [Y/n]: n\n"
        f"Open it again? [Y/n]: y\nWritten: {content / NOTE}\n"
    )
    assert result.exit_code == 0
    assert (content / NOTE).read_text("utf-8") == "---\nfee: 98 USD\n---\n\nTuned.\n"


def test_a_word_that_is_surely_meant_is_put_in_when_its_writer_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = shop.write(tmp_path)
    script = (
        r'sed -i "s/^#fee.*/fee: 98 UDS\nkey dipp: A1 10 mm\nleft: A1 +1, H4 +2/" "$1"; '
        'echo Tuned. >> "$1"'
    )
    editor(tmp_path, script, monkeypatch)
    result = run(
        "visit", "heron", "--edit", "--date", "2026-06-01", content=content, given="y\ny\ny\n"
    )
    assert (result.exit_code, result.stdout) == (
        0,
        (
            "Did you mean USD? Put it in? [Y/n]: y\n"
            'Did you mean "key dip"? Put it in? [Y/n]: y\n'
            "Did you mean B4? Put it in? [Y/n]: y\n"
            f"Written: {content / NOTE}\n"
        ),
    )
    assert (content / NOTE).read_text("utf-8") == (
        "---\nfee: 98 USD\nkey dip: A1 10 mm\nleft: A1 +1, B4 +2\n---\n\nTuned.\n"
    )


def test_a_note_left_with_a_mistake_keeps_all_its_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = shop.write(tmp_path)
    editor(tmp_path, 'sed -i "s/^#fee.*/fee: 98 UDS/" "$1"', monkeypatch)
    result = run(
        "visit", "heron", "--edit", "--date", "2026-06-01", content=content, given="n\nn\n"
    )
    assert result.exit_code == 1
    assert "#left: on pitch\n" in (content / NOTE).read_text("utf-8")


@pytest.mark.parametrize(("answer", "stays"), [("y\n", False), ("n\n", True)])
def test_a_note_in_which_nothing_was_written_is_deleted_only_when_asked_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, answer: str, stays: bool
) -> None:
    content = shop.write(tmp_path)
    editor(tmp_path, "true", monkeypatch)
    result = run("visit", "heron", "--edit", "--date", "2026-06-01", content=content, given=answer)
    assert (result.exit_code, (content / NOTE).exists()) == (0, stays)
    assert result.stdout.startswith(f"Nothing was written. Delete {content / NOTE}? [y/N]: ")


def test_an_editor_that_is_not_there_loses_no_note(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = shop.write(tmp_path)
    monkeypatch.delenv("VISUAL", raising=False)
    monkeypatch.setenv("EDITOR", "/nowhere/editor")
    result = run("visit", "heron", "--edit", "--date", "2026-06-01", content=content)
    assert result.exit_code == 2
    assert result.stderr.startswith("dossier: The editor could not be run (/nowhere/editor: ")
    assert result.stderr.endswith(
        f"The note is begun: {content / NOTE}. Set $EDITOR to the program that you write with.\n"
    )
    assert (content / NOTE).exists()


def test_a_note_of_the_same_instrument_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    content = shop.write(tmp_path, {"instruments/heron/visits/2026-01-01.md": "---\nx: y\n---\n"})
    result = run("visit", "heron", "--print", "--date", "2026-06-01", content=content)
    assert result.stderr == (
        "heron: a note of it can't be read, so more may be open: see dossier check.\n"
    )


def test_an_instrument_or_client_that_is_not_there_is_wrong_use(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    for command, name, told in (
        (
            "visit",
            "hern",
            "dossier: There is no instrument hern that can be read. Did you mean heron?\n",
        ),
        (
            "round",
            "mash",
            "dossier: There is no client mash that can be read. Did you mean marsh?\n",
        ),
    ):
        result = run(command, name, content=content)
        assert (result.exit_code, result.stderr) == (2, told)


def test_a_client_named_for_an_instrument_is_told_apart(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    for command, name, told in (
        (
            "visit",
            "marsh",
            "instrument marsh that can be read. marsh is a client, whose instruments are: heron.",
        ),
        (
            "round",
            "heron",
            "client heron that can be read. heron is an instrument, whose client is marsh.",
        ),
        (
            "visit",
            "xyzzy",
            (
                "instrument xyzzy that can be read. "
                "An instrument is named by its folder in instruments/."
            ),
        ),
    ):
        result = run(command, name, content=content)
        assert (result.exit_code, result.stderr) == (2, f"dossier: There is no {told}\n")


def test_a_note_of_a_telephone_that_is_no_md_file_is_named(tmp_path: Path) -> None:
    content = shop.write(tmp_path, {"inbox/2026-05-04.txt": "A look.\n"})
    result = run("inbox", "--today", "2026-06-01", content=content)
    assert (result.exit_code, result.stdout) == (1, f"No note waits in {content / 'inbox'}.\n")
    assert result.stderr == (
        'inbox/2026-05-04.txt: "2026-05-04.txt" looks like a note, and is not read. '
        "Save it as plain text, named 2026-05-04.md\n"
    )


def test_a_place_that_cannot_be_written_to_is_no_crash(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    note = "---\ninstrument: heron\ndate: 2026-05-04\n---\nA look.\n"
    content = shop.write(tmp_path, {"inbox/a.md": note})

    def refuse(path: Path, *_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(Path, "unlink", refuse)
    target = content / "instruments/heron/visits/2026-05-04.md"
    told = (
        f"dossier: {content / 'inbox/a.md'} cannot be deleted: Permission denied. "
        f"It is filed as {target}, so delete it yourself.\n"
    )
    result = run("inbox", "--yes", "--today", "2026-06-01", content=content)
    assert (result.exit_code, result.stderr) == (2, told)
    assert target.exists()


def test_outside_the_shop_it_says_where_to_go(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    content = shop.write(tmp_path)
    monkeypatch.chdir(content)
    among = CliRunner().invoke(main, ["check"])
    told = "dossier: There is no folder content here: you are among the notes. Go one folder up.\n"
    assert (among.exit_code, among.stderr) == (2, told)
    (tmp_path / "empty").mkdir()
    monkeypatch.chdir(tmp_path / "empty")
    links = CliRunner().invoke(main, ["link"])
    assert links.exit_code == 2
    assert links.stderr.startswith("dossier: There is no folder content here. Go to your shop's ")


def test_a_round_is_begun(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    result = run("round", "school", "--no-edit", "--date", "2026-06-01", content=content)
    assert (result.exit_code, result.stdout) == (0, f"{content / 'rounds/2026-06-01.md'}\n")
    printed = run("round", "school", "--print", "--date", "2026-06-01", content=content)
    assert printed.stdout == (content / "rounds/2026-06-01.md").read_text("utf-8")


def test_the_inbox_only_lists_in_a_pipe_and_files_when_told(tmp_path: Path) -> None:
    note = "---\ninstrument: heron\ndate: 2026-05-04\n---\nA look.\n"
    content = shop.write(tmp_path, {"inbox/a.md": note, "inbox/b.md": "Whose?\n"})
    listed = run("inbox", "--today", "2026-06-01", content=content)
    line = "inbox/a.md -> instruments/heron/visits/2026-05-04.md\n"
    still = "Nothing was moved: dossier inbox --yes files all that can be filed.\n"
    assert (listed.exit_code, listed.stdout) == (1, line + still)
    assert listed.stderr.startswith("inbox/b.md: The note does not name its instrument")
    assert (content / "inbox/a.md").exists()
    filed = run("inbox", "--yes", "--today", "2026-06-01", content=content)
    assert (filed.exit_code, filed.stdout) == (1, line)
    assert not (content / "inbox/a.md").exists()
    (content / "inbox/b.md").unlink()
    empty = run("inbox", content=content)
    assert (empty.exit_code, empty.stdout) == (0, f"No note waits in {content / 'inbox'}.\n")


def test_what_is_due_as_a_table_as_data_and_as_a_calendar(tmp_path: Path) -> None:
    content = shop.write(tmp_path, FILES)
    table = run("due", "--today", "2026-06-01", content=content)
    assert table.stdout.split("\n")[1].startswith("now         unsafe   The hall grand")
    by_place = run("due", "--by", "place", "--today", "2026-06-01", content=content)
    assert by_place.stdout.split("\n")[1].startswith("2026-03-31  overdue  The heron")
    data = run("due", "--json", "--within", "1 year", "--today", "2026-06-01", content=content)
    assert [one["instrument"] for one in json.loads(data.stdout)["due"]][-2:] == ["teal", "gull"]
    printed = run("due", "--ics", "-", "--today", "2026-06-01", content=content)
    assert printed.stdout_bytes.startswith(b"BEGIN:VCALENDAR\r\n")
    file = tmp_path / "due.ics"
    for _ in range(2):
        written = run("due", "--ics", str(file), "--today", "2026-06-01", content=content)
        assert (written.exit_code, written.stderr) == (0, f"Wrote {file}.\n")
    assert file.read_bytes() == printed.stdout_bytes
    file.write_text("mine", "utf-8")
    refused = run("due", "--ics", str(file), "--today", "2026-06-01", content=content)
    assert (refused.exit_code, refused.stderr) == (
        2,
        f"dossier: {file} is another kind of file, and nothing is overwritten.\n",
    )


def test_a_time_that_is_none_is_wrong_use(tmp_path: Path) -> None:
    result = run("due", "--within", "soon", content=shop.write(tmp_path))
    assert result.exit_code == 2
    assert '"soon" is not a period. Write it like 3 weeks, 4-8 weeks or 6 months.' in result.stderr


def test_a_schema_is_printed_or_all_are_written(tmp_path: Path) -> None:
    content = shop.write(tmp_path)
    printed = run("schema", "visit", content=content)
    assert json.loads(printed.stdout)["title"] == "A visit"
    listed = run("schema", content=content)
    assert listed.stdout.startswith("shop        shop.md ")
    written = run("schema", "--out", str(tmp_path / "schemas"), content=content)
    assert written.stdout.split("\n")[0] == str(tmp_path / "schemas/shop.schema.json")
    assert (tmp_path / "schemas/visit.schema.json").read_text("utf-8") == printed.stdout
    wrong = run("schema", "vist", content=content)
    kinds = "shop, client, instrument, visit, round, room, inbox"
    told = f"dossier: There is no kind vist. The kinds are {kinds}.\n"
    assert (wrong.exit_code, wrong.stderr) == (2, told)
    (tmp_path / "taken").write_text("mine", "utf-8")
    taken = run("schema", "--out", str(tmp_path / "taken/schemas"), content=content)
    told = f"dossier: {tmp_path / 'taken/schemas'} cannot be written to: Not a directory.\n"
    assert (taken.exit_code, taken.stderr) == (2, told)
