"""Every client's site put together from what was made now and what is kept from before."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache

from pydantic import TypeAdapter

from dossier.edition.pages import InstrumentRow
from dossier.edition.view import plain
from dossier.model import Notebook
from dossier.publish.kept import Keeping, Kept
from dossier.store import Content
from dossier.tasks import Made

INDEX = "index.html"
ASSETS = "assets/"

Front = Callable[[str, tuple[InstrumentRow, ...]], Mapping[str, bytes]]
"""Draws a client's first page from the rows of their instruments, with the assets it asks for."""


@dataclass(frozen=True, slots=True)
class Sites:
    """The clients' sites and the bench's pages of the instruments.

    `sites` are files by path below each client's folder; `pages` and `said` are what is to be
    kept of them; `kept` are instruments whose last good pages stand, `missing` those that have
    none; `bench` are the instruments' pages and rows there.
    """

    sites: Mapping[str, Mapping[str, Content]]
    pages: tuple[Kept, ...]
    said: Mapping[str, tuple[str, ...]]
    kept: tuple[str, ...]
    missing: tuple[str, ...]
    bench: Mapping[str, Content]
    bench_rows: tuple[InstrumentRow, ...]


@dataclass(frozen=True, slots=True)
class _Part:
    """One instrument's share of its client's site and of the bench."""

    site: Kept
    bench: Kept
    said: tuple[str, ...]
    fresh: bool


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
    names = sorted({*notebook.instruments, *notebook.stopped})
    owners = {name: owner_of(notebook, keeping, name) for name in names}
    return {
        client: tuple(name for name in names if owners[name] == client)
        for client in sorted({owner for owner in owners.values() if owner is not None})
    }


def assemble(
    notebook: Notebook,
    keeping: Keeping,
    made: Mapping[str, Made],
    standing: frozenset[str],
    front: Front,
) -> Sites:
    """Every client's site.

    `made` are the instruments built now; `standing` the clients whose pages stay as they are
    (on hold, or not asked for).  Of an instrument that was not built, the last good pages stand
    for the client that they were published for, and for no other.
    """
    sites: dict[str, Mapping[str, Content]] = {}
    pages: list[Kept] = []
    said: dict[str, tuple[str, ...]] = {}
    kept: list[str] = []
    missing: list[str] = []
    bench: dict[str, Content] = {}
    rows: list[InstrumentRow] = []
    for client, names in instruments_of(notebook, keeping).items():
        stands = client in standing
        parts = {name: _part(name, client, made.get(name), keeping, stands) for name in names}
        there = {name: part for name, part in parts.items() if part is not None}
        kept += [n for n, part in there.items() if not part.fresh and n not in made]
        missing += [n for n in names if n not in there]
        for name, part in there.items():
            bench |= part.bench.files
            rows.append(_row(part.bench.note))
            said[f"{client}/{name}"] = part.said
            pages += [part.site, part.bench]
        own = keeping.kept(f"client:{client}", client) if stands else None
        first = own or _first(client, names, there, front)
        if first is not None:
            pages.append(first)
        site = _site(tuple(there.values()), first)
        if site:
            sites[client] = site
    return Sites(
        sites, tuple(pages), said, tuple(sorted(kept)), tuple(sorted(missing)), bench, tuple(rows)
    )


def _part(
    name: str, client: str, made: Made | None, keeping: Keeping, stands: bool
) -> _Part | None:
    """An instrument's pages: those made now, else those kept; on hold only the kept ones."""
    last = keeping.kept(f"instrument:{name}", client)
    last_bench = keeping.kept(f"bench:{name}", client)
    words = keeping.said.get(f"{client}/{name}", ())
    bench = last_bench
    if made is not None:
        bench = Kept(f"bench:{name}", client, made.bench, _note(made.bench_row))
    if made is not None and not stands:
        site = Kept(f"instrument:{name}", client, made.owner, _note(made.row))
        assert bench is not None  # noqa: S101  # made above
        return _Part(site, bench, made.said, fresh=True)
    if last is None or bench is None:
        return None
    return _Part(last, bench, words, fresh=False)


def _first(
    client: str, names: Iterable[str], there: Mapping[str, _Part], front: Front
) -> Kept | None:
    """The client's first page: the instrument's own where they have no other, else the list."""
    if not there:
        return None
    if len(tuple(names)) == 1 and all(INDEX in part.site.files for part in there.values()):
        return None
    rows = tuple(_row(part.site.note) for part in there.values())
    return Kept(f"client:{client}", client, front(client, rows))


def _site(parts: tuple[_Part, ...], first: Kept | None) -> dict[str, Content]:
    files: dict[str, Content] = {}
    for part in parts:
        files |= part.site.files
    if first is not None:
        files.pop(INDEX, None)
        files |= first.files
    return files


def _note(row: InstrumentRow) -> str:
    return json.dumps(plain(row), ensure_ascii=False, sort_keys=True)


def _row(note: str) -> InstrumentRow:
    return _reader().validate_json(note)


@cache
def _reader() -> TypeAdapter[InstrumentRow]:
    """Reads a row back by the types of its fields, one that an older version kept too."""
    return TypeAdapter(InstrumentRow)
