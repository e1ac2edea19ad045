"""What was read before of the same bytes, so that one changed note costs one instrument's reading.

What an instrument's folder says is a pure function of its bytes and of the shop's.  For another
process it is kept as JSON, without the values that a field has anyway, which pydantic checks and
which can run nothing; only what comes back equal is kept.  What held an error is read again.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from functools import cache

from pydantic import TypeAdapter, ValidationError

from dossier.diagnostics import Diagnostic, has_errors
from dossier.model import Instrument, Log, Visit
from dossier.read.logs import read_log
from dossier.read.pieces import Findings
from dossier.sources import Sources
from dossier.store import Memory


@dataclass(frozen=True, slots=True)
class Folder:
    """An instrument's own files: the instrument, its visits by the stem of their file's name."""

    instrument: Instrument
    visits: dict[str, Visit]
    findings: tuple[Diagnostic, ...]


def key_of_folder(
    folder: str, sources: Sources, shop: bytes, today: date, memory: Memory
) -> str | None:
    """The key of an instrument's folder.

    None where it can't be told by its bytes: a file can't be opened, or there are folders among
    its pictures.  Of its media the names alone count.  A visit with a date to come is told as one,
    so the day is part of the key where there is one.
    """
    visits = sources.inside(f"{folder}visits/")
    media = sources.inside(f"{folder}media/")
    files = tuple(path for path in (*sources.inside(folder), *visits) if path[-1] != "/")
    day = today.isoformat()
    later = day if any(path.rpartition("/")[2][:10] > day for path in visits) else ""
    if any(path[-1] == "/" for path in media):
        return None
    names = repr((files, media, sorted(sources.links), later)).encode()
    try:
        return memory.key(shop, names, *(sources.sum_of(path).encode() for path in files))
    except OSError:
        return None


@dataclass(slots=True)
class Recollection:
    """What was read before: by another process, in `memory`, or by this one.

    Of each folder and each logger's file the newest reading alone is held, so that it is never
    larger than the shop.  What is read is the same without it.
    """

    memory: Memory = field(default_factory=Memory)
    _folders: dict[str, tuple[str, Folder]] = field(default_factory=dict)
    _logs: dict[str, tuple[str, Log | None, tuple[Diagnostic, ...]]] = field(default_factory=dict)

    def folder(self, name: str, key: str) -> Folder | None:
        """The folder as it was read before."""
        held, found = self._folders.get(name, ("", None))
        if held == key:
            return found
        data = self.memory.recall(key)
        found = None if data is None else _parsed(data)
        if found is not None:
            self._folders[name] = (key, found)
        return found

    def keep(self, name: str, key: str, found: Folder) -> None:
        """Keep a folder that was read without an error."""
        if has_errors(found.findings):
            return
        self._folders[name] = (key, found)
        if self.memory.folder is None:
            return
        data = _adapter().dump_json(found, exclude_defaults=True)
        if _parsed(data) == found:
            self.memory.keep(key, data)

    def log(
        self, raw: bytes, file: str, time_zone: str, findings: Findings, *, imperial: bool
    ) -> Log | None:
        """What `read_log` makes of a logger's file: most of the work where there are any."""
        key = self.memory.key(raw, time_zone.encode(), b"imperial" if imperial else b"metric")
        held, log, found = self._logs.get(file, ("", None, ()))
        if held != key:
            own = Findings()
            log = read_log(raw, file, time_zone, own, imperial=imperial)
            found = own.all
            self._logs[file] = (key, log, found)
        findings.add(found)
        return log


def _parsed(data: bytes) -> Folder | None:
    try:
        return _adapter().validate_json(data)
    except ValidationError:
        return None


@cache
def _adapter() -> TypeAdapter[Folder]:
    return TypeAdapter(Folder)
