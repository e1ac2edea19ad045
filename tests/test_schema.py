"""The JSON Schemas for editors: they take all that the reader takes, and name what they can."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft7Validator, Draft202012Validator

from dossier.desk.schema import write_schemas
from dossier.read import open_folder, read_notebook
from dossier.read.frontmatter import split
from dossier.read.text import decode
from dossier.read.yaml_nodes import NoteLoader
from dossier.schemas.schema import KINDS, schema, schema_text
from tests.conftest import DEMO_TODAY
from tests.read.tiny_shop import SHOP, read_all

PLACES = {
    "shop": r"shop\.md",
    "client": r"clients/[^/]+\.md",
    "instrument": r"instruments/[^/]+/instrument\.md",
    "visit": r"instruments/[^/]+/visits/[^/]+\.md",
    "round": r"rounds/[^/]+\.md",
    "room": r"rooms/[^/]+\.md",
    "inbox": r"inbox/[^/]+\.md",
}


class CoreLoader(yaml.SafeLoader):
    """YAML 1.2's core schema, as the language servers of editors read it."""


CoreLoader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in (
    ("null", r"~|null|Null|NULL|", ["~", "n", "N", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", list("tTfF")),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", list("-+0123456789")),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", list("-+.0123456789")),
):
    CoreLoader.add_implicit_resolver(
        f"tag:yaml.org,2002:{_tag}", re.compile(f"^(?:{_pattern})$"), _first
    )


def loaded(text: str, loader: Any) -> Any:
    return yaml.load(text, Loader=loader)  # noqa: S506  # both are made from safe ones


def kind_of(path: str) -> str | None:
    return next((kind for kind, place in PLACES.items() if re.fullmatch(place, path)), None)


def front(raw: bytes, path: str) -> str | None:
    text, _ = decode(raw, path)
    halves, _ = split(text or "", path)
    return halves.front if halves else None


@cache
def validator(kind: str, demo: bool = False) -> Draft202012Validator:
    notebook, _ = read_notebook(Path(__file__).parent.parent / "content", _day())
    assert notebook is not None
    made = schema(kind, notebook.shop if demo else None)
    Draft202012Validator.check_schema(made)
    return Draft202012Validator(made)


def _day() -> Any:
    from datetime import date

    return date.fromisoformat(DEMO_TODAY)


def told(kind: str, data: Any, *, demo: bool = False) -> list[str]:
    return [error.message for error in validator(kind, demo).iter_errors(data)]


LOADERS: dict[str, Any] = {"as text": NoteLoader, "by YAML 1.2": CoreLoader}


@pytest.mark.parametrize("loader", LOADERS.values(), ids=LOADERS)
def test_every_note_of_the_demo_is_taken(repo: Path, loader: Any) -> None:
    sources = open_folder(repo / "content")
    notes = [(path, kind) for path in sources if (kind := kind_of(path))]
    assert {kind for _, kind in notes} == {kind for kind, _, _ in KINDS}
    assert len(notes) > 100
    for path, kind in notes:
        text = front(sources[path], path)
        assert text is not None, path
        found = told(kind, loaded(text, loader), demo=True)
        assert found == [], path


@pytest.mark.parametrize("kind", [kind for kind, _, _ in KINDS])
def test_every_key_has_its_explanation_and_every_example_is_taken_by_the_reader_too(
    kind: str,
) -> None:
    made = schema(kind)
    for key, row in made["properties"].items():
        assert row["description"], key
        for example in row.get("examples", ()):
            data = {key: example}
            assert told_of(kind, data) == [], (key, example)
    assert made["additionalProperties"] is False


def told_of(kind: str, data: dict[str, str]) -> list[str]:
    """What the schema says of one key, without asking for the others."""
    made = {**schema(kind), "required": []}
    return [error.message for error in Draft202012Validator(made).iter_errors(data)]


SHORT_FORMS = """
found: 8 sharp
found: A1 +6, A3 +9, A4 442.1 Hz
found: [A1 +6, A3 +9]
found: "A1 −3,5; A2 3½ flat"
found: 3
found: on pitch
left: As found
found: "Note\\tCents\\nA4\\t-3,2"
left: "A4 -3.2\\nA5 441.2 Hz"
left: A4.1 0, A4.2 +1
Left: untouched
air: 17,5 °C, 71 %
air: 71% / 68F
air: RH 71, 20
air: 62 °F
key dip: A1 10.2 mm, A4 10 mm
Key_dip: 3/8 in
key-dip: 10
pin torque: F4.2 4.5 N·m turning up, A4 75 in-lb turning down
downbearing: C4 0.8 mm by gauge
sticking keys: f3–b3, D4 slow
sticking key: keys 30-35
Sticking-Keys: [F3, G3 worst]
clear: sluggish dampers C5-G5
clear: loose pins
checked: all
checked: sticking keys, moth
problem: lyre creaks
Problems: ["lyre creaks", "G4 buzzes"]
problem (lyre): creaks
problem: {what: creaks, slug: lyre, component: lyre, keys: C4}
advice (outer-wall): move it, before October
advice: {what: move it, before: October}
fixed: {problem: lyre, text: glued}
watched: lyre, still there
work: tuning
work: eased keys F3-B3, 45 min, 40 USD
work: ["tuning", {repair: spliced, parts: 6.50 USD, warranty: 1 year, time: 1:30}]
work: {Pitch raise: two passes, price: $40}
condition: {keys: "fair, worn", Lyre: not examined, sound board: Very good}
humidity equipment: found unplugged
humidity-equipment: serviced, next service 2026-10
unsafe: do not move
next: check the splice, 4-8 weeks
next: {what: tuning, when: October}
photos: pins.jpg the splice
picture: pins.jpg
photos: {file: pins.jpg, caption: the splice, release: sale}
photos: {file: pins.jpg, shows: Damage}
audio: buzz.m4a the buzz
fee: 98
fee: EUR 98.50
fee: £40 GBP
time: 2 h
time: half an hour
time: 90
hold: Yes
floated: no
corrected: 2026-03-20 A4 was misread
release: sale, appraisal
release: [sale]
pitch: A4 = 435 Hz
pitch: 442
pitch: A440
private: 12
reason: true
"""


@pytest.mark.parametrize("line", SHORT_FORMS.strip().split("\n"))
def test_a_short_form_that_the_reader_takes_is_taken(line: str) -> None:
    visit = "instruments/heron/visits/2025-03-14.md"
    earlier = "---\nproblem (lyre): creaks\n---\n"
    files = {"instruments/heron/visits/2025-03-02.md": earlier} if "lyre" in line else {}
    if "(lyre)" in line or "slug: lyre" in line:
        files = {}
    media = {f"instruments/heron/media/{name}": "x" for name in ("pins.jpg", "buzz.m4a")}
    _, found = read_all({**files, **media, visit: f"---\n{line}\n---\nx\n"})
    assert [str(one) for one in found if one.severity.name == "ERROR"] == []
    for loader in LOADERS.values():
        assert told("visit", loaded(line, loader)) == []


# kind, front matter, the message of the reader that stands for it
REFUSED = (
    ("visit", "found: A1 +6, H4 +9", '"H4" is not a note name'),
    ("visit", "found: A1 +6, C9 +3", '"C9" is outside the compass'),
    ("visit", "found: A4 +3, D5.4 +2", "names string 4"),
    ("visit", "found: A1 +6, A3, A4 +9", '"A3" has no figure'),
    ("visit", "found: A4 +-3", "is not a pitch reading"),
    ("visit", "found: A4 442", "could be cents or hertz"),
    ("visit", "found: as found", 'Only "left" can be as found'),
    ("visit", "key dip: A1 10.2 mm, A4 50 g", "is a weight, not a length"),
    ("visit", "key dip: A1, A4 10 mm", '"A1" has no figure'),
    ("visit", "air: 18 °C, -5 %", "less than a relative humidity can be"),
    ("visit", "air: 17, 71", "does not say which is the temperature"),
    ("visit", "air: 17.5 °C, 71 %, fine", "is not one temperature and one humidity"),
    ("visit", "fee: 98 UER", "is not a currency of ISO 4217"),
    ("visit", "fee: 40 pounds", "is not a currency of ISO 4217"),
    ("visit", "work: eased keys F3-B3, 40", "could be a time or a price"),
    ("visit", "work: {reparr: spliced}", "is not a kind of work"),
    ("visit", "work: {repair: spliced, warranty: a good while}", "is not a period"),
    ("visit", "work: {repair: spliced, prise: 5 USD}", 'Did you mean "price"'),
    ("visit", "raeson: yearly tuning", "is not a key of a visit"),
    ("visit", "reason:", "has no value"),
    ("visit", "reason: [a, b]", "takes one value, not a list"),
    ("visit", "condition: good", "needs a component for each grade"),
    ("visit", "condition: {hammers: so-so}", "is not a grade"),
    ("visit", "condition: {lid prop: poor}", "is not a component"),
    ("visit", "sticking keys: some in the middle", "begins with none"),
    ("visit", "clear: sticky keys F3-B3", "is not a kind of mark"),
    ("visit", "corrected: last week A4 was misread", "is not a date"),
    ("visit", "hold: until Friday", "is yes or no"),
    ("visit", "humidity equipment: unpluged", "does not begin with what is known"),
    ("visit", "problem (The Lyre): creaks", "is not a slug"),
    ("visit", "photos: the splice", "does not begin with the name of a file"),
    ("visit", "release: sales", "is not an edition"),
    ("visit", "pitch: C4 = 261 Hz", "does not say the pitch of A4"),
    ("visit", "instrument: heron", "is not a key of a visit"),
    ("client", "{name: x, status: gone}", "is not a value of"),
    ("client", "{name: x, interval: often}", "is not a period"),
    ("client", "{name: x, last contacted: 14.3.2026}", "is not a date"),
    ("client", "{name: x, release: {sale: all}}", "cannot be released"),
    ("client", "{kind: home}", 'The key "name" is missing'),
    ("instrument", "{client: The School, title: x}", "is not the name of a client's file"),
    ("instrument", "{client: school, title: x, made: about 1912}", "is not a date in EDTF"),
    ("instrument", "{client: school, title: x, shape: spinet}", "is not a value of"),
    ("instrument", "{client: school, title: x, provenance: 1912~ mad}", "is not a kind of event"),
    ("instrument", "{client: school, title: x, targets: {key dipp: 9-10 mm}}", "not a measured"),
    ("instrument", "{client: school, title: x, controlled materials: {where: keys}}", "material"),
    ("shop", "{name: x, technician: y, colleagues: Tam Reed}", "how they were trained"),
    ("visit", "audio: {file: buzz.m4a, shows: front}", "shows"),
    ("instrument", "{client: school}", 'The key "title" is missing'),
    ("shop", "{name: x, technician: y, accent: green}", "is not a colour"),
    ("shop", "{name: x, technician: y, units: both}", "is not a value of"),
    ("shop", "{name: x, technician: y, thresholds: {fien: 3}}", "fien"),
    ("room", "{name: x, heatng: stove}", "is not a key of a room"),
)  # fmt: skip
WHERE = {
    "visit": "instruments/heron/visits/2026-03-14.md",
    "client": "clients/school.md",
    "instrument": "instruments/wren/instrument.md",
    "shop": "shop.md",
    "room": "rooms/parlour.md",
}


@pytest.mark.parametrize(("kind", "matter", "message"), REFUSED, ids=[row[1] for row in REFUSED])
def test_a_mistake_that_a_schema_can_express_is_refused_by_it_and_by_the_reader(
    kind: str, matter: str, message: str
) -> None:
    for loader in LOADERS.values():
        assert told(kind, loaded(matter, loader)) != []
    block = matter
    if matter.startswith("{"):
        block = yaml.safe_dump(loaded(matter, NoteLoader), sort_keys=False)
    _, found = read_all({WHERE[kind]: f"---\n{block}\n---\nx\n"})
    assert any(message in one.sentence for one in found), [str(one) for one in found]


def test_the_shop_adds_its_own_kinds() -> None:
    data = {"damper lift": "A3 23 mm", "loose bridle tapes": "E5, F5 perished"}
    assert len(told("visit", data)) == 1
    assert told("visit", data, demo=True) == []
    assert told("visit", {"damper lift": "A3 23 g"}, demo=True) != []


def test_schemas_are_written_anew_and_write_over_nothing_else(tmp_path: Path) -> None:
    written = write_schemas(tmp_path / "schemas")
    assert [path.name for path in written] == [f"{kind}.schema.json" for kind, _, _ in KINDS]
    assert written[3].read_text("utf-8") == schema_text("visit")
    assert write_schemas(tmp_path / "schemas") == written
    written[0].write_text("mine", "utf-8")
    from dossier.desk.files import DeskError

    with pytest.raises(DeskError, match=r"shop\.schema\.json is not a schema of ours"):
        write_schemas(tmp_path / "schemas")
    assert written[0].read_text("utf-8") == "mine"


def test_the_tiny_shop_is_taken() -> None:
    for path, text in SHOP.items():
        if kind := kind_of(path):
            assert told(kind, loaded(front(text.encode(), path) or "", CoreLoader)) == []


def test_the_older_dialect_takes_and_refuses_the_same() -> None:
    for kind, _, _ in KINDS:
        made = schema(kind, dialect="draft-07")
        Draft7Validator.check_schema(made)
        assert {**made, "$schema": None} == {**schema(kind), "$schema": None}
    older = Draft7Validator(schema("visit", dialect="draft-07"))
    for line in SHORT_FORMS.strip().split("\n"):
        assert list(older.iter_errors(loaded(line, CoreLoader))) == []
    for kind, matter, _ in REFUSED:
        if kind == "visit":
            assert list(older.iter_errors(loaded(matter, CoreLoader))) != []
