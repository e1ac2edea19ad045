import json
import os
import stat
import time
from collections.abc import Callable
from datetime import date
from itertools import count
from pathlib import Path

import pytest

from dossier.diagnostics import Diagnostic
from dossier.publish.folder import make_private, mark_published, one_build
from dossier.publish.robots import ROBOTS
from dossier.publish.state import (
    Link,
    State,
    ensure_links,
    load_state,
    open_links,
    save_state,
    withdrawn,
)
from dossier.publish.trouble import PublishError

TODAY = date(2026, 11, 25)


@pytest.fixture
def mint() -> Callable[[], str]:
    numbers = count(1)
    return lambda: f"{next(numbers):032x}"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / ".dossier"


@pytest.fixture
def out(tmp_path: Path) -> Path:
    return tmp_path / "build"


def saved(folder: Path, mint: Callable[[], str], *clients: str) -> State:
    state, _ = ensure_links(State(), clients, TODAY, mint)
    save_state(folder, state)
    return state


def opened(state: State, *clients: str) -> dict[str, str]:
    return {link.target: link.token for link in open_links(state, clients, TODAY)}


def only(found: tuple[Diagnostic, ...]) -> Diagnostic:
    assert len(found) == 1
    return found[0]


def mode(path: Path) -> str:
    return oct(stat.S_IMODE(path.stat().st_mode))


def test_a_shop_that_never_published_begins_without_links(folder: Path, out: Path) -> None:
    assert load_state(folder, out) == (State(), ())
    assert not folder.exists()


def test_each_client_gets_one_link_and_keeps_it(mint: Callable[[], str]) -> None:
    state, new = ensure_links(State(), ["thornsay-school", "marlpit"], TODAY, mint)
    assert [(link.target, link.token) for link in new] == [
        ("marlpit", f"{1:032x}"),
        ("thornsay-school", f"{2:032x}"),
    ]
    again, newer = ensure_links(state, ["rushlode", "marlpit"], TODAY, mint)
    assert [link.target for link in newer] == ["rushlode"]
    assert opened(again, "marlpit", "rushlode") == {
        "marlpit": f"{1:032x}",
        "rushlode": f"{3:032x}",
    }


def test_what_is_saved_is_what_is_loaded(folder: Path, out: Path, mint: Callable[[], str]) -> None:
    state = saved(folder, mint, "marlpit")
    assert load_state(folder, out) == (state, ())
    assert json.loads((folder / "links.json").read_text())["links"][0]["made"] == "2026-11-25"


def test_saving_the_same_again_writes_nothing(folder: Path, mint: Callable[[], str]) -> None:
    state = saved(folder, mint, "marlpit")
    before = {path: path.stat().st_ino for path in folder.iterdir()}
    save_state(folder, state)
    assert {path: path.stat().st_ino for path in folder.iterdir()} == before


def test_only_the_technician_may_read_the_links(folder: Path, mint: Callable[[], str]) -> None:
    folder.mkdir(0o755)
    saved(folder, mint, "marlpit")
    assert mode(folder) == "0o700"
    assert {path.name: mode(path) for path in folder.iterdir()} == {
        ".gitignore": "0o600",
        "links.json": "0o600",
        "links.json.bak": "0o600",
    }
    (folder / "links.json").chmod(0o644)
    saved(folder, lambda: f"{1:032x}", "marlpit")
    assert mode(folder / "links.json") == "0o600"


def test_git_takes_up_nothing_of_the_folder(folder: Path) -> None:
    make_private(folder)
    assert (folder / ".gitignore").read_bytes() == b"*\n"


def test_a_link_opens_through_its_last_day(mint: Callable[[], str]) -> None:
    state, (link,) = ensure_links(State(), ["marlpit"], TODAY, mint)
    ending = State(links=(link.model_copy(update={"last_day": TODAY}),))
    assert opened(ending, "marlpit") == {"marlpit": link.token}
    assert open_links(ending, ["marlpit"], date(2026, 11, 26)) == ()
    assert ensure_links(ending, ["marlpit"], date(2026, 11, 26), mint) == (ending, ())
    assert state.links == (link,)


def test_a_withdrawn_link_stays_shut(mint: Callable[[], str]) -> None:
    state, _ = ensure_links(State(), ["marlpit", "rushlode"], TODAY, mint)
    shut = withdrawn(state, [state.links[0].token], TODAY)
    assert ensure_links(shut, ["marlpit", "rushlode"], TODAY, mint) == (shut, ())
    assert list(opened(shut, "marlpit", "rushlode")) == ["rushlode"]
    later = withdrawn(shut, [state.links[0].token], date(2026, 12, 1))
    assert later.links[0].withdrawn == TODAY


def test_a_client_who_left_has_no_open_link(mint: Callable[[], str]) -> None:
    state, _ = ensure_links(State(), ["marlpit", "rushlode"], TODAY, mint)
    assert list(opened(state, "rushlode")) == ["rushlode"]


