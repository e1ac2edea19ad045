"""What was read before of the same bytes, so that one changed note costs one instrument's reading.

What an instrument's folder says is a pure function of its bytes and of the shop's.  It is kept as
JSON, which pydantic checks and which can run nothing; only what comes back equal is kept, and only
where no error was found.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cache

from pydantic import TypeAdapter, ValidationError

from dossier.diagnostics import Diagnostic, Severity
from dossier.model import Instrument, Visit
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
        return memory.key(shop, names, *(sources[path] for path in files))
    except OSError:
        return None


def recall_folder(key: str, memory: Memory) -> Folder | None:
    """The folder as it was read before."""
    data = memory.recall(key)
    return None if data is None else _parsed(data)


def keep_folder(key: str, found: Folder, memory: Memory) -> None:
    """Keep a folder that was read without an error."""
    if any(one.severity is Severity.ERROR for one in found.findings):
        return
    data = _folders().dump_json(found)
    if _parsed(data) == found:
        memory.keep(key, data)


def _parsed(data: bytes) -> Folder | None:
    try:
        return _folders().validate_json(data)
    except ValidationError:
        return None


@cache
def _folders() -> TypeAdapter[Folder]:
    return TypeAdapter(Folder)
