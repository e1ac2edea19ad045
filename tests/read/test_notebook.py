"""A mistake stops what it concerns and nothing else; and all files are read in one run."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
import yaml

from dossier.diagnostics import Severity, Span, with_caret
from dossier.quantities import Money
from dossier.read import (
    CLIENT_TABLE,
    INSTRUMENT_TABLE,
    ROOM_TABLE,
    SHOP_TABLE,
    VISIT_FIELDS,
    read_notebook,
    source_line,
)
from dossier.read.yaml_nodes import NoteLoader
from tests.read.tiny_shop import SHOP, TODAY, Changes, read, read_all

BAD = "---\nfound: H4 +3\n---\n"
ROUND = """---
reason: summer round
client: school
air: 22 °C, 60 %
work: tuning
---
The heating was off.

| instrument | found | work | sticking keys | remark | bench |
|---|---|---|---|---|---|
| wren | 8 sharp | eased keys F3-B3, 20 min; cleaning | F3-B3 | Free again. | lid lock \\| key |
{row}

::: bench
Caretaker has the key.
:::
"""


def stopped(files: Changes) -> list[str]:
    notebook, _ = read(files)
    return sorted(notebook.stopped)


@pytest.mark.parametrize(
    ("what", "files", "stops"),
    [
        ("a bad note", {"instruments/heron/visits/2026-03-14.md": BAD}, ["heron"]),
        ("a bad client", {"clients/school.md": "---\nnmae: x\n---\n"}, ["wren"]),
        ("a bad room", {"rooms/parlour.md": "---\nname:\n---\n"}, ["heron"]),
        ("a bad log", {"rooms/parlour/a.csv": "a,b\n1,2\n"}, ["heron"]),
        ("a bad scale", {"instruments/wren/scale.csv": "note,length\n"}, ["wren"]),
        ("a missing picture", {"instruments/wren/visits/2026-03-14.md":
                               "---\nphotos: a.jpg\n---\n"}, ["wren"]),
        ("a bad row", {"rounds/2026-03-02.md": ROUND.format(row="| heron | 8 |")}, ["heron"]),
        ("a row of nobody", {"rounds/2026-03-02.md": ROUND.format(row="| owl | 8 |")}, []),
        ("a bad round", {"rounds/2026-03-02.md": ROUND.replace("reason", "raeson").format(row="")},
         ["wren"]),
        ("an inbox note of nobody", {"inbox/x.md": "---\ndate: 2026-03-02\n---\nx\n"}, []),
        ("a bad inbox note", {"inbox/2026-03-02.md": "---\ninstrument: wren\nfound: H4 3\n---\n"},
         ["wren"]),
        ("a bad shop", {"shop.md": "---\nname: x\ntechnician: y\nunits: x\n---\n"},
         ["heron", "wren"]),
        ("a copy of a visit that differs",
         {"instruments/heron/visits/2025-03-01 (conflicted copy).md": "Tuned twice."}, ["heron"]),
        ("a copy of a round that differs",
         {"rounds/2026-03-02.md": ROUND.format(row=""),
          "rounds/2026-03-02 (1).md": ROUND.format(row="| heron | 8 sharp |")}, ["heron", "wren"]),
        ("a copy that is the same", {"clients/marsh (1).md": SHOP["clients/marsh.md"]}, []),
        ("a log with gaps", {"rooms/parlour/a.csv": "time,temp\n2026-01-01 00:00,20\nx,20\n"}, []),
    ],
)  # fmt: skip
def test_a_mistake_stops_what_it_concerns(what: str, files: Changes, stops: list[str]) -> None:
    assert stopped(files) == stops, what


def test_a_bad_client_is_stopped_with_its_instruments() -> None:
    _, (found,) = read({"clients/school.md": "---\nname: x\nstatus: away\n---\n"})
    assert found.stops == ("client:school", "instrument:wren")


def test_all_mistakes_of_all_files_are_told_in_one_run_even_without_a_shop() -> None:
    notebook, found = read_all(
        {
            "shop.md": "---\nname: [\n---\n",
            "clients/school.md": "---\nnmae: x\n---\n",
            "instruments/heron/visits/2026-03-14.md": BAD,
            "rooms/parlour/a.csv": "",
        }
    )
    assert notebook is None
    assert [(one.span.file, one.code) for one in found] == [
        ("clients/school.md", "missing-key"),
        ("clients/school.md", "unknown-key"),
        ("instruments/heron/visits/2026-03-14.md", "reading"),
        ("rooms/parlour/a.csv", "log-empty"),
        ("shop.md", "yaml-bracket"),
    ]


def test_a_round_is_a_visit_for_each_row() -> None:
    notebook, found = read({"rounds/2026-03-02.md": ROUND.format(row="")})
    assert found == ()
    (visit,) = notebook.visits["wren"]
    assert (visit.id, visit.date, visit.reason) == (
        "2026-03-02-round", date(2026, 3, 2), "summer round",
    )  # fmt: skip
    assert [work.kind for work in visit.work] == ["tuning", "easing", "cleaning"]
    assert visit.found is not None
    assert visit.found.readings[0].span == Span("rounds/2026-03-02.md", 11, 10, 7)
    assert visit.marks[0].kind == "sticking keys"
    assert [(one.audience, one.markdown) for one in visit.passages] == [
        ("owner", "Free again."),
        ("bench", "lid lock | key"),
        ("owner", "The heating was off."),
        ("bench", "Caretaker has the key."),
    ]


def test_an_inbox_note_counts_as_a_visit_under_the_name_that_it_will_have() -> None:
    note = "---\ninstrument: heron\ndate: 2025-03-01\nfixed: G4 buzz\n---\nQuiet now.\n"
    notebook, (found,) = read({"inbox/IMG note.md": note})
    assert str(found) == (
        "inbox/IMG note.md:1:1: info: The note counts as a visit. "
        "Its place is instruments/heron/visits/2025-03-01-2.md"
    )
    first, second = notebook.visits["heron"]
    assert (second.id, second.order, second.problem_news[0].problem) == (
        "2025-03-01-2", 1, first.problems[0].id,
    )  # fmt: skip


def test_notes_of_one_day_are_in_the_order_of_the_day() -> None:
    names = ("2026-03-14-evening", "2026-03-14", "2026-03-14-morning", "2026-03-14-afternoon")
    notebook, _ = read({f"instruments/wren/visits/{name}.md": "Tuned." for name in names})
    assert [(visit.id[10:], visit.order) for visit in notebook.visits["wren"]] == [
        ("", 0), ("-morning", 1), ("-afternoon", 2), ("-evening", 3),
    ]  # fmt: skip


def test_an_instrument_is_read_with_all_that_it_says() -> None:
    text = """---
