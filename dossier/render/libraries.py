"""The libraries that set documents, found by the names that the system's own loader knows.

The typesetter tries several names for each of them, and has Python look for every one that fails by
starting a compiler and a linker: fifty processes before the first page.
"""

from __future__ import annotations

import ctypes.util
import sys
from contextlib import redirect_stdout, suppress
from importlib import import_module
from io import StringIO


def load() -> None:
    """Load them, once a process.  Raises OSError where one is missing."""
    if "weasyprint" in sys.modules:
        return
    with suppress(OSError), redirect_stdout(StringIO()):
        _without_search()
    import_module("weasyprint")  # where the loader knew none of the names, by a search, and aloud


def _without_search() -> None:
    search = ctypes.util.find_library
    ctypes.util.find_library = _nowhere
    try:
        import_module("weasyprint")
    finally:
        ctypes.util.find_library = search


def _nowhere(name: str) -> str | None:  # noqa: ARG001
    return None
