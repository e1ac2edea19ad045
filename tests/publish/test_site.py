import errno
import fcntl
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from dossier.diagnostics import Severity
from dossier.publish import disk
from dossier.publish.check import Pages
from dossier.publish.robots import ROBOTS
from dossier.publish.site import Before, Places, Swapped, publish, refuse_places
from dossier.publish.state import load_state, withdrawn
from dossier.publish.trouble import PublishError
from dossier.store import Held, Memory, Store, bytes_of
from tests.publish.shop import NOT_FOUND, SPARE, TODAY, TOKENS, Shop, files, page, shown

HOME, SCHOOL = TOKENS["marlpit"], TOKENS["thornsay-school"]


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return Shop(tmp_path)


def modes(folder: Path) -> set[tuple[str, str]]:
    return {
        ("folder" if path.is_dir() else "file", oct(stat.S_IMODE(path.stat().st_mode)))
        for path in (folder, *folder.rglob("*"))
    }


def test_each_client_has_a_folder_and_the_root_only_what_hosts_need(shop: Shop) -> None:
    shop.published()
    assert sorted(path.name for path in shop.public.iterdir()) == [
        ".htaccess",
        "404.html",
        HOME,
        SCHOOL,
        "_headers",
        "robots.txt",
    ]
    assert (shop.public / "404.html").read_bytes() == NOT_FOUND
    assert (shop.public / "robots.txt").read_bytes() == ROBOTS
    assert files(shop.public / SCHOOL)["swan/index.html"] == page("The damper of D4 buzzes.", "../")
    there = sorted(path.name for path in shop.places.out.iterdir())
    assert there == [SPARE, "bench", "headers", "public"]


def test_others_may_read_what_is_public_and_nobody_the_bench(shop: Shop) -> None:
    before = os.umask(0o077)
    try:
        shop.published()
    finally:
        os.umask(before)
    assert modes(shop.public) == {("folder", "0o755"), ("file", "0o644")}
    assert modes(shop.places.out / "bench") == {("folder", "0o700"), ("file", "0o600")}
    assert modes(shop.places.state) == {("folder", "0o700"), ("file", "0o600")}


def test_the_links_are_saved_with_what_bears_them(shop: Shop) -> None:
    shop.published()
    assert load_state(shop.places.state, shop.places.out) == (shop.state, ())


def test_links_that_are_lost_after_a_first_build_stop_the_next(shop: Shop) -> None:
    shop.published()
    (shop.places.state / "links.json").unlink()
    shop.public.rename(shop.root / "uploaded")
    state, found = load_state(shop.places.state, shop.places.out)
    assert (state, [one.code for one in found]) == (None, ["links-missing"])


def test_an_idle_build_swaps_and_writes_nothing(shop: Shop) -> None:
    shop.published()

    def stamps() -> dict[str, tuple[int, int]]:
        return {
            str(path): (path.stat().st_ino, path.stat().st_mtime_ns)
            for path in shop.root.rglob("*")
        }

    before = stamps()
    assert shop.published().swapped == ()
    assert stamps() == before


def test_only_the_changed_page_is_written_anew(shop: Shop) -> None:
    shop.published()
    kept = (shop.public / HOME / "dossier.pdf").stat().st_ino
    shop.sites["marlpit"]["index.html"] = page("The damper of D4 is eased.")
    assert shop.published().swapped == (Swapped("public", written=1, files=10, gone=()),)
    assert (shop.public / HOME / "dossier.pdf").stat().st_ino == kept
    assert b"eased" in (shop.public / HOME / "index.html").read_bytes()


def test_a_change_after_changes_equals_a_clean_build(shop: Shop, tmp_path: Path) -> None:
    shop.published()
    shop.write("The pitch fell 12 cents in the dry weeks.")
    shop.published()
    clean = Shop(tmp_path / "clean", shop.sites, shop.bench)
    clean.write("The pitch fell 12 cents in the dry weeks.")
    clean.published()
    assert files(shop.places.out) == files(clean.places.out)


