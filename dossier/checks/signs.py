"""Signs that the faces of print lack: an emoji, or a letter of a script that they don't hold."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from datetime import date
from functools import cache

from dossier.checks.check import histories, warning
from dossier.checks.prose import owner_prose
from dossier.diagnostics import Diagnostic
from dossier.model import Notebook
from dossier.theme import fonts_folder

_HIDDEN = "\u200b\u200c\u200d\ufe0e\ufe0f\ufeff"
"""Joiners and selectors, which are never drawn: they change the sign before them."""
USUAL = frozenset({*map(chr, range(0x180))} - {"ŉ"}).union(
    "\u2002\u2007\u2009\u200a\u202f‐‑–—‘’‚“”„†•…‰′″‹›⁄⁰⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉€№™",
    "⅓⅔⅛⅜⅝⅞←↑→↓∆−√∞≈≠≤≥♭♮♯",
    _HIDDEN,
)
"""Latin letters and the signs of the trade: every face holds them, so that none is opened."""


def unshown(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A sign that no face of the theme holds may stand in a PDF as [?].

    Another face of the machine that builds may have it; of that nobody can be sure elsewhere.
    """
    for history in histories(notebook):
        for prose in owner_prose(history):
            for sign in dict.fromkeys(prose.text):
                if sign not in USUAL and ord(sign) not in _held():
                    name = unicodedata.name(sign, f"U+{ord(sign):04X}").lower()
                    yield warning(
                        "sign-unshown",
                        f'"{sign}" ({name}) is in none of the faces that a PDF is set in.',
                        prose.span(prose.text.index(sign), 1),
                        "It may be printed as [?]. Say it in words, or leave it out.",
                    )


@cache
def _held() -> frozenset[int]:
    """The code points that one of the house's faces holds."""
    from fontTools.ttLib import TTFont

    found: set[int] = set()
    for path in sorted(fonts_folder().glob("*.ttf")):
        with TTFont(path, lazy=True) as face:
            found |= set(face.getBestCmap())
    return frozenset(found)
