"""Second copies of a file, as synced folders and downloads leave them beside the first."""

from __future__ import annotations

import re
from collections.abc import Iterator

from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.read.pieces import quote
from dossier.sources import Sources

_COPIES: tuple[re.Pattern[str], ...] = tuple(
    re.compile(rf"(?P<stem>.+?){mark}(?P<ending>\.\w+)", re.IGNORECASE)
    for mark in (
        r"\s*\([^()]*\bconflict[^()]*\)",
        r"\s*\(\d+\)",
        r"\.sync-conflict-[\w-]+",
        r"[ _]conflict[\w -]*",
        r"\s+-\s+copy(?:\s*\(\d+\))?",
        r"\s+copy(?:\s+\d+)?",
    )
)
_LOCK = re.compile(r"(?:~\$|\.~lock\.)(?P<name>.+?)#?")


def copy_of(path: str) -> str | None:
    """The file that a path is a second copy of, by its name; None where the name is its own."""
    folder, slash, name = path.rpartition("/")
    for pattern in _COPIES:
        if match := pattern.fullmatch(name):
            return f"{folder}{slash}{match['stem']}{match['ending']}"
    return None


def is_aside(path: str) -> bool:
    """Whether a file is a second copy or a program's lock, so that nothing is read from it."""
    return copy_of(path) is not None or _LOCK.fullmatch(path.rpartition("/")[2]) is not None


def copies(sources: Sources) -> Iterator[tuple[str, Diagnostic]]:
    """Each copy and lock among the notes, with its finding.  Pictures may be called anything.

    A copy that differs from its first is an error, because a visit may be written in it alone; one
    that is the same letter by letter is a warning.
    """
    for path in sources:
        if path.endswith("/") or "/media/" in path:
            continue
        if match := _LOCK.fullmatch(path.rpartition("/")[2]):
            yield path, _lock(path, match["name"])
        elif (first := copy_of(path)) is not None:
            yield path, _copy(path, first, sources)


def _lock(path: str, name: str) -> Diagnostic:
    return Diagnostic(
        "lock-file",
        f"A program left this file while {quote(name)} was open; nothing is read from it.",
        Span(path),
        "Close the note there, or delete this file.",
        Severity.WARNING,
    )


def _copy(path: str, first: str, sources: Sources) -> Diagnostic:
    name = first.rpartition("/")[2]
    if first not in sources:
        return Diagnostic(
            "copy-alone",
            f"The file's name is that of a second copy, and there is no {quote(name)}.",
            Span(path),
            f"Rename it to {name}",
        )
    if _same(path, first, sources):
        return Diagnostic(
            "copy-same",
            f"This is a second copy of {quote(name)}, the same letter by letter.",
            Span(path),
            "Delete it.",
            Severity.WARNING,
        )
    return Diagnostic(
        "copy-differs",
        f"This is a second copy of {quote(name)} and differs from it, as a synced folder leaves "
        "it where two people wrote at once; nothing is read from it.",
        Span(path),
        f"Keep what is true of both in {name}, and delete this copy.",
    )


def _same(path: str, first: str, sources: Sources) -> bool:
    try:
        return sources[path] == sources[first]
    except OSError:
        return False
