"""Pieces of WeasyPrint swapped for quicker ones of ours while a document is made.

They hang on the pinned version: `tests/render/test_swaps.py` sets documents with them and without,
and what comes out must be the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

Swap = tuple[dict[str, Any], str, Any]
"""A module's names or another table, the name in it, and what stands there meanwhile."""


@contextmanager
def swapped(swaps: list[Swap]) -> Iterator[None]:
    """Each name stands for its new piece within, and for what it was afterwards."""
    before = [(names, name, names[name]) for names, name, _ in swaps]
    try:
        for names, name, piece in swaps:
            names[name] = piece
        yield
    finally:
        for names, name, piece in before:
            names[name] = piece