def test_a_renamed_instrument_leaves_nothing_of_its_old_name(shop: Shop) -> None:
    shop.published()
    school = shop.sites["thornsay-school"]
    school["tern-upright/index.html"] = school.pop("tern/index.html")
    (done,) = shop.published().swapped
    assert done.gone == (f"{SCHOOL}/tern/index.html",)
    assert sorted(path.name for path in (shop.public / SCHOOL).iterdir()) == [
        "index.html",
        "swan",
        "tern-upright",
    ]


def test_a_withdrawn_link_opens_nothing_any_more(shop: Shop) -> None:
    shop.published()
    shop.state = withdrawn(shop.state, [TOKENS["marlpit"]], TODAY)
    shop.published()
    assert not (shop.public / HOME).exists()
    assert (shop.public / SCHOOL / "index.html").exists()


def test_what_was_changed_by_hand_is_put_right(shop: Shop) -> None:
    shop.published()
    good = shown(shop.places.out)
    (shop.public / HOME / "index.html").write_bytes(b"edited")
    (shop.public / SCHOOL / "swan").chmod(0o777)
    (shop.public / SCHOOL / "empty").mkdir()
    (shop.places.out / "bench/heron/index.html").unlink()
    shop.published()
    assert shown(shop.places.out) == good
    assert modes(shop.public) == {("folder", "0o755"), ("file", "0o644")}


def test_a_file_that_no_build_wrote_is_named_as_it_goes(shop: Shop) -> None:
    shop.published()
    (shop.public / "CNAME").write_text("pianos.example.org")
    done, found = shop.publish()
    assert done is not None
    (stranger,) = found
    assert str(stranger) == (
        "public/CNAME:1:1: warning: No build wrote this file into public/; it was taken out. A "
        "build replaces the whole folder: keep files of your own elsewhere."
    )
    assert not (shop.public / "CNAME").exists()
    assert shop.publish()[1] == ()


def test_a_link_out_of_the_site_is_not_followed(shop: Shop, tmp_path: Path) -> None:
    shop.published()
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "will").write_text("mine")
    (shop.public / HOME / "old").symlink_to(elsewhere)
    shop.publish()
    assert not (shop.public / HOME / "old").is_symlink()
    assert (elsewhere / "will").read_text() == "mine"


def test_the_folder_of_a_checkout_keeps_what_is_not_ours(shop: Shop) -> None:
    issued = shop.places.out / "issued/heron-sale"
    issued.mkdir(parents=True)
    (issued / "dossier.pdf").write_bytes(b"%PDF")
    (shop.places.out / ".gitkeep").touch()
    shop.published()
    shop.write("The hammers are filed.")
    shop.published()
    assert (issued / "dossier.pdf").read_bytes() == b"%PDF"
    assert (shop.places.out / ".gitkeep").exists()


def test_pages_may_lie_in_a_store(shop: Shop, tmp_path: Path) -> None:
    store = Store(tmp_path / "cache")
    trees = shop.trees()
    held = {
        name: {path: Held(store, store.put(bytes_of(data))) for path, data in tree.items()}
        for name, tree in trees.items()
    }
    publish(held, shop.places, shop.state)
    assert (shop.public / HOME / "index.html").read_bytes() == shop.sites["marlpit"]["index.html"]
    assert shop.published().swapped == ()


def test_a_page_that_the_cache_lost_leaves_what_stood(shop: Shop, tmp_path: Path) -> None:
    shop.published()
    before = shown(shop.places.out)
    lost = Held(Store(tmp_path / "cache"), "0" * 64)
    trees = shop.trees()
    trees["bench"]["dossier.pdf"] = lost
    with pytest.raises(PublishError) as refused:
        publish(trees, shop.places, shop.state)
    assert str(refused.value) == (
        "The cache lost a page while it was being published. Build again: what is missing is then "
        "made anew."
    )
    assert shown(shop.places.out) == before


