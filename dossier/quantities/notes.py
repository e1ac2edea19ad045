"""Reads the names of notes, strings and ranges, in scientific pitch notation or as key numbers.

C4 is middle C and key 40; key 1 is A0 and key 88 is C8 (ISO 16 sets A4, key 49).
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from dossier.quantities.text import QuantityError, Source, plain

LOWEST = 1
HIGHEST = 88

_STEPS = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_NAMES = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
_SYLLABLES = {
    "do": "C", "ut": "C", "re": "D", "ré": "D", "mi": "E", "fa": "F",
    "so": "G", "sol": "G", "la": "A", "si": "B", "ti": "B",
}  # fmt: skip
_GERMAN = {"is": "#", "es": "b", "s": "b"}

_NOTE = r"(?P<letter>[A-G])(?P<bend>##?|bb?)?(?P<octave>[0-9])"
# An end of a range, or a place by itself: a note or a numbered key, and perhaps a string of it.
_END = re.compile(
    rf"(?:(?:keys?|notes?)\s+)?{_NOTE}(?:\.(?P<string>[0-9]+))?(?![A-Z0-9#])"
    r"|key(?P<plural>s?)\s*(?:\#\s*)?(?P<number>[0-9]{1,3})"
    r"(?:\.(?P<string_of_key>[0-9]+))?(?![A-Z0-9])",
    re.IGNORECASE,
)
_TO = re.compile(r"\s*(?:-|\.\.|to\b|through\b)\s*", re.IGNORECASE)
_BARE = re.compile(r"(?P<number>[0-9]{1,3})(?:\.(?P<string>[1-9]))?(?![A-Z0-9])", re.IGNORECASE)
_BETWEEN = re.compile(r"(?:'s\b)?(?:\s*(?:[,;&+/]|and\b))*\s*", re.IGNORECASE)
_AFTER = re.compile(r"(?:'s\b)?(?:\s*(?:[,;:]|-(?!\s*[0-9.])))*\s*", re.IGNORECASE)
# After `keys 30,` a number is another key, unless it counts something.
_COUNTED = re.compile(
    r"[0-9.,]+\s*(?:min|h\b|hr|hour|cent|ct\b|¢|%|mm\b|cm\b|hz\b|°|[$€£¥]|day|week|month|year"
    r"|flat\b|sharp\b|(?-i:[A-Z]{3}\b))",
    re.IGNORECASE,
)
# What nobody writes but for a note, though it is none: a list that runs into it is an error.
_NEAR = re.compile(
    r"(?:H(?:is|es|#|b)?|do|ut|r[eé]|mi|fa|sol?|la|si|ti|[A-G](?:is|es|s)|[A-G](?:##?|bb?)?)"
    r"(?:#|b)?[0-9]{1,2}[#b]?(?![A-Z0-9])",
    re.IGNORECASE,
)
_HALF_RANGE = re.compile(r"-(?:[A-H][#b]?|\.?[0-9]+)(?![A-Z0-9#'])", re.IGNORECASE)
_MORE_STRINGS = re.compile(r"\.(?P<string>[1-9])(?![A-Z0-9.])", re.IGNORECASE)
# `B4.1-.2` and `B4.1 to .2`; a sign before a figure, as in `B4.1 -.25`, is none of these.
_TO_STRING = re.compile(
    r"(?:-\.?|\s+(?:-\s+|to\s*|through\s*)\.)(?P<string>[1-9])(?![A-Z0-9#]|\.[0-9])",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class End:
    """A note or string as it stands in a text: `stop` is where it ends there."""

    key: int
    string: int | None
    stop: int
    numbered: bool = False
    plural: bool = False


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where on the keyboard: the keys from `first` to `last`, or one string of one key.

    Keys count from 1 at A0. `string` counts from 1 at the left, and is None for the whole note.
    """

    first: int
    last: int
    string: int | None = None

    @property
    def keys(self) -> range:
        """All keys of the place, upwards."""
        return range(self.first, self.last + 1)


