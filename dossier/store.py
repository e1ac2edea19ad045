"""Bytes by the hash of their content: what was put under a key comes back whole, or not at all.

Nothing here knows what the bytes are.  A store that serves as a cache can always be deleted.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import re
import sys
import threading
from collections.abc import Collection, Iterator
from dataclasses import dataclass, field
from pathlib import Path

_KEY = re.compile(r"[0-9a-f]{64}")
_MANY = 50
"""So many files are waited for sooner where their disk hurried before."""
_PAUSE = 3.0  # seconds between two such hurries
_SUM = 32  # bytes of a SHA-256
_PRIVATE_FILE, _PRIVATE_FOLDER = 0o600, 0o700
_UNFINISHED = ".new"


@dataclass(frozen=True, slots=True)
class Store:
    """A folder of bytes, two levels deep, that only its owner may read.

    What a power cut damaged is noticed; who needs it to last waits for the disk.
    """

    folder: Path

    def put(self, data: bytes) -> str:
        """Keep the bytes and return their key, the SHA-256 of them.  Raises OSError."""
        key = hashlib.sha256(data).hexdigest()
        path = Path(self.path_of(key))
        if _read(path) != data:
            # Apart: a mode reaches only the last folder that a call makes.
            self.folder.mkdir(_PRIVATE_FOLDER, parents=True, exist_ok=True)
            path.parent.mkdir(_PRIVATE_FOLDER, exist_ok=True)
            write_whole(path, data, _PRIVATE_FILE, durable=False)
        return key

    def get(self, key: str) -> bytes | None:
        """The bytes of that key; None where they are missing or were damaged, and then removed.

        Raises OSError where they can't be read for another reason.
        """
        if not _KEY.fullmatch(key):
            return None
        path = Path(self.path_of(key))
        data = _read(path)
        if data is None or hashlib.sha256(data).hexdigest() == key:
            return data
        path.unlink(missing_ok=True)
        return None

    def has(self, key: str) -> bool:
        """Whether something stands under that key; only `get` knows whether it is whole."""
        return bool(_KEY.fullmatch(key)) and os.path.isfile(self.path_of(key))  # noqa: PTH113

    def sweep(self, keep: Collection[str]) -> int:
        """Remove all but these keys, and what a crash left half-written; return how many."""
        gone = [path for path in self.paths() if path.replace("/", "") not in keep]
        for path in gone:
            (self.folder / path).unlink(missing_ok=True)
        return len(gone)

    def paths(self) -> list[str]:
        """Where all that is kept lies below the folder, in order; plain, for there are thousands.

        Raises OSError.
        """
        return [f"{one}/{name}" for one in self._folders() for name in _names(self.folder / one)]

    def _folders(self) -> list[str]:
        """The first level; a folder of any other shape is not the store's."""
        there = _names(self.folder) if self.folder.is_dir() else []
        return [name for name in there if re.fullmatch("[0-9a-f]{2}", name)]

    def path_of(self, key: str) -> str:
        """Where the bytes of a key lie, if they do; plain, for there are thousands of them."""
        return f"{self.folder}/{key[:2]}/{key[2:]}"


@dataclass(frozen=True, slots=True)
class Memory:
    """Results by the hash of all that they hang on, each with the sum of its bytes.

    `mark` is a part of every key, as the program's version is; without a folder nothing is
    remembered.  It never changes what is made, only how long that takes: what is missing or
    damaged is None, and a disk without room is no error.
    """

    folder: Path | None = None
    mark: str = ""
    used: set[str] = field(default_factory=set, compare=False)

    def key(self, *parts: bytes) -> str:
        """The key of what is made from these parts."""
        total = hashlib.sha256(self.mark.encode())
        for part in parts:
            total.update(b"%d\0" % len(part))
            total.update(part)
        return total.hexdigest()

    def recall(self, key: str) -> bytes | None:
        """What was kept under a key, whole; a damaged entry is removed."""
        if self.folder is None:
            return None
        path = self.folder / key
        with contextlib.suppress(OSError):
            data = path.read_bytes()
            if data[:_SUM] == _sum(data[_SUM:]):
                self.used.add(key)
                return data[_SUM:]
            path.unlink()
        return None

    def keep(self, key: str, data: bytes) -> None:
        """Keep a result."""
        if self.folder is None:
            return
        with contextlib.suppress(OSError):
            self.folder.mkdir(_PRIVATE_FOLDER, parents=True, exist_ok=True)
            self.used.add(key)
            write_whole(self.folder / key, _sum(data) + data, _PRIVATE_FILE, durable=False)

    def sweep(self, also: Collection[str] = ()) -> None:
        """Forget what was not asked for or kept since it was opened, but for these keys."""
        if self.folder is None or not self.folder.is_dir():
            return
        for path in self.folder.iterdir():
            if path.name not in self.used and path.name not in also:
                path.unlink(missing_ok=True)


