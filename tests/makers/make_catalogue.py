"""Write dossier/words/messages.pot, the template of every translation, and bring those up to it.

Sentences are gathered where they are said: in the package's calls of the words value, in the
theme's templates, and in the registries whose words are handed to it at run time.  A translation
(de.po) keeps what it has, loses what is no longer said, and lists what it lacks with an empty
text; what the program reads is compiled from it (de.mo).
Run it: make words
"""

from __future__ import annotations

import ast
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import get_args, get_type_hints

from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po
from jinja2 import Environment, nodes

REPO = Path(__file__).parents[2]
WORDS = REPO / "dossier" / "words"
TEMPLATE = WORDS / "messages.pot"

# A catalogue writes the time into its head; the same words must give the same bytes.
UNDATED = datetime(2026, 1, 1, tzinfo=UTC)

# The names by which the words value is called, in the code and in templates.
SPEAKERS = frozenset({"w", "words", "_"})
HEADER = """\
# Every sentence and term that a reader of a page may see.
# What stands in braces is filled in: keep the names, in any order.
# Made by `make words`; don't edit by hand.
msgid ""
msgstr ""
"Project-Id-Version: dossier\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=UTF-8\\n"
"Content-Transfer-Encoding: 8bit\\n"

"""


@dataclass(frozen=True, slots=True)
class Said:
    """One message: its English, its plural form if it has one, where it is said, and a comment.

    `given` are the names of the values that the call fills in, None where that can't be told.
    """

    one: str
    file: str
    many: str = ""
    comment: str = ""
    given: frozenset[str] | None = None


@dataclass(frozen=True, slots=True)
class Dynamic:
    """A call whose sentence is no literal, so that it must come from a registry."""

    file: str
    call: str


# Python ------------------------------------------------------------------------------------------


def in_python(source: str, file: str) -> Iterator[Said | Dynamic]:
    """Every sentence that a module hands to the words value."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and (kind := call_kind(node.func)):
            yield from _said(node, kind, file)


def call_kind(func: ast.expr) -> str:
    """Whether a call speaks: "sentence", "plural" or "term", else ""."""
    match func:
        case ast.Name(id=name) if name in SPEAKERS:
            return "sentence"
        case ast.Attribute(attr="words"):
            return "sentence"
        case ast.Attribute(value=value, attr="plural" | "term" as attr) if call_kind(value):
            return attr
    return ""


def _said(node: ast.Call, kind: str, file: str) -> Iterator[Said | Dynamic]:
    given = given_values((keyword.arg for keyword in node.keywords), kind)
    if kind == "plural":
        one, many = (literals(argument) for argument in node.args[:2])
        if len(one) == len(many) == 1:
            yield Said(one[0], file, many[0], given=given)
            return
    elif found := literals(node.args[0]):
        yield from (Said(sentence, file, given=given) for sentence in found)
        return
    yield Dynamic(file, ast.unparse(node.args[0]))


def given_values(names: Iterable[str | None], kind: str) -> frozenset[str] | None:
    """The values that a call fills in by name; None where it hands on a whole mapping."""
    given = {"n"} if kind == "plural" else set()
    for name in names:
        if name is None:
            return None
        given.add(name)
    return frozenset(given)


def literals(node: ast.expr) -> list[str]:
    """The texts that an argument may be, none where one of them is worked out."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return [node.value]
    if isinstance(node, ast.IfExp):
        both = literals(node.body), literals(node.orelse)
        return [*both[0], *both[1]] if all(both) else []
    return []


# Templates ---------------------------------------------------------------------------------------


def in_template(source: str, file: str) -> Iterator[Said | Dynamic]:
    """Every sentence that a template says."""
    tree = Environment(autoescape=True).parse(source)
    for node in tree.find_all(nodes.Call):
        match node.node:
            case nodes.Name(name=name) if name in SPEAKERS:
                kind = "sentence"
            case nodes.Name(name="plural") | nodes.Getattr(attr="plural"):
                kind = "plural"
            case nodes.Getattr(node=nodes.Name(name=name), attr="term") if name in SPEAKERS:
                kind = "term"
            case _:
                continue
        yield _said_in_template(node, kind, file)


def _said_in_template(node: nodes.Call, kind: str, file: str) -> Said | Dynamic:
    texts = [
        one.value
        for one in node.args[: 2 if kind == "plural" else 1]
        if isinstance(one, nodes.Const) and isinstance(one.value, str)
    ]
    names = [keyword.key for keyword in node.kwargs]
    given = given_values([*names, *([None] if node.dyn_kwargs else [])], kind)
    if kind == "plural" and len(texts) == 2:
        return Said(texts[0], file, texts[1], given=given)
    if kind != "plural" and texts:
        return Said(texts[0], file, given=given)
    return Dynamic(file, repr(node.args[0]))


