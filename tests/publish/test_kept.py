import json
import stat
from collections.abc import Collection
from pathlib import Path

import pytest

from dossier.publish import kept
from dossier.publish.kept import Keeping, Kept, load_kept, prepare, settle
from dossier.publish.trouble import PublishError
from dossier.store import Held, Store, bytes_of

PAGES = {"heron/index.html": b"<p>Pitch held.</p>", "heron/assets/a.css": b"p{}"}
HERON = Kept("instrument:heron", "marlpit", PAGES, '{"state": "good"}')
FIRST = Kept("client:marlpit", "marlpit", {"index.html": b"<p>Two instruments.</p>"})


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / ".dossier"


def keep(folder: Path, pages: list[Kept], said: dict[str, tuple[str, ...]]) -> None:
    settle(folder, prepare(folder, pages, said, "the new tree"))


def loaded(folder: Path) -> Keeping:
    keeping, found = load_kept(folder, lambda: "")
    assert found == ()
    return keeping


def contents(folder: Path) -> set[bytes]:
    return {path.read_bytes() for path in (folder / "kept").rglob("*") if path.is_file()}


def test_nothing_was_published_yet(folder: Path) -> None:
    assert loaded(folder).kept("instrument:heron", "marlpit") is None
    assert loaded(folder).said == {}
    assert not folder.exists()


def test_the_last_good_pages_come_back_with_their_note(folder: Path) -> None:
    keep(folder, [HERON, FIRST], {"marlpit": ("Pitch held.",)})
    assert loaded(folder).kept("instrument:heron", "marlpit") == HERON
    assert loaded(folder).kept("client:marlpit", "marlpit") == FIRST
    assert loaded(folder).said == {"marlpit": ("Pitch held.",)}


def test_after_a_change_of_hands_the_new_owner_sees_nothing_of_the_old(folder: Path) -> None:
    keep(folder, [HERON], {})
    assert loaded(folder).kept("instrument:heron", "rushlode") is None
    sold = Kept("instrument:heron", "rushlode", {"heron/index.html": b"<p>New here.</p>"})
    keep(folder, [sold], {})
    assert loaded(folder).kept("instrument:heron", "marlpit") is None
    assert loaded(folder).kept("instrument:heron", "rushlode") == sold
    assert contents(folder) == {b"<p>New here.</p>"}


def test_what_is_no_longer_published_is_not_kept(folder: Path) -> None:
    swan = Kept("instrument:swan", "thornsay-school", {"swan/index.html": b"<p>Swan</p>"})
    keep(folder, [HERON, FIRST, swan], {"marlpit": ("Held.",), "thornsay-school": ("Low.",)})
    keep(folder, [swan], {"thornsay-school": ("Low.",)})
    assert loaded(folder).kept("instrument:heron", "marlpit") is None
    assert loaded(folder).said == {"thornsay-school": ("Low.",)}
    assert contents(folder) == {b"<p>Swan</p>"}


def test_kept_pages_can_be_kept_again(folder: Path) -> None:
    keep(folder, [HERON], {})
    again = loaded(folder).kept("instrument:heron", "marlpit")
    assert again is not None
    keep(folder, [again], {})
    assert loaded(folder).kept("instrument:heron", "marlpit") == HERON


def test_keeping_the_same_again_writes_nothing(folder: Path) -> None:
    keep(folder, [HERON, FIRST], {"marlpit": ("Held.",)})
    before = {path: path.stat().st_mtime_ns for path in folder.rglob("*")}
    keep(folder, [FIRST, HERON], {"marlpit": ("Held.",)})
    assert {path: path.stat().st_mtime_ns for path in folder.rglob("*")} == before


def test_pages_that_lie_in_the_cache_outlast_it(folder: Path, tmp_path: Path) -> None:
    cache = Store(tmp_path / "cache")
    held = {path: Held(cache, cache.put(data)) for path, data in PAGES.items()}
    keep(folder, [Kept(HERON.name, HERON.client, held, HERON.note)], {})
    cache.sweep(())
    assert loaded(folder).kept("instrument:heron", "marlpit") == HERON


