"""What a shell may complete: names of folders and files alone, so that it answers at once."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from dossier.read.fields import is_slug


def instrument_names(content: Path, begun: str) -> tuple[str, ...]:
    """Every instrument's folder that begins so."""
    folder = content / "instruments"
    found = (path.name for path in folder.iterdir() if path.is_dir()) if folder.is_dir() else ()
    return _fitting(found, begun)


def client_names(content: Path, begun: str) -> tuple[str, ...]:
    """Every client's file that begins so, without its ending."""
    return _fitting((path.stem for path in (content / "clients").glob("*.md")), begun)


def _fitting(names: Iterable[str], begun: str) -> tuple[str, ...]:
    return tuple(sorted(name for name in names if name.startswith(begun) and is_slug(name)))
