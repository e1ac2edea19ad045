"""What was last published, kept as state: pages for when they can't be made, sentences to compare.

An instrument with a note that can't be read, or a client on hold, keeps its last good pages.  They
are bound to the client for whom they were published, and they end with that client's link: when
in doubt, nothing is shown.

What a build wants kept is written down beside what is kept, before its pages are swapped in, and
takes its place after.  A crash in between is settled by what then stands: pages are never kept
that were not published, nor those that were just withdrawn.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.publish.disk import Tree
from dossier.publish.folder import make_private, write_private
from dossier.publish.trouble import SWAPPED, plainly, whole
from dossier.store import Store, bytes_of, key_of, sync, sync_all
from dossier.untouched import Untouched

INDEX, NEXT, PAGES = "kept.json", "kept.next.json", "kept"
VERSION: Literal[1] = 1


@dataclass(frozen=True, slots=True)
class Kept:
    """The pages of an instrument, or a client's first page, as they were last published.

    `name` says which, as "instrument:heron" or "client:marlpit"; `client` is the slug of the one
    client who may see them.  `files` are by path relative to that client's folder, so that no
    token is in them, and with all assets that the pages ask for.  `note` is the caller's own
    summary, any text.
    """

    name: str
    client: str
    files: Tree
    note: str = ""


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)


class Entry(_Record):
    """Whose the pages are, and under which key each file lies in the store."""

    client: str
    files: dict[str, str]
    note: str


class _Index(_Record):
    """What is kept; `public` is the sum of the public tree that it belongs to."""

    version: Literal[1] = VERSION
    public: str = ""
    pages: dict[str, Entry]
    said: dict[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Keeping:
    """All that is kept; `said` are the sentences that each client's pages last said."""

    store: Store
    entries: Mapping[str, Entry] = field(default_factory=dict)
    said: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def keys(self) -> frozenset[str]:
        """Those of all files that are kept."""
        return _keys(self.entries)

    def kept(self, name: str, client: str) -> Kept | None:
        """The last good pages; None where there are none, or none whole, or not for this client.

        Raises PublishError where they can't be read.
        """
        entry = self.entries.get(name)
        if entry is None or entry.client != client:
            return None
        files: dict[str, bytes] = {}
        with plainly(self.store.folder):
            for path, key in entry.files.items():
                data = self.store.get(key)
                if data is None:
                    return None
                files[path] = data
        return Kept(name, client, files, entry.note)


def load_kept(folder: Path, standing: Callable[[], str]) -> tuple[Keeping, tuple[Diagnostic, ...]]:
    """What the last build kept.

    `standing` tells the sum of the public tree, and is asked only where a build was broken off.
    Where what is kept is damaged, nothing is, and a warning says what follows from it.
    Raises PublishError.
    """
    store = _store(folder)
    with plainly(folder):
        coming, data = _read(folder / NEXT), _read(folder / INDEX)
    index = _parsed(coming)
    if index is not None and index.public == standing():
        return Keeping(store, index.pages, index.said), ()
    index = _parsed(data)
    if index is None:
        return Keeping(store), () if data is None else (_damaged(folder),)
    return Keeping(store, index.pages, index.said), ()


def prepare(
    folder: Path,
    pages: Collection[Kept],
    said: Mapping[str, tuple[str, ...]],
    public: str,
    untouched: Untouched | None = None,
    lasting: Collection[str] = (),
) -> frozenset[str]:
    """Write down what is to be kept once the public tree of that sum stands; give its keys.

    `pages` are those of every client whose link is open, kept ones among them; `said` likewise.
    Where nothing changed, nothing is written; `untouched` knows what is whole without a look, and
    `lasting` are the keys that an index names, for which the disk was waited for.
    Raises PublishError.
    """
    make_private(folder)
    store, known = _store(folder), untouched or Untouched()
    with whole(), plainly(folder):
        entries = {
            page.name: Entry(
                client=page.client,
                files={path: key_of(page.files[path]) for path in sorted(page.files)},
                note=page.note,
            )
            for page in pages
        }
        _keep(store, pages, known, lasting)
        index = _Index(
            public=public, pages=dict(sorted(entries.items())), said=dict(sorted(said.items()))
        )
        data = index.model_dump_json(indent=1).encode()
        if _read(folder / INDEX) == data:
            (folder / NEXT).unlink(missing_ok=True)
        else:
            write_private(folder / NEXT, data)
    return _keys(entries)


def settle(folder: Path, keys: Collection[str]) -> None:
    """Keep what was prepared, and forget all else, so that nothing withdrawn is left.

    `keys` are those that `prepare` gave.  To be called after the swap: only what was published is
    ever kept.  Raises PublishError.
    """
    with plainly(folder, SWAPPED):
        if (folder / NEXT).exists():
            (folder / NEXT).replace(folder / INDEX)
            sync(folder)
        _store(folder).sweep(keys)


def _read(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def _parsed(data: bytes | None) -> _Index | None:
    try:
        return None if data is None else _Index.model_validate_json(data)
    except ValidationError:
        return None


def _store(folder: Path) -> Store:
    return Store(folder / PAGES)


def _keys(entries: Mapping[str, Entry]) -> frozenset[str]:
    return frozenset(key for entry in entries.values() for key in entry.files.values())


def _keep(
    store: Store, pages: Iterable[Kept], untouched: Untouched, lasting: Collection[str]
) -> None:
    """Put all that is not there whole into the store, and wait until it lasts.

    What is there and not among the `lasting` was put by a build that did not come to its end: it
    may be whole in memory alone.
    """
    contents = {key_of(content): content for page in pages for content in page.files.values()}
    # What is damaged is removed when it is asked for.
    missing = [
        key
        for key in contents
        if not _is_whole(store.path_of(key), key, untouched) and store.get(key) is None
    ]
    for key in missing:
        store.put(bytes_of(contents[key]))
        untouched.wrote(store.path_of(key), store.path_of(key), key)
    new = {*missing, *(contents.keys() - set(lasting))}
    paths = [Path(store.path_of(key)) for key in sorted(new)]
    if new:
        sync_all([*paths, *sorted({path.parent for path in paths}), store.folder], store.folder)


def _is_whole(file: str, total: str, untouched: Untouched) -> bool:
    try:
        return untouched.sum_of(file) == total
    except OSError:
        return False


def _damaged(folder: Path) -> Diagnostic:
    return Diagnostic(
        "kept-damaged",
        f"{INDEX} in {folder} can't be read, so that no pages are kept from the last build.",
        Span(f"{folder.name}/{INDEX}"),
        "What can't be built now will be missing from its client's site until its note is mended.",
        Severity.WARNING,
    )
