"""What a shell may complete: names of folders and files alone, so that it answers at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path

from dossier.slugs import is_slug

# As the registries have them; to ask those would take a second.
EDITIONS = ("appraisal", "sale")
KINDS = ("client", "inbox", "instrument", "room", "round", "shop", "visit")
_CLIENT = re.compile(r"^client:[ \t]+['\"]?([a-z0-9-]+)", re.IGNORECASE | re.MULTILINE)
_HEAD = 4096  # bytes of an instrument's file that are looked at


def instrument_names(content: Path, begun: str) -> tuple[str, ...]:
    """Every instrument's folder that begins so."""
    return _fitting(_folders(content / "instruments"), begun)


def client_names(content: Path, begun: str) -> tuple[str, ...]:
    """Every client's file that begins so, without its ending."""
    return _fitting((path.stem for path in (content / "clients").glob("*.md")), begun)


def room_names(content: Path, begun: str) -> tuple[str, ...]:
    """Every room's file that begins so, without its ending."""
    return _fitting((path.stem for path in (content / "rooms").glob("*.md")), begun)


def holder_names(content: Path, built: Path, begun: str) -> tuple[str, ...]:
    """Whom or what a link may be for: a client, one instrument of theirs, an issued statement."""
    client, bar, instrument = begun.partition("/")
    if bar:
        owned = _fitting(_owned(content, client), instrument)
        return tuple(f"{client}/{name}" for name in owned)
    issued = _fitting(_folders(built / "issued"), begun)
    return (*client_names(content, begun), *issued)


def _owned(content: Path, client: str) -> Iterator[str]:
    for path in content.glob("instruments/*/instrument.md"):
        with path.open("rb") as file:
            head = file.read(_HEAD).decode("utf-8", "replace")
        if (found := _CLIENT.search(head)) and found[1] == client:
            yield path.parent.name


def _folders(folder: Path) -> Iterator[str]:
    if folder.is_dir():
        yield from (path.name for path in folder.iterdir() if path.is_dir())


def _fitting(names: Iterable[str], begun: str) -> tuple[str, ...]:
    return tuple(sorted(name for name in names if name.startswith(begun) and is_slug(name)))
