"""What was made of an instrument before, by all that it is made of; it can always be deleted.

The key is asked first, before any analysis or chart is imported.  It holds the instrument's notes
and logs, the shop, its client, the theme, its pictures, its address and the program itself; the
day is not in it: with what was made stands the span of days on which the same would be made.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import to_json

from dossier.edition.listed import DueRow, InstrumentRow, OpenRow
from dossier.publish.check import name_of
from dossier.sites.media import sums
from dossier.sites.program import program
from dossier.store import Held, Memory, Store, clear_unfinished, put
from dossier.tasks import Job, Made

ENTRIES, BYTES = "made", "bytes"
_NOTHING: Mapping[str, Mapping[str, str]] = {}
SHARED, NOTES, PARTS, PAGES, CHECKED = "shared", "notes", "parts", "pages", "checked"


@dataclass(frozen=True, slots=True)
class _Entry:
    """A `Made` with the keys of its files in the store in place of the files."""

    instrument: str
    client: str
    owner: dict[str, str]
    bench: dict[str, str]
    row: InstrumentRow
    bench_row: InstrumentRow
    due: tuple[DueRow, ...]
    open: tuple[OpenRow, ...]
    said: tuple[str, ...]
    limits: tuple[str, ...]
    steady: tuple[date, date]
    recalled: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Keys:
    """What an entry needs of the rest of the cache: its files in the store, and its parts."""

    files: frozenset[str]
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cache:
    """A folder of what was made before, for one build.

    `parts` remembers charts, pictures and documents, `notes` what the notes of an instrument say,
    `checked` what the checks find in them, `pages` what was seen in files, and `shared` what sites
    have in common.
    """

    folder: Path
    parts: Memory = field(init=False)
    notes: Memory = field(init=False)
    shared: Memory = field(init=False)
    pages: Memory = field(init=False)
    checked: Memory = field(init=False)
    _entries: Memory = field(init=False)
    _there: set[str] = field(default_factory=set, compare=False)
    _of_entries: dict[str, _Keys] = field(default_factory=dict, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_entries", Memory(self.folder / ENTRIES))
        for name in (PARTS, NOTES, SHARED, PAGES, CHECKED):
            object.__setattr__(self, name, Memory(self.folder / name, program()))

    @property
    def store(self) -> Store:
        """The files of all instruments by their content."""
        return Store(self.folder / BYTES)

    def made(self, key: str, today: date) -> Made | None:
        """What a job of that key gives on a day; None where it isn't known or no longer whole.

        A cache that can't be read costs this build time, and nothing else.
        """
        try:
            return self._made(key, today)
        except OSError:
            return None

    def _made(self, key: str, today: date) -> Made | None:
        entry = self._entry(key)
        if entry is None or not entry.steady[0] <= today <= entry.steady[1]:
            return None
        store = self.store
        wanted = self._noted(key, entry).files
        if not all(map(store.has, wanted - self._there)):
            return None
        self._there.update(wanted)  # most files are of many instruments
        return Made(
            **{
                **_shallow(entry),
                "owner": {path: Held(store, one) for path, one in entry.owner.items()},
                "bench": {path: Held(store, one) for path, one in entry.bench.items()},
            }
        )

    def keep(self, key: str, made: Made) -> Made:
        """Keep what a job gave, and give it back with its files in the store.

        A disk that has no room for a cache costs the next build time, and this one nothing.
        """
        try:
            return self._keep(key, made)
        except OSError:
            return made

    def _keep(self, key: str, made: Made) -> Made:
        owner = {path: put(self.store, data) for path, data in made.owner.items()}
        bench = {path: put(self.store, data) for path, data in made.bench.items()}
        keys = [{path: held.key for path, held in files.items()} for files in (owner, bench)]
        entry = _Entry(**{**_shallow(made), "owner": keys[0], "bench": keys[1]})
        self._noted(key, entry)
        self._entries.keep(key, _adapter().dump_json(entry))
        return replace(made, owner=owner, bench=bench)

    def once(
        self, name: str, made_of: bytes, make: Callable[[], Mapping[str, bytes]]
    ) -> dict[str, bytes]:
        """Text files that every build needs, made where no build made them of the same bytes.

        `name` and `made_of` are all that they hang on beside the program itself.
        """
        key = self.shared.key(name.encode(), made_of)
        data = self.shared.recall(key)
        if data is None:
            made = {path: text.decode() for path, text in make().items()}
            data = json.dumps(made).encode()
            self.shared.keep(key, data)
        return {path: text.encode() for path, text in json.loads(data).items()}

    def sweep(
        self, keys: Iterable[str], stands: Mapping[str, Mapping[str, str]] = _NOTHING
    ) -> None:
        """Forget all but these, so that the cache is never larger than the shop.

        `stands` are the sums of all published files, by tree and by path.  What can't be removed
        now is removed by a later build.
        """
        with suppress(OSError):
            self._sweep(keys, stands)

    def _sweep(self, keys: Iterable[str], stands: Mapping[str, Mapping[str, str]]) -> None:
        clear_unfinished(self.folder)
        known = {key: self._of_entries.get(key) or self._read_keys(key) for key in keys}
        kept: set[str] = set()
        parts: set[str] = set()
        for path in (self.folder / ENTRIES).glob("*"):
            entry = known.get(path.name)
            if entry is None:
                path.unlink(missing_ok=True)
            else:
                kept |= entry.files
                parts |= set(entry.parts)
        self.store.sweep(kept)
        self.parts.sweep(parts)
        for memory in (self.notes, self.shared, self.checked):
            memory.sweep()
        mark = self.pages.mark
        files = (one for tree in stands.values() for one in tree.items())
        self.pages.sweep({name_of(path, total, mark) for path, total in files})

    def _read_keys(self, key: str) -> _Keys | None:
        entry = self._entry(key)
        return None if entry is None else self._noted(key, entry)

    def _noted(self, key: str, entry: _Entry) -> _Keys:
        files = frozenset((*entry.owner.values(), *entry.bench.values()))
        self._of_entries[key] = _Keys(files, entry.recalled)
        return self._of_entries[key]

    def _entry(self, key: str) -> _Entry | None:
        """An entry; None where it was damaged, or is of a version whose program made other keys."""
        data = self._entries.recall(key)
        try:
            return None if data is None else _adapter().validate_json(data)
        except ValidationError:
            return None


def key_for(job: Job) -> str:
    """The key of a job: SHA-256 over all that it is made of but the day."""
    total = hashlib.sha256()

    def add(name: str, data: bytes) -> None:
        total.update(f"{name}\0{len(data)}\0".encode())
        total.update(data)

    add("program", program().encode())
    add("theme", job.theme.digest.encode())
    add("pages", f"{job.link}\0{job.alone}\0{job.pdf}".encode())
    add("history", to_json(job.history, exclude=_LOGS))
    for slug, room in sorted(job.history.rooms.items()):
        for log in room.logs:
            add(f"log {slug} {log.file}", b"")
            for column in (log.seconds, log.temperature_c, log.humidity):
                add("column", column.tobytes())
    for name, total_of in sums(job.media):
        add(f"media {name}", total_of.encode())
    add("logo", job.logo or b"")
    return total.hexdigest()


_LOGS: Any = {"rooms": {"__all__": {"logs"}}}


def _shallow(value: Made | _Entry) -> dict[str, Any]:
    return {name: getattr(value, name) for name in value.__dataclass_fields__}


@cache
def _adapter() -> TypeAdapter[_Entry]:
    return TypeAdapter(_Entry)
