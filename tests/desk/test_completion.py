"""The Tab key: what it completes, in the shells themselves, and that it waits for nothing heavy."""

from __future__ import annotations

import contextlib
import os
import pty
import re
import select
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.shell_completion import ShellComplete

from dossier.cli import main
from dossier.desk.completion import EDITIONS, KINDS
from dossier.schemas.schema import KINDS as ALL_KINDS
from dossier.sites.issue import statements
from tests.desk import shop

README = Path(__file__).parents[2] / "README.md"
PATIENCE = 60  # seconds in which an answer has to come, however busy the machine is


@pytest.mark.parametrize(
    ("words", "begun", "names"),
    [
        (["visit"], "", ["heron", "wren"]),
        (["visit"], "he", ["heron"]),
        (["visit"], "x", []),
        (["round"], "s", ["school"]),
        (["build"], "", ["marsh", "school"]),
        (["issue"], "w", ["wren"]),
        (["issue", "heron", "--edition"], "", ["appraisal", "sale"]),
        (["import", "pitch", "x.csv", "--instrument"], "h", ["heron"]),
        (["import", "log", "x.csv", "--room"], "", ["parlour"]),
        (["link", "show"], "m", ["marsh"]),
        (["link", "add"], "m", ["marsh"]),
        (["link", "renew"], "marsh/", ["marsh/heron"]),
        (["link", "add"], "heron", ["heron-sale-2026-03-20"]),
        (["schema"], "in", ["inbox", "instrument"]),
    ],
)
def test_names_are_completed_from_the_folders(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    words: list[str],
    begun: str,
    names: list[str],
) -> None:
    content = shop.write(tmp_path)
    (tmp_path / "build/issued/heron-sale-2026-03-20").mkdir(parents=True)
    monkeypatch.chdir(tmp_path)
    shell = ShellComplete(main, {}, "dossier", "_DOSSIER_COMPLETE")
    found = shell.get_completions([*words[:2], "--content", str(content), *words[2:]], begun)
    assert [one.value for one in found] == names
    assert isinstance(main, click.Group)


def test_without_notes_there_is_nothing_to_complete(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    shell = ShellComplete(main, {}, "dossier", "_DOSSIER_COMPLETE")
    for words in (["visit"], ["build"], ["link", "add"], ["import", "log", "x", "--room"]):
        assert shell.get_completions(words, "") == []


def test_the_words_that_are_completed_are_those_of_the_registries() -> None:
    assert set(EDITIONS) == {edition.name for edition in statements()}
    assert set(KINDS) == {name for name, _, _ in ALL_KINDS}


@pytest.mark.parametrize("typed", ["visit her", "link add marsh/", "issue heron --edition s"])
def test_nothing_heavy_is_loaded_for_it(tmp_path: Path, typed: str) -> None:
    shop.write(tmp_path)
    words = f"dossier {typed}"
    told = subprocess.run(
        [sys.executable, "-X", "importtime", program()],
        cwd=tmp_path,
        env={
            **os.environ,
            "_DOSSIER_COMPLETE": "bash_complete",
            "COMP_WORDS": words,
            "COMP_CWORD": str(len(words.split()) - 1),
        },
        capture_output=True,
        text=True,
        check=True,
    )
    assert told.stdout.startswith("plain,")
    loaded = {line.rpartition("|")[2].strip() for line in told.stderr.splitlines()}
    assert "dossier.desk.completion" in loaded
    rooms = {name.split(".")[1] for name in loaded if name.startswith("dossier.")}
    assert rooms - {"__main__"} == {"cli", "desk", "slugs"}
    heavy = {"pydantic", "yaml", "jinja2", "markdown_it", "babel", "numpy", "decimal", "zoneinfo"}
    assert {name.partition(".")[0] for name in loaded} & heavy == set()


# In the shells ---------------------------------------------------------------------------------

STARTS: dict[str, tuple[list[str], str]] = {
    "bash": (["bash", "--noprofile", "-i"], ".bashrc"),
    "zsh": (["zsh", "-i"], ".zshrc"),
    "fish": (["fish", "-i"], ".config/fish/config.fish"),
}


ORDER = re.compile(r"\x1b(?:\[[0-9;?>=<]*[A-Za-z]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[()].|[=>])")


def program() -> Path:
    return Path(sys.executable).with_name("dossier")


class Typed:
    """A shell on a terminal of its own, with a person's own file as README has it."""

    def __init__(self, shell: str, home: Path) -> None:
        words, file = STARTS[shell]
        (home / file).parent.mkdir(parents=True, exist_ok=True)
        (home / file).write_text(own_lines(file), "utf-8")
        path = f"{program().parent}:/usr/bin:/bin"
        self.terminal, inside = pty.openpty()
        self.process = subprocess.Popen(
            ["setsid", "--ctty", "--wait", *words],
            cwd=home,
            env={"HOME": str(home), "PATH": path, "TERM": "xterm", "LC_ALL": "C.UTF-8"},
            stdin=inside,
            stdout=inside,
            stderr=inside,
        )
        os.close(inside)
        self.seen = ""

    def types(self, keys: str, until: str) -> str:
        """Type keys, and wait until a pattern stands on the screen behind what stood there."""
        self.seen = ""
        os.write(self.terminal, keys.encode())
        while re.search(until, plain(self.seen)) is None:
            ready, _, _ = select.select([self.terminal], [], [], PATIENCE)
            assert ready, f"no {until!r} in {plain(self.seen)!r}"
            self.seen += os.read(self.terminal, 65536).decode("utf-8", "replace")
        return plain(self.seen)

    def ends(self) -> None:
        with contextlib.suppress(OSError):
            os.write(self.terminal, b"\x15exit\r")
        os.close(self.terminal)
        self.process.wait(PATIENCE)


def plain(text: str) -> str:
    """What is seen of a terminal's text, without its orders to it."""
    return re.sub(
        r"\x1b(?:\[[0-9;?>=<]*[A-Za-z]|\][^\x07\x1b]*(?:\x07|\x1b\\)|[()].|[=>])", "", text
    )


def own_lines(file: str) -> str:
    """The lines that README has for a shell's own file."""
    found = re.search(
        rf"```\n# ~/{re.escape(file)}\n(.*?)```", README.read_text("utf-8"), re.DOTALL
    )
    assert found is not None, file
    return found[1]


@pytest.mark.slow
@pytest.mark.parametrize("shell", STARTS)
def test_in_a_shell_the_tab_key_completes(shell: str, tmp_path: Path) -> None:
    shop.write(tmp_path)
    typed = Typed(shell, tmp_path)
    try:
        typed.types(
            "echo ready$((40+2))\r" if shell != "fish" else "echo ready(math 40+2)\r", "ready42"
        )
        typed.types("dossier vis\t", r"dossier visit ?")
        typed.types("her\t", r"heron")
        typed.types("--let\t", r"--letter")
        typed.types("\x15dossier build m\t", r"build marsh")
        shown = typed.types("\x15dossier issue heron --edition \t\t", r"appraisal[\s\S]*sale")
        assert "sale" in shown
    finally:
        typed.ends()
