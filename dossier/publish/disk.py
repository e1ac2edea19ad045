"""Folders on the disk: surveyed, staged beside the one that stands, and swapped in one step.

A staged tree takes over each unchanged file of the standing one as a second hard link.  That is
safe because no build ever writes into a file: it puts a new one in its place.
"""

from __future__ import annotations

import errno
import os
import shutil
import stat
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from dossier.store import Content, bytes_of, key_of, sync, write_new
from dossier.untouched import Untouched

Tree = Mapping[str, Content]
Sums = Mapping[str, str]  # path -> SHA-256; a folder, by its path with a slash, -> FOLDER

FOLDER = "folder"
ROOT = "./"
_OTHER = "other"  # a link, a wrong mode or the like: equal to nothing that is wanted
_STAGING = ".dossier-staging"
_ASIDE = "before-"

_AT_FDCWD = -100
_RENAME_EXCHANGE = 2  # linux/fs.h
_NO_EXCHANGE = {errno.ENOSYS, errno.EINVAL, errno.EOPNOTSUPP, errno.EPERM}


@dataclass(frozen=True, slots=True)
class Modes:
    """Who may read the files and folders of a tree."""

    file: int
    folder: int


def sums_of(tree: Tree) -> dict[str, str]:
    """What a survey of the tree will find once it stands.  Raises ValueError for a bad path."""
    folders: set[str] = {ROOT}
    for path in tree:
        if {"", ".", ".."} & set(path.split("/")) or "\\" in path or "\0" in path:
            raise ValueError(f"“{path}” is no path within a tree")
        folder = path.rpartition("/")[0]
        while folder and f"{folder}/" not in folders:
            folders.add(f"{folder}/")
            folder = folder.rpartition("/")[0]
    for folder in folders:
        if folder[:-1] in tree:
            raise ValueError(f"“{folder[:-1]}” is a file and a folder")
    return dict.fromkeys(folders, FOLDER) | {path: key_of(tree[path]) for path in tree}


def survey(root: Path, modes: Modes, untouched: Untouched | None = None) -> dict[str, str]:
    """Every file and folder below `root`, by its content, which `untouched` may know already.

    Raises OSError.
    """
    mode = stat.S_IMODE(root.stat().st_mode)
    found = _survey(os.fspath(root), "", modes, untouched or Untouched())
    return {ROOT: FOLDER if mode == modes.folder else _OTHER, **dict(found)}


def _survey(
    folder: str, below: str, modes: Modes, untouched: Untouched
) -> Iterator[tuple[str, str]]:
    """Of a folder and all below it; in plain paths, for there are thousands of files."""
    with os.scandir(folder) as entries:
        for entry in entries:
            path = below + entry.name
            status = entry.stat(follow_symlinks=False)
            mode = stat.S_IMODE(status.st_mode)
            if stat.S_ISDIR(status.st_mode):
                yield f"{path}/", FOLDER if mode == modes.folder else _OTHER
                yield from _survey(entry.path, f"{path}/", modes, untouched)
            elif stat.S_ISREG(status.st_mode) and mode == modes.file:
                yield path, untouched.sum_of(entry.path, status)
            else:
                yield path, _OTHER


def stage(
    out: Path,
    name: str,
    tree: Tree,
    sums: Sums,
    standing: Sums,
    modes: Modes,
    untouched: Untouched,
) -> int:
    """Write the tree beside the one of that name, lastingly; return how many files were written.

    `untouched` is told of the files as they will stand.
    Raises OSError, and LostError where a store lost the content of a file.
    """
    root = out / _STAGING / name
    root.parent.mkdir(0o700, exist_ok=True)
    folders = sorted(root / path for path in sums if sums[path] == FOLDER)
    for folder in folders:
        folder.mkdir(modes.folder)
        folder.chmod(modes.folder)
    old, new = f"{out / name}/", f"{root}/"
    written: list[str] = []
    for path in sorted(tree):
        if standing.get(path) == sums[path] and _linked(old + path, new + path):
            untouched.linked(old + path)
        else:
            written.append(path)
    for path in written:
        write_new(root / path, bytes_of(tree[path]), modes.file)
    # All writes first: the disk then takes them in one go, and only the first sync waits long.
    for path in written:
        sync(root / path)
        untouched.wrote(old + path, new + path, sums[path])
    for folder in (*reversed(folders), root.parent):
        sync(folder)
    return len(written)


def swap(out: Path, name: str) -> None:
    """Put the staged tree in the place of the standing one, which then lies in the staging.

    It is one step where the system can exchange two folders, as Linux does on its own file
    systems.  Elsewhere it is two renames: for a moment no tree stands there, and a crash in that
    moment is mended by `clear`.  `fasten` makes it last.  Raises OSError.
    """
    new, old, aside = _places(out, name)
    if not os.path.lexists(old):
        new.rename(old)
    elif not exchange(new, old):
        old.rename(aside)
        new.rename(old)


def fasten(out: Path) -> None:
    """Wait until the swaps in `out` outlast a power cut.  Raises OSError."""
    sync(out)


def clear(out: Path, names: tuple[str, ...]) -> None:
    """Remove what was staged; but a tree that a broken swap had put aside comes back first.

    Raises OSError.
    """
    for name in names:
        _, old, aside = _places(out, name)
        if os.path.lexists(aside) and not os.path.lexists(old):
            aside.rename(old)
    if os.path.lexists(out / _STAGING):
        shutil.rmtree(out / _STAGING)


def is_staged(out: Path) -> bool:
    """Whether something of a build lies there that `clear` will remove."""
    return os.path.lexists(out / _STAGING)


def exchange(one: Path, other: Path) -> bool:
    """Let two folders change names in one step; False where the system can't.  Raises OSError."""
    import ctypes

    call = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None)
    if call is None:
        return False
    names = (os.fsencode(one), os.fsencode(other))
    if call(_AT_FDCWD, names[0], _AT_FDCWD, names[1], _RENAME_EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in _NO_EXCHANGE:
        return False
    raise OSError(number, os.strerror(number), os.fspath(other))


def _places(out: Path, name: str) -> tuple[Path, Path, Path]:
    """Where a tree is staged, stands, and is put aside."""
    return out / _STAGING / name, out / name, out / _STAGING / f"{_ASIDE}{name}"


def _linked(old: str, new: str) -> bool:
    """Whether a second link could be made; some file systems have none."""
    try:
        os.link(old, new)
    except OSError as error:
        if error.errno in {errno.ENOSPC, errno.EDQUOT, errno.EROFS}:
            raise
        return False
    return True