def key_name(key: int, style: Literal["unicode", "ascii"] = "unicode") -> str:
    """Name a key, with a sharp for a black one: key 7 is D♯1, or D#1 in ASCII."""
    octave, step = divmod(key + 8, 12)
    name = f"{_NAMES[step]}{octave}"
    return name if style == "ascii" else name.replace("#", "♯")


def place_name(place: Place, style: Literal["unicode", "ascii"] = "unicode") -> str:
    """Name a place: D♯1, D♯1.2 for a string, F3–B3 for a range."""
    name = key_name(place.first, style)
    if place.string is not None:
        return f"{name}.{place.string}"
    if place.last == place.first:
        return name
    return f"{name}{'-' if style == 'ascii' else '–'}{key_name(place.last, style)}"


def parse_key(text: str, lowest: int = LOWEST, highest: int = HIGHEST) -> int:
    """Read one key: `A4`, `eb3`, `C♯5` or `key 40`.

    Raises QuantityError, also for a key outside the compass from `lowest` to `highest`.
    """
    source = plain(text)
    place = _read_one(source, (lowest, highest))
    if place.last != place.first or place.string is not None:
        part = "string" if place.string is not None else "range"
        raise source.error(
            f"{source.quoted} names a {part}, where one note is meant.",
            f"Write it like {key_name(place.first, 'ascii')}.",
        )
    return place.first


def parse_place(text: str, lowest: int = LOWEST, highest: int = HIGHEST) -> Place:
    """Read one note, string or range: `D#1`, `D#1.2`, `C6-C8`, `keys 30-45`.

    Raises QuantityError.
    """
    return _read_one(plain(text), (lowest, highest))


def parse_places(
    text: str, lowest: int = LOWEST, highest: int = HIGHEST
) -> tuple[tuple[Place, ...], str]:
    """Read as many places as a text begins with, and hand back what follows them.

    `F3-B3, D4 E4 sticking` gives three places and `sticking`; the strings `D4.1-.3` are three
    places too. A note needs its octave, so that `a buzz` and `be` are words. The rest is always an
    end of `text` as it was given, so its place in the text is the difference in length. Raises
    QuantityError where something can only be meant for a note and is none (`H4`, `C9`, `F3-B`).
    """
    source = plain(text)
    places: list[Place] = []
    start = stop = 0
    before: End | None = None
    while found := _next_places(source, start, (lowest, highest), before):
        there, before = found
        places.extend(there)
        stop = start + before.stop
        start = _skip(_BETWEEN, source, stop)
    if not places:
        return (), text
    return tuple(places), source.original[source.marks[_skip(_AFTER, source, stop)] :]


def read_end(source: Source, lowest: int, highest: int) -> End | None:
    """Read the note or string that a source begins with, or None if it begins with none.

    Raises QuantityError outside the compass.
    """
    match = _END.match(source.text)
    if match is None:
        return None
    numbered = match["number"] is not None
    if numbered:
        key, string = int(match["number"]), match["string_of_key"]
    else:
        key, string = _key(match["letter"], match["bend"] or "", match["octave"]), match["string"]
    if not lowest <= key <= highest:
        whole = source.part(0, match.end())
        raise (_no_key if numbered else _outside)(whole, lowest, highest)
    which = None if string is None else _string(source.part(0, match.end()), string)
    return End(key, which, match.end(), numbered=numbered, plural=bool(match["plural"]))


def _key(letter: str, bend: str, octave: str) -> int:
    """The octave's number belongs to the letter: B#3 is C4, and Cb4 is B3."""
    shift = bend.count("#") - bend.casefold().count("b")
    return 12 * int(octave) + _STEPS[letter.upper()] + shift - 8


def _string(whole: Source, digits: str) -> int:
    if digits in {"1", "2", "3"}:
        return int(digits)
    raise whole.error(
        f"{whole.quoted} names string {digits}, but a note has strings 1 to 3.",
        "Count them from the left, as in A4.1.",
    )


