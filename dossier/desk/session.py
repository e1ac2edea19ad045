"""A note while its writer has it open: what is wrong with it, and how it is left."""

from __future__ import annotations

from datetime import date
from pathlib import Path

from dossier.checks import run_checks
from dossier.desk.files import DeskError, replace_own
from dossier.desk.lines import without_offers
from dossier.diagnostics import Diagnostic, in_order
from dossier.model import Notebook
from dossier.read import Recollection, Sources, open_folder, read_notebook, read_sources


def open_notebook(content: Path, today: date) -> Notebook:
    """The notes, as far as they can be read.  Raises DeskError without a shop."""
    notebook, _ = read_notebook(content, today)
    if notebook is None:
        raise DeskError(
            "shop.md can't be read, and without it nothing can be done: see dossier check."
        )
    return notebook


def all_findings(
    sources: Sources, today: date, before: Recollection | None = None
) -> tuple[Diagnostic, ...]:
    """What is to be said of all notes, read and checked; `before` for who asks again and again."""
    notebook, found = read_sources(sources, today, before)
    return found if notebook is None else in_order((*found, *run_checks(notebook, today)))


def findings_in(content: Path, path: Path, today: date) -> tuple[Diagnostic, ...]:
    """What is to be said of one note, read and checked among all the others."""
    file = path.relative_to(content).as_posix()
    found = all_findings(open_folder(content), today)
    return tuple(one for one in found if one.span.file == file)


def is_untouched(path: Path, begun: str) -> bool:
    """Whether nothing was written: the file stands as it was begun, but for empty lines."""
    written = path.read_text("utf-8", errors="replace")
    return _bare(written) == _bare(begun)


def leave(path: Path, begun: str) -> None:
    """Take what was offered and not used out of a note, unless it has just been changed again."""
    raw = path.read_bytes()
    try:
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        return
    tidy = without_offers(text, begun)
    if tidy != text:
        replace_own(path, tidy.encode(), raw)


def _bare(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines() if line.strip()]
