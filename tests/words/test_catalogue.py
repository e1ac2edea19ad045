"""The template of all translations: up to date, whole, and nothing said past it."""

import ast
import gettext
import json
import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from io import BytesIO
from pathlib import Path
from string import Formatter

import pytest
from babel.messages.pofile import read_po

from dossier.analysis.findings import analyse
from dossier.edition.declared import APPRAISAL, BENCH, OWNER, SALE
from dossier.edition.hands import handed_on
from dossier.edition.instrument_page import instrument_view
from dossier.edition.pages import InstrumentView
from dossier.edition.situation import situation
from dossier.edition.statement import Issue, statement_view
from dossier.edition.told import Told
from dossier.edition.view import plain
from dossier.edition.voice import voice_of
from dossier.model import Notebook
from dossier.read.notebook import read_notebook
from dossier.render.data import history_json
from dossier.words import Words
from tests.makers.make_catalogue import (
    TEMPLATE,
    Dynamic,
    Said,
    call_kind,
    catalogue,
    gathered,
    in_python,
    in_template,
    template,
)

REPO = Path(__file__).parents[2]
TODAY = date(2026, 11, 25)

# Lists of sentences that are looked up where they are used.
REGISTRIES = {
    "CARE", "SAFETY", "CARD", "TERMS", "CLOCK_WORDS", "NEEDS", "COMMON", "TENSION", "OWNER",
    "BENCH", "SALE", "APPRAISAL",
}  # fmt: skip
# By this name an error's text is put together before it is raised.
RAISED = {"message"}
MARKUP = re.compile(r"[<>@]|\{\n")
SENTENCE = re.compile(r"(?:[^\W\d_][\w'’-]*[,;:.]? ){2,}[^\W\d_]{2,}")


@cache
def found() -> tuple[Said | Dynamic, ...]:
    return gathered()


@cache
def messages() -> tuple[Said, ...]:
    return tuple(said for said in found() if isinstance(said, Said))


def fields(sentence: str) -> set[str]:
    """The names of the values that a sentence asks for."""
    return {name for _, name, _, _ in Formatter().parse(sentence) if name is not None}


# The template ------------------------------------------------------------------------------------


def test_the_template_is_what_the_code_says() -> None:
    assert TEMPLATE.read_text(encoding="utf-8") == template(), "run: make words"


def test_the_template_is_read_back_as_it_was_gathered() -> None:
    read = read_po(BytesIO(TEMPLATE.read_bytes()))
    made = catalogue(found())
    assert {message.id for message in read if message.id} == {
        message.id for message in made if message.id
    }
    assert len(read) > 400


def test_each_source_of_words_is_heard() -> None:
    ids = {said.one for said in messages()}
    assert "Was due {when}." in ids  # the code
    assert "The same as a table" in ids  # a template
    assert "{n} instrument" in ids  # a template's plural
    assert {"pin block", "not examined", "moth", "pin torque", "N·m", "turning up"} <= ids
    assert {"unplugged", "inherited", "pitch raise", "declined", "holding"} <= ids
    assert {"Keep the air steady", "Never move it alone", "cent", "New strings stretch"} <= ids


def test_every_placeholder_can_be_filled() -> None:
    for said in messages():
        for sentence in (said.one, said.many):
            assert all(name.isidentifier() for name in fields(sentence)), sentence


def test_every_value_that_a_sentence_asks_for_is_given_where_it_is_said() -> None:
    known = [said for said in messages() if said.given is not None]
    assert len(known) > 400
    wrong = [
        (said.file, sentence)
        for said in known
        for sentence in (said.one, said.many or said.one)
        if said.given is not None and not fields(sentence) <= said.given
    ]
    assert wrong == []


def test_no_sentence_is_said_both_with_a_count_and_without() -> None:
    counted = {said.one for said in messages() if said.many}
    assert len(counted) > 20
    assert counted & {said.one for said in messages() if not said.many} == set()


def test_what_is_no_literal_is_gathered_from_a_registry() -> None:
    templates = [
        said.call for said in found() if isinstance(said, Dynamic) and "themes" in said.file
    ]
    assert templates == []


def test_the_gatherer_hears_every_way_of_saying() -> None:
    code = """
w("one {a}", a=1)
told.voice.words("two" if x else "three", **values)
voice.words.plural("{n} a", "{n} b", 3, c=1)
w.term("four")
w.term(kind.name)
other("not said")
"""
    assert list(in_python(code, "x.py")) == [
        Said("one {a}", "x.py", given=frozenset({"a"})),
        Said("two", "x.py"),
        Said("three", "x.py"),
        Said("{n} a", "x.py", "{n} b", given=frozenset({"n", "c"})),
        Said("four", "x.py", given=frozenset()),
        Dynamic("x.py", "kind.name"),
    ]
    page = (
        "{{ _('one {a}', a=b) }} {{ words('two') }} {{ plural('{n} a', '{n} b', 3) }} {{ x('no') }}"
    )
    assert list(in_template(page, "x.html")) == [
        Said("one {a}", "x.html", given=frozenset({"a"})),
        Said("two", "x.html", given=frozenset()),
        Said("{n} a", "x.html", "{n} b", given=frozenset({"n"})),
    ]


# Nothing is said past it -------------------------------------------------------------------------