def _outside(source: Source, lowest: int, highest: int) -> QuantityError:
    ends = f"{key_name(lowest, 'ascii')} to {key_name(highest, 'ascii')}"
    return source.error(f"{source.quoted} is outside the compass, {ends}.")


def _no_key(source: Source, lowest: int, highest: int) -> QuantityError:
    return source.error(f"{source.quoted} is outside the compass, keys {lowest} to {highest}.")


def _skip(pattern: re.Pattern[str], source: Source, start: int) -> int:
    match = pattern.match(source.text, start)
    return match.end() if match else start


def _read_one(source: Source, compass: tuple[int, int]) -> Place:
    """Read a source that is one place and nothing else."""
    found = _next_places(source, 0, compass, None)
    if found is None:
        raise _no_note(source, *compass)
    (place, *others), end = found
    if others or end.stop != len(source.text):
        raise source.error(
            f"{source.quoted} is more than one note, string or range.",
            f"Write it like {place_name(place, 'ascii')}.",
        )
    return place


def _next_places(
    source: Source, start: int, compass: tuple[int, int], before: End | None
) -> tuple[tuple[Place, ...], End] | None:
    """Read the place at `start`, or each string of a range of them, and the far end.

    The end's `stop` counts from `start`. None if there is no place. `before` is the end of the
    place before it in the same list.
    """
    rest = source.part(start)
    first = read_end(rest, *compass) or (before and _go_on(rest, before, compass))
    if first:
        return _read_strings(rest, first) or _read_place(rest, first, compass)
    if near := _NEAR.match(rest.text):
        raise _no_note(rest.part(0, near.end()), *compass)
    return None


def _go_on(source: Source, before: End, compass: tuple[int, int]) -> End | None:
    """Read what is a place only in a list: `.2` after D4.1, and 32 after `keys 30`."""
    if before.string and (more := _MORE_STRINGS.match(source.text)):
        return End(before.key, _string(source.part(0, more.end()), more["string"]), more.end())
    return _read_bare(source, 0, compass) if before.plural else None


def _read_strings(source: Source, first: End) -> tuple[tuple[Place, ...], End] | None:
    """Read the strings of one note from `first` on, as in `B4.1-.3`."""
    to = _TO_STRING.match(source.text, first.stop) if first.string else None
    if to is None or first.string is None:
        return None
    whole = source.part(0, to.end())
    last = _string(whole, to["string"])
    return _strings(whole, first, last), End(first.key, last, to.end(), first.numbered)


def _strings(whole: Source, first: End, last: int) -> tuple[Place, ...]:
    name, lowest = key_name(first.key, "ascii"), first.string or 1
    if last <= lowest:
        raise whole.error(
            f"{whole.quoted} does not run from a lower string to a higher one.",
            f"Write {name}.{last}-.{lowest}." if last < lowest else f"Write {name}.{last}.",
        )
    return tuple(Place(first.key, first.key, string) for string in range(lowest, last + 1))


def _read_place(
    source: Source, first: End, compass: tuple[int, int]
) -> tuple[tuple[Place, ...], End]:
    last = _read_far_end(source, first, compass)
    if last is None:
        if slip := _HALF_RANGE.match(source.text, first.stop):
            whole = source.part(0, slip.end())
            raise whole.error(
                f"{whole.quoted} is not a range of notes.",
                "Name the strings one by one, as in D4.1, D4.2."
                if first.string
                else "Write both ends with their octaves, as in F3-B3.",
            )
        return (Place(first.key, first.key, first.string),), first
    whole = source.part(0, last.stop)
    if first.string and last.string and last.key == first.key:
        return _strings(whole, first, last.string), last
    if first.string or last.string:
        raise whole.error(
            f"{whole.quoted} is a range with a string in it.",
            "Name the strings one by one, as in D4.1, D4.2.",
        )
    if last.key < first.key:
        upwards = place_name(Place(last.key, first.key), "ascii")
        raise whole.error(f"{whole.quoted} runs downwards.", f"Write {upwards}.")
    plural = first.plural or last.plural
    return (Place(first.key, last.key),), End(last.key, None, last.stop, last.numbered, plural)


