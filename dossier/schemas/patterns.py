"""The short forms as regular expressions of ECMA-262, the dialect of JSON Schema.

They are made from the registries of units, currencies, kinds and components.  Each takes at least
all that the reader takes: an editor may let a mistake pass, which `dossier check` then tells, and
never underlines what is right.  A value with letters that only a telephone writes (curly quotes,
fractions, other digits) is left to the check.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from dossier.quantities import CURRENCIES
from dossier.quantities.kinds import (
    DURATION,
    HUMIDITY,
    LENGTH,
    MASS,
    TEMPERATURE,
    TORQUE,
    Kind,
)

_UNUSUAL = r"[\s\S]*[^\x00-\x7F°·−–—♯♭][\s\S]*"
_DASH = "[-−–—]"
_UNIT_GAP = r"[\s.·*-]*"


def whole(*alternatives: str) -> str:
    """A pattern for a whole value, which also lets through what this dialect can't know."""
    return rf"^(?:\s*(?:{'|'.join(alternatives)})\s*|{_UNUSUAL})$"


def begins(*alternatives: str) -> str:
    """The same for a value that begins so and goes on in words."""
    return rf"^(?:\s*(?:{'|'.join(alternatives)})[\s\S]*|{_UNUSUAL})$"


def any_case(word: str, gap: str = r"[\s_-]+") -> str:
    """A word in any case; between its parts any gap that the reader takes for one."""
    letters = (
        f"[{letter.upper()}{letter.lower()}]" if letter.isalpha() else re.escape(letter)
        for letter in word
    )
    return gap.join("".join(part) for part in _split(list(letters), word))


def any_word(*names: str, gap: str = r"[\s_-]+") -> str:
    """One of several words, the longest first."""
    return one_of(any_case(name, gap) for name in sorted(names, key=len, reverse=True))


def one_of(patterns: Iterable[str]) -> str:
    """One of several patterns."""
    return f"(?:{'|'.join(patterns)})"


def several(name: str) -> str:
    """A name in the singular or the plural."""
    return f"{any_case(name.removesuffix('s'))}[Ss]?"


def key_pattern(spellings: Iterable[str]) -> str:
    """A key in every spelling that the reader takes for it."""
    return one_of(any_case(one) for one in dict.fromkeys(spellings))


def _split(letters: list[str], word: str) -> Iterable[list[str]]:
    """The letters of each part of a word, as parted by spaces and hyphens."""
    part: list[str] = []
    for letter, pattern in zip(word, letters, strict=True):
        if letter in " -_":
            yield part
            part = []
        else:
            part.append(pattern)
    yield part


def unit(kind: Kind) -> str:
    """Any spelling of a unit of a kind; dots, spaces and hyphens in it do not count."""
    spellings = {spelling for one in kind.units for spelling in one.spellings}
    longest_first = sorted(spellings, key=lambda spelling: (-len(spelling), spelling))
    return one_of(
        _UNIT_GAP.join(any_case(letter) for letter in spelling) for spelling in longest_first
    )


def measure(kind: Kind) -> str:
    """A figure with a unit of its kind, or two as in `5 ft 8 in`; a bare one has the default."""
    one = rf"{NUMBER}\s*{unit(kind)}?{_UNIT_GAP}"
    return rf"{one}(?:{one})?"


PLAIN_NUMBER = r"(?:\d+(?:\s+|-)\d+/\d+|\d+/\d+|[.,]?\d+(?:[.,]\d+)*)"
NUMBER = rf"[+\-−–—]?\s*{PLAIN_NUMBER}"
SLUG = r"[a-z0-9]+(?:-[a-z0-9]+)*"

_NUMBERED = rf"{any_word('keys', 'key')}\s*#?\s*\d{{1,2}}(?:\.[1-3])?"
_BEND = r"(?:##?|[Bb]{1,2}|[♯♭]{1,2})?"
_LETTERED = rf"(?:{any_word('keys', 'key', 'notes', 'note')}\s+)?[A-Ga-g]{_BEND}[0-8](?:\.[1-3])?"
NOTE = rf"(?:{_LETTERED}|{_NUMBERED})"
PLACE = rf"{NOTE}(?:\s*(?:{_DASH}|\.\.|{any_word('through', 'to')})\s*(?:{NOTE}|\d{{1,2}}))?"
_AND = rf"(?:'s)?(?:\s*(?:[,;&+/]|{any_case('and')}))*\s*"
PLACES = rf"{PLACE}(?:{_AND}(?:{PLACE}|\.[1-3]|\d{{1,2}}))*(?:'s)?"

