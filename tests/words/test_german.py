"""German, the proof that a shop can speak another language: whole, and nothing left in English."""

import html
import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path
from string import Formatter

import pytest
from babel.messages.catalog import Message

from dossier.build import Request, run
from dossier.words import load
from tests.makers.make_catalogue import TEMPLATE, brought_up, translation, translations

REPO = Path(__file__).parents[2]
TODAY = date(2026, 11, 25)
WORD = re.compile(r"[^\W\d_]{2,}")
# Said of one thing by one name in both languages.
LEAST = 3


def texts(message: Message) -> tuple[str, ...]:
    string = message.string
    return tuple(map(str, string if isinstance(string, list | tuple) else (string or "",)))


def sentences(message: Message) -> tuple[str, ...]:
    return tuple(map(str, message.id if isinstance(message.id, list | tuple) else (message.id,)))


@cache
def said() -> tuple[tuple[Path, Message], ...]:
    return tuple(
        (path, message) for path in translations() for message in translation(path) if message.id
    )


def fields(sentence: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(sentence) if name is not None}


def test_each_translation_is_up_to_the_template_and_compiled() -> None:
    assert [path.stem for path in translations()] == ["de"]
    for path in translations():
        text, compiled = brought_up(path)
        assert path.read_text(encoding="utf-8") == text, "run: make words"
        assert path.with_suffix(".mo").read_bytes() == compiled, "run: make words"


def test_every_sentence_is_translated() -> None:
    lacking = [sentences(message)[0] for _, message in said() if not all(texts(message))]
    assert lacking == []
    assert len(said()) == sum(bool(m.id) for m in translation(TEMPLATE.with_name("de.po")))
    assert len(said()) > 900


def test_every_translation_asks_for_the_values_that_the_sentence_gives() -> None:
    for _, message in said():
        wanted = {name for sentence in sentences(message) for name in fields(sentence)}
        for text in texts(message):
            assert fields(text) <= wanted, text
        assert fields(texts(message)[-1]) == fields(sentences(message)[-1]), message.id


def test_german_counts_and_writes_numbers_and_dates_its_own_way() -> None:
    words = load("de-DE")
    assert words.plural("{n} day", "{n} days", 1) == "1 Tag"
    assert words.plural("{n} day", "{n} days", 3) == "3 Tage"
    assert words("found {pitch}", pitch="8 Cent zu hoch") == "vorgefunden: 8 Cent zu hoch"


def pieces() -> Iterator[str]:
    """The English of every sentence between its values, where it has words enough to be known."""
    for _, message in said():
        german = " ".join(texts(message))
        for sentence in sentences(message):
            for piece in re.split(r"\{\w+\}", sentence):
                words = piece.strip(" .,:;()")
                if len(WORD.findall(words)) >= LEAST and words not in german:
                    yield words


@pytest.mark.slow
def test_a_german_shop_shows_no_english_sentence_of_ours(tmp_path: Path) -> None:
    content = tmp_path / "content"
    _copy(REPO / "content", content)
    shop = content / "shop.md"
    text = shop.read_text(encoding="utf-8")
    assert "locale: en-GB" in text
    shop.write_text(text.replace("locale: en-GB", "locale: de-DE"), encoding="utf-8")
    asked = Request(content, tmp_path / "out", tmp_path / "state", TODAY, pdf=False)
    assert run(asked, lambda *_: None, lambda _: True).published
    notes = " ".join(_squeezed(path.read_text(encoding="utf-8")) for path in content.rglob("*.md"))
    wanted = [piece for piece in dict.fromkeys(pieces()) if _squeezed(piece) not in notes]
    assert len(wanted) > 500
    seen, left = 0, set()
    for page in (tmp_path / "out").glob("[!.]*/**/*.html"):
        if "guide" in page.parts:
            continue  # the technician's own handbook
        shown = html.unescape(re.sub(r"\s+", " ", page.read_text(encoding="utf-8")))
        seen += 1
        left |= {(page.name, piece) for piece in wanted if piece in shown}
    assert left == set()
    assert seen > 20


def _copy(source: Path, target: Path) -> None:
    import shutil

    shutil.copytree(source, target)


def _squeezed(text: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", text.casefold()))
