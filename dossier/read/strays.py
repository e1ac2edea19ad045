"""Files that nothing reads: said out loud, so that no note is dropped in silence."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.quantities import suggest
from dossier.read.pieces import quote
from dossier.sources import Sources

FOLDERS: tuple[str, ...] = ("clients", "instruments", "rooms", "rounds", "inbox")
_NOTE_PLACES = re.compile(
    r"(?P<folder>clients|rooms|rounds|inbox|instruments/[^/]+/visits)/[^/]+", re.IGNORECASE
)
_NOTE_ENDINGS = (".txt", ".text", ".markdown", ".mdown", ".mkd", ".rtf", ".doc", ".docx", ".odt")
_LITTER = re.compile(r".*~|#.*#|.*\.(?:bak|orig|swp|tmp)|Thumbs\.db|desktop\.ini", re.IGNORECASE)
_NOT_OURS = re.compile(r"(?:README|LICEN[CS]E|NOTICE)[^/]*", re.IGNORECASE)
_OF_MEDIA = (".jpg", ".jpeg", ".png", ".mp3", ".wav", ".m4a", ".mp4")
_MEDIA = re.compile(r"instruments/[^/]+/media/.*", re.DOTALL)


def strays(sources: Sources, used: Collection[str]) -> Iterator[Diagnostic]:
    """A finding for each file that no part of the reader took.

    A note with the wrong ending, or a folder where a note is meant, is an error: a history with a
    visit missing is half-true.  Anything else that lies about is a warning.
    """
    for path in sources:
        if path in used or _LITTER.fullmatch(path.rpartition("/")[2]):
            continue
        if path.endswith("/"):
            yield from _folder(path)
        elif not _MEDIA.fullmatch(path):
            yield from _file(path)
    for path in sorted(sources.links):
        if not _MEDIA.fullmatch(path):
            yield Diagnostic(
                "link",
                "This is a link that leads out of the notes or to a folder, and is not followed.",
                Span(path),
                "Put the file itself here.",
                Severity.ERROR if _NOTE_PLACES.fullmatch(path) else Severity.WARNING,
            )


def _folder(path: str) -> Iterator[Diagnostic]:
    name = path.rstrip("/").rpartition("/")[2]
    if name.casefold().endswith((".md", ".csv")):
        yield Diagnostic(
            "folder-for-file",
            "This is a folder, where a file is expected.",
            Span(path.rstrip("/")),
            "Take the file out of it, and delete the folder.",
        )
    elif path.count("/") == 1 and name not in FOLDERS and (near := suggest(name, FOLDERS)):
        yield Diagnostic(
            "folder-name",
            f"Nothing reads the folder {quote(name)}.",
            Span(name),
            f"Did you mean {near}?",
            Severity.WARNING,
        )


def _file(path: str) -> Iterator[Diagnostic]:
    top, _, below = path.partition("/")
    if (below and top not in FOLDERS) or (not below and _NOT_OURS.fullmatch(path)):
        return
    name = path.rpartition("/")[2]
    if _NOTE_PLACES.fullmatch(path) and name.casefold().endswith((".md", *_NOTE_ENDINGS)):
        stem = name.rpartition(".")[0]
        yield Diagnostic(
            "note-ending",
            f"{quote(name)} looks like a note, and is not read.",
            Span(path),
            f"Save it as plain text, named {stem}.md",
        )
        return
    yield Diagnostic(
        "stray-file", "Nothing reads this file.", Span(path), _place_for(path), Severity.WARNING
    )


def _place_for(path: str) -> str:
    """Where the file was most likely meant to be."""
    parts = path.split("/")
    if parts[0] == "instruments" and len(parts) == 2:
        return f"An instrument is a folder: instruments/{parts[1].partition('.')[0]}/instrument.md"
    if parts[0] == "instruments" and path.casefold().endswith(_OF_MEDIA):
        return f"Pictures and recordings belong into instruments/{parts[1]}/media/"
    if parts[0] == "instruments" and path.endswith(".md"):
        return f"Visits belong into instruments/{parts[1]}/visits/"
    if parts[0] == "rooms" and len(parts) == 3 and path.casefold().endswith(".csv"):
        return f"Write the file rooms/{parts[1]}.md about the room of this log."
    if parts[0] == "rooms":
        return "A room's logs are CSV files in rooms/, in a folder named like the room's own file."
    return "Delete it, or put it where it belongs."