# Registries --------------------------------------------------------------------------------------


def in_registries() -> Iterator[Said]:
    """The words of fixed lists, which are looked up at run time."""
    for comment, file, words in _registries():
        yield from (Said(word, file, comment=comment) for word in words if word)


def _registries() -> Iterator[tuple[str, str, Iterable[str]]]:
    yield from _of_the_model()
    yield from _of_the_analysis()
    yield from _of_the_editions()


def _of_the_model() -> Iterator[tuple[str, str, Iterable[str]]]:
    from dossier.model import (
        COMPONENTS,
        GRADES,
        MARK_KINDS,
        MEASURED_KINDS,
        VIEWS,
        client,
        instrument,
        visit,
    )
    from dossier.read.work import WORK_KINDS

    yield "a component", "dossier/model/condition.py", COMPONENTS
    yield "a grade", "dossier/model/condition.py", (grade.name for grade in GRADES)
    yield "what a grade means", "dossier/model/condition.py", (grade.meaning for grade in GRADES)
    yield "a kind of mark", "dossier/model/mark.py", (kind.name for kind in MARK_KINDS)
    file = "dossier/model/measurement.py"
    yield "a kind of measurement", file, (kind.name for kind in MEASURED_KINDS)
    yield "a unit", file, (kind.unit for kind in MEASURED_KINDS)
    yield "how it was measured", file, (q for kind in MEASURED_KINDS for q in kind.qualifiers)
    yield "where a target comes from", file, (kind.source for kind in MEASURED_KINDS)
    file = "dossier/model/instrument.py"
    yield "a shape of instrument", file, get_args(instrument.Shape)
    yield "an event in an instrument's life", file, get_args(instrument.EventKind)
    yield "how certain an event is", file, get_args(instrument.Certainty)
    yield "a client's status", "dossier/model/client.py", get_args(client.Status)
    file = "dossier/model/visit.py"
    yield "humidity equipment was", file, _literal(visit.EquipmentNote, "what")
    yield "a problem was", file, _literal(visit.ProblemNews, "what")
    yield "an advice was", file, _literal(visit.AdviceNews, "what")
    file = "dossier/model/picture_view.py"
    yield "a view that a picture shows", file, (view.meaning for view in VIEWS)
    yield "a kind of work", "dossier/read/work.py", WORK_KINDS


def _literal(record: type, field: str) -> Iterable[str]:
    """The words that a record's field may hold."""
    return get_args(get_type_hints(record)[field])


def _of_the_analysis() -> Iterator[tuple[str, str, Iterable[str]]]:
    from dossier.analysis.answers import CoefficientName
    from dossier.analysis.compass import NAMES
    from dossier.analysis.concerns import AdviceState, ProblemState
    from dossier.analysis.condition import MarkState
    from dossier.analysis.pitch import WorkClass

    names = (name for row in NAMES.values() for name in row)
    yield "a register of the compass", "dossier/analysis/compass.py", names
    yield "a problem's state", "dossier/analysis/concerns.py", get_args(ProblemState)
    yield "an advice's state", "dossier/analysis/concerns.py", get_args(AdviceState)
    own = ("the instrument's own specification",)
    yield "where a target comes from", "dossier/analysis/condition.py", own
    yield "what a sum was paid for", "dossier/analysis/money.py", ("visit",)
    yield "a mark's state", "dossier/analysis/condition.py", get_args(MarkState)
    yield "a cause of drift", "dossier/analysis/answers.py", get_args(CoefficientName)
    yield "what a visit did to the pitch", "dossier/analysis/pitch.py", map(str, WorkClass)


