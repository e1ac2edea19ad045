"""A note's two halves: the front matter between its lines of dashes, and the prose below."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import NamedTuple

from dossier.diagnostics import Diagnostic, Span
from dossier.read.text import straight_quotes

# A telephone makes one long dash of two hyphens, so `---` may arrive as `—-`.
_FENCE = re.compile(r"(?:-{3,}|[-–—]*[–—][-–—]*)[ \t]*")
_KEY = re.compile(r"(?P<key>[^\W\d][\w #-]*?)(?: ?\([\w -]*\))?:(?:\s|$)")


class Halves(NamedTuple):
    """Front matter and prose, each with the line of the file on which it begins."""

    front: str
    front_line: int
    body: str
    body_line: int


def split(
    text: str, file: str, known: Collection[str] = ()
) -> tuple[Halves | None, tuple[Diagnostic, ...]]:
    """Split a note.  Without front matter all of it is prose, which is a valid note.

    `known` are the keys of this kind of file: a first paragraph with one of them is front matter
    without its lines of dashes.  The halves are None where the front matter has no end, because
    what follows might be private.
    """
    lines = text.split("\n")
    first = next((at for at, line in enumerate(lines) if line.strip()), len(lines))
    if first == len(lines):
        return Halves("", 1, "", 1), ()
    if not _FENCE.fullmatch(lines[first]):
        for at in range(first, len(lines)):
            if not lines[at].strip():
                break
            if (bare := _bare_key(lines[at], known)) is not None:
                return None, (_no_opening(file, at + 1, bare),)
        return Halves("", 1, text, 1), ()
    for at in range(first + 1, len(lines)):
        if _FENCE.fullmatch(lines[at]):
            front = straight_quotes("\n".join(lines[first + 1 : at]))
            return Halves(front, first + 2, "\n".join(lines[at + 1 :]), at + 2), ()
    return None, (
        Diagnostic(
            "front-matter-open",
            "The front matter that begins here has no closing line, so nothing of this note is "
            "taken for prose.",
            Span(file, first + 1, 1, len(lines[first])),
            "Write --- on a line of its own below the last key.",
        ),
    )


def _bare_key(line: str, known: Collection[str]) -> str | None:
    match = _KEY.match(line)
    if match is None:
        return None
    key = " ".join(re.split(r"[\s_-]+", match["key"].casefold()))
    return match["key"] if key in known else None


def _no_opening(file: str, line: int, key: str) -> Diagnostic:
    return Diagnostic(
        "front-matter-bare",
        f'"{key}:" stands in the prose, because there is no line of --- above it.',
        Span(file, line, 1, len(key)),
        "Write --- on a line of its own above the first key and below the last.",
    )
