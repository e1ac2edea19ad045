"""Private links that open an issued statement: just what was issued, until its last day."""

from __future__ import annotations

import json
import shutil
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from dossier.build import run
from dossier.cli import main
from dossier.publish.issued import IssuedManifest, bag, sealed, write_issued
from dossier.publish.state import Link, load_state
from dossier.sites.outcome import Outcome, Request
from tests.build.small_shop import NOTES, TODAY, Shop
from tests.publish.shop import files

NAME = "wren-sale-2026-06-01"
PAGE = b'<!doctype html>\n<title>Wren</title>\n<a href="statement.pdf">PDF</a>\n'
STATEMENT = {"index.html": PAGE, "statement.pdf": b"%PDF-1.7 of wren", "history.json": b"{}\n"}
LINES = "instruments/wren/instrument.md"


@pytest.fixture
def issued(shop: Shop) -> Path:
    """The folder of a statement as it was issued; small, for these tests read none of it."""
    return put(shop, NAME, STATEMENT)


def put(shop: Shop, name: str, pages: dict[str, bytes], *, bagged: bool = False) -> Path:
    manifest = IssuedManifest(
        instrument="wren", edition="sale", issued="2026-06-01", number=1, program="dossier",
        files={},
    )  # fmt: skip
    whole = sealed(manifest, pages)
    if bagged:
        whole = bag(whole, name, TODAY, "Millrace Pianos", "dossier")
    return write_issued(shop.out, name, whole)


def dossier(shop: Shop, *words: str) -> Result:
    places = ["--content", str(shop.content), "--out", str(shop.out), "--today", "2026-06-01"]
    return CliRunner().invoke(main, [*words, *places])


def add(shop: Shop, *words: str, name: str = NAME) -> Link:
    told = dossier(shop, "link", "add", name, *words)
    assert (told.exit_code, told.stderr) == (0, "")
    return links(shop)[-1]


def links(shop: Shop) -> tuple[Link, ...]:
    state, _ = load_state(shop.state, shop.out)
    assert state is not None
    return state.links


def folder(shop: Shop, link: Link) -> dict[str, bytes]:
    return files(shop.out / "public" / link.token)


def built(shop: Shop, day: date = TODAY) -> Outcome:
    request = Request(shop.content, shop.out, shop.state, day, (), 1, pdf=False)
    return run(request, lambda *_: None, lambda _: True)


def told(outcome: Outcome) -> list[str]:
    return [str(one) for one in outcome.findings]


def rewrite(path: Path, data: bytes) -> None:
    path.chmod(0o644)
    path.write_bytes(data)


def test_what_is_published_is_what_was_issued(shop: Shop, issued: Path) -> None:
    shop.good()
    before = shop.public()
    link = add(shop, "--label", "the buyer", "--last-day", "2026-12-01")
    assert (link.kind, link.client, link.statement) == ("issued", "school", NAME)
    shop.good()
    assert folder(shop, link) == files(issued)
    assert {path: data for path, data in shop.public().items() if link.token not in path} == before
    assert link.token.encode() not in b"".join(shop.public().values())
    bench = shop.bench()["index.html"].decode()
    assert all(text in bench for text in (NAME, "the buyer", link.token))
    shop.good()
    assert folder(shop, link) == files(issued)


def test_of_a_bag_its_payload_is_published(shop: Shop) -> None:
    lying = put(shop, NAME, STATEMENT, bagged=True)
    link = add(shop)
    shop.good()
    assert folder(shop, link) == files(lying / "data")


def test_it_ends_after_its_last_day_and_the_rest_stays(shop: Shop, issued: Path) -> None:
    link, other = add(shop, "--last-day", "2026-06-10"), add(shop, "--label", "the bank")
    built(shop, date(2026, 6, 10))
    assert folder(shop, link) == folder(shop, other) == files(issued)
    before = shop.public()
    assert told(built(shop, date(2026, 6, 11))) == []
    assert folder(shop, link) == {}
    assert shop.public() == {
        path: data for path, data in before.items() if not path.startswith(link.token)
    }