def unsaid(source: str) -> tuple[list[str], int]:
    """Sentences in a module that no reader's language can change, and how many texts were seen."""
    tree = ast.parse(source)
    heard = {id(node) for node in _heard(tree)}
    texts = [
        (id(node), node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and " " in node.value
    ]
    past = [
        text
        for name, text in texts
        if name not in heard and SENTENCE.search(text) and not MARKUP.search(text)
    ]
    return past, len(texts)


def _heard(tree: ast.Module) -> Iterator[ast.AST]:
    """Texts that are docstrings, compared, raised, in a registry, or said through the words."""
    for node in ast.walk(tree):
        match node:
            case ast.Expr(value=ast.Constant()) | ast.Raise() | ast.Assert() | ast.Compare():
                yield from ast.walk(node)
            case ast.Call(func=func, args=args) if call_kind(func):
                for argument in args[:2]:
                    yield from ast.walk(argument)
            case (
                ast.Assign(targets=[ast.Name(id=name)]) | ast.AnnAssign(target=ast.Name(id=name))
            ) if name in REGISTRIES | RAISED:
                yield from ast.walk(node)


def test_no_sentence_of_a_page_bypasses_the_words() -> None:
    seen, past = 0, {}
    for room in ("edition", "render"):
        for path in sorted((REPO / "dossier" / room).glob("*.py")):
            bypassing, count = unsaid(path.read_text(encoding="utf-8"))
            seen += count
            if bypassing:
                past[path.name] = bypassing
    assert past == {}
    assert seen > 100


def test_a_sentence_that_bypasses_the_words_is_found() -> None:
    said = 'w("It was tuned and left.")\nraise PageError("the chart is not there")\n'
    assert unsaid(said) == ([], 2)
    past = 'title = "It was tuned and left."\nline = f"It was found {cents} cents flat of it"\n'
    assert unsaid(past) == (["It was tuned and left.", "It was found ", " cents flat of it"], 3)


# The demo shop in a language that puts every sentence into marks ---------------------------------


class Marked(gettext.NullTranslations):
    """A language in which every sentence is the English in marks; it remembers what was asked."""

    def __init__(self) -> None:
        super().__init__()
        self.asked: set[str] = set()

    def gettext(self, message: str) -> str:
        self.asked.add(message)
        return f"«{message}»"

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        self.asked.add(msgid1)
        return f"«{msgid1 if n == 1 else msgid2}»"


@pytest.fixture(scope="module")
def notebook() -> Notebook:
    read, _ = read_notebook(REPO / "content", TODAY)
    assert read is not None
    return read


@pytest.fixture(scope="module")
def marked(notebook: Notebook) -> tuple[tuple[InstrumentView, ...], set[str]]:
    language = Marked()
    words = Words("en_GB", language)
    views: list[InstrumentView] = []
    for name in notebook.instruments:
        whole = notebook.history(name)
        for edition, history in ((OWNER, handed_on(whole)), (BENCH, whole)):
            findings = analyse(history)
            now = situation(history, findings, TODAY)
            told = Told(history, findings, now, voice_of(history.shop, words))
            views.append(instrument_view(edition, told))
        known = handed_on(whole)
        found = analyse(known)
        told = Told(known, found, situation(known, found, TODAY), voice_of(known.shop, words))
        for edition in (SALE, APPRAISAL):
            first = statement_view(edition, told, Issue(TODAY))
            before = json.loads(history_json(first))["history"]
            before["statement"]["parts"] = before["statement"]["parts"][:4]
            views += [first, statement_view(edition, told, Issue(TODAY, 2, before))]
    return tuple(views), language.asked


def leaves(value: object) -> Iterator[str]:
    """Every text of a view."""
    if isinstance(value, dict):
        for one in value.values():
            yield from leaves(one)
    elif isinstance(value, list):
        for one in value:
            yield from leaves(one)
    elif isinstance(value, str):
        yield value


def outside_marks(text: str) -> list[str]:
    """What of a text stands in no marks: what was not said through the words, piece by piece."""
    while (inner := re.sub(r"«[^«»]*»", "\0", text)) != text:
        text = inner
    return re.split(r"\0| · |; |\n\n", text)


def squeezed(text: str) -> str:
    return " ".join(re.findall(r"[^\W_]+", text.casefold()))


def test_every_sentence_on_a_page_is_translated_or_the_writers_own(
    marked: tuple[tuple[InstrumentView, ...], set[str]],
) -> None:
    notes = " ".join(
        squeezed(path.read_text(encoding="utf-8")) for path in sorted(REPO.glob("content/**/*.md"))
    )
    views, _ = marked
    seen, foreign = 0, set()
    for view in views:
        for text in leaves(plain(view)):
            seen += 1
            for part in outside_marks(text):
                if SENTENCE.search(part) and squeezed(part) not in notes:
                    foreign.add(part)
    assert foreign == set()
    assert seen > 5000


def test_every_word_that_a_page_looks_up_is_in_the_template(
    notebook: Notebook, marked: tuple[tuple[InstrumentView, ...], set[str]]
) -> None:
    _, asked = marked
    own = {kind.name for kind in notebook.shop.measured_kinds + notebook.shop.mark_kinds}
    own |= {kind.source for kind in notebook.shop.measured_kinds}
    own |= {
        target.source
        for instrument in notebook.instruments.values()
        for target in instrument.own_targets
    }
    assert asked - own - {said.one for said in messages()} == set()
    assert len(asked) > 200
