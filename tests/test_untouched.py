"""A file's sum is told without a look as long as the system says that nobody touched it."""

from __future__ import annotations

import hashlib
import os
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from dossier import untouched
from dossier.store import Memory
from dossier.untouched import RECORD, Untouched

SETTLED = 0.05


def total(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


class Files:
    """A folder of files, and how often each was read to be summed."""

    def __init__(self, root: Path) -> None:
        self.root = root
        self.reads = 0
        self.known = Untouched(Memory(root / "memory"))

    def write(self, name: str, data: bytes) -> str:
        path = self.root / name
        path.write_bytes(data)
        return os.fspath(path)

    def sum_of(self, path: str) -> str:
        def read() -> bytes:
            self.reads += 1
            return Path(path).read_bytes()

        return self.known.sum_of(path, read=read)

    def next_run(self, *, all_asked: bool = False) -> None:
        self.known.keep(all_asked=all_asked)
        self.known = Untouched(Memory(self.root / "memory"))


@pytest.fixture
def files(tmp_path: Path) -> Files:
    return Files(tmp_path)


def test_a_settled_file_is_read_once_in_this_run_and_the_next(files: Files) -> None:
    path = files.write("note.md", b"440 Hz")
    time.sleep(SETTLED)
    assert [files.sum_of(path) for _ in range(3)] == [total(b"440 Hz")] * 3
    files.next_run()
    assert files.sum_of(path) == total(b"440 Hz")
    assert files.reads == 1


def test_a_file_changed_a_moment_ago_is_read_again(
    files: Files, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = files.write("note.md", b"440 Hz")
    changed = os.stat(path).st_ctime_ns  # noqa: PTH116
    monkeypatch.setattr(time, "time_ns", lambda: changed + 1_000_000)
    assert files.sum_of(path) == files.sum_of(path) == total(b"440 Hz")
    assert files.reads == 2


def test_a_clock_that_was_set_back_makes_no_file_trusted(
    files: Files, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = files.write("note.md", b"440 Hz")
    monkeypatch.setattr(time, "time_ns", lambda: 0)
    assert files.sum_of(path) == files.sum_of(path)
    assert files.reads == 2


def touched(path: str) -> None:
    Path(path).write_bytes(b"441 Hz")


def dated_back(path: str) -> None:
    before = Path(path).stat()
    Path(path).write_bytes(b"441 Hz")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))


def replaced(path: str) -> None:
    new = Path(f"{path}.new")
    new.write_bytes(b"441 Hz")
    before = Path(path).stat()
    os.utime(new, ns=(before.st_atime_ns, before.st_mtime_ns))
    new.replace(path)


@pytest.mark.parametrize("change", [touched, dated_back, replaced])
def test_what_was_changed_to_the_same_length_is_seen(
    files: Files, change: Callable[[str], None]
) -> None:
    path = files.write("note.md", b"440 Hz")
    time.sleep(SETTLED)
    files.sum_of(path)
    files.next_run()
    change(path)
    assert files.sum_of(path) == total(b"441 Hz")


def test_a_file_that_another_link_was_made_of_need_not_be_read(files: Files) -> None:
    path = files.write("note.md", b"440 Hz")
    time.sleep(SETTLED)
    files.sum_of(path)
    os.link(path, f"{path}.2")
    assert files.sum_of(path) == total(b"440 Hz")
    assert files.reads == 2  # by somebody else, it might have been a change
    time.sleep(SETTLED)
    files.sum_of(path)
    files.known.linked(path)
    Path(f"{path}.2").unlink()
    assert files.sum_of(path) == total(b"440 Hz")
    assert files.reads == 3


def test_a_linked_file_that_was_written_to_is_read(files: Files) -> None:
    path = files.write("note.md", b"440 Hz")
    time.sleep(SETTLED)
    files.sum_of(path)
    files.known.linked(path)
    Path(path).write_bytes(b"441 Hz")
    assert files.sum_of(path) == total(b"441 Hz")


def test_a_file_that_was_just_written_by_us_is_known_where_it_will_stand(files: Files) -> None:
    (files.root / "staged").mkdir()
    staged = files.write("staged/page", b"page")
    path = os.fspath(files.root / "public" / "page")
    files.known.wrote(path, staged, total(b"page"))
    (files.root / "staged").rename(files.root / "public")
    files.next_run()
    assert files.sum_of(path) == total(b"page")
    assert files.reads == 0


def test_what_nobody_asked_for_is_forgotten_where_all_was_asked(files: Files) -> None:
    paths = [files.write(name, name.encode()) for name in ("a", "b")]
    time.sleep(SETTLED)
    for path in paths:
        files.sum_of(path)
    files.next_run()
    files.sum_of(paths[0])
    files.next_run(all_asked=True)
    for path in paths:
        files.sum_of(path)
    assert files.reads == 3


def test_a_damaged_record_is_none(files: Files) -> None:
    path = files.write("a", b"a")
    time.sleep(SETTLED)
    files.sum_of(path)
    files.known.keep(all_asked=False)
    record = files.root / "memory" / RECORD
    record.write_bytes(record.read_bytes()[:-3])
    files.next_run()
    assert files.sum_of(path) == total(b"a")
    assert files.reads == 2


def test_where_the_system_keeps_no_time_of_change_nothing_is_believed(
    files: Files, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(untouched, "KEEPS_CHANGES", False)
    path = files.write("a", b"a")
    time.sleep(SETTLED)
    for _ in range(2):
        assert files.known.sum_of(path) == total(b"a")
    assert not files.known._known


@settings(deadline=None, max_examples=60)
@given(st.lists(st.tuples(st.sampled_from("abc"), st.binary(max_size=2)), min_size=1, max_size=12))
def test_the_sum_is_always_that_of_the_bytes(
    tmp_path_factory: pytest.TempPathFactory, edits: list[tuple[str, bytes]]
) -> None:
    files = Files(tmp_path_factory.mktemp("edits"))
    for name, data in edits:
        path = files.write(name, data)
        assert files.sum_of(path) == total(data)
        files.next_run()
        assert files.sum_of(path) == total(data)
