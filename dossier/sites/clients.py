"""Every client's site put together from what was made now and what is kept from before."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

from pydantic import TypeAdapter

from dossier.edition.listed import InstrumentRow
from dossier.model import Notebook
from dossier.publish.check import tokens_in
from dossier.publish.kept import Keeping, Kept
from dossier.store import Content
from dossier.tasks import SINGLE, Made

INDEX = "index.html"

Front = Callable[[str, tuple[InstrumentRow, ...]], Mapping[str, bytes]]
"""Draws a client's first page from the rows of their instruments, with the assets it asks for."""


@dataclass(frozen=True, slots=True)
class Sites:
    """The clients' sites and the bench's pages of the instruments.

    `sites` are files by path below each client's folder, and `singles` below the folder of one
    instrument alone, by "client/instrument"; `pages` and `said` are what is to be kept of them;
    `kept` are instruments whose last good pages stand, `missing` those that have
    none; `bench` are the instruments' pages and rows there.
    """

    sites: Mapping[str, Mapping[str, Content]]
    singles: Mapping[str, Mapping[str, Content]]
    pages: tuple[Kept, ...]
    said: Mapping[str, tuple[str, ...]]
    kept: tuple[str, ...]
    missing: tuple[str, ...]
    bench: Mapping[str, Content]
    bench_rows: tuple[InstrumentRow, ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """One instrument's share of its client's site and of the bench; None where it has none."""

    site: Kept | None
    bench: Kept | None
    said: tuple[str, ...]


def owner_of(notebook: Notebook, keeping: Keeping, instrument: str) -> str | None:
    """Whose an instrument is: by its file, else by the last pages that were published of it.

    The second is for a file that can't be read now; None where neither tells.
    """
    known = notebook.instruments.get(instrument)
    if known is not None:
        return known.client
    entry = keeping.entries.get(f"instrument:{instrument}")
    return entry.client if entry is not None else None


def instruments_of(notebook: Notebook, keeping: Keeping) -> dict[str, tuple[str, ...]]:
    """The instruments of each client by slug, those that can't be read now among them."""
    owned: dict[str, list[str]] = {}
    for name in sorted({*notebook.instruments, *notebook.stopped}):
        client = owner_of(notebook, keeping, name)
        if client is not None:
            owned.setdefault(client, []).append(name)
    return {client: tuple(names) for client, names in sorted(owned.items())}


def with_sites(notebook: Notebook, keeping: Keeping, standing: frozenset[str]) -> tuple[str, ...]:
    """The clients who can have a site now, by slug: with pages that can be made, or are kept.

    No one else gets an address: it would open nothing.
    """

    def has_pages(client: str, name: str) -> bool:
        if client not in standing and name in notebook.instruments.keys() - notebook.stopped:
            return True
        entry = keeping.entries.get(f"instrument:{name}")
        return entry is not None and entry.client == client

    owned = instruments_of(notebook, keeping)
    return tuple(
        client for client, names in owned.items() if any(has_pages(client, name) for name in names)
    )


def draw_ahead(
    notebook: Notebook,
    keeping: Keeping,
    known: Mapping[str, Made],
    standing: frozenset[str],
    front: Front,
) -> None:
    """Draw the first pages of clients of whom all is known, for a `front` that remembers them."""
    for client, names in instruments_of(notebook, keeping).items():
        if client not in standing and len(names) > 1 and known.keys() >= set(names):
            front(client, tuple(known[name].row for name in names))


def assemble(
    notebook: Notebook,
    keeping: Keeping,
    made: Mapping[str, Made],
    standing: frozenset[str],
    front: Front,
    addresses: Mapping[str, str],
) -> Sites:
    """Every client's site.

    `made` are the instruments built now; `standing` the clients whose pages stay as they are
    (on hold, not asked for, or with a file that can't be read).  Of an instrument that was not
    built, the last good pages stand for the client that they were published for, and for no other.
    `addresses` are all tokens ever given, with what each opens today, or "".
    """
    sites: dict[str, Mapping[str, Content]] = {}
    singles: dict[str, Mapping[str, Content]] = {}
    pages: list[Kept] = []
    said: dict[str, tuple[str, ...]] = {}
    kept: list[str] = []
    missing: list[str] = []
    bench: list[Kept] = []
    for client, names in instruments_of(notebook, keeping).items():
        stands = client in standing
        parts = {name: _part(name, client, made.get(name), keeping, stands) for name in names}
        there = {name: part.site for name, part in parts.items() if part.site is not None}
        kept += [name for name in there if name not in made]
        missing += [name for name in names if name not in there and name not in made]
        said |= {f"{client}/{name}": parts[name].said for name in there}
        bench += [part.bench for part in parts.values() if part.bench is not None]
        own = keeping.kept(f"client:{client}", client) if stands else None
        first = own if own and own.note == _names(there) else _first(client, there, front)
        pages += [*there.values(), *((first,) if first else ())]
        if there:
            sites[client] = _site(tuple(there.values()), first)
        alone = {f"{client}/{name}": _single(name, page) for name, page in there.items()}
        singles |= {target: files for target, files in alone.items() if INDEX in files}
    reached = sites.keys() | singles.keys()
    shut = frozenset(token for token, opens in addresses.items() if opens not in reached)
    bench = [page for page in bench if page.name[6:] in made or not _leads_to(page, shut)]
    return Sites(
        sites=sites,
        singles=singles,
        pages=(*pages, *bench),
        said=said,
        kept=tuple(sorted(kept)),
        missing=tuple(sorted(missing)),
        bench={path: content for page in bench for path, content in page.files.items()},
        bench_rows=tuple(_row(page.note) for page in bench),
    )


def _part(name: str, client: str, made: Made | None, keeping: Keeping, stands: bool) -> _Part:
    """An instrument's pages: those made now, else those kept; on hold only the bench's are new."""
    if made is None:
        bench = keeping.kept(f"bench:{name}", client)
    else:
        bench = Kept(f"bench:{name}", client, made.bench, _note(made.bench_row))
    if made is None or stands:
        last = keeping.kept(f"instrument:{name}", client)
        return _Part(last, bench, keeping.said.get(f"{client}/{name}", ()))
    return _Part(Kept(f"instrument:{name}", client, made.owner, _note(made.row)), bench, made.said)


def _leads_to(page: Kept, tokens: frozenset[str]) -> bool:
    """Whether a page of the bench leads to one of these addresses, which open nothing now."""
    return any(
        tokens_in(content, tokens) for path, content in page.files.items() if path.endswith(".html")
    )


def _first(client: str, there: Mapping[str, Kept], front: Front) -> Kept | None:
    """The client's first page: the instrument's own where they have no other, else the list."""
    if not there or (len(there) == 1 and all(INDEX in page.files for page in there.values())):
        return None
    rows = tuple(_row(page.note) for page in there.values())
    return Kept(f"client:{client}", client, front(client, rows), _names(there))


def _names(there: Mapping[str, Kept]) -> str:
    """Which instruments a first page leads to: it is kept only as long as it leads to those."""
    return " ".join(sorted(there))


def _site(pages: tuple[Kept, ...], first: Kept | None) -> dict[str, Content]:
    files: dict[str, Content] = {}
    for page in pages:
        files |= {path: data for path, data in page.files.items() if not path.startswith(SINGLE)}
    if first is not None:
        files.pop(INDEX, None)
        files |= first.files
    return files


def _single(name: str, page: Kept) -> dict[str, Content]:
    """One instrument as a site of its own: its page comes first, and nothing leads beyond it."""
    own = {path: data for path, data in page.files.items() if not path.startswith(SINGLE)}
    alone = page.files.get(f"{SINGLE}{name}.html")
    if alone is None:
        return own
    own.pop(f"{name}/{INDEX}", None)
    return {**own, INDEX: alone}


def _note(row: InstrumentRow) -> str:
    from dossier.edition.view import plain

    return json.dumps(plain(row), ensure_ascii=False, sort_keys=True)


def _row(note: str) -> InstrumentRow:
    return _reader().validate_json(note)


@cache
def _reader() -> TypeAdapter[InstrumentRow]:
    """Reads a row back by the types of its fields, one that an older version kept too."""
    return TypeAdapter(InstrumentRow)