def test_an_instruments_link_is_its_clients(mint: Callable[[], str]) -> None:
    one = Link(token=mint(), kind="instrument", target="marlpit/heron", made=TODAY)
    state, (whole,) = ensure_links(State(links=(one,)), ["marlpit"], TODAY, mint)
    assert one.client == "marlpit"
    assert open_links(state, ["marlpit"], TODAY) == (whole, one)
    assert open_links(state, ["rushlode"], TODAY) == ()


@pytest.mark.parametrize("token", ["", "short", "A" * 32, "../" + "a" * 32, "a" * 31])
def test_a_token_that_is_easily_guessed_is_refused(token: str) -> None:
    with pytest.raises(ValueError, match="token"):
        ensure_links(State(), ["marlpit"], TODAY, lambda: token)


def test_two_clients_never_share_a_token() -> None:
    with pytest.raises(ValueError, match="Two links have the same token"):
        ensure_links(State(), ["marlpit", "rushlode"], TODAY, lambda: "a" * 32)


@pytest.mark.parametrize("trace", ["state", "pages"])
def test_links_that_are_missing_after_pages_were_published_stop_the_build(
    folder: Path, out: Path, mint: Callable[[], str], trace: str
) -> None:
    saved(folder, mint, "marlpit")
    (folder / "links.json").unlink()
    if trace == "state":
        mark_published(folder)
    else:
        (out / "public").mkdir(parents=True)
        (out / "public/robots.txt").write_bytes(ROBOTS)
    state, found = load_state(folder, out)
    assert state is None
    assert str(only(found)) == (
        f".dossier/links.json:1:1: error: links.json is missing from {folder}, though pages were "
        f"published. Its backup is whole and holds 1 link: copy {folder}/links.json.bak to "
        f"{folder}/links.json. Only if every client is to get a new address: delete {folder} and "
        f"{out}/public, and build again."
    )


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ('{"version": 1,\n "links": [', "2:12: error: {}: Expecting value."),
        ("", "1:1: error: {}: Expecting value."),
        (b"\xff\xfe", "1:1: error: {}: it is no UTF-8 text of JSON."),
        ("[]", "1:1: error: {}: it holds no list of links."),
        ('{"version": 1}', "1:1: error: {}: it holds no list of links."),
        (
            '{"version": 1, "links": [{"token": "a", "kind": "client", "target": "x"}]}',
            "1:1: error: {}: links, entry 1, token: It should be 32 to 64 characters of 0-9 a-z.",
        ),
        ('{"version": 1, "links": 3}', "1:1: error: {}: links: Input should be a valid array."),
    ],
)
def test_damaged_links_stop_the_build(
    folder: Path, out: Path, mint: Callable[[], str], text: str | bytes, reason: str
) -> None:
    saved(folder, mint, "marlpit", "rushlode")
    (folder / "links.json").write_bytes(text.encode() if isinstance(text, str) else text)
    state, found = load_state(folder, out)
    assert state is None
    told = reason.format(f"links.json in {folder} can't be read")
    assert str(only(found)) == (
        f".dossier/links.json:{told} Its backup is whole and holds 2 links: copy "
        f"{folder}/links.json.bak to {folder}/links.json."
    )


@pytest.mark.parametrize(("backup", "word"), [(None, "is missing too"), (b"{", "is damaged too")])
def test_a_backup_that_is_of_no_use_is_not_recommended(
    folder: Path, out: Path, backup: bytes | None, word: str
) -> None:
    folder.mkdir()
    (folder / "links.json").write_bytes(b"{}")
    if backup is not None:
        (folder / "links.json.bak").write_bytes(backup)
    assert only(load_state(folder, out)[1]).hint == (
        f"Its backup, links.json.bak, {word}: bring links.json back from your own backup of "
        f"{folder}."
    )


def test_links_of_a_newer_version_are_left_alone(folder: Path, out: Path) -> None:
    folder.mkdir()
    (folder / "links.json").write_bytes(b'{"version": 2, "links": []}')
    found = only(load_state(folder, out)[1])
    assert found.code == "links-newer"
    assert found.sentence == (
        f"links.json in {folder} can't be read: it is of version 2, and this is made for 1. "
        "Build with the version of dossier that wrote it."
    )


def test_a_second_build_waits_or_says_so(folder: Path) -> None:
    with (
        one_build(folder, wait=0),
        pytest.raises(PublishError) as refused,
        one_build(folder, wait=0.1),
    ):
        pass
    assert str(refused.value) == (
        f"Another build is at work in {folder} (process {os.getpid()}). "
        "Wait until it has ended, and build again."
    )


def test_a_build_goes_on_when_the_one_before_has_ended(folder: Path) -> None:
    ready, say = os.pipe()
    child = os.fork()
    if not child:
        with one_build(folder, wait=0):
            os.write(say, b"x")
            time.sleep(0.3)
            os._exit(0)
    os.read(ready, 1)
    started = time.monotonic()
    with one_build(folder, wait=5):
        assert 0.2 < time.monotonic() - started < 4
    os.waitpid(child, 0)
    os.close(ready)
    os.close(say)
