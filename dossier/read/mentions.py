"""The notes that a sentence names: single ones, strings, ranges, and all from one upwards."""

from __future__ import annotations

import re
from collections.abc import Iterator

from dossier.quantities import (
    HIGHEST,
    LOWEST,
    Place,
    QuantityError,
    parse_place,
    parse_places,
)

COMPASS = (LOWEST, HIGHEST)

# "12 keys 45 min" names no key.
_COUNTED = r"(?!\d|[.,]\d|\s*(?:min|h\b|hr|hour|cent|%|°|[mc]m\b|hz\b|[$€£¥]|day|week|month|year))"
_START = re.compile(
    rf"(?<![\w.])(?:[A-G][#b♯♭]?[0-9](?:\.[1-3])?(?![\w#♯♭])|keys?\s*#?\s*[0-9]{{1,2}}{_COUNTED})",
    re.IGNORECASE,
)
# A4 = 435 Hz is a pitch, and A4 no note that anything was done to.
_PITCH = re.compile(
    r"(?<![\w.])A4\s*(?:=|at\b|to\b|is\b|was\b|on\b)?\s*[345][0-9]{2}(?![0-9])", re.IGNORECASE
)
# "C5 up a little" is about C5 alone.
_A_LITTLE = r"(?!\s+(?:to|by|an?|half|one|two|[0-9]+)\b)\b"
_UP = re.compile(
    rf"(?:and\s+)?(?:upwards?|up){_A_LITTLE}|and\s+(?:above|higher)\b|to\s+the\s+top\b",
    re.IGNORECASE,
)
_DOWN = re.compile(
    rf"(?:and\s+)?(?:downwards?|down){_A_LITTLE}|and\s+(?:below|lower)\b|to\s+the\s+bottom\b",
    re.IGNORECASE,
)
_ON_TO = re.compile(r"(?:up|down)\s+to\s+(?=\S)", re.IGNORECASE)
_UP_TO = re.compile(r"\bup\s+to\s+$", re.IGNORECASE)


def places_in(text: str, compass: tuple[int, int] = COMPASS) -> tuple[Place, ...]:
    """Every note, string or range that a sentence names, in its order.

    `C5 up` and `C5 to the top` reach to the highest key of the compass, `C3 down` and `up to C3`
    to its lowest.
    """
    found = (place for _, _, places in _mentions(text, compass) for place in places)
    return tuple(dict.fromkeys(found))


def without_places(text: str) -> str:
    """The sentence with a space for every place that it names."""
    kept: list[str] = []
    at = 0
    for start, end, _ in _mentions(text, COMPASS):
        kept.append(text[at:start])
        at = end
    return " ".join((*kept, text[at:]))


def _mentions(text: str, compass: tuple[int, int]) -> Iterator[tuple[int, int, tuple[Place, ...]]]:
    """Where a sentence names places, from which letter to which, and what it names there."""
    if not any(letter.isdigit() for letter in text):
        return
    text = _PITCH.sub(lambda match: " " * len(match[0]), text)
    at = 0
    while match := _START.search(text, at):
        at, places = _read(text, match)
        if len(places) == 1 and places[0].string is None:
            at, places = _reaching(text, match.start(), at, places[0], compass)
        yield match.start(), at, places


def _read(text: str, match: re.Match[str]) -> tuple[int, tuple[Place, ...]]:
    """The list of places that begins at a match, and where it ends."""
    try:
        places, rest = parse_places(text[match.start() :])
        return len(text) - len(rest), places
    except QuantityError:
        try:
            return match.end(), (parse_place(match[0]),)
        except QuantityError:
            return match.end(), ()


def _reaching(
    text: str, start: int, end: int, place: Place, compass: tuple[int, int]
) -> tuple[int, tuple[Place, ...]]:
    """A single place as far as the words around it make it reach."""
    if text[start:end].rstrip().endswith((",", ";", ":")):
        return end, (place,)
    if (on := _ON_TO.match(text, end)) and (far := _START.match(text, on.end())):
        stop, found = _read(text, far)
        if found and found[0].string is None:
            other, *more = found
            low, high = min(place.first, other.first), max(place.last, other.last)
            return stop, (Place(low, high), *more)
    if up := _UP.match(text, end):
        return up.end(), (Place(place.first, max(place.last, compass[1])),)
    if down := _DOWN.match(text, end):
        return down.end(), (Place(min(place.first, compass[0]), place.last),)
    if _UP_TO.search(text, 0, start):
        return end, (Place(min(place.first, compass[0]), place.last),)
    return end, (place,)
