"""The private state folder of a shop: made, closed to others, and for one build at a time.

It lies beside content/ and outside of what is built.  It is never published and can't be made
again: whoever loses it has to send every client a new address.
"""

from __future__ import annotations

import fcntl
import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from dossier.publish.robots import is_ours
from dossier.publish.trouble import BusyError, plainly
from dossier.store import clear_unfinished, write_whole

FILE_MODE, FOLDER_MODE = 0o600, 0o700
_LOCK, _PUBLISHED, _IGNORE = "lock", "published", ".gitignore"
_PAUSE = 0.05  # seconds between two looks at a lock
_WHAT = b"Pages were published from this folder. Without its links.json their addresses are lost.\n"


def make_private(folder: Path) -> None:
    """Make the folder, closed to everyone else, and keep git from taking it up.

    Raises PublishError.
    """
    with plainly(folder):
        folder.mkdir(FOLDER_MODE, parents=True, exist_ok=True)
        if stat.S_IMODE(folder.stat().st_mode) != FOLDER_MODE:
            folder.chmod(FOLDER_MODE)
        write_private(folder / _IGNORE, b"*\n")


def write_private(path: Path, data: bytes) -> bool:
    """Write a file of the state whole and lastingly, where it differs; say whether it did.

    Raises OSError.
    """
    if path.is_file() and path.read_bytes() == data:
        if stat.S_IMODE(path.stat().st_mode) != FILE_MODE:
            path.chmod(FILE_MODE)
        return False
    write_whole(path, data, FILE_MODE, durable=True)
    return True


def mark_published(folder: Path) -> None:
    """From now on a missing links.json is a loss and no beginning.  Raises PublishError."""
    with plainly(folder):
        write_private(folder / _PUBLISHED, _WHAT)


def was_published(folder: Path, out: Path) -> bool:
    """Whether pages were published from this state folder or stand in `out`.  Raises OSError."""
    return (folder / _PUBLISHED).exists() or is_ours(out / "public")


@contextmanager
def one_build(folder: Path, wait: float) -> Iterator[None]:
    """Hold the state folder for one build; a second one waits up to `wait` seconds.

    The lock ends with the process, however that ends.

    Raises BusyError where another build still holds it then.
    """
    make_private(folder)
    path = folder / _LOCK
    with plainly(folder):
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, FILE_MODE)
    try:
        with plainly(folder):
            if not hold(handle, wait):
                raise BusyError(f"{folder}{_holder(handle)}")
            os.ftruncate(handle, 0)
            os.pwrite(handle, str(os.getpid()).encode(), 0)
            clear_unfinished(folder)
        yield
    finally:
        os.close(handle)


def hold(handle: int, wait: float) -> bool:
    """Lock an open file or folder for this process alone; False where it took over `wait` s.

    Raises OSError where the file system has no locks.
    """
    end = time.monotonic() + wait
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() >= end:
                return False
            time.sleep(_PAUSE)
        else:
            return True


def _holder(handle: int) -> str:
    number = os.pread(handle, 20, 0).decode("ascii", "replace")
    return f" (process {number})" if number.isdigit() else ""
