"""What was made before is taken again, as long as it is whole and nothing of it has changed."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from dossier.build import Request, run
from dossier.charts import Medium
from dossier.edition.figures import Figure
from dossier.edition.pages import InstrumentView
from dossier.read.remembered import Folder, Recollection
from dossier.sites import cache, idle, recalling
from dossier.store import Memory
from dossier.tasks import Hand, Job, Made, PlainHand, make
from dossier.theme import theme_of
from tests.build.small_shop import VISIT, Shop, errors


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The instruments that are really made, one after the other."""
    names: list[str] = []

    def told(job: Job, hand: Hand | None = None) -> Made:
        names.append(job.history.instrument.id)
        return make(job, hand)

    monkeypatch.setattr(recalling, "make", told)
    return names


def entries(shop: Shop) -> list[Path]:
    found = sorted((shop.state / idle.FOLDER).rglob("*"))
    assert found
    return [path for path in found if path.is_file()]


def test_what_was_made_is_taken_again_and_a_changed_note_makes_its_own(
    shop: Shop, made: list[str]
) -> None:
    shop.good()
    assert made == ["heron", "robin", "wren"]
    public = shop.public()
    shop.good()
    assert made == ["heron", "robin", "wren"]
    assert shop.public() == public
    shop.says(VISIT, "air: 19 °C", "air: 18 °C")
    shop.good()
    assert made[3:] == ["heron"]


def test_only_the_changed_folder_is_read_anew_in_any_later_build(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[str] = []
    keep = Recollection.keep

    def told(known: Recollection, name: str, key: str, found: Folder) -> None:
        asked.append(found.instrument.id)
        keep(known, name, key, found)

    monkeypatch.setattr(Recollection, "keep", told)
    shop.good()
    assert asked == ["heron", "robin", "wren"]
    for piece in ("18 °C", "17 °C"):
        del asked[:]
        shop.says(VISIT, "air: 19 °C" if piece == "18 °C" else "air: 18 °C", f"air: {piece}")
        shop.good()
        assert asked == ["heron"]


def test_without_its_cache_a_build_gives_the_same(shop: Shop, made: list[str]) -> None:
    shop.good()
    public = shop.public()
    for path in entries(shop):
        path.unlink()
    shop.good()
    assert made == ["heron", "robin", "wren"] * 2
    assert shop.public() == public


def flipped(data: bytes) -> bytes:
    return data[:-1] + bytes([data[-1] ^ 1])


@pytest.mark.parametrize("damage", [flipped, lambda data: data[: len(data) // 2], lambda _: b""])
@pytest.mark.parametrize("out", ["stands", "is gone"])
def test_a_damaged_entry_is_noticed_and_made_anew(
    shop: Shop, made: list[str], damage: Callable[[bytes], bytes], out: str
) -> None:
    shop.good()
    public = shop.public()
    for path in entries(shop):
        path.write_bytes(damage(path.read_bytes()))
    if out == "is gone":
        for path in sorted((shop.out / "public").rglob("*"), reverse=True):
            path.unlink() if path.is_file() else path.rmdir()
        (shop.out / "public").rmdir()
    shop.good()
    assert made == ["heron", "robin", "wren"] * 2
    assert shop.public() == public


def built_on(shop: Shop, day: date) -> None:
    outcome = run(
        Request(shop.content, shop.out, shop.state, day, (), 1, pdf=False),
        lambda *_: None,
        lambda _: True,
    )
    assert errors(outcome) == []


def test_an_idle_day_makes_nothing_and_a_due_day_just_what_comes_due(
    shop: Shop, made: list[str]
) -> None:
    """The heron was tuned on 14 March 2026 and Room 7 on 2 February; both come due in a year."""
    shop.good()
    del made[:]
    built_on(shop, date(2026, 6, 2))
    built_on(shop, date(2027, 2, 1))
    assert made == []
    built_on(shop, date(2027, 2, 2))
    assert made == ["robin"]
    built_on(shop, date(2027, 3, 13))
    assert made == ["robin", "robin"]  # Room 7 is late since 5 March
    built_on(shop, date(2027, 3, 14))
    assert made == ["robin", "robin", "heron"]


def test_the_key_holds_all_that_an_instrument_is_made_of_but_the_day(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    (own, *_) = shop.jobs(pdf=True)
    theme = theme_of({**own.theme.files, "screen/own.css": b"p{}"})
    shop_changed = replace(own.history.shop, phone="+999 555 0101")
    others = (
        replace(own, theme=theme),
        replace(own, media={"pins.jpg": b"1"}),
        replace(own, media={"pins.jpg": b"2"}),
        replace(own, logo=b"logo"),
        replace(own, link="public/0/index.html"),
        replace(own, alone=not own.alone),
        replace(own, pdf=False),
        replace(own, history=replace(own.history, shop=shop_changed)),
        replace(own, history=replace(own.history, visits=())),
    )
    keys = {cache.key_for(one) for one in (own, *others)}
    assert len(keys) == len(others) + 1
    assert cache.key_for(replace(own, today=date(2031, 1, 1))) == cache.key_for(own)
    monkeypatch.setattr(cache, "program", lambda: "another version")
    assert cache.key_for(own) not in keys


def test_the_cache_is_no_larger_than_the_shop(shop: Shop, made: list[str]) -> None:
    shop.good()
    before = len(entries(shop))
    for turn in range(3):
        shop.says(VISIT, f"air: {19 + turn} °C", f"air: {20 + turn} °C")
        shop.good()
    assert len(entries(shop)) == before
    assert made[3:] == ["heron"] * 3


def test_what_a_killed_build_left_half_written_is_cleared(shop: Shop) -> None:
    shop.good()
    before = entries(shop)
    cache = shop.state / "cache"
    for folder in (cache, cache / "parts", next((cache / "bytes").iterdir())):
        (folder / ".untouched.1.2.new").touch()
    shop.says(VISIT, "air: 19 °C", "air: 20 °C")
    shop.good()
    assert len(entries(shop)) == len(before)


def test_a_changed_sentence_draws_no_chart_and_what_the_bench_reads_sets_no_owners_page(
    shop: Shop,
) -> None:
    drawn: list[str] = []
    printed: list[str] = []

    class Told(PlainHand):
        def draw(self, figures: tuple[Figure, ...], medium: Medium) -> Mapping[str, str]:
            drawn.extend(one.id for one in figures)
            return super().draw(figures, medium)

        def document(self, view: InstrumentView, *_: Any) -> bytes:
            printed.append(view.edition)
            return b"%PDF-" + repr(view).encode()

    maker = recalling.Maker(Memory(shop.root / "parts", "1"), plain=Told())
    first = maker(shop.jobs(pdf=True)[0])
    assert drawn
    assert printed == ["owner"]
    del drawn[:], printed[:]
    assert maker(shop.jobs(pdf=True)[0]) == first
    shop.says(VISIT, "The wren", "The small wren")
    second = maker(shop.jobs(pdf=True)[0])
    assert (drawn, printed) == ([], ["owner"])
    assert second != first
    del printed[:]
    shop.says(VISIT, "---\nThe small", "---\n::: bench\nMoth.\n:::\nThe small")
    assert maker(shop.jobs(pdf=True)[0]).owner == second.owner
    assert (drawn, printed) == ([], [])
