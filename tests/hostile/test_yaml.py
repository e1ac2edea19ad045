"""Front matter that would run, swell, hide or turn into something else: told, and never trusted."""

from __future__ import annotations

import time
from datetime import date
from pathlib import Path

import pytest

from dossier.model import Notebook
from dossier.read import Sources, read_sources
from dossier.render.markdown import NOWHERE, to_html, to_text

NOTE = "instruments/heron/visits/2026-03-14.md"
SHOP = {
    "shop.md": "---\nname: Millrace Pianos\ntechnician: Ada Thorne\n---\n",
    "clients/marsh.md": "---\nname: The Marshes\n---\n",
    "instruments/heron/instrument.md": "---\nclient: marsh\ntitle: Heron\n---\n",
}
ANCHOR = (
    'error: A value that begins with "&" has an anchor to YAML, so that its first word would be '
    "lost. Put the value in quotes."
)
TAG = ANCHOR.replace('"&" has an anchor', '"!" has a tag')
DEEP = "2:1: error: The front matter is nested too deeply. A note needs three levels at most."
CUT = (
    "error: The front matter cannot be read from here on. Look for a quote or bracket that is not "
    "closed, or put the value in quotes."
)
ESCAPE = (
    "2:12: error: A backslash between double quotes begins an escape that YAML does not know. Use "
    "single quotes around the value."
)


def turned(sign: str) -> str:
    return (
        f"error: An invisible character (U+{sign}) turns the text around, so that it reads "
        "otherwise than it is. Delete it and type the words again."
    )


def unseen(sign: str) -> str:
    return (
        "2:10: error: An escape between these quotes stands for a sign that nobody sees "
        f"(U+{sign}). Write the words without it."
    )


NINE = ", ".join(["*{}"] * 9)
LAUGHS = "a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"{name}: &{name} [{NINE.replace('{}', before)}]\n"
    for before, name in zip("abcdefgh", "bcdefghi", strict=True)
)
TRAPS: dict[str, tuple[str, str]] = {
    "aliases that swell": (LAUGHS, f"2:4: {ANCHOR}"),
    "a list in itself": ("problem: &a [*a]", f"2:10: {ANCHOR}"),
    "a call": ("summary: !!python/object/apply:os.system ['touch owned']", f"2:10: {TAG}"),
    "a module": ("summary: !!python/name:os.system", f"2:10: {TAG}"),
    "bytes": ("summary: !!binary aGVsbG8=", f"2:10: {TAG}"),
    "a set": ("summary: !!set {a, b}", f"2:10: {TAG}"),
    "a number by force": ("summary: !!int 12", f"2:10: {TAG}"),
    "a tag of one's own": ("summary: !secret x", f"2:10: {TAG}"),
    "a directive": ("%TAG ! tag:evil.invalid,2002:\n---\nsummary: x", f"2:1: {CUT}"),
    "a merge": (
        "<<: {summary: x}",
        (
            '2:1: error: "<<" is YAML\'s way to merge two maps, and no key of a note. '
            "Write the keys out."
        ),
    ),
    "a merge of an anchor": ("a: &a {summary: x}\n<<: *a", f"2:4: {ANCHOR}"),
    "an alias of nothing": (
        "summary: *nothing",
        (
            '2:10: error: A value cannot begin with "*", which means something else to YAML. '
            "Put the value in quotes."
        ),
    ),
    "a key twice": (
        "summary: x\nSummary: y",
        (
            '3:1: error: "Summary" is written a second time; the first is on line 2. Write '
            '"Summary:" once, and below it one line for each, beginning with "  - ".'
        ),
    ),
    "a huge number": (
        "found: " + "9" * 5000,
        (
            '2:8: error: "999999999999999999999999999999999999999…" has too many digits. '
            "Was a key held down?"
        ),
    ),
    "a huge power": (
        "air: 1e999999 °C",
        (
            '2:6: error: "1e999999 °C" is not one temperature. Write one number and its unit, '
            "such as 17.5 °C."
        ),
    ),
    "no number": (
        "found: .nan",
        (
            '2:8: error: ".nan" is not a pitch reading. Write a note and its cents or hertz, as in '
            "A4 -12 or A4 442.1 Hz."
        ),
    ),
    "infinity": (
        "found: A4 +.inf",
        (
            '2:8: error: "A4 +.inf" is not a pitch reading. Write a note and its cents or hertz, '
            "as in A4 -12 or A4 442.1 Hz."
        ),
    ),
    "a number of base sixty": (
        "fee: 12:30",
        '2:6: error: "12:30" is not an amount of money. Write it like 40 USD.',
    ),
    "nothing": (
        "summary: ~",
        '2:1: error: "summary" has no value. Write one after the colon, or take the key out.',
    ),
    "a day that isn't": (
        "corrected: 2026-02-30 x",
        '2:12: error: "2026-02-30" does not exist. February 2026 has 28 days.',
    ),
    "a time stamp": (
        "corrected: 2026-03-01T10:00:00Z x",
        '2:12: error: "2026-03-01T10:00:00Z" is not a date. Write it like 2026-03-14.',
    ),
    "brackets without end": ("summary: " + "[" * 5000 + "]" * 5000, DEEP),
    "steps without end": ("".join(" " * depth + "a:\n" for depth in range(2000)), DEEP),
    "dashes without end": ("problem:\n" + "- " * 3000 + "x", DEEP),
    "a list alone": (
        "- a\n- b",
        (
            "2:1: error: The front matter is a list, where keys with values are expected. Write "
            "each line like this: found: 8 sharp"
        ),
    ),
    "a key that is a list": (
        "? [a, b]\n: x",
        "2:3: error: A key must be one word or a few, not a list or a map.",
    ),
    "a key that is nothing": (": x", f"2:1: {CUT}"),
    "the zero byte": (
        "summary: a\0b",
        (
            "2:11: error: The file holds a NUL character, so it is not plain text. Delete it, or "
            "save the file again as UTF-8."
        ),
    ),
    "an override": ("summary: a\u202eb", f"2:11: {turned('202E')}"),
    "an isolate": ("summary: a\u2066b", f"2:11: {turned('2066')}"),
    "an override as an escape": ('summary: "a\\u202eb"', unseen("202E")),
    "the zero byte as an escape": ('summary: "a\\0b"', unseen("0000")),
    "half a letter": ('summary: "\\ud800"', ESCAPE),
    "no letter": ('summary: "\\UFFFFFFFF"', ESCAPE),
    "a line that an editor doesn't see": (
        "summary: a\u2028reason: b",
        (
            '2:18: error: A second colon stands in the value of "summary". Put the value in '
            'quotes: summary: "a reason: b"'
        ),
    ),
    "a mark inside": (
        "summary: a\ufeffb",
        (
            "2:11: error: An invisible control character (U+FEFF) stands here. Delete it, or save "
            "the file again as UTF-8."
        ),
    ),
    "an attribute": (
        "__class__: x",
        '2:1: error: "__class__" is not a key of a visit. Sentences belong below the second ---.',
    ),
    "a hold that may be": (
        "hold: maybe",
        '2:7: error: "hold" is yes or no, not "maybe". Write yes or no.',
    ),
}


