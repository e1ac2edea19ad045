"""Every kind of mistake that a note can hold, and the whole sentence that its writer sees.

The mistakes stand in mistakes/*.txt: a title, the files that are changed in a tiny valid shop
(`>>>` writes one, `<<<` takes one away), and the findings, each whole and in order.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.read.tiny_shop import VISIT, read, read_all


class Mistake(NamedTuple):
    title: str
    files: Mapping[str, str | None]
    told: tuple[str, ...]


def _mistakes(text: str) -> list[Mistake]:
    found = []
    for case in re.split(r"^=== ", text, flags=re.MULTILINE)[1:]:
        title, *lines = case.split("\n")
        files: dict[str, str | None] = {}
        told: list[str] = []
        path = ""
        for line in lines:
            if line.startswith(">>> "):
                path = line[4:]
                files[path] = ""
            elif line.startswith("<<< "):
                files[line[4:]] = None
            elif line.startswith("!!! "):
                told.append(line[4:])
            elif not told:
                files[path] = f"{files[path]}{line}\n"
        found.append(Mistake(title, files, tuple(told)))
    return found


MISTAKES = [
    mistake
    for file in sorted(Path(__file__).with_name("mistakes").glob("*.txt"))
    for mistake in _mistakes(file.read_text("utf-8"))
]


@pytest.mark.parametrize("mistake", MISTAKES, ids=[mistake.title for mistake in MISTAKES])
def test_a_mistake_is_told_in_a_whole_sentence_at_its_place(mistake: Mistake) -> None:
    _, found = read_all(mistake.files)
    assert [str(one) for one in found] == list(mistake.told)


def test_the_mistakes_are_many_and_each_is_told() -> None:
    assert len({mistake.title for mistake in MISTAKES}) == len(MISTAKES) >= 140
    assert all(mistake.told for mistake in MISTAKES)


def test_the_shop_that_the_mistakes_are_made_in_has_none() -> None:
    notebook, found = read({})
    assert found == ()
    assert sorted(notebook.instruments) == ["heron", "wren"]


def test_a_mark_that_turns_the_text_around_is_refused() -> None:
    _, (found,) = read({VISIT: "Tuned \u202ewell."})
    assert str(found) == (
        f"{VISIT}:1:7: error: An invisible character (U+202E) turns the text around, so that it "
        "reads otherwise than it is. Delete it and type the words again."
    )


def test_a_nul_is_refused() -> None:
    _, (found,) = read({VISIT: "Tuned \0 well."})
    assert str(found) == (
        f"{VISIT}:1:7: error: The file holds a NUL character, so it is not plain text. "
        "Delete it, or save the file again as UTF-8."
    )


def test_no_pydantic_or_yaml_word_reaches_a_person() -> None:
    words = re.compile(
        r"pydantic|validation|input should|scalar|mapping|node|token|literal|NoneType|Decimal",
        re.IGNORECASE,
    )
    assert [one for mistake in MISTAKES for one in mistake.told if words.search(one)] == []
