"""The desk's edge to the disk: new files are made, and none that is there is ever overwritten."""

from __future__ import annotations

import os
import stat
from collections.abc import Collection, Iterator
from datetime import date
from itertools import count
from pathlib import Path

from dossier.store import write_whole


class DeskError(Exception):
    """A wish that the desk can't carry out, as a sentence for whoever has it."""


def write_new(path: Path, text: str) -> None:
    """Write a file that is not there yet, with the folders above it.

    Raises DeskError where it is, also where another program made it a moment ago.
    """
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("x", encoding="utf-8", newline="") as file:
            file.write(text)
    except FileExistsError:
        raise DeskError(f"{path} is there already, and nothing is overwritten.") from None
    except OSError as error:
        raise DeskError(f"{path} cannot be written: {error.strerror}.") from None


def replace_own(path: Path, data: bytes, expected: bytes) -> bool:
    """Write a note again in one step, unless it has changed since it was read.

    It keeps its mode, and a link still leads to it.  Raises OSError; then the old note stands.
    """
    path = path.resolve()
    if path.read_bytes() != expected:
        return False
    write_whole(path, data, stat.S_IMODE(path.stat().st_mode), durable=True)
    return True


def move_new(source: Path, target: Path) -> None:
    """Move a file to where none is yet.  Raises DeskError where one is."""
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        os.link(source, target)  # fails where the target is there, which a rename would replace
        source.unlink()
    except FileExistsError:
        raise DeskError(f"{target} is there already, and nothing is overwritten.") from None
    except OSError:
        _copy_new(source, target)


def _copy_new(source: Path, target: Path) -> None:
    """The same on a disk that knows no links."""
    try:
        with target.open("xb") as file:
            file.write(source.read_bytes())
    except FileExistsError:
        raise DeskError(f"{target} is there already, and nothing is overwritten.") from None
    except OSError as error:
        raise DeskError(f"{source} cannot be moved to {target}: {error.strerror}.") from None
    source.unlink()


def numbered(plain: str, ending: str = "") -> Iterator[str]:
    """Names of which one is free: the plain one, and from the second on a number behind it."""
    yield f"{plain}{ending}"
    yield from (f"{plain}-{number}{ending}" for number in count(2))


def free_name(day: date, taken: Collection[str]) -> str:
    """The name for a note of a day."""
    return next(name for name in numbered(day.isoformat()) if name not in taken)


def names_in(folder: Path) -> frozenset[str]:
    """The names of the notes in a folder, without their ending; none where it is not there."""
    return frozenset(path.name.removesuffix(".md") for path in folder.glob("*.md"))


def write_output(path: Path, data: bytes, begins: bytes) -> None:
    """Write what was made for other programs; over an earlier one of its kind, and nothing else.

    `begins` is what every file of this kind begins with.  Raises DeskError.
    """
    try:
        if path.exists() and not path.read_bytes().startswith(begins):
            raise DeskError(f"{path} is another kind of file, and nothing is overwritten.")
        path.write_bytes(data)
    except OSError as error:
        raise DeskError(f"{path} cannot be written: {error.strerror}.") from None
