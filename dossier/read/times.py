"""Times at the end of a sentence: `before October` of an advice, `4-8 weeks` of a next visit."""

from __future__ import annotations

import re

from dossier.quantities import MONTHS, When, parse_period, parse_when
from dossier.read.pieces import Piece
from dossier.read.schema import Entry
from dossier.read.values import maybe, parsed

_BEFORE = re.compile(
    r"(?:,\s*|\s+)(?:to\s+be\s+done\s+)?(?P<word>before|by)\s+(?:the\s+end\s+of\s+)?",
    re.IGNORECASE,
)
_IN = re.compile(r"\s+(?=(?:in|within|before|by)\s)", re.IGNORECASE)
_TIMELY = re.compile(r"(?:before|by|next|this)\s", re.IGNORECASE)
# Words that stand behind these only where a time is meant.
_OF_THE_YEAR = re.compile(
    r"\b(?:next(?!\s+to\b)|season|spring|summer|autumn|(?:the|this)\s+fall|winter|weeks?|months?"
    r"|years?|term|semester|holidays?|christmas|easter|advent|concert|recital|festival|wedding"
    rf"|competition|exams?|(?-i:{'|'.join(MONTHS)}))\b",
    re.IGNORECASE,
)
_MOST_WORDS = 6


def until(piece: Piece, entry: Entry) -> tuple[str, When | None]:
    """Take `, before October` off the end of an advice, where it names a time.

    Where it names one that no calendar has, as in `before next winter`, a warning says so.
    """
    found = list(_BEFORE.finditer(piece.text))
    for match in reversed(found):
        when = maybe(parse_before, piece.text[match.end() :].rstrip(" ."))
        if when is not None:
            return piece.text[: match.start()].rstrip(" ,"), when
    if found:
        _tell_untimely(piece.part(found[-1].start("word")), entry)
    return piece.text, None


def at_end(piece: Piece, entry: Entry) -> tuple[str, When | None, Piece]:
    """Part what comes next from its time: `check the splice, 4-8 weeks`, or a time alone.

    A word such as in or before stands for the comma: `tuning in 6 months`.
    """
    *before_it, last = piece.parts()
    when = maybe(parse_when, _plainly(last.text))
    if when is not None:
        words = piece.text[: last.offset - piece.offset].rstrip(" ,")
        return words or piece.text, when, last
    for match in _IN.finditer(piece.text, last.offset - piece.offset):
        tail = piece.part(match.end())
        when = maybe(parse_when, _plainly(tail.text.rstrip(".")))
        if when is not None:
            return piece.text[: match.start()], when, tail
    if _nearly(last.text, alone=not before_it):
        parsed(parse_period if last.text[-1].isalpha() else parse_when, last, "when")
    if _TIMELY.match(last.text):
        _tell_untimely(last, entry)
    return piece.text, None, last


def parse_before(words: str) -> When:
    """A time before which something is to be done.  Raises QuantityError."""
    if words.casefold().startswith("before "):
        return parse_when(words)
    found = maybe(parse_when, f"before {words}")
    return parse_when(words) if found is None else found


def _nearly(words: str, *, alone: bool) -> bool:
    """Whether it was meant for a time: `4-8 weaks` is nearly a period, `2026-13` a month."""
    if alone:
        return re.fullmatch(r"\d{1,4}[-./]\d{1,2}(?:[-./]\d{1,4})?", words) is not None
    return bool(re.match(r"\d", words)) and not re.search(r"[A-Ha-h][#b]?\d", words)


def _tell_untimely(piece: Piece, entry: Entry) -> None:
    """Say that `before the Christmas concert` is kept as words only."""
    if _OF_THE_YEAR.search(piece.text) and len(piece.text.split()) <= _MOST_WORDS:
        entry.findings.warning(
            "when-not-kept",
            f"{piece.quoted} is not a time that can be kept.",
            piece.span(),
            "Write a month, as in before October, or a day.",
        )


def _plainly(words: str) -> str:
    """`by October` and `about 3 weeks` in the words that the calendar's parser knows."""
    words = re.sub(r"^by\s+", "before ", words, flags=re.IGNORECASE)
    return re.sub(r"^(?:within|from|about)\s+", "", words, flags=re.IGNORECASE)
