"""The README keeps its word: what it says can be written is read, and what it names is there."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest

from dossier.desk.schema import schema
from dossier.model import COMPONENTS
from dossier.publish.state import TOKEN_BYTES
from dossier.read import Occasion, Setting, read_visit_text
from dossier.read.work import WORK_KINDS

DAY = date(2026, 3, 14)


@pytest.fixture
def readme(repo: Path) -> str:
    return (repo / "README.md").read_text("utf-8")


@pytest.fixture
def keys(readme: str) -> str:
    """Its list of what a note can say."""
    (block,) = re.findall(r"```yaml\n(reason:.*?)```", readme, re.DOTALL)
    return str(block)


def test_each_line_of_the_list_of_keys_is_read(keys: str) -> None:
    visit, found = read_visit_text(
        f"---\n{keys}---\n", "visit.md", Occasion("heron", "2026-03-14", DAY), Setting()
    )
    assert [str(one) for one in found] == []
    assert visit is not None


def test_the_list_leaves_out_no_key_of_a_visit(readme: str, keys: str) -> None:
    listed = {line.partition(":")[0] for line in keys.split("\n")}
    for group in ("Measured kinds", "Kinds of marks"):
        listed |= set(kinds(readme, group))
    assert set(schema("visit")["properties"]) - listed == set()


def test_the_kinds_of_work_and_the_components_are_all_there(readme: str) -> None:
    assert kinds(readme, "Kinds of work") == WORK_KINDS
    assert kinds(readme, "Components") == COMPONENTS


def test_an_address_is_as_long_as_it_says(readme: str) -> None:
    assert f"({TOKEN_BYTES * 8} random bits)" in readme


def kinds(readme: str, group: str) -> tuple[str, ...]:
    """The words of one sentence of the lists below the keys."""
    (sentence,) = re.findall(rf"- \*\*{group}\*\*: (.*?)\.(?:\s|$)", readme, re.DOTALL)
    return tuple(" ".join(word.split()) for word in sentence.split(","))
