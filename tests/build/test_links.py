"""What an order about links changes in the next build, and what it leaves byte for byte."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from dossier.build import Outcome, Request, run
from dossier.desk.links import Order, Ordered, Wish, added, carry_out, minted, renewed, shut
from dossier.model import Notebook
from dossier.publish.state import Link
from dossier.read import read_notebook
from tests.build.small_shop import NOTES, TODAY, Shop
from tests.publish.shop import files
from tests.site.test_links import faults, read_site

WREN = "instruments/wren/instrument.md"


def order(shop: Shop, what: Order) -> Ordered:
    done, trouble = carry_out(shop.state, shop.out, what)
    assert trouble == ()
    assert done is not None
    return done


def notes(shop: Shop) -> Notebook:
    read, _ = read_notebook(shop.content, TODAY)
    assert read is not None
    return read


def add(shop: Shop, target: str, last_day: date | None = None) -> Link:
    wish, read = Wish(last_day=last_day), notes(shop)
    return order(shop, lambda state: added(state, read, target, wish, TODAY, minted)).new[0]


def folder(shop: Shop, link: Link) -> dict[str, bytes]:
    return files(shop.out / "public" / link.token)


def built_on(shop: Shop, day: date) -> Outcome:
    request = Request(shop.content, shop.out, shop.state, day, (), 1, pdf=False)
    return run(replace(request), lambda *_: None, lambda _: True)


def test_a_withdrawn_link_is_gone_and_the_others_are_the_same_bytes(shop: Shop) -> None:
    shop.good()
    second = add(shop, "school")
    shop.good()
    before, tokens = shop.public(), shop.tokens()
    assert folder(shop, second) == files(shop.out / "public" / tokens["school"])
    order(shop, lambda state: shut(state, second.token, TODAY))
    shop.good()
    after = shop.public()
    assert {path for path in before if path not in after} == {
        path for path in before if path.startswith(second.token)
    }
    assert {path: before[path] for path in after} == after
    assert second.token.encode() not in b"".join([*after.values(), *shop.bench().values()])


def test_a_renewed_link_moves_the_same_pages(shop: Shop) -> None:
    shop.good()
    old, public, read = shop.tokens()["marsh"], shop.public(), notes(shop)
    order(shop, lambda state: renewed(state, read, "marsh", Wish(), TODAY, minted))
    outcome = shop.good()
    new = shop.tokens()["marsh"]
    assert (outcome.minted, outcome.changes) == ((), ())
    assert shop.public() == {path.replace(old, new): data for path, data in public.items()}


def test_a_link_ends_after_its_last_day(shop: Shop) -> None:
    shop.good()
    link = add(shop, "marsh", last_day=date(2026, 6, 10))
    built_on(shop, date(2026, 6, 10))
    assert "index.html" in folder(shop, link)
    outcome = built_on(shop, date(2026, 6, 11))
    assert folder(shop, link) == {}
    assert outcome.published
    assert "marsh" in shop.tokens()


def test_one_instrument_is_opened_alone(shop: Shop) -> None:
    shop.good()
    whole = shop.site("school")
    link = add(shop, "school/wren")
    shop.good()
    assert shop.site("school") == whole
    alone = folder(shop, link)
    assert set(alone) >= {"index.html", "wren/history.json"}
    assert "wren/index.html" not in alone
    page = alone["index.html"].decode()
    assert "Chalk in the keys." in page
    assert "Room 7" not in b"".join(alone.values()).decode(errors="replace")
    inner = [href for href in re.findall(r'href="([^"]*)"', page) if not href.startswith("#")]
    assert inner
    assert all(href in alone or ":" in href for href in inner)
    assert not [path for path in shop.public() if "_alone" in path]
    assert faults(read_site(shop.out)) == []


def test_an_only_instruments_link_leads_to_nothing_more(shop: Shop) -> None:
    shop.good()
    link = add(shop, "marsh/heron")
    shop.good()
    assert folder(shop, link)["index.html"] == shop.site("marsh")["index.html"]
    assert faults(read_site(shop.out)) == []


def test_an_instruments_link_outlives_its_clients_and_a_note_that_cant_be_read(
    shop: Shop,
) -> None:
    shop.good()
    link = add(shop, "school/wren")
    shop.good()
    page = folder(shop, link)
    token = shop.tokens()["school"]
    order(shop, lambda state: shut(state, token, TODAY))
    shop.good()
    assert not (shop.out / "public" / token).exists()
    assert folder(shop, link) == page
    shop.write("instruments/wren/visits/2026-05-04.md", "---\nraeson: x\n---\nThe hinge.\n")
    shop.build()
    assert folder(shop, link) == page
    order(shop, lambda state: shut(state, "school", TODAY))
    shop.build()
    assert folder(shop, link) == {}
    assert not any(b"Chalk" in data for data in files(shop.state / "kept").values())


def test_after_a_sale_the_instruments_link_opens_nothing(shop: Shop) -> None:
    shop.good()
    link = add(shop, "school/wren")
    shop.good()
    sold = NOTES[WREN].replace("school", "marsh")
    shop.write(WREN, sold.replace("title:", "provenance: 2026-05 sold, to marsh\ntitle:"))
    shop.good()
    assert folder(shop, link) == {}
    assert "wren/index.html" in shop.site("marsh")


def test_the_bench_lists_what_is_open_and_says_what_a_link_is(shop: Shop) -> None:
    shop.good()
    read = notes(shop)
    wish = Wish("the hall's pianist", date(2026, 7, 1))
    order(shop, lambda state: added(state, read, "school/wren", wish, TODAY, minted))
    shop.good()
    page = shop.bench()["index.html"].decode()
    for text in ("the hall&#39;s pianist", "July 1, 2026", "Room 12", "dossier link renew CLIENT"):
        assert text in page


@pytest.mark.parametrize("path", [
    "headers/nginx.conf", "headers/object-store.txt", "public/.htaccess", "public/_headers",
    "public/robots.txt",
])  # fmt: skip
def test_no_file_that_anyone_may_read_has_an_address_in_it(shop: Shop, path: str) -> None:
    shop.good()
    text = (Path(shop.out) / path).read_text("utf-8")
    assert not any(token in text for token in shop.tokens().values())