_WAY = any_word("sharp", "flat", "high", "low")
_CENTS = any_word("cents", "cent", "cts", "ct", "c")
_FIGURE = one_of(
    (
        rf"[+\-−–—]\s*{PLAIN_NUMBER}(?:\s*{_CENTS})?\.?(?:\s*{_WAY})?",
        rf"{PLAIN_NUMBER}\s*{_CENTS}\.?(?:\s*{_WAY})?",
        rf"{PLAIN_NUMBER}\s*{any_word('hertz', 'hz')}\.?",
        rf"{PLAIN_NUMBER}\s*{_WAY}",
        r"\d{1,2}(?:[.,]\d+)?(?![\d.])",
        rf"{any_word('on', 'at', 'to')}\s+{any_case('pitch')}",
    )
)
READING = rf"(?:{NOTE}\s*[=:]?\s*)?{_FIGURE}"
TABLE = r"[^\n]*\n[\s\S]*"  # what a table's columns are, the reader alone knows
READINGS = rf"{READING}(?:\s*(?:[;\n]|,(?!\d))\s*{READING})*\s*[,;]?"

_PREFIX = rf"(?:{any_word('rh', 'r.h.', 'humidity')}[\s:=]*)"
_DAMP = one_of(
    (
        rf"{_PREFIX}{PLAIN_NUMBER}\s*{unit(HUMIDITY)}?{_UNIT_GAP}",
        rf"{PLAIN_NUMBER}\s*{unit(HUMIDITY)}{_UNIT_GAP}",
    )
)
_WARM = rf"{NUMBER}\s*(?:{unit(TEMPERATURE)}|{any_word('degrees', 'deg')}|°){_UNIT_GAP}"
_APART = rf"(?:\s*(?:[;&,/\n]|{any_word('and', 'at')})\s*|\s+)"
AIR = one_of(
    (
        rf"{_WARM}(?:{_APART}(?:{_DAMP}|{PLAIN_NUMBER}))?",
        rf"{_DAMP}(?:{_APART}(?:{_WARM}|{NUMBER}))?",
        rf"{NUMBER}{_APART}{_DAMP}",
        rf"{PLAIN_NUMBER}{_APART}{_WARM}",
    )
)

_CODES = one_of((*CURRENCIES, *(code.lower() for code in CURRENCIES)))
CURRENCY = _CODES
MONEY = rf"[+-]?\s*(?:(?:{_CODES}|\$)\s*)?{NUMBER}\s*(?:\$\s*)?{_CODES}?"

_SPOKEN = any_word("half an hour", "half hour", "an hour", "a quarter of an hour", gap=r"\s+")
DURATION_TEXT = one_of((r"\d{1,2}:[0-5]\d(?:\s*[Hh])?", _SPOKEN, measure(DURATION)))

_COUNTS = any_word(
    "an", "a", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve",
)  # fmt: skip
_COUNT = rf"(?:\d[\d.,]*(?:\s\d+/\d+|/\d+)?|{_COUNTS})"
_SPAN = any_word("day", "week", "wk", "fortnight", "month", "mth", "mo", "quarter", "year", "yr")
_RHYTHM = any_word(
    "daily", "weekly", "fortnightly", "monthly", "quarterly", "half-yearly", "half a year",
    "yearly", "annually", "every year", "every month", "every week", "every other year",
    "every other month", gap=r"[\s-]+",
)  # fmt: skip
_TIMES = one_of(
    (
        any_word("once", "twice", "thrice", "three times", "four times", "six times"),
        rf"\d{{1,2}}\s*(?:[Xx]|{any_case('times')})",
    )
)
_EACH = any_word("in", "after", "every")
_OR = rf"(?:{_DASH}|{any_word('to', 'or')})"
PERIOD = one_of(
    (
        rf"(?:{_EACH}\s+)?{_COUNT}(?:\s*{_OR}\s*{_COUNT})?\s*{_SPAN}[Ss]?'?",
        _RHYTHM,
        rf"{_TIMES}\s*(?:{any_word('a', 'per', 'each', 'every')}|/)\s*{any_case('year')}",
    )
)

_MONTH_DAY = r"(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])"
DATE = rf"\d{{4}}-{_MONTH_DAY}"
_POINT = r"(?:\d{4}|\d{3}[Xx]|\d{2}[Xx]{2})(?:-(?:\d{2}|[Xx]{2})(?:-(?:\d{2}|[Xx]{2}))?)?[~?%]?"
EDTF = rf"(?:{_POINT}(?:/(?:{_POINT}|\.\.)?)?|(?:\.\.)?/{_POINT})"
_HERTZ = any_word("kilohertz", "hertz", "khz", "hz", "cps")
PITCH = rf"(?:[Aa]4?\s*[=:]?\s*)?{PLAIN_NUMBER}\s*{_HERTZ}?{_UNIT_GAP}"
RANGE = rf"[+]?{PLAIN_NUMBER}[^\d,]*?(?:{_DASH}|{any_case('to')})\s*{PLAIN_NUMBER}[^\d,]*"
FILE = r"\S[\s\S]*?\.[A-Za-z0-9]{2,5}(?:[,:]?\s[\s\S]*)?"

MEASURES: tuple[tuple[str, str], ...] = (
    ("mm", measure(LENGTH)),
    ("N·m", measure(TORQUE)),
    ("g", measure(MASS)),
    ("cents", rf"{NUMBER}\s*(?:{_CENTS})?"),
)
"""What a figure of a measured kind looks like, by the kind's unit."""