class LostError(LookupError):
    """Bytes that a store no longer has whole."""


@dataclass(frozen=True, slots=True)
class Held:
    """Bytes that lie in a store, read when they are asked for, so that memory stays small."""

    store: Store
    key: str

    def read(self) -> bytes:
        """The bytes.  Raises LostError where the store no longer has them whole."""
        data = self.store.get(self.key)
        if data is None:
            raise LostError(self.key)
        return data


Content = bytes | Held


def put(store: Store, content: Content) -> Held:
    """The content as it lies in a store, where it is put if it doesn't yet.  Raises OSError."""
    if isinstance(content, Held) and content.store == store:
        return content
    return Held(store, store.put(bytes_of(content)))


def key_of(content: Content) -> str:
    """The SHA-256 of the content; what lies in a store need not be read for it."""
    return content.key if isinstance(content, Held) else hashlib.sha256(content).hexdigest()


def bytes_of(content: Content) -> bytes:
    """The content itself.  Raises LostError where a store no longer has it whole."""
    return content.read() if isinstance(content, Held) else content


def write_whole(path: Path, data: bytes, mode: int, *, durable: bool) -> None:
    """Put a file in the place of another in one step: a reader sees the old or the new, whole.

    `durable` waits until it outlasts a power cut.  Raises OSError; then the old file stands.
    """
    new = path.with_name(f".{path.name[:40]}.{os.getpid()}.{threading.get_ident()}{_UNFINISHED}")
    try:
        write_new(new, data, mode)
        if durable:
            sync(new)
        new.replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            new.unlink(missing_ok=True)
        raise
    if durable:
        sync(path.parent)


def clear_unfinished(folder: Path) -> None:
    """Remove what a process that was ended in `write_whole` left in a folder.  Raises OSError."""
    for path in folder.glob(f".*{_UNFINISHED}"):
        path.unlink(missing_ok=True)


def write_new(path: Path, data: bytes, mode: int) -> None:
    """Write a file of that mode, whatever the umask.  What stood at the path is not touched.

    An older file of that name is left to those who hold another link to it.  Raises OSError.
    """
    path.unlink(missing_ok=True)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_CLOEXEC, 0o600)
    try:
        rest = memoryview(data)
        while rest:
            rest = rest[os.write(handle, rest) :]
        os.fchmod(handle, mode)
    finally:
        os.close(handle)


def sync(path: Path) -> None:
    """Wait until a file, or the names in a folder, are on the disk.  Raises OSError."""
    handle = os.open(path, os.O_RDONLY | os.O_CLOEXEC)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def sync_all(paths: Collection[Path], folder: Path) -> None:
    """Wait until these files and folders, which lie on the disk of a folder, are on it.

    Raises OSError.
    """
    if len(paths) >= _MANY:
        hurry(folder)
    for path in paths:
        sync(path)


def hurry(folder: Path) -> None:
    """Let the disk of a folder take at once all that was written to it, where the system can.

    Each file is then soon waited for.  Nothing is believed of it: it tells of losses only once, to
    whoever asks first, and some file systems do nothing.
    """
    if sys.platform != "linux":
        return
    import ctypes

    with contextlib.suppress(OSError, AttributeError):
        call = ctypes.CDLL(None).syncfs
        handle = os.open(folder, os.O_RDONLY | os.O_CLOEXEC)
        try:
            call(handle)
        finally:
            os.close(handle)


@contextlib.contextmanager
def flowing(folder: Path) -> Iterator[None]:
    """Let the disk of a folder take all that is written as it comes, for no wait to be long.

    Nobody waits for it: another program's copying of a film can keep a disk at work for minutes.
    """
    done = threading.Event()

    def flow() -> None:
        while not done.wait(_PAUSE):
            hurry(folder)

    threading.Thread(target=flow, name="flow", daemon=True).start()
    try:
        yield
    finally:
        done.set()


def _sum(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()


def _read(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return None


def _names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())
