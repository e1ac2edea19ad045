"""Folders on the disk: surveyed, staged beside the one that stands, and swapped in one step.

A staged tree takes over each unchanged file of the standing one as a second hard link.  That is
safe because no build ever writes into a file: it puts a new one in its place.

Once swapped, what stood before is brought to the same state as what stands, and is the spare tree
that the next build begins with: so that a changed page costs its own files and no others.
"""

from __future__ import annotations

import errno
import os
import shutil
import stat
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from dossier.store import Content, bytes_of, key_of, sync, sync_all, write_new
from dossier.untouched import Untouched

Tree = Mapping[str, Content]
Sums = Mapping[str, str]  # path -> SHA-256; a folder, by its path with a slash, -> FOLDER

FOLDER = "folder"
ROOT = "./"
_OTHER = "other"  # a link, a wrong mode or the like: equal to nothing that is wanted
_STAGING, _SPARE = ".dossier-staging", ".dossier-spare"
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
    known = untouched or Untouched()
    return _surveyed(os.fspath(root), modes, known.sum_of)


_SumOf = Callable[[str, os.stat_result], str]


def _surveyed(root: str, modes: Modes, sum_of: _SumOf) -> dict[str, str]:
    mode = stat.S_IMODE(os.stat(root).st_mode)  # noqa: PTH116
    found = _below(root, "", modes, sum_of)
    return {ROOT: FOLDER if mode == modes.folder else _OTHER, **dict(found)}


def _below(folder: str, below: str, modes: Modes, sum_of: _SumOf) -> Iterator[tuple[str, str]]:
    """All of a folder, each folder before what it holds; plain paths, for there are thousands."""
    with os.scandir(folder) as entries:
        for entry in entries:
            path = below + entry.name
            status = entry.stat(follow_symlinks=False)
            mode = stat.S_IMODE(status.st_mode)
            if stat.S_ISDIR(status.st_mode):
                yield f"{path}/", FOLDER if mode == modes.folder else _OTHER
                yield from _below(entry.path, f"{path}/", modes, sum_of)
            elif stat.S_ISREG(status.st_mode) and mode == modes.file:
                yield path, sum_of(entry.path, status)
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
    old, new = f"{out / name}/", f"{root}/"
    root.mkdir(modes.folder, exist_ok=True)

    def linked(path: str, status: os.stat_result) -> str:
        below = path.removeprefix(new)
        return standing.get(below, _OTHER) if untouched.is_same(old + below, status) else _OTHER

    spare = _surveyed(new, modes, linked)
    missing, changed = _matched(old, new, spare, sums, standing, modes, untouched)
    for path in missing:
        write_new(root / path, bytes_of(tree[path]), modes.file)
        untouched.wrote(old + path, new + path, sums[path])
    sync_all([*(root / path for path in missing), *changed], root)
    sync(root.parent)
    return len(missing)


def follow(
    out: Path, name: str, sums: Sums, before: Sums, modes: Modes, untouched: Untouched
) -> bool:
    """Bring what stood before to the same state as the tree that stands, whose sums these are.

    False where the disk has no links, so that there can be no spare.  Raises OSError.
    """
    root, stands, aside = _places(out, name)
    if os.path.lexists(aside):
        aside.rename(root)
    root.mkdir(modes.folder, exist_ok=True)
    missing, changed = _matched(f"{stands}/", f"{root}/", before, sums, sums, modes, untouched)
    sync_all(changed, root)
    sync(root.parent)
    return not missing


def _matched(
    old: str,
    new: str,
    there: Sums,
    wanted: Sums,
    standing: Sums,
    modes: Modes,
    untouched: Untouched,
) -> tuple[list[str], list[Path]]:
    """Make `new` hold all that is wanted and stands in `old`, as second links, and nothing else.

    `there` is what `new` holds.  Returns the files that are to be written, and the folders that
    changed, from the deepest up.
    """
    other = sorted(path for path, total in wanted.items() if there.get(path) != total)
    files = [path for path in other if wanted[path] != FOLDER]
    gone = [path for path in reversed([*there]) if path not in wanted]
    for path in gone:
        (os.rmdir if path[-1] == "/" else os.unlink)(new + path)
    made = [path for path in other if wanted[path] == FOLDER]
    for path in made:
        if path not in there and path != ROOT:
            os.mkdir(new + path, modes.folder)  # noqa: PTH102
        os.chmod(new + path, modes.folder)  # noqa: PTH101
    for path in files:
        if path in there:
            os.unlink(new + path)  # noqa: PTH108
    linked = {
        path
        for path in files
        if standing.get(path) == wanted[path] and _linked(old + path, new + path)
    }
    for path in linked:
        untouched.linked(old + path)
    changed = {*made, *map(_folder_of, (*gone, *made, *files))} & wanted.keys()
    missing = [path for path in files if path not in linked]
    return missing, [Path(new + path) for path in sorted(changed, reverse=True)]


def _folder_of(path: str) -> str:
    folder = path.rstrip("/").rpartition("/")[0]
    return f"{folder}/" if folder else ROOT


def swap(out: Path, name: str) -> None:
    """Put the staged tree in the place of the standing one, which takes its place in the staging.

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


def take_spare(out: Path, names: tuple[str, ...]) -> None:
    """Begin a staging with the spare trees of the build before, and with nothing else.

    Raises OSError.
    """
    staging, spare = out / _STAGING, out / _SPARE
    if spare.is_dir() and not spare.is_symlink():
        spare.rename(staging)
        staging.chmod(0o700)
    else:
        spare.unlink(missing_ok=True)
        staging.mkdir(0o700)
    for path in sorted(staging.iterdir()):
        if not path.is_dir() or path.is_symlink():
            path.unlink()
        elif path.name not in names:
            shutil.rmtree(path)
    sync(out)  # a crash must find under the spare's name nothing that a build was writing in


def has_spare(out: Path, name: str) -> bool:
    """Whether the staging holds a tree of that name."""
    return os.path.lexists(out / _STAGING / name)


def keep_spare(out: Path) -> None:
    """End a staging whose trees all follow those that stand.  Raises OSError."""
    (out / _STAGING).rename(out / _SPARE)


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
