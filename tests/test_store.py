import ctypes
import hashlib
import os
import stat
import sys
import threading
from pathlib import Path
from types import SimpleNamespace

import pytest

import dossier.store as store_module
from dossier.store import (
    Held,
    LostError,
    Store,
    bytes_of,
    flowing,
    hurry,
    key_of,
    sync_all,
    write_whole,
)

PAGE = b"<p>The damper of D4 buzzes.</p>"
KEY = hashlib.sha256(PAGE).hexdigest()


@pytest.fixture
def store(tmp_path: Path) -> Store:
    return Store(tmp_path / "cache")


def entry(store: Store, key: str = KEY) -> Path:
    return store.folder / key[:2] / key[2:]


def modes(folder: Path) -> set[tuple[bool, str]]:
    return {(path.is_dir(), oct(stat.S_IMODE(path.stat().st_mode))) for path in folder.rglob("*")}


def test_what_was_put_comes_back_under_the_hash_of_its_content(store: Store) -> None:
    assert store.put(PAGE) == KEY
    assert store.get(KEY) == PAGE
    assert entry(store).read_bytes() == PAGE


def test_nothing_was_put_yet(store: Store) -> None:
    assert store.get(KEY) is None
    assert not store.has(KEY)
    assert store.sweep(()) == 0


def test_empty_content_is_content(store: Store) -> None:
    assert store.get(store.put(b"")) == b""


@pytest.mark.parametrize("damage", [b"", PAGE[:-1], PAGE.replace(b"D4", b"D5"), PAGE + b"\0"])
def test_a_damaged_entry_counts_as_missing_and_is_removed(store: Store, damage: bytes) -> None:
    store.put(PAGE)
    entry(store).write_bytes(damage)
    assert store.get(KEY) is None
    assert not entry(store).exists()


def test_putting_again_mends_a_damaged_entry(store: Store) -> None:
    store.put(PAGE)
    entry(store).write_bytes(PAGE.replace(b"D4", b"D5"))
    store.put(PAGE)
    assert store.get(KEY) == PAGE


def test_putting_again_writes_nothing(store: Store) -> None:
    store.put(PAGE)
    before = entry(store).stat()
    store.put(PAGE)
    assert (entry(store).stat().st_ino, entry(store).stat().st_mtime_ns) == (
        before.st_ino,
        before.st_mtime_ns,
    )


@pytest.mark.parametrize("key", ["", "ab", "../../etc/passwd", KEY.upper(), f"{KEY}0", f"{KEY}\n"])
def test_a_key_that_is_no_hash_reaches_no_file(store: Store, key: str) -> None:
    store.put(PAGE)
    assert store.get(key) is None
    assert not store.has(key)


def test_only_the_owner_may_look(store: Store) -> None:
    before = os.umask(0)
    try:
        store.put(PAGE)
    finally:
        os.umask(before)
    assert modes(store.folder.parent) == {(True, "0o700"), (False, "0o600")}


def test_a_sweep_leaves_only_what_is_kept(store: Store) -> None:
    kept, dropped = store.put(PAGE), store.put(b"withdrawn")
    (entry(store).parent / ".half.1.1.new").write_bytes(b"half")
    assert store.sweep({kept}) == 2
    assert (store.get(kept), store.get(dropped)) == (PAGE, None)
    assert [path for path in store.folder.rglob("*") if path.is_file()] == [entry(store)]


def test_content_is_named_without_being_read(store: Store) -> None:
    held = Held(store, KEY)
    assert (key_of(held), key_of(PAGE)) == (KEY, KEY)
    with pytest.raises(LostError):
        bytes_of(held)
    store.put(PAGE)
    assert (bytes_of(held), bytes_of(PAGE)) == (PAGE, PAGE)


@pytest.mark.parametrize("step", ["write", "fchmod", "fsync", "replace"])
def test_a_write_that_fails_leaves_the_old_file_and_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    def fail(*_: object) -> int:
        raise OSError(28, "No space left on device")

    path = tmp_path / "links.json"
    path.write_bytes(b"old")
    with monkeypatch.context() as patch:
        patch.setattr(os, step, fail)
        with pytest.raises(OSError, match="No space left"):
            write_whole(path, b"new", 0o600, durable=True)
    assert path.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["links.json"]


def test_a_file_takes_the_mode_it_is_given(tmp_path: Path) -> None:
    before = os.umask(0o077)
    try:
        write_whole(tmp_path / "robots.txt", b"", 0o644, durable=False)
    finally:
        os.umask(before)
    assert modes(tmp_path) == {(False, "0o644")}


def waited(monkeypatch: pytest.MonkeyPatch, paths: list[Path]) -> list[Path]:
    """What is waited for, and a folder before it whose disk is to hurry."""
    done: list[Path] = []
    with monkeypatch.context() as patch:
        patch.setattr(store_module, "sync", done.append)
        patch.setattr(store_module, "hurry", done.append)
        sync_all(paths, Path("pages"))
    return done


def test_each_file_is_waited_for_and_the_disk_hurries_where_there_are_many(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    few, many = ([Path(f"pages/{number}") for number in range(count)] for count in (3, 300))
    assert waited(monkeypatch, few) == few
    assert waited(monkeypatch, many) == [Path("pages"), *many]


@pytest.mark.skipif(sys.platform != "linux", reason="only Linux has syncfs")
def test_a_disk_hurries(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[bool] = []
    library = SimpleNamespace(syncfs=lambda handle: asked.append(os.fstat(handle).st_size >= 0))
    monkeypatch.setattr(ctypes, "CDLL", lambda *_: library)
    hurry(tmp_path)
    assert asked == [True]


@pytest.mark.parametrize("library", [SimpleNamespace(), SimpleNamespace(syncfs=lambda _: -1)])
def test_a_disk_that_can_not_hurry_is_no_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, library: SimpleNamespace
) -> None:
    monkeypatch.setattr(ctypes, "CDLL", lambda *_: library)
    hurry(tmp_path)
    hurry(tmp_path / "missing")


def test_the_disk_takes_what_is_written_as_it_comes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = threading.Semaphore(0)
    monkeypatch.setattr(store_module, "_PAUSE", 0.001)
    monkeypatch.setattr(store_module, "hurry", lambda _: asked.release())
    with flowing(tmp_path):
        assert all(asked.acquire(timeout=10) for _ in range(3))
    for thread in threading.enumerate():
        if thread.name == "flow":
            thread.join(10)
            assert not thread.is_alive()


def test_nobody_waits_for_a_disk_that_hurries(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    begun, ended = threading.Event(), threading.Event()

    def slow(_: Path) -> None:
        begun.set()
        assert ended.wait(60)

    monkeypatch.setattr(store_module, "_PAUSE", 0.001)
    monkeypatch.setattr(store_module, "hurry", slow)

    def broken_off() -> None:
        with flowing(tmp_path):
            assert begun.wait(10)
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        broken_off()
    ended.set()