def _of_the_editions() -> Iterator[tuple[str, str, Iterable[str]]]:
    from dossier.edition.bench_notes import CLOCK_WORDS
    from dossier.edition.care import CARD, CARE, SAFETY
    from dossier.edition.declared import EDITIONS
    from dossier.edition.drift_story import NEEDS
    from dossier.edition.glossary import TERMS

    yield "a caution of the card", "dossier/edition/care.py", (row.text for row in CARD)
    for name, rows in (("care", CARE), ("safety", SAFETY)):
        file = "dossier/edition/care.py"
        yield f"a rule of {name}: its title", file, (row.title for row in rows)
        yield f"a rule of {name}", file, (row.text for row in rows)
        yield f"a rule of {name}: its source", file, (row.source for row in rows)
    file = "dossier/edition/glossary.py"
    yield "a word of the trade", file, (word for word, _, _ in TERMS)
    yield "a word of the trade, explained", file, (meaning for _, _, meaning in TERMS)
    signs = (sign for _, signs, _ in TERMS for sign in signs)
    yield "a part of a word that a page shows; its term is then explained", file, signs
    yield "a clock of the bench", "dossier/edition/bench_notes.py", CLOCK_WORDS.values()
    yield "what more could be said with", "dossier/edition.drift_story.py", NEEDS.values()
    yield "an edition", "dossier/edition/declared.py", (edition.called for edition in EDITIONS)


# The template ------------------------------------------------------------------------------------


def sources() -> Iterator[tuple[Path, str]]:
    """Every file that speaks, with its path in the checkout."""
    for folder, pattern in (("dossier", "*.py"), ("themes", "*.html")):
        for path in sorted((REPO / folder).rglob(pattern)):
            yield path, path.relative_to(REPO).as_posix()


def gathered() -> tuple[Said | Dynamic, ...]:
    """All that the package and its theme say."""
    found: list[Said | Dynamic] = []
    for path, file in sources():
        read = in_python if path.suffix == ".py" else in_template
        found.extend(read(path.read_text(encoding="utf-8"), file))
    return (*found, *in_registries())


def catalogue(found: Iterable[Said | Dynamic]) -> Catalog:
    """A catalogue of messages without translations; each message once, with all its places."""
    made = Catalog(domain="messages")
    for said in found:
        if isinstance(said, Said):
            made.add(
                (said.one, said.many) if said.many else said.one,
                locations=[(said.file, 1)],
                auto_comments=[said.comment] if said.comment else [],
            )
    for message in made:
        # The braces are filled by str.format; a per cent sign is one.
        message.flags.discard("python-format")
    return made


def template() -> str:
    """The text of the template, without line numbers, so that it changes only with the words."""
    stream = BytesIO()
    write_po(
        stream,
        catalogue(gathered()),
        width=100,
        omit_header=True,
        sort_output=True,
        include_lineno=False,
    )
    return HEADER + stream.getvalue().decode().lstrip("\n")


# The translations --------------------------------------------------------------------------------


def translations() -> tuple[Path, ...]:
    """The file of every language but English, which is the key itself."""
    return tuple(sorted(WORDS.glob("*.po")))


def translation(path: Path) -> Catalog:
    """A language as its file has it."""
    with path.open("rb") as stream:
        return read_po(stream, locale=path.stem)


def brought_up(path: Path) -> tuple[str, bytes]:
    """A language's file and what is compiled from it, brought up to the template.

    Nothing is guessed from a sentence that resembles a new one.
    """
    old = translation(path)
    made = catalogue(gathered())
    for message in made:
        known = old.get(message.id)
        if message.id and known is not None and isinstance(known.id, type(message.id)):
            message.string = known.string
    made.locale = old.locale
    text = BytesIO()
    write_po(text, made, width=100, omit_header=True, sort_output=True, include_lineno=False)
    compiled = BytesIO()
    whole = read_po(BytesIO(_headed(old, text.getvalue())), locale=path.stem)
    whole.creation_date = whole.revision_date = UNDATED
    write_mo(compiled, whole)
    return _headed(old, text.getvalue()).decode(), compiled.getvalue()


def _headed(old: Catalog, text: bytes) -> bytes:
    """The messages of a language below its own header, which tells how it counts."""
    title = old.header_comment.rstrip()
    head = "".join(
        f'"{name}: {value}\\n"\n'
        for name, value in (
            ("Project-Id-Version", "dossier"),
            ("Language", str(old.locale)),
            ("Plural-Forms", old.plural_forms),
            ("MIME-Version", "1.0"),
            ("Content-Type", "text/plain; charset=UTF-8"),
            ("Content-Transfer-Encoding", "8bit"),
        )
    )
    return f'{title}\nmsgid ""\nmsgstr ""\n{head}\n'.encode() + text.lstrip(b"\n")


def main() -> None:
    TEMPLATE.write_text(template(), encoding="utf-8")
    for path in translations():
        text, compiled = brought_up(path)
        path.write_text(text, encoding="utf-8")
        path.with_suffix(".mo").write_bytes(compiled)


if __name__ == "__main__":
    main()