client: marsh
title: The heron upright
shape: upright
made: 1912~
compass: A0-A7
breaks: F#2, B4
stands:
  - parlour, since 2019-05, outside wall, stove near, under the window
humidity equipment: fitted 2021-10-04, next service October
controlled materials:
  - ivory, keytops, said by the first owner
  - Brazilian rosewood, case veneer, said by X, not tested
  - ebony, sharps, said by X, a dealer, tested by A. Fenn, wood anatomist, under a lens, 2025-03
  - material: tortoiseshell
    where: fall
    tested by: A. Fenn
    how: by eye
    when: 2024~
consent: raise on old wire, 2022-04-02, by the owner
valued:
  - 2024-05-02, 12,000 EUR, by R. Fenwick, appraiser
  - 2026-01-31, 9500, for insurance, basis replacement, by R. Fenwick
targets:
  key dip: 9.8-10.2 mm
provenance:
  - 1912~ made, source: serial number list
  - 1990 sold, to school, likely
photo: PINS.jpg
---
Sound.

::: bench
They would sell.
:::
"""
    notebook, found = read({"instruments/heron/instrument.md": text})
    assert [str(one) for one in found] == []
    heron = notebook.instruments["heron"]
    assert heron.made is not None
    assert (heron.made.text, heron.lowest_key, heron.highest_key) == ("1912~", 1, 85)
    assert heron.breaks == (22, 51)
    lines = text.split("\n")
    for record, field, words in (
        (heron, "about", "Sound."),
        (heron.standings[0], "remark", "under the window"),
        (heron.controlled[1], "said_by", "X, not tested"),
        (heron.controlled[2], "said_by", "X, a dealer"),
        (heron.controlled[2], "tested_by", "A. Fenn"),
        (heron.controlled[2], "tested_how", "wood anatomist, under a lens"),
        (heron.controlled[3], "tested_how", "by eye"),
        (heron.provenance[0], "source", "serial number list"),
        (heron.equipment[0], "when", "fitted 2021-10-04, next service October"),
    ):
        place = record.place_of(field)
        rest = lines[place.line - 1][place.column - 1 :]
        assert rest[: place.width or None] == words
    (standing,) = heron.standings
    assert standing.since is not None
    assert (standing.room, standing.since.text, standing.outside_wall) == (
        "parlour",
        "2019-05",
        True,
    )
    assert (standing.heat, standing.remark) == ("stove", "under the window")
    (fitted,) = heron.equipment
    assert fitted.next_service is not None
    assert (fitted.what, fitted.when, fitted.next_service.month) == (
        "fitted", date(2021, 10, 4), 10,
    )  # fmt: skip
    assert [(one.where, one.said_by) for one in heron.controlled] == [
        ("keytops", "the first owner"),
        ("case veneer", "X, not tested"),
        ("sharps", "X, a dealer"),
        ("fall", ""),
    ]
    assert [
        (one.tested_by, one.tested_how, one.tested.text)
        for one in heron.controlled
        if one.tested is not None
    ] == [
        ("A. Fenn", "wood anatomist, under a lens", "2025-03"),
        ("A. Fenn", "by eye", "2024~"),
    ]
    assert (heron.consents[0].what, heron.consents[0].by) == ("raise on old wire", "the owner")
    assert [
        (one.when, one.amount, one.purpose, one.basis, one.by) for one in heron.valued
    ] == [
        (date(2024, 5, 2), Money(Decimal("12000.00"), "EUR"), "", "", "R. Fenwick, appraiser"),
        (
            date(2026, 1, 31), Money(Decimal("9500.00"), "USD"), "for insurance", "replacement",
            "R. Fenwick",
        ),
    ]
    assert str(heron.own_targets[0].high) == "10.2"
    made, sold = heron.provenance
    assert (made.kind, made.source) == ("made", "serial number list")
    assert (sold.client, sold.certainty) == ("school", "likely")
    assert (heron.photo, heron.about, heron.private) == ("pins.jpg", "Sound.", "They would sell.")


def test_the_folder_on_the_disk_is_read_like_the_one_in_memory(tmp_path: Path) -> None:
    for name, text in SHOP.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
    (tmp_path / "instruments/heron/visits/2026-03-14.md").write_bytes(
        "\ufeff---\r\nfound: A1 +6, H4 3\r\n---\r\n".encode()
    )
    secret = tmp_path.parent / "secret.jpg"
    secret.write_bytes(b"x")
    (tmp_path / "instruments/heron/media/hall.jpg").symlink_to(secret)
    (tmp_path / "instruments/heron/visits/2026-03-15.md").write_text("---\nphotos: hall.jpg\n---\n")
    notebook, found = read_notebook(tmp_path, TODAY)
    assert notebook is not None
    assert sorted(notebook.visits) == ["heron", "wren"]
    wrong, linked = found
    assert with_caret(wrong, source_line(tmp_path, wrong.span)) == (
        "instruments/heron/visits/2026-03-14.md:2:15: error: "
        '"H4" is not a note name. Did you mean B4?\n'
        "    found: A1 +6, H4 3\n"
        "                  ^^"
    )
    assert str(linked) == (
        "instruments/heron/visits/2026-03-15.md:2:9: error: "
        '"hall.jpg" is a link that leads out of the notes. '
        "Put the file itself into instruments/heron/media/."
    )


def test_a_folder_that_is_not_there_is_an_error_and_no_crash(tmp_path: Path) -> None:
    notebook, (found,) = read_notebook(tmp_path / "content", TODAY)
    assert notebook is None
    assert (found.severity, found.stops) == (Severity.ERROR, ("shop:",))
    assert found.sentence == (
        "The notes cannot be opened: no such file or directory. Name the folder that holds shop.md."
    )


def test_the_c_parser_of_yaml_is_in_use() -> None:
    assert yaml.__with_libyaml__
    assert issubclass(NoteLoader, yaml.CSafeLoader)


def test_a_scale_is_read_from_the_bass_upwards() -> None:
    scale = "note;length_mm;diameter_mm;cover_mm;strings\nA4;402,5;1,0;;3\nA1;1240;1,1;2,4;2\n"
    notebook, found = read({"instruments/heron/scale.csv": scale})
    assert found == ()
    low, high = notebook.instruments["heron"].scale
    assert (low.key, str(low.length_m), str(low.cover_mm), low.strings) == (13, "1.24", "2.4", 2)
    assert (high.key, str(high.length_m), high.cover_mm, high.strings) == (49, "0.4025", None, 3)


def test_every_key_is_explained() -> None:
    tables = (SHOP_TABLE.fields, CLIENT_TABLE.fields, INSTRUMENT_TABLE.fields, ROOM_TABLE.fields)
    rows = [row for fields in (*tables, VISIT_FIELDS) for row in fields]
    assert len(rows) > 100
    assert [row.key for row in rows if not row.about] == []