def test_pages_of_which_one_is_damaged_are_not_shown_in_part(folder: Path) -> None:
    keep(folder, [HERON, FIRST], {})
    for path in (folder / "kept").rglob("*"):
        if path.is_file() and path.read_bytes() == b"p{}":
            path.write_bytes(b"p{")
    assert loaded(folder).kept("instrument:heron", "marlpit") is None
    assert loaded(folder).kept("client:marlpit", "marlpit") == FIRST
    keep(folder, [HERON, FIRST], {})
    assert loaded(folder).kept("instrument:heron", "marlpit") == HERON


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "[]",
        '{"version": 2, "pages": {}, "said": {}}',
        '{"version": 1, "pages": {"instrument:heron": {"files": {}}}, "said": {}}',
        '{"version": 1, "pages": {}, "said": {"marlpit": "Held."}}',
    ],
)
def test_a_damaged_index_keeps_nothing_and_says_what_follows(folder: Path, text: str) -> None:
    keep(folder, [HERON], {})
    (folder / "kept.json").write_text(text)
    keeping, (found,) = load_kept(folder, lambda: "")
    assert keeping.kept("instrument:heron", "marlpit") is None
    assert str(found) == (
        f".dossier/kept.json:1:1: warning: kept.json in {folder} can't be read, so that no pages "
        "are kept from the last build. What can't be built now will be missing from its client's "
        "site until its note is mended."
    )


def test_only_the_technician_may_read_what_is_kept(folder: Path) -> None:
    keep(folder, [HERON], {"marlpit": ("Held.",)})
    assert {
        (path.is_dir(), oct(stat.S_IMODE(path.stat().st_mode)))
        for path in (folder, *folder.rglob("*"))
    } == {(True, "0o700"), (False, "0o600")}


def test_a_crash_while_keeping_leaves_what_was_kept(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(folder, [HERON], {})

    def full(*_: object) -> bool:
        raise OSError(28, "No space left on device")

    newer = Kept(HERON.name, HERON.client, {"heron/index.html": b"<p>Pitch fell.</p>"})
    with monkeypatch.context() as patch:
        patch.setattr("dossier.publish.kept.write_private", full)
        with pytest.raises(PublishError, match="is full"):
            keep(folder, [newer], {})
    assert loaded(folder).kept("instrument:heron", "marlpit") == HERON
    keep(folder, [newer], {})
    assert contents(folder) == {b"<p>Pitch fell.</p>"}


def test_the_index_holds_no_page(folder: Path) -> None:
    keep(folder, [HERON], {})
    page = json.loads((folder / "kept.json").read_text())["pages"]["instrument:heron"]
    assert sorted(page["files"]) == sorted(PAGES)
    assert all(len(key) == 64 for key in page["files"].values())


@pytest.mark.parametrize(
    ("standing", "text"),
    [("the old tree", b"<p>Pitch held.</p>"), ("the new tree", b"<p>Pitch fell.</p>")],
)
def test_after_a_crash_the_pages_are_kept_that_then_stand(
    folder: Path, standing: str, text: bytes
) -> None:
    keep(folder, [HERON], {"marlpit": ("Pitch held.",)})
    newer = Kept(HERON.name, HERON.client, {"heron/index.html": b"<p>Pitch fell.</p>"})
    prepare(folder, [newer], {"marlpit": ("Pitch fell.",)}, "the new tree")
    keeping, found = load_kept(folder, lambda: standing)
    assert found == ()
    kept = keeping.kept(HERON.name, HERON.client)
    assert kept is not None
    assert kept.files["heron/index.html"] == text


def waited_for(
    folder: Path, monkeypatch: pytest.MonkeyPatch, lasting: frozenset[str] = frozenset()
) -> set[bytes]:
    """The files on the disk before the index that names them is begun."""
    waited: set[bytes] = set()

    def noted(paths: Collection[Path], _: Path) -> None:
        assert not (folder / "kept.next.json").exists()
        waited.update(path.read_bytes() for path in paths if path.is_file())

    with monkeypatch.context() as patch:
        patch.setattr(kept, "sync_all", noted)
        prepare(folder, [HERON, FIRST], {}, "the new tree", lasting=lasting)
    assert (folder / "kept.next.json").exists()
    return waited


def test_all_that_an_index_names_is_on_the_disk_before_it(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pages = {*PAGES.values(), *map(bytes_of, FIRST.files.values())}
    assert waited_for(folder, monkeypatch) == pages


def test_what_a_broken_build_put_is_waited_for_though_it_is_there(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def cut(*_: object) -> None:
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(kept, "sync_all", cut)
        with pytest.raises(KeyboardInterrupt):
            prepare(folder, [HERON], {}, "the new tree")
    assert contents(folder) == set(PAGES.values())
    pages = {*PAGES.values(), *map(bytes_of, FIRST.files.values())}
    assert waited_for(folder, monkeypatch) == pages


def test_what_an_index_names_already_is_not_waited_for_again(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keep(folder, [HERON], {})
    waited = waited_for(folder, monkeypatch, loaded(folder).keys)
    assert waited == set(map(bytes_of, FIRST.files.values()))