@pytest.mark.parametrize("path", ["../x", "/x", "a//b", "./x", "a/../b", "", "a\\b", "a\0b"])
def test_a_path_that_leads_out_of_a_tree_is_refused(shop: Shop, path: str) -> None:
    with pytest.raises(ValueError, match="is no path within a tree"):
        publish({**shop.trees(), "bench": {path: b""}}, shop.places, shop.state)


def test_a_path_is_a_file_or_a_folder(shop: Shop) -> None:
    with pytest.raises(ValueError, match="“heron” is a file and a folder"):
        publish({**shop.trees(), "bench": {"heron": b"", "heron/x": b""}}, shop.places, shop.state)


# What the gate keeps back


@pytest.mark.parametrize(
    ("path", "data", "told"),
    [
        (
            "index.html",
            page("x", "../../thornsay-school/"),
            "marlpit/index.html:1:1: error: “../../thornsay-school/” leads out of the folder.",
        ),
        (
            "index.html",
            page("x", f"../{SCHOOL}/"),
            f"marlpit/index.html:1:1: error: “../{SCHOOL}/” leads out of the folder.",
        ),
        (
            "history.json",
            f'{{"see": "{SCHOOL}"}}'.encode(),
            "marlpit/history.json:1:1: error: It holds a private address that isn't its own.",
        ),
        (
            f"{SCHOOL}.txt",
            b"",
            f"marlpit/{SCHOOL}.txt:1:1: error: It holds a private address that isn't its own.",
        ),
    ],
)
def test_a_page_that_leads_to_another_client_is_kept_back(
    shop: Shop, path: str, data: bytes, told: str
) -> None:
    shop.published()
    before = files(shop.places.out)
    shop.sites["marlpit"][path] = data
    done, found = shop.publish()
    assert done is None
    assert str(found[0]) == (
        f"{told} Nothing was published; what was published before still stands."
    )
    assert {one.severity for one in found} == {Severity.ERROR}
    assert files(shop.places.out) == before


def test_an_address_is_found_in_a_file_that_was_looked_at_where_it_was_made(
    shop: Shop, tmp_path: Path
) -> None:
    """In a build that is before it is known whose folder the file is for."""
    known = Memory(tmp_path / "pages", "0")
    leak = f'{{"see": "{SCHOOL}"}}'.encode()
    Pages({"data.json": leak, "index.html": page("x")}, known).look()
    assert len(list((tmp_path / "pages").iterdir())) == 2
    shop.sites["marlpit"]["heron/history.json"] = leak
    _, found = publish(shop.trees(), shop.places, shop.state, Before(pages=known))
    (one,) = found
    assert str(one).startswith(
        "marlpit/heron/history.json:1:1: error: It holds a private address that isn't its own."
    )


def test_a_broken_link_on_the_bench_is_named(shop: Shop) -> None:
    del shop.bench["heron/index.html"]
    done, found = shop.publish()
    assert done is None
    assert [one.message for one in found] == ["“heron/” leads to a file that isn't there."]
    assert not shop.public.exists()


def test_a_folder_that_no_link_opens_is_kept_back(shop: Shop) -> None:
    trees = shop.trees()
    trees["public"] = {"marlpit/index.html": page("x")}
    done, found = publish(trees, shop.places, shop.state)
    assert (done, [one.message for one in found]) == (
        None,
        ["A folder has the name of no link that is open."],
    )


def test_a_link_opens_a_first_page(shop: Shop) -> None:
    del shop.sites["thornsay-school"]["index.html"]
    done, found = shop.publish()
    assert done is None
    assert "The link would open nothing: there is no index.html." in {one.message for one in found}


def test_the_page_for_what_is_not_found_names_no_address(shop: Shop) -> None:
    trees = shop.trees()
    trees["public"]["404.html"] = HOME.encode()
    _, found = publish(trees, shop.places, shop.state)
    assert [one.span.file for one in found] == ["public/404.html"]


