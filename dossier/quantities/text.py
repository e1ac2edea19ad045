"""Reads what a telephone's keyboard makes of a quantity, and says where in it an error lies."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from typing import NamedTuple

_LONGEST_QUOTE = 40

# A keyboard's look-alikes. Each stands for one thing only in a technician's figures.
_DASHES = "\u2010\u2011\u2012\u2013\u2014\u2015\u2212\ufe58\ufe63\uff0d"
_SPACES = "\t\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u3000"
_INVISIBLE = "\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufe0e\ufe0f\ufeff"
_PLAIN: dict[str, str] = {
    **dict.fromkeys(_DASHES, "-"),
    **dict.fromkeys(_SPACES, " "),
    **dict.fromkeys(_INVISIBLE, ""),
    **dict.fromkeys("‘’‚‛′´", "'"),
    **dict.fromkeys("“”„‟″", '"'),
    **dict.fromkeys("⁄∕", "/"),
    **dict.fromkeys("⋅∙•‧", "·"),
    **dict.fromkeys("º˚", "°"),
    "♯": "#",
    "♭": "b",
    "×": "x",
    "℃": "°C",
    "℉": "°F",
}
_SAME_WIDTH = str.maketrans({letter: one for letter, one in _PLAIN.items() if len(one) == 1})
# Letters that stay what they are; most values hold no others once the look-alikes are gone.
_STRAIGHT = re.compile(r"[\x00-\x7f°·€£¥]*")
# Marks that turn the direction of the text can show a reader something else than what is stored.
_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")


class QuantityError(ValueError):
    """A quantity that cannot be read, in words that can stand in a message to the technician.

    `message` says what is wrong and `hint` what to write instead; each is a sentence or empty.
    `offset` and `length` count characters of the text that was given to the parser.  `meant` is
    what has to stand at that place, where it can only be one thing; else empty.
    """

    def __init__(
        self, message: str, hint: str = "", offset: int = 0, length: int = 0, meant: str = ""
    ) -> None:
        super().__init__(f"{message} {hint}".rstrip())
        self.message = message
        self.hint = hint
        self.offset = offset
        self.length = length
        self.meant = meant


class Source(NamedTuple):
    """A text in plain characters that still knows where each of them stood in the original.

    `marks[i]` is the place in `original` of the character `text[i]`; one more mark ends the text.
    A part of a source keeps the original's places, so an error in it points to the right spot.
    """

    text: str
    original: str
    marks: Sequence[int]

    def part(self, start: int, end: int | None = None) -> Source:
        """Cut a piece out, without the white space around it."""
        cut = self.text[start:end]
        bare = cut.lstrip()
        start += len(cut) - len(bare)
        bare = bare.rstrip()
        if len(bare) == len(self.text):
            return self
        return Source(bare, self.original, self.marks[start : start + len(bare) + 1])

    def split(self, between: re.Pattern[str]) -> Iterator[Source]:
        """Cut the source at each match of `between`; pieces with nothing in them are left out."""
        start = 0
        for match in between.finditer(self.text):
            if (piece := self.part(start, match.start())).text:
                yield piece
            start = match.end()
        if (piece := self.part(start)).text:
            yield piece

    @property
    def offset(self) -> int:
        """Where this source begins in the original."""
        return self.marks[0]

    @property
    def length(self) -> int:
        """How many characters of the original it covers."""
        return self.marks[-1] - self.marks[0]

    @property
    def shown(self) -> str:
        """What the technician wrote here."""
        return self.original[self.marks[0] : self.marks[-1]]

    @property
    def quoted(self) -> str:
        """What the technician wrote here, as a message quotes it: on one line, not too long."""
        line = " ".join(self.shown.split())
        if len(line) > _LONGEST_QUOTE:
            line = line[: _LONGEST_QUOTE - 1].rstrip() + "…"
        return f'"{line}"'

    def error(self, message: str, hint: str = "", meant: str = "") -> QuantityError:
        """Make an error that points at this source, which can only have been `meant` for that."""
        return QuantityError(message, hint, self.offset, self.length, meant)


def plain(text: str) -> Source:
    """Normalise a text to NFC and to the plain characters that the parsers know.

    Dashes become a hyphen, curly quotes straight, all kinds of space a space, `½` becomes 1/2,
    and digits of every script become 0-9, because telephones put all of these in unasked.
    Raises QuantityError where a mark turns the direction of the text.
    """
    straight = text.replace("\t", " ") if text.isascii() else text.translate(_SAME_WIDTH)
    if _STRAIGHT.fullmatch(straight):
        return Source(straight, text, range(len(text) + 1)).part(0)
    if turning := _TURNING.search(text):
        raise QuantityError(
            f"An invisible character (U+{ord(turning[0]):04X}) turns the text around.",
            "Delete it and type the value again.",
            turning.start(),
            1,
        )
    letters: list[str] = []
    marks: list[int] = []
    for start, cluster in _clusters(text):
        for letter in unicodedata.normalize("NFC", cluster):
            piece = _plain_letter(letter)
            if len(piece) > 1 and "/" in piece and letters and letters[-1].isdigit():
                piece = " " + piece
            letters.extend(piece)
            marks.extend([start] * len(piece))
    return Source("".join(letters), text, (*marks, len(text))).part(0)


def _clusters(text: str) -> list[tuple[int, str]]:
    """Split a text into letters with the accents that follow them, each with its place."""
    clusters: list[tuple[int, str]] = []
    for place, letter in enumerate(text):
        if clusters and unicodedata.combining(letter):
            start, cluster = clusters[-1]
            clusters[-1] = (start, cluster + letter)
        else:
            clusters.append((place, letter))
    return clusters


def _plain_letter(letter: str) -> str:
    if letter.isascii():
        return letter
    if letter in _PLAIN:
        return _PLAIN[letter]
    if letter.isdecimal():
        return str(unicodedata.decimal(letter))
    if unicodedata.decomposition(letter).startswith(("<fraction>", "<wide>", "<square>")):
        return unicodedata.normalize("NFKC", letter).replace("⁄", "/")
    return letter