def read(front: str) -> tuple[Notebook | None, list[str]]:
    files = {**SHOP, NOTE: f"---\n{front}\n---\nProse.\n"}
    sources = Sources.of({name: text.encode() for name, text in files.items()})
    notebook, found = read_sources(sources, date(2026, 6, 1))
    return notebook, [str(one) for one in found]


@pytest.mark.parametrize("name", TRAPS)
def test_a_trap_is_told_and_its_instrument_not_published(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    front, message = TRAPS[name]
    monkeypatch.chdir(tmp_path)
    began = time.monotonic()
    notebook, found = read(front)
    assert time.monotonic() - began < 2
    assert found[0] == f"{NOTE}:{message}"
    assert notebook is not None
    assert notebook.stopped == {"heron"}
    assert list(tmp_path.iterdir()) == []


def test_there_are_enough_traps() -> None:
    assert len(TRAPS) >= 25


@pytest.mark.parametrize("word", ["no", "yes", "on", "0442", "1_000", "0x1F", "1e3", "2026-03-14"])
def test_a_word_stays_what_was_written(word: str) -> None:
    notebook, found = read(f"summary: {word}")
    assert found == []
    assert notebook is not None
    assert notebook.visits["heron"][0].summary == word


def test_a_second_document_is_prose_and_no_second_front_matter() -> None:
    notebook, found = read("summary: x\n---\nprivate: y")
    assert found == []
    assert notebook is not None
    (visit,) = notebook.visits["heron"]
    assert (visit.summary, visit.private) == ("x", "")
    assert visit.passages[0].markdown.startswith("private: y")


def test_thousands_of_keys_take_no_time() -> None:
    began = time.monotonic()
    _, found = read("\n".join(f"k{number}: x" for number in range(3000)))
    assert len(found) == 3000
    assert time.monotonic() - began < 5


def test_an_entity_turns_no_text_around() -> None:
    assert to_html("a&#x202e;b&#8294;c", NOWHERE) == "<p>abc</p>\n"
    assert to_text("a&#x202e;b") == "ab"
