"""What a content folder holds, or why that can't be told."""

from __future__ import annotations

import os
from pathlib import Path

from dossier.diagnostics import Diagnostic, Span
from dossier.sources import Sources, open_folder
from dossier.untouched import Untouched


def list_folder(
    folder: Path, untouched: Untouched | None = None
) -> tuple[Sources | None, tuple[Diagnostic, ...]]:
    """What a content folder holds, as `open_folder` has it.

    None, and an error, where it or any folder in it can't be listed: what lies in there would
    seem to be gone, and its pages would go too.
    """
    try:
        return open_folder(folder, untouched), ()
    except OSError as error:
        below = os.path.relpath(error.filename or folder, folder)
        what, hint = f"The folder {below}", "Give yourself the right to read it."
        if below == os.curdir:
            what, hint = "The notes", "Name the folder that holds shop.md."
            below = folder.name or "."
        message = f"{what} cannot be opened: {why(error)}."
        return None, (Diagnostic("no-folder", message, Span(below), hint, stops=("shop:",)),)


def why(error: OSError) -> str:
    """The system's reason, as it stands behind a colon."""
    reason = error.strerror or str(error) or "unknown reason"
    return reason[0].lower() + reason[1:]
