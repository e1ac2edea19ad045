"""What was read before is taken again, and says exactly what a reading says."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from dossier.read import Recollection, read_sources
from dossier.sources import Sources, open_folder
from dossier.store import Memory
from tests.test_house import REPO

TODAY = date(2026, 6, 1)
VISIT = "instruments/heron/visits/2026-03-14.md"
NOTES = {
    "shop.md": b"---\nname: Millrace Pianos\ntechnician: Ada Thorne\n---\n",
    "clients/marsh.md": b"---\nname: The Marshes\n---\n",
    "instruments/heron/instrument.md": b"---\nclient: marsh\ntitle: The heron\nphoto: a.jpg\n---\n",
    "instruments/heron/media/a.jpg": b"",
    VISIT: b"---\nfound: A4 -6, A5 -5\nleft: on pitch\ntechnician: Bo\n---\nFine.\n",
}


@pytest.fixture
def memory(tmp_path: Path) -> Memory:
    return Memory(tmp_path / "notes", "1")


def said(files: dict[str, bytes], memory: Memory | None, day: date = TODAY) -> str:
    return repr(read_sources(Sources.of(files), day, Recollection(memory or Memory())))


def test_the_whole_demo_shop_is_remembered_as_it_was_read(memory: Memory) -> None:
    sources = open_folder(REPO / "content")
    plain, first, again = (
        repr(read_sources(sources, date(2026, 11, 25), Recollection(one or Memory())))
        for one in (None, memory, memory)
    )
    assert plain == first == again
    assert memory.folder is not None
    assert len(list(memory.folder.iterdir())) == 10


@pytest.mark.parametrize(
    "change",
    [
        {"shop.md": NOTES["shop.md"].replace(b"---\n", b"---\nunits: imperial\n", 1)},
        {VISIT: NOTES[VISIT].replace(b"-6", b"-7")},
        {VISIT.replace("14", "15"): NOTES[VISIT]},
        {"instruments/heron/instrument.md": b"---\nclient: marsh\ntitle: A\nbreaks: E2\n---\n"},
        {"instruments/heron/media/a.jpg": None},
        {"instruments/heron/media/A.JPG": b""},
        {"instruments/heron/scale.csv": b"note,length_mm\nA4,400\n"},
        {"instruments/heron/visits/2026-09-01.md": b"---\nwork: tuning\n---\n"},
        {VISIT: b"---\nfound: [\n---\n"},
    ],
)
def test_a_reading_with_a_memory_is_one_without(
    memory: Memory, change: dict[str, bytes | None]
) -> None:
    changed = {name: raw for name, raw in {**NOTES, **change}.items() if raw is not None}
    assert said(NOTES, memory) == said(NOTES, None)
    for _ in range(2):
        assert said(changed, memory) == said(changed, None)


def test_a_date_to_come_is_no_longer_told_once_it_has_come(memory: Memory) -> None:
    files = {**NOTES, "instruments/heron/visits/2026-09-01.md": b"---\nwork: tuning\n---\n"}
    for day in (TODAY, date(2026, 9, 2)):
        assert said(files, memory, day) == said(files, None, day)
    assert said(files, memory) != said(files, memory, date(2026, 9, 2))


@pytest.mark.parametrize("damage", [lambda data: data[:-2], lambda data: data[:-3] + b"9" * 3])
def test_a_damaged_entry_is_read_anew(memory: Memory, damage: Callable[[bytes], bytes]) -> None:
    plain = said(NOTES, memory)
    assert memory.folder is not None
    (entry,) = memory.folder.iterdir()
    whole = entry.read_bytes()
    entry.write_bytes(damage(whole))
    assert said(NOTES, memory) == plain
    assert entry.read_bytes() == whole


def test_one_process_reads_again_only_what_changed() -> None:
    before = Recollection()
    log = b"time,temperature C,humidity %\n2026-03-14 12:00,20.5,40\n2026-03-14 13:00,21,41\n"
    files = {
        **NOTES,
        "instruments/wren/instrument.md": b"---\nclient: marsh\ntitle: The wren\n---\n",
        "rooms/parlour.md": b"---\nname: the parlour\nclient: marsh\n---\n",
        "rooms/parlour/a.csv": log,
    }
    first, _ = read_sources(Sources.of(files), TODAY, before)
    changed = {**files, VISIT: NOTES[VISIT].replace(b"-6", b"-7")}
    second, found = read_sources(Sources.of(changed), TODAY, before)
    assert first is not None
    assert second is not None
    assert second.instruments["wren"] is first.instruments["wren"]
    assert second.instruments["heron"] is not first.instruments["heron"]
    assert second.rooms["parlour"].logs[0] is first.rooms["parlour"].logs[0]
    assert (repr(second), found) == _said_alone(changed)
    longer = {**changed, "rooms/parlour/a.csv": log + b"2026-03-14 14:00,21,41\n"}
    third, found = read_sources(Sources.of(longer), TODAY, before)
    assert third is not None
    assert len(third.rooms["parlour"].logs[0].seconds) == 3
    assert (repr(third), found) == _said_alone(longer)


def _said_alone(files: dict[str, bytes]) -> tuple[str, object]:
    notebook, found = read_sources(Sources.of(files), TODAY)
    return repr(notebook), found
