"""Words of the trade: explained where they stand on the page, and only there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

import pytest

from dossier.edition.glossary import TERMS, glossary
from dossier.edition.view import plain
from dossier.edition.voice import voice_of
from dossier.model import Notebook
from dossier.words import load
from tests.analysis.one_piano import history
from tests.edition.pages import page

VOICE = voice_of(history({}).shop, load("en-GB"))


def explained(*texts: str) -> list[str]:
    return [term.word for term in glossary(texts, VOICE)]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Found 8 cents sharp.", ["cent", "sharp and flat"]),
        ("The torque of A4.", ["torque"]),
        ("Two unisons were off.", ["unison"]),
        ("Tuned to its own pitch.", ["floated"]),
        ("Tuned again in recent years, the flautist's flute", []),
        ("much to the satisfaction of 40 percent", []),
        ("", []),
    ],
)
def test_a_word_is_explained_where_it_stands_as_a_word(text: str, words: list[str]) -> None:
    assert explained(text) == words


def test_the_name_of_a_field_explains_nothing() -> None:
    """`registers` and `unison` are names here that only the program sees."""

    @dataclass(frozen=True)
    class Page:
        registers: tuple[str, ...]
        unison: str

    assert glossary(Page(("oak",), "elm"), VOICE) == ()
    assert [term.word for term in glossary(Page(("torque",), "elm"), VOICE)] == ["torque"]


def test_the_words_stand_in_the_order_of_the_alphabet() -> None:
    words = explained("regulation", "torque", "action", "a cent")
    assert words == sorted(words)
    assert len(words) == 4


def texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for item in value.values():
            yield from texts(item)
    elif isinstance(value, list):
        for item in value:
            yield from texts(item)


def test_each_page_of_the_demo_explains_what_it_uses(demo: Notebook) -> None:
    signs = {word: signs for word, signs, _ in TERMS}
    for slug in demo.instruments:
        view = page(demo.history(slug), "2026-11-25")
        said = " ".join(texts(plain(replace(view, glossary=())))).lower()
        for word, of_word in signs.items():
            shown = any(term.word == word for term in view.glossary)
            stands = any(sign in said for sign in of_word)
            assert not shown or stands, (slug, word)
