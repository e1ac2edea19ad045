"""An empty shop of one's own, with one example of each kind of file to write over."""

from __future__ import annotations

from datetime import date
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path

from dossier.desk.files import DeskError, write_new

_VISIT = "instruments/blackbird/visits/visit.md"


def first_files(today: date) -> tuple[tuple[str, str], ...]:
    """The files of the example, each as its path below the folder of notes and its text."""
    root = resources.files(__package__) / "first_shop"
    named = ((path, file.read_text("utf-8")) for path, file in _walk(root, ""))
    visit = _VISIT.replace("visit.md", f"{today.isoformat()}.md")
    return tuple((visit if path == _VISIT else path, text) for path, text in named)


def start(folder: Path, today: date) -> tuple[Path, ...]:
    """Write the example into the folder's `content/`.  Raises DeskError unless it is empty.

    The example's visit is of today, so that nothing of it is due yet.
    """
    if folder.exists() and not folder.is_dir():
        raise DeskError(f"{folder} is a file. Name a folder that is empty or not there yet.")
    if folder.is_dir() and any(folder.iterdir()):
        raise DeskError(
            f"{folder} is not empty, and nothing in it is touched. "
            "Name a folder that is empty or not there yet."
        )
    written = []
    for path, text in first_files(today):
        target = folder / "content" / path
        write_new(target, text)
        written.append(target)
    return tuple(written)


def _walk(folder: Traversable, below: str) -> list[tuple[str, Traversable]]:
    found: list[tuple[str, Traversable]] = []
    for entry in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if entry.is_dir():
            found += _walk(entry, f"{below}{entry.name}/")
        elif entry.name.endswith(".md"):
            found.append((f"{below}{entry.name}", entry))
    return found
