"""The edge to the disk: the files of a content folder, by name, their bytes when asked for."""

from __future__ import annotations

import hashlib
import os
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from dossier.untouched import Untouched

# A note is text that a person typed; a file beyond this was put there by mistake.
LARGEST_FILE = 32 * 1024 * 1024


@dataclass(frozen=True)
class Sources(Mapping[str, bytes]):
    """What a content folder holds: relative path with forward slashes -> bytes, read on demand.

    A folder stands in it as its path with a slash at the end and no bytes, so that "a folder
    instead of a file" can be told from "nothing".  `links` are links that lead out of the content
    folder or to a folder; they are named so that a message can say so, and never followed.
    """

    paths: Mapping[str, Callable[[], bytes]]
    links: frozenset[str] = frozenset()
    _by_shape: dict[str, str] = field(default_factory=dict, compare=False, repr=False)
    _by_folder: dict[str, list[str]] = field(default_factory=dict, compare=False, repr=False)

    @staticmethod
    def of(files: Mapping[str, bytes]) -> Sources:
        """Sources held in memory; the folders follow from the names."""
        paths: dict[str, Callable[[], bytes]] = {}
        for name, raw in sorted(files.items()):
            parts = name.split("/")[:-1]
            for depth in range(1, len(parts) + 1):
                paths.setdefault("/".join(parts[:depth]) + "/", bytes)
            paths[name] = _Held(raw)
        return Sources(paths)

    def __getitem__(self, path: str) -> bytes:
        return self.paths[path]()

    def __iter__(self) -> Iterator[str]:
        return iter(self.paths)

    def __len__(self) -> int:
        return len(self.paths)

    def __contains__(self, path: object) -> bool:
        return path in self.paths

    def sum_of(self, path: str) -> str:
        """The SHA-256 of a file, which is read for it only if it may have been touched.

        Raises OSError.
        """
        file = self.paths[path]
        return file.sum() if isinstance(file, _OnDisk) else hashlib.sha256(file()).hexdigest()

    def with_files(self, files: Mapping[str, bytes]) -> Sources:
        """The same folder with other bytes in some of its files."""
        return Sources({**self.paths, **Sources.of(files).paths}, self.links)

    def inside(self, folder: str) -> tuple[str, ...]:
        """What lies directly in a folder, by whole path; `folder` ends with a slash."""
        if not self._by_folder:
            for path in self.paths:
                parent = path.rstrip("/").rpartition("/")[0]
                self._by_folder.setdefault(f"{parent}/" if parent else "", []).append(path)
        return tuple(self._by_folder.get(folder, ()))

    def alike(self, path: str) -> str | None:
        """The file that a note means by a name, whatever its letter case or Unicode form.

        A camera writes `PINS.JPG`, a telephone's keyboard `pins.jpg`; both mean one picture.
        """
        if path in self.paths:
            return path
        if not self._by_shape:
            for name in self.paths:
                self._by_shape.setdefault(_shape(name), name)
        return self._by_shape.get(_shape(path))


@dataclass(frozen=True, slots=True)
class _Held:
    raw: bytes

    def __call__(self) -> bytes:
        return self.raw


def open_folder(folder: Path, untouched: Untouched | None = None) -> Sources:
    """List a content folder.  Hidden files are not part of it.  Raises OSError on no folder.

    `untouched` are files whose sums are known.
    """
    known = untouched or Untouched()
    root = os.fspath(folder)
    inside = os.path.realpath(root)
    os.scandir(root).close()
    paths: dict[str, Callable[[], bytes]] = {}
    links: set[str] = set()
    waiting = [""]
    while waiting:
        below = waiting.pop()
        with os.scandir(f"{root}/{below}") as entries:
            for entry in entries:
                if entry.name.startswith("."):
                    continue
                name = below + _printable(entry.name)
                if entry.is_symlink() and (entry.is_dir() or not _is_inside(entry.path, inside)):
                    links.add(name)
                elif entry.is_dir():
                    paths[f"{name}/"] = bytes
                    waiting.append(f"{name}/")
                elif entry.is_file():  # a pipe would be waited for without end
                    paths[name] = _OnDisk(entry.path, known)
    return Sources(dict(sorted(paths.items())), frozenset(links))


@dataclass(frozen=True, slots=True)
class _OnDisk:
    path: str
    untouched: Untouched

    def __call__(self) -> bytes:
        with open(self.path, "rb") as file:  # noqa: PTH123 -- half the time of Path, and 2,400 notes
            raw = file.read(LARGEST_FILE + 1)
        if len(raw) > LARGEST_FILE:
            raise OSError(f"larger than {LARGEST_FILE // (1024 * 1024)} MB")
        return raw

    def sum(self) -> str:
        return self.untouched.sum_of(self.path, read=self)


def _printable(name: str) -> str:
    """A file's name with marks for the bytes that are no letters, so that it can be printed."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def _is_inside(path: str, folder: str) -> bool:
    return os.path.realpath(path).startswith(folder + os.sep)


def _shape(path: str) -> str:
    return unicodedata.normalize("NFC", path).casefold()
