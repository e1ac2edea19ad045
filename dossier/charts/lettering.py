"""How much room lettering needs, estimated, so that a chart's layout hangs on no installed font."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

MOVES = "at a place of the axis"
"""The description of lettering that stands where it does because of the axis from left to right."""

NARROW = frozenset("fijltI.,:;'’|!()[]/- ·")
WIDE = frozenset("mwMW—%@…")


def width(text: str, size: float) -> float:
    """The width of a line of text in pixels at a font size in pixels, a little wide.

    The advances are rounded from the faces of the theme that comes with the package.

    Measuring would need the very font, and two machines with different fonts would then lay out
    one chart in two ways.
    """
    return size * sum(_advance(letter) for letter in text)


def _advance(letter: str) -> float:
    if letter in NARROW:
        return 0.3
    if letter in WIDE:
        return 0.83
    return 0.63 if letter.isupper() else 0.51


def shortened(text: str, size: float, room: float) -> str:
    """The text, or as many of its letters as fit into the room with an ellipsis."""
    if width(text, size) <= room:
        return text
    kept = text
    while kept and width(f"{kept}…", size) > room:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"


def rows(spans: Sequence[tuple[float, float]], gap: float) -> tuple[int, ...]:
    """A row for each label, the lowest free one, so that no two in a row come nearer than `gap`.

    `spans` are the labels' left and right ends in pixels, in any order; row 0 is filled first.
    """
    ends: list[float] = []
    placed = [0] * len(spans)
    for index in sorted(range(len(spans)), key=lambda each: (spans[each], each)):
        left, right = spans[index]
        row = next((row for row, end in enumerate(ends) if end + gap <= left), len(ends))
        ends[row : row + 1] = [right]
        placed[index] = row
    return tuple(placed)


def spaced(
    ticks: Iterable[tuple[float, str]], size: float, *, gap: float, end: float
) -> tuple[tuple[float, str], ...]:
    """The ticks whose centred labels keep clear of the one kept before and of the sheet's end.

    `ticks` are places in pixels with their labels; `end` is the sheet's right edge, likewise.
    """
    kept: list[tuple[float, str]] = []
    clear = float("-inf")
    for place, label in sorted(ticks):
        half = width(label, size) / 2
        if place - half >= clear and place + half <= end:
            kept.append((place, label))
            clear = place + half + gap
    return tuple(kept)


def every(ticks: Sequence[tuple[float, str]], size: float, *, gap: float) -> int:
    """The smallest n for which each nth label, centred at its place, keeps clear of the next."""
    for n in range(1, len(ticks)):
        kept = ticks[::n]
        ends = [
            (place - width(label, size) / 2, place + width(label, size) / 2)
            for place, label in kept
        ]
        if all(before[1] + gap <= after[0] for before, after in pairwise(ends)):
            return n
    return max(1, len(ticks))