def test_it_is_shown_renewed_and_withdrawn_as_every_other(shop: Shop, issued: Path) -> None:
    link = add(shop, "--label", "the buyer", "--last-day", "2026-12-01")
    shop.good()
    assert dossier(shop, "link", NAME).stdout.splitlines()[1] == (
        f"{NAME}  the buyer  2026-06-01  2026-12-01  open  {link.token}/"
    )
    dossier(shop, "link", "renew", NAME)
    new = links(shop)[-1]
    assert (new.label, new.last_day, new.seal) == ("the buyer", date(2026, 12, 1), link.seal)
    before = shop.public()
    shop.good()
    assert shop.public() == {
        path.replace(link.token, new.token): data for path, data in before.items()
    }
    assert dossier(shop, "link", "withdraw", NAME).stdout == (
        f"{NAME}: {new.token[:6]}… is gone at the next build.\n"
    )
    shop.good()
    assert folder(shop, new) == {}
    assert NAME not in shop.bench()["index.html"].decode()
    dossier(shop, "link", "renew", NAME)
    shop.good()
    assert folder(shop, links(shop)[-1]) == files(issued)


@pytest.mark.parametrize("path", ["index.html", "statement.pdf", "manifest.json"])
def test_a_changed_one_is_refused_and_the_old_one_is_gone(
    shop: Shop, issued: Path, path: str
) -> None:
    link = add(shop)
    shop.good()
    rest = {name: data for name, data in shop.public().items() if link.token not in name}
    data = (issued / path).read_bytes()
    rewrite(issued / path, data[:-1] + bytes([data[-1] ^ 1]))
    outcome = built(shop)
    (finding,) = told(outcome)
    assert finding == (
        f"issued/{NAME}:1:1: error: {issued} is no longer what was issued: {path} was changed. "
        "Its link opens nothing. Put it back from a copy and build again, or withdraw the link: "
        f"dossier link withdraw {NAME}."
    )
    assert outcome.published
    assert shop.public() == rest
    rewrite(issued / path, data)
    shop.good()
    assert folder(shop, link) == files(issued)


def test_what_was_put_beside_it_is_not_published(shop: Shop, issued: Path) -> None:
    link = add(shop)
    (issued / "invoice.txt").write_text("x")
    (finding,) = told(built(shop))
    assert f"{issued} is no longer what was issued: invoice.txt was added." in finding
    assert folder(shop, link) == {}


def test_another_statement_under_its_name_is_not_published(shop: Shop, issued: Path) -> None:
    link = add(shop)
    shutil.rmtree(issued)
    put(shop, NAME, {**STATEMENT, "index.html": PAGE + b"<p>Better than it is.\n"})
    (finding,) = told(built(shop))
    assert "is not the statement that the link was made for: its seal is another." in finding
    assert folder(shop, link) == {}


def test_where_the_issued_folders_are_gone_it_is_told(shop: Shop, issued: Path) -> None:
    link = add(shop)
    shop.good()
    shutil.rmtree(shop.out / "issued")
    run = dossier(shop, "build", "--jobs", "1", "--no-pdf")
    assert run.exit_code == 1
    assert f"error: There is no statement in {issued}. Its link opens nothing." in run.stderr
    assert folder(shop, link) == {}
    assert shop.site("school")


def test_a_build_that_may_be_skipped_looks_at_the_statements_too(shop: Shop, issued: Path) -> None:
    link = add(shop)
    build = ("build", "--jobs", "1", "--no-pdf")
    data = (issued / "index.html").read_bytes()
    away = shop.out / "issued" / "aside"
    open_: tuple[int, dict[str, bytes]] = (0, files(issued))
    shut: tuple[int, dict[str, bytes]] = (1, {})

    def outcome() -> tuple[int, dict[str, bytes]]:
        return dossier(shop, *build).exit_code, folder(shop, link)

    assert (outcome(), outcome()) == (open_, open_)
    rewrite(issued / "index.html", data + b" ")
    assert (outcome(), outcome()) == (shut, shut)
    rewrite(issued / "index.html", data)
    assert (outcome(), outcome()) == (open_, open_)
    issued.rename(away)
    assert (outcome(), outcome()) == (shut, shut)
    away.rename(issued)
    assert (outcome(), outcome()) == (open_, open_)
    (issued / "invoice.txt").write_text("x")
    assert outcome() == shut


