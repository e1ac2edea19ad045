"""The command line: what it prints where, and its exit codes."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dossier.cli import main
from tests.build.small_shop import TODAY, VISIT, Shop, small_shop

BROKEN = "---\nreason: tuning\nfound: A3 +1, H4 +9\n---\nTuned.\n"
TOLD = f"""{VISIT}:3:15: error: "H4" is not a note name. Did you mean B4?
    found: A3 +1, H4 +9
                  ^^"""
HEAVY = ("PIL", "altair", "fontTools", "numpy", "scipy", "vl_convert", "weasyprint")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return small_shop(tmp_path)


def run(shop: Shop, command: str, *more: str) -> Result:
    return CliRunner().invoke(main, [*arguments(shop, command), *more])


def arguments(shop: Shop, command: str) -> list[str]:
    common = [command, "--content", str(shop.content), "--today", TODAY.isoformat()]
    if command == "check":
        return common
    return [*common, "--out", str(shop.out), "--state", str(shop.state), "--no-pdf", "--jobs", "1"]


@pytest.mark.parametrize(
    ("command", "example"),
    [
        ([], "Example:  dossier check && dossier build"),
        (["check"], "Example:  dossier check --content content"),
        (["build"], "Example:  dossier build --content content --out build"),
    ],
)
def test_help_shows_an_example(command: list[str], example: str) -> None:
    for option in ("--help", "-h"):
        result = CliRunner().invoke(main, [*command, option])
        assert result.exit_code == 0
        assert example in result.stdout


def test_a_sound_notebook_is_counted(shop: Shop) -> None:
    result = run(shop, "check")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == "Read 3 instruments of 2 clients, 3 visits: no problems.\n"


def test_a_problem_is_shown_with_its_line_and_a_caret(shop: Shop) -> None:
    shop.write(VISIT, BROKEN)
    result = run(shop, "check")
    assert result.exit_code == 1
    assert result.stderr == f"{TOLD}\n"
    assert result.stdout == (
        "Read 3 instruments of 2 clients, 3 visits: 1 error, 0 warnings.\n"
        "dossier check --fix offers to put right 1 of them.\n"
    )


def test_a_check_for_machines_is_json_and_nothing_else(shop: Shop) -> None:
    shop.write(VISIT, BROKEN)
    result = run(shop, "check", "--json")
    assert (result.exit_code, result.stderr) == (1, "")
    assert json.loads(result.stdout) == {
        "findings": [
            {
                "file": VISIT,
                "line": 3,
                "column": 15,
                "severity": "error",
                "code": "reading",
                "message": '"H4" is not a note name.',
                "hint": "Did you mean B4?",
                "stops": ["instrument:heron"],
                "fix": {"line": 3, "column": 15, "width": 2, "replaces": "H4", "with": "B4"},
            }
        ]
    }


def test_quiet_says_only_what_stops_something(shop: Shop) -> None:
    shop.write("inbox/2026-05-01.md", "---\ninstrument: wren\n---\nWell.\n")
    assert ": info: " in run(shop, "check").stderr
    result = run(shop, "check", "--quiet")
    assert (result.exit_code, result.output) == (0, "")
    shop.write(VISIT, BROKEN)
    result = run(shop, "check", "--quiet")
    assert (result.exit_code, result.stderr, result.stdout) == (1, f"{TOLD}\n", "")


def test_a_first_build_says_what_it_did_and_where_the_addresses_are(shop: Shop) -> None:
    result = run(shop, "build")
    assert (result.exit_code, result.stderr) == (0, "")
    *sites, minted, built = result.stdout.splitlines()
    assert [line.split(": ")[0] for line in sites] == ["marsh/heron", "school/robin", "school/wren"]
    assert minted == (
        "Minted 2 private links: marsh, school. "
        f"See {shop.out / 'bench' / 'index.html'}, or dossier link."
    )
    assert built == f"Built 3 instruments: 13 pages and 0 PDFs below {shop.out}, no problems."
    assert not any(token in result.output for token in shop.tokens().values())


def test_an_idle_build_says_one_line(shop: Shop) -> None:
    run(shop, "build")
    result = run(shop, "build")
    assert result.stdout == (
        f"Built 3 instruments: 13 pages and 0 PDFs below {shop.out}, no problems.\n"
    )


def test_a_build_with_a_bad_note_names_what_stands(shop: Shop) -> None:
    run(shop, "build")
    shop.write(VISIT, BROKEN)
    result = run(shop, "build")
    assert result.exit_code == 1
    assert result.stderr == f"{TOLD}\nheron: not built; its last good pages stand.\n"
    assert result.stdout == (
        f"Built 2 instruments: 13 pages and 0 PDFs below {shop.out}, 1 error, 0 warnings.\n"
    )


def test_a_build_with_a_bad_note_and_no_earlier_pages_says_so(shop: Shop) -> None:
    shop.write(VISIT, BROKEN)
    result = run(shop, "build", "--quiet")
    assert result.exit_code == 1
    assert result.stdout == ""
    assert result.stderr == (f"{TOLD}\nheron: not built, and there are no earlier pages to keep.\n")


def test_a_client_on_hold_is_named(shop: Shop) -> None:
    run(shop, "build")
    shop.write("instruments/wren/visits/2026-05-04.md", "---\nhold: yes\n---\nThe hinge.\n")
    result = run(shop, "build")
    assert result.exit_code == 0
    assert "school: on hold; the client's pages stay as they are.\n" in result.stderr


def test_a_build_for_machines_is_json_and_nothing_else(shop: Shop) -> None:
    shop.write(VISIT, BROKEN)
    result = run(shop, "build", "--json", "--review")
    assert (result.exit_code, result.stderr) == (1, "")
    data = json.loads(result.stdout)
    assert list(data) == [
        "published",
        "built",
        "kept",
        "missing",
        "held",
        "minted",
        "pages",
        "pdfs",
        "changes",
        "findings",
    ]
    assert data["published"] is True
    assert (data["built"], data["kept"], data["missing"]) == (["robin", "wren"], [], ["heron"])
    assert (data["minted"], data["held"], data["pdfs"]) == (["school"], [], 0)
    assert [sorted(change) for change in data["changes"]] == [["client", "gone", "new"]] * 2
    assert [finding["code"] for finding in data["findings"]] == ["reading"]


def test_a_review_in_a_pipe_prints_once_and_goes_on(shop: Shop) -> None:
    run(shop, "build")
    shop.says(VISIT, "fine piece", "lovely piece")
    result = run(shop, "build", "--review")
    assert result.exit_code == 0
    assert result.stdout.count("lovely piece") == 1
    assert "Built 3 instruments" in result.stdout


def test_missing_addresses_are_a_problem_and_nothing_is_published(shop: Shop) -> None:
    run(shop, "build")
    public = shop.public()
    (shop.state / "links.json").unlink()
    result = run(shop, "build")
    assert result.exit_code == 1
    assert result.stderr.startswith(
        f".dossier/links.json:1:1: error: links.json is missing from {shop.state}, though pages "
        "were published. Its backup is whole and holds 2 links: copy "
    )
    assert result.stdout == "Nothing was published; what stood before still stands.\n"
    assert shop.public() == public


@pytest.mark.parametrize("command", ["check", "build"])
def test_a_day_that_is_none_is_refused_with_a_hint(shop: Shop, command: str) -> None:
    result = run(shop, command, "--today", "yesterday")
    assert result.exit_code == 2
    assert result.stderr.endswith(
        "Error: Invalid value for '--today': “yesterday” is not a date. Write it like 2026-03-14.\n"
    )
    assert not shop.out.exists()


def test_a_client_that_nobody_knows_is_refused_with_the_nearest(shop: Shop) -> None:
    result = run(shop, "build", "shcool")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "dossier: There is no client “shcool”. Did you mean school?\n"
    assert not shop.out.exists()


@pytest.mark.parametrize("command", ["check", "build"])
def test_a_folder_that_is_missing_is_refused(tmp_path: Path, command: str) -> None:
    result = run(Shop(tmp_path), command)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == (
        f"dossier: There is no folder {tmp_path / 'content'} here. Go to your shop's folder, which "
        "holds the folder with the notes, or name that one by --content.\n"
    )
    assert list(tmp_path.iterdir()) == []


def test_a_build_into_the_notes_is_refused(shop: Shop) -> None:
    inside = shop.content / "build"
    result = run(shop, "build", "--out", str(inside))
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == (
        f"dossier: {inside} lies inside of the notes in {shop.content}. "
        "Build into a folder beside them.\n"
    )
    assert not inside.exists()


def test_there_is_no_progress_in_a_pipe(shop: Shop) -> None:
    result = run(shop, "build")
    assert "█" not in result.output
    assert "\r" not in result.output


@pytest.mark.slow
def test_progress_is_shown_on_a_terminal(shop: Shop) -> None:
    code, shown = on_a_terminal(shop)
    assert code == 0
    assert "\rBuilding     ████████" in shown
    assert " 3/3\r" in shown
    assert "Built 3 instruments" in shown.rpartition("\r")[2]
    _, shown = on_a_terminal(shop, "--quiet")
    assert shown == ""


@pytest.mark.slow
def test_a_review_on_a_terminal_asks_and_takes_no_for_an_answer(shop: Shop) -> None:
    run(shop, "build")
    public = shop.public()
    shop.says(VISIT, "fine piece", "lovely piece")
    code, shown = on_a_terminal(shop, "--review", answer="n\n")
    assert code == 0
    assert "lovely piece" in shown
    assert "Publish this? [y/N]: " in shown
    assert "Nothing was published; what stood before still stands." in shown
    assert shop.public() == public
    _, shown = on_a_terminal(shop, "--review", answer="y\n")
    assert "Built 3 instruments" in shown
    assert "lovely piece" in shop.page("marsh")


def on_a_terminal(shop: Shop, *more: str, answer: str = "") -> tuple[int, str]:
    """A build whose input and output are one terminal; what was typed is echoed among it."""
    ours, theirs = pty.openpty()
    os.write(ours, answer.encode())
    command = [sys.executable, "-m", "dossier", *arguments(shop, "build"), *more]
    with subprocess.Popen(command, stdin=theirs, stdout=theirs, stderr=theirs) as process:
        os.close(theirs)
        shown = b""
        try:
            while piece := os.read(ours, 4096):
                shown += piece
        except OSError:  # how Linux says that the other end is closed
            pass
    os.close(ours)
    return process.returncode, shown.decode().replace("\r\n", "\n")


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "allowed"),
    [(["--help"], set()), (["build", "--help"], set()), (["check"], {"numpy"})],
)
def test_a_command_starts_without_what_only_a_build_needs(
    shop: Shop, command: list[str], allowed: set[str]
) -> None:
    """The checks of pitch and climate work with numpy; all else is for pages."""
    shop.says(VISIT, "a fine piece", "“a fine piece” – in F♯ − ⅓")
    more = arguments(shop, "check")[1:] if command == ["check"] else []
    program = (
        "import sys; from dossier.cli import main\n"
        f"try: main({[*command, *more]!r})\n"
        f"except SystemExit: print([m for m in {HEAVY!r} if m in sys.modules], file=sys.stderr)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert ran.stderr == f"{sorted(allowed)}\n"


STOPPING = """
import runpy, signal, sys

