"""The README keeps its word: what it says can be written is read, and what it names is there."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from dossier.publish.state import TOKEN_BYTES
from dossier.read import Occasion, Setting, read_visit_text

DAY = date(2026, 3, 14)


@pytest.fixture
def readme(repo: Path) -> str:
    return (repo / "README.md").read_text("utf-8")


def test_its_note_is_read(readme: str) -> None:
    (note,) = re.findall(r"```markdown\n(---\n.*?)```", readme, re.DOTALL)
    occasion = Occasion("heron", "2026-03-14", DAY)
    visit, found = read_visit_text(note, "visit.md", occasion, Setting())
    assert [str(one) for one in found] == []
    assert visit is not None
    assert [passage.audience for passage in visit.passages] == ["owner", "bench"]


def test_an_address_is_as_long_as_it_says(readme: str) -> None:
    assert f"({TOKEN_BYTES * 8} random bits)" in readme


def test_every_page_that_it_points_to_is_there(readme: str, repo: Path) -> None:
    told = re.findall(r"\]\(([^)#]+)\)", readme)
    assert len(told) > 5
    assert [one for one in told if not (repo / one).is_file()] == []


def test_each_command_of_its_table_is_there(readme: str) -> None:
    from dossier.cli import main
    from tests.makers.make_commands import commands

    known = dict(commands(main, "dossier"))
    told = re.findall(r"^\| `(dossier [^`]+)` \|", readme, re.MULTILINE)
    assert len(told) > 10
    for line in told:
        words = line.split()
        command = known.get(" ".join(words[:3])) or known.get(" ".join(words[:2]))
        assert command is not None, line
        options = {one for part in command.params for one in part.opts}
        assert {word for word in words if word.startswith("--")} <= options, line
    named = {name.split()[1] for name in known if name != "dossier"}
    assert named - {line.split()[1] for line in told} == set()