@pytest.mark.usefixtures("issued")
def test_it_ends_with_the_client_for_whom_it_was_issued(shop: Shop) -> None:
    link = add(shop)
    shop.good()
    shop.says("clients/school.md", "kind: school", "kind: school\nstatus: left")
    (finding,) = [text for text in told(built(shop)) if NAME in text]
    assert finding == (
        f"issued/{NAME}:1:1: warning: Its link opens nothing. school left: no address of theirs "
        f"opens anything. Withdraw it: dossier link withdraw {NAME}."
    )
    assert folder(shop, link) == {}
    refused = dossier(shop, "link", "add", NAME)
    assert refused.stderr == "dossier: school left: no address of theirs opens anything.\n"


@pytest.mark.usefixtures("issued")
def test_after_a_change_of_hands_it_is_closed_to_old_and_new(shop: Shop) -> None:
    link = add(shop)
    shop.good()
    sold = NOTES[LINES].replace("school", "marsh")
    shop.write(LINES, sold.replace("title:", "provenance: 2026-06-20 sold, to marsh\ntitle:"))
    (finding,) = [text for text in told(built(shop)) if NAME in text]
    assert "wren is no longer school's." in finding
    assert folder(shop, link) == {}
    refused = dossier(shop, "link", "add", NAME)
    assert refused.stderr == (
        "dossier: wren was another's when it was issued: it may tell what only they could "
        "release.\n"
    )


@pytest.mark.parametrize("note", ["---\nfound: H4 +2\n---\n", "---\nhold: yes\n---\nWait.\n"])
def test_a_note_that_cant_be_read_or_is_on_hold_leaves_it(
    shop: Shop, issued: Path, note: str
) -> None:
    link = add(shop)
    shop.good()
    shop.write("instruments/wren/visits/2026-05-30.md", note)
    built(shop)
    assert folder(shop, link) == files(issued)
    shop.write(LINES, "---\nclient: \n---\n")
    built(shop)
    assert folder(shop, link) == files(issued)


@pytest.mark.parametrize(
    ("name", "message"),
    [
        ("wren-sale-2026-06-02", "There is no client “wren-sale-2026-06-02”."),
        ("../issued", "There is no client “..”."),
    ],
)
def test_no_link_is_made_to_what_was_not_issued(
    shop: Shop, issued: Path, name: str, message: str
) -> None:
    refused = dossier(shop, "link", "add", name)
    assert refused.exit_code == 2
    assert refused.stderr.startswith(f"dossier: {message}")
    rewrite(issued / "index.html", b"x")
    refused = dossier(shop, "link", "add", NAME)
    assert refused.stderr == (
        f"dossier: {issued} is no longer what was issued: index.html was changed. "
        "No link is made to it.\n"
    )


@pytest.mark.slow
def test_issuing_makes_the_link_at_once(shop: Shop) -> None:
    lying = shop.out / "issued" / NAME
    words = ("issue", "wren", "--edition", "sale")
    late = dossier(shop, *words, "--link", "--last-day", "2026-05-31")
    assert late.stderr == "dossier: 2026-05-31 is over: the link would open nothing.\n"
    alone = dossier(shop, *words, "--last-day", "2027-03-01")
    assert alone.stderr == "dossier: --label and --last-day are for a link. Add --link.\n"
    assert not lying.exists()
    made = dossier(shop, *words, "--link", "--last-day", "2027-03-01", "--label", "the buyer")
    (link,) = links(shop)
    assert (made.exit_code, made.stderr) == (0, "")
    assert made.stdout == (
        f"Issued number 1 into {lying}.\n{NAME}: {link.token}/ opens with the next build.\n"
    )
    shop.good()
    assert folder(shop, link) == files(lying)
    quiet = dossier(shop, *words, "--link", "--json", "--quiet")
    assert "address" not in json.loads(quiet.stdout)
    assert links(shop)[-1].token not in quiet.output
