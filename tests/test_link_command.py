"""`dossier link` on the command line: what it prints, and what it keeps to itself."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dossier.cli import main
from dossier.publish.state import load_state
from tests.build.small_shop import Shop, small_shop

TODAY = "2026-06-01"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return small_shop(tmp_path)


def dossier(shop: Shop, *words: str) -> Result:
    places = ["--content", str(shop.content), "--out", str(shop.out), "--today", TODAY]
    return CliRunner().invoke(main, ["link", *words, *places])


def tokens(shop: Shop) -> list[str]:
    state, _ = load_state(shop.state, shop.out)
    assert state is not None
    return [link.token for link in state.links]


def test_before_the_first_build_there_is_none(shop: Shop) -> None:
    run = dossier(shop)
    assert (run.exit_code, run.stdout) == (0, "There is no link yet: a build makes them.\n")
    assert not shop.state.exists()


def test_all_links_stand_in_a_table_with_the_address_last(shop: Shop) -> None:
    dossier(shop, "add", "marsh", "--label", "the aunt", "--last-day", "2026-07-01")
    dossier(shop, "add", "school/wren")
    first, second = tokens(shop)
    assert dossier(shop).stdout.splitlines() == [
        "Opens        Label     Made        Last day    Now   Address below public/",
        f"marsh        the aunt  2026-06-01  2026-07-01  open  {first}/",
        f"school/wren            2026-06-01              open  {second}/",
    ]
    assert dossier(shop, "show").stdout == dossier(shop).stdout
    assert len(dossier(shop, "school").stdout.splitlines()) == 2


def test_an_order_says_when_it_holds(shop: Shop) -> None:
    added = dossier(shop, "add", "marsh")
    (old,) = tokens(shop)
    assert added.stdout == f"marsh: {old}/ opens with the next build.\n"
    renewed = dossier(shop, "renew", "marsh")
    new = tokens(shop)[1]
    assert renewed.stdout == (
        f"marsh: {new}/ opens with the next build.\nmarsh: {old[:6]}… is gone at the next build.\n"
    )
    assert dossier(shop, "withdraw", new[:8]).stdout == (
        f"marsh: {new[:6]}… is gone at the next build.\n"
    )
    assert [line.split()[3:5] for line in dossier(shop).stdout.splitlines()[1:]] == [
        [TODAY, f"{old}/"],
        [TODAY, f"{new}/"],
    ]


@pytest.mark.parametrize("words", [("add", "marsh"), ("renew", "marsh"), ("withdraw", "marsh"), ()])
@pytest.mark.parametrize("form", [("--quiet",), ("--quiet", "--json")])
def test_quiet_tells_no_address(shop: Shop, words: tuple[str, ...], form: tuple[str, ...]) -> None:
    dossier(shop, "add", "marsh", "--quiet")
    run = dossier(shop, *words, *form)
    assert run.exit_code == 0
    assert not any(token[:6] in run.output for token in tokens(shop))
    assert ("--json" in form) == bool(run.output)


def test_a_link_as_data(shop: Shop) -> None:
    dossier(shop, "add", "school/wren", "--label", "a pupil")
    data = json.loads(dossier(shop, "--json").stdout)
    assert data == {
        "links": [
            {
                "client": "school",
                "instrument": "wren",
                "statement": "",
                "label": "a pupil",
                "made": TODAY,
                "last_day": None,
                "withdrawn": None,
                "open": True,
                "address": f"{tokens(shop)[0]}/",
            }
        ]
    }


def test_what_cant_be_is_said_in_a_sentence(shop: Shop) -> None:
    run = dossier(shop, "add", "mash")
    assert run.exit_code == 2
    assert run.stderr == "dossier: There is no client “mash”. Did you mean marsh?\n"
    run = dossier(shop, "withdraw", "marsh")
    assert run.exit_code == 2
    assert run.stderr == "dossier: There is no open link of “marsh”.\n"


def test_damaged_links_are_a_problem_and_stay_as_they_are(shop: Shop) -> None:
    shop.state.mkdir()
    (shop.state / "links.json").write_bytes(b"{")
    for words in ((), ("add", "marsh"), ("withdraw", "marsh")):
        run = dossier(shop, *words)
        assert run.exit_code == 1
        assert "links.json in" in run.stderr
    assert (shop.state / "links.json").read_bytes() == b"{"