class Stop:
    left = int(sys.argv.pop(1))

    def find_spec(self, name, path=None, target=None):
        Stop.left -= 1
        if Stop.left == 0:
            signal.raise_signal(signal.SIGINT)

sys.meta_path.insert(0, Stop())
runpy.run_module("dossier", run_name="__main__", alter_sys=True)
"""


@pytest.mark.slow
@pytest.mark.parametrize("module", [4, 40, 150])
def test_ctrl_c_while_modules_are_loaded_ends_plainly(shop: Shop, module: int) -> None:
    command = [sys.executable, "-c", STOPPING, str(module), *arguments(shop, "build")]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stdout) == (130, "")
    assert ran.stderr.startswith("dossier: Stopped.")
    assert ran.stderr.count("\n") == 1


@pytest.mark.parametrize("command", ["check", "build"])
def test_ctrl_c_ends_a_command_with_130(
    shop: Shop, command: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def pressed(*_: object) -> None:
        raise KeyboardInterrupt

    run(shop, "build")
    public = shop.public()
    shop.says(VISIT, "fine piece", "lovely piece")
    monkeypatch.setattr("dossier.checks.run_checks", pressed)
    monkeypatch.setattr("dossier.build.checked", pressed)
    result = run(shop, command)
    assert (result.exit_code, result.stdout) == (130, "")
    assert result.stderr == (
        "dossier: Stopped. Nothing is left in parts; what is missing comes anew.\n"
    )
    assert shop.public() == public


def test_what_the_system_refuses_is_told_in_a_sentence(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied", "content/theme")

    monkeypatch.setattr("dossier.sites.ground.find_theme", refused)
    result = run(shop, "build")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == (
        "dossier: content/theme can't be used: permission denied. See to it and try again.\n"
    )