# What is in the way


def test_a_folder_of_someone_else_is_never_replaced(shop: Shop) -> None:
    shop.public.mkdir(parents=True)
    (shop.public / "index.html").write_text("My holiday")
    with pytest.raises(PublishError) as refused:
        shop.publish()
    assert str(refused.value) == (
        f"{shop.public} holds files that no build wrote. It is left as it is: move it away, or "
        "build into another folder."
    )
    assert files(shop.places.out) == {"public": b"(folder)", "public/index.html": b"My holiday"}


def test_an_empty_folder_is_taken(shop: Shop) -> None:
    shop.public.mkdir(parents=True)
    shop.published()
    assert (shop.public / HOME / "index.html").exists()


@pytest.mark.parametrize("make", [Path.touch, lambda path: path.symlink_to("/tmp")])  # noqa: S108
def test_what_is_no_folder_is_never_replaced(shop: Shop, make: Callable[[Path], None]) -> None:
    shop.places.out.mkdir()
    make(shop.public)
    with pytest.raises(PublishError, match="is no folder of its own"):
        shop.publish()


def test_a_build_into_the_notes_is_refused(tmp_path: Path) -> None:
    content, out = tmp_path / "content", tmp_path / "content/build"
    with pytest.raises(PublishError) as refused:
        refuse_places(Places(content, out, tmp_path / ".dossier"))
    assert str(refused.value) == (
        f"{out} lies inside of the notes in {content}. Build into a folder beside them."
    )


@pytest.mark.parametrize("inner", ["content", "state"])
def test_what_a_build_would_replace_may_not_lie_there(tmp_path: Path, inner: str) -> None:
    lost = tmp_path / "build/public" / inner
    places = {"content": tmp_path / "content", "state": tmp_path / ".dossier", inner: lost}
    with pytest.raises(PublishError) as refused:
        refuse_places(Places(out=tmp_path / "build", **places))
    assert str(refused.value) == (
        f"{lost} lies inside of {tmp_path}/build/public, which a build replaces. Move it out of "
        "there, or build into another folder."
    )


RIGHT = "Give yourself the right to write there, or choose another folder."
GONE = "Build again; if it happens again, another program moves or cleans it."


@pytest.mark.parametrize(
    ("number", "told"),
    [
        (errno.ENOSPC, "The disk that holds {} is full. Make room and build again."),
        (errno.EROFS, f"{{}} can't be written to (read-only file system). {RIGHT}"),
        (errno.EACCES, f"{{}} can't be written to (permission denied). {RIGHT}"),
        (errno.ENOENT, f"Something vanished from {{}} while it was being written. {GONE}"),
        (errno.EIO, "{} could not be written (input/output error). See to it, and build again."),
    ],
)
def test_what_the_disk_refuses_is_told_in_plain_words(
    shop: Shop, monkeypatch: pytest.MonkeyPatch, number: int, told: str
) -> None:
    shop.published()
    before = shown(shop.places.out)
    shop.write("The hammers are filed.")

    def refuse(*_: object) -> None:
        raise OSError(number, os.strerror(number))

    with monkeypatch.context() as patch:
        patch.setattr(disk, "write_new", refuse)
        with pytest.raises(PublishError) as refused:
            shop.publish()
    assert str(refused.value) == (
        f"{told.format(shop.places.out)} What was published before still stands."
    )
    assert shown(shop.places.out) == before


def test_another_shop_that_builds_into_the_same_folder_is_kept_out(
    shop: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop.places.out.mkdir()
    monkeypatch.setattr("dossier.publish.site._PATIENCE", 0.1)
    handle = os.open(shop.places.out, os.O_RDONLY)
    try:
        fcntl.flock(handle, fcntl.LOCK_EX)
        with pytest.raises(PublishError) as refused:
            shop.publish()
    finally:
        os.close(handle)
    assert refused.value.sentence == f"Another build writes to {shop.places.out}."
    shop.published()