def _read_far_end(source: Source, first: End, compass: tuple[int, int]) -> End | None:
    to = _TO.match(source.text, first.stop)
    if to is None:
        return None
    rest = source.part(to.end())
    if last := read_end(rest, *compass):
        return End(last.key, last.string, to.end() + last.stop, last.numbered, last.plural)
    if first.numbered:
        return _read_bare(source, to.end(), compass)
    if near := _NEAR.match(rest.text):
        raise _no_note(rest.part(0, near.end()), *compass)
    return None


def _read_bare(source: Source, start: int, compass: tuple[int, int]) -> End | None:
    """Read a key's number that stands alone, unless it counts minutes, money or cents."""
    match = _BARE.match(source.text, start)
    if match is None or _COUNTED.match(source.text, start):
        return None
    key, piece = int(match["number"]), source.part(start, match.end())
    if not compass[0] <= key <= compass[1]:
        raise _no_key(piece, *compass)
    string = _string(piece, match["string"]) if match["string"] else None
    return End(key, string, match.end(), numbered=True, plural=True)


def _no_note(source: Source, lowest: int, highest: int) -> QuantityError:
    """Say that this is no note, and what it was most likely meant to be."""
    if not source.text:
        return source.error("The note is missing.", "Write it like A4.")
    if re.fullmatch(r"[A-G](##?|bb?)?[0-9]{2}", source.text, re.IGNORECASE):
        return _outside(source, lowest, highest)
    if note := _spelt(source.text):
        zero = ", with a zero" if source.text[-1] in "oO" else ""
        hint = f"Did you mean {note}{zero}?"
        return source.error(f"{source.quoted} is not a note name.", hint, note)
    return source.error(f"{source.quoted} is not a note name.", _meant(source.text))


# What can only be one note, spelt otherwise.
_SPELLINGS: tuple[tuple[str, Callable[[re.Match[str]], str]], ...] = (
    (r"H(is|#|b|)([0-9])", lambda m: f"B{_GERMAN.get(m[1].casefold(), m[1])}{m[2]}"),
    (
        r"([A-G])(is|es|s)([0-9])",
        lambda m: f"{m[1].upper()}{_GERMAN[m[2].casefold()]}{m[3]}",
    ),
    (r"([A-G])([0-9])([#b])", lambda m: f"{m[1].upper()}{m[3].casefold()}{m[2]}"),
    (r"([A-G])([#b]?)O", lambda m: f"{m[1].upper()}{m[2]}0"),
)
_SLIPS: tuple[tuple[str, Callable[[re.Match[str]], str]], ...] = (
    (
        r"(do|ut|r[eé]|mi|fa|sol?|la|si|ti)[#b]?[0-9]*",
        lambda m: f"Write its letter: {m[1]} is {_SYLLABLES[m[1].casefold()]}.",
    ),
    (
        r"([A-G])([#b]?)",
        lambda m: f"Add the octave, as in {m[1].upper()}{m[2]}4; middle C is C4.",
    ),
    (r"(?:notes?\s*)?([0-9]{1,2})", lambda m: f"Did you mean key {m[1]}?"),
)


def _spelt(text: str) -> str:
    """The note that a text can only mean; empty if it means none or several."""
    for pattern, note in _SPELLINGS:
        if match := re.fullmatch(pattern, text, re.IGNORECASE):
            return note(match)
    return ""


def _meant(text: str) -> str:
    """Guess what was meant by a text that is no note."""
    for pattern, guess in _SLIPS:
        if match := re.fullmatch(pattern, text, re.IGNORECASE):
            return guess(match)
    return "Write a letter and an octave, as in D#1; middle C is C4."
