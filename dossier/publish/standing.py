"""A folder of unknown origin, looked at with care: nothing in it is followed, run or believed.

Unlike `disk`, which knows the trees that a build wrote, this is for what came back from others.
"""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

FILE_LIMIT = 512 * 1024 * 1024  # bytes; an issued PDF has some hundred thousand
COUNT_LIMIT = 20_000  # files and folders; an issued folder has some ten
_PIECE = 1024 * 1024


class RefusedError(RuntimeError):
    """Why a file was not read: what can be put behind its name and a colon."""


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands in a folder, by relative path with forward slashes.

    `sums` has the SHA-256 of each file; `refused` why the others weren't read; `empty` the folders
    that hold nothing.  `cut` says that there was too much to look at all of it.
    """

    sums: Mapping[str, str]
    refused: Mapping[str, str]
    empty: tuple[str, ...] = ()
    cut: bool = False

    @property
    def paths(self) -> frozenset[str]:
        return frozenset(self.sums.keys() | self.refused.keys())


def survey(root: Path) -> Standing:
    """All that stands below a folder.  What can't be read is told by name, and stops nothing."""
    sums: dict[str, str] = {}
    refused: dict[str, str] = {}
    empty: list[str] = []
    for count, (path, is_folder, why) in enumerate(_walk(root)):
        if count >= COUNT_LIMIT:
            return Standing(sums, refused, tuple(empty), cut=True)
        if why:
            refused[path] = why
        elif is_folder:
            empty.append(path)
        else:
            try:
                sums[path] = sum_of(root / path)
            except RefusedError as error:
                refused[path] = str(error)
    return Standing(sums, refused, tuple(empty))


def sum_of(path: Path) -> str:
    """The SHA-256 of a file, in pieces.  Raises RefusedError."""
    with open_plain(path) as stream:
        total = hashlib.sha256()
        try:
            while piece := stream.read(_PIECE):
                total.update(piece)
        except OSError as error:
            raise RefusedError(_told(error)) from error
        return total.hexdigest()


def bytes_of_file(path: Path) -> bytes:
    """All of a file.  Raises RefusedError."""
    with open_plain(path) as stream:
        try:
            return stream.read(FILE_LIMIT + 1)
        except OSError as error:
            raise RefusedError(_told(error)) from error


def open_plain(path: Path) -> BinaryIO:
    """Open a plain file: no link, no pipe, no device, and none that is too large.

    Raises RefusedError.
    """
    try:
        # A pipe would wait for a writer.
        handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    except OSError as error:
        raise RefusedError("is a link" if path.is_symlink() else _told(error)) from error
    status = os.fstat(handle)
    if not stat.S_ISREG(status.st_mode):
        os.close(handle)
        raise RefusedError("is no plain file")
    if status.st_size > FILE_LIMIT:
        os.close(handle)
        raise RefusedError(f"is larger than any file that is issued ({FILE_LIMIT >> 20} MiB)")
    return os.fdopen(handle, "rb")


def _walk(root: Path) -> Iterator[tuple[str, bool, str]]:
    """Path, whether it is an empty folder, and why it can't be looked at, if so; in order."""
    waiting = [""]
    while waiting:
        below = waiting.pop()
        try:
            with os.scandir(root / below) as entries:
                found = sorted(entries, key=lambda entry: entry.name)
        except OSError as error:
            yield below or ".", True, _told(error)
            continue
        if not found and below:
            yield below, True, ""
        for entry in found:
            path = below + entry.name
            if entry.is_symlink():
                yield path, False, "is a link"
            elif entry.is_dir(follow_symlinks=False):
                waiting.append(f"{path}/")
            else:
                yield path, False, ""


def _told(error: OSError) -> str:
    return f"can't be read ({(error.strerror or type(error).__name__).lower()})"
