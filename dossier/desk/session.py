"""A note while its writer has it open: what is wrong with it, and how it is left."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

from dossier.checks import run_checks
from dossier.desk.files import DeskError, replace_own
from dossier.desk.lines import without_offers
from dossier.diagnostics import Diagnostic, in_order
from dossier.model import Notebook
from dossier.read import read_notebook

_MEANT = re.compile(r'Did you mean "?(?P<word>[^"?]+)"?\?')


def open_notebook(content: Path, today: date) -> Notebook:
    """The notes, as far as they can be read.  Raises DeskError without a shop."""
    notebook, _ = read_notebook(content, today)
    if notebook is None:
        raise DeskError(
            "shop.md can't be read, and without it nothing can be done: see dossier check."
        )
    return notebook


def findings_in(content: Path, path: Path, today: date) -> tuple[Diagnostic, ...]:
    """What is to be said of one note, read and checked among all the others."""
    notebook, found = read_notebook(content, today)
    if notebook is not None:
        found = in_order((*found, *run_checks(notebook, today)))
    file = path.relative_to(content).as_posix()
    return tuple(one for one in found if one.span.file == file)


def is_untouched(path: Path, begun: str) -> bool:
    """Whether nothing was written: the file stands as it was begun, but for empty lines."""
    written = path.read_text("utf-8", errors="replace")
    return _bare(written) == _bare(begun)


def mended(text: str, found: Diagnostic) -> str | None:
    """The note with the one word that a finding would have instead; None where it names none.

    Only where the words at its place are just those that it calls wrong, so that nothing else
    can be changed.
    """
    meant = _MEANT.fullmatch(found.hint)
    lines = text.split("\n")
    place = found.span
    if meant is None or not place.width or place.line > len(lines):
        return None
    line = lines[place.line - 1]
    start, end = place.column - 1, place.column - 1 + place.width
    wrong = line[start:end]
    if f'"{wrong.rstrip(":")}"' not in found.message:
        return None
    right = meant["word"] + (":" if wrong.endswith(":") else "")
    lines[place.line - 1] = line[:start] + right + line[end:]
    return "\n".join(lines)


def mend(path: Path, found: Diagnostic) -> bool:
    """Write the word that a finding would have instead into the note; whether it was written."""
    raw = path.read_bytes()
    try:
        better = mended(raw.decode("utf-8"), found)
    except UnicodeDecodeError:
        return False
    return better is not None and replace_own(path, better, raw)


def leave(path: Path, begun: str) -> None:
    """Take what was offered and not used out of a note, unless it has just been changed again."""
    raw = path.read_bytes()
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        return
    tidy = without_offers(text, begun)
    if tidy != text:
        replace_own(path, tidy, raw)


def _bare(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines() if line.strip()]
