"""Pieces of a note that know their place, and the findings that are gathered while reading."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import islice
from typing import NamedTuple

from dossier.diagnostics import Diagnostic, Fix, Severity, Span
from dossier.quantities import QuantityError


class Origin(NamedTuple):
    """Where a value stands in a file.

    `raw` is the source of a value that YAML folded or unquoted, None where the value stands in
    the file letter by letter.
    """

    file: str
    line: int
    column: int
    value: str
    raw: str | None = None

    def span(self, offset: int, length: int) -> Span:
        """The place of some letters of the value, as far as they stand on one line.

        Its width is 0 where only the value's own place is known.
        """
        if self.raw is None:
            return Span(self.file, self.line, self.column + offset, length)
        at = self._in_source(offset)
        if at is None:
            return Span(self.file, self.line, self.column)
        line = self.raw.count("\n", 0, at)
        column = at - self.raw.rfind("\n", 0, at) + (self.column - 1 if line == 0 else 0)
        last = self._in_source(offset + length - 1) if length else at
        width = len(self.raw[at:].split("\n", 1)[0].rstrip())
        if last is not None:
            width = min(width, last - at + 1 if length else 0)
        return Span(self.file, self.line + line, column, width)

    def _in_source(self, offset: int) -> int | None:
        """Where a letter of the value stands in its source; None where an escape hides it.

        Folding changes only white space: the n-th other letter of the value is the n-th in the
        source.
        """
        count = sum(not letter.isspace() for letter in self.value[:offset])
        letters = (at for at, letter in enumerate(self.raw or "") if not letter.isspace())
        return next(islice(letters, count, None), None)


class Piece(NamedTuple):
    """A piece of a value: its text, and where in its origin it begins."""

    text: str
    origin: Origin
    offset: int = 0

    def span(self, offset: int = 0, length: int | None = None) -> Span:
        length = len(self.text) - offset if length is None else length
        return self.origin.span(self.offset + offset, length)

    def part(self, start: int, end: int | None = None) -> Piece:
        """Cut a piece out, without the white space around it."""
        cut = self.text[start:end]
        bare = cut.lstrip()
        return Piece(bare.rstrip(), self.origin, self.offset + start + len(cut) - len(bare))

    def parts(self, separator: str = ",") -> tuple[Piece, ...]:
        """Split at a separator; a comma between two digits belongs to their number."""
        found: list[Piece] = []
        start = 0
        at = self.text.find(separator)
        while at >= 0:
            if separator != "," or not self._inside_number(at):
                found.append(self.part(start, at))
                start = at + 1
            at = self.text.find(separator, at + 1)
        return (*found, self.part(start))

    def _inside_number(self, at: int) -> bool:
        before, after = self.text[at - 1 : at], self.text[at + 1 : at + 2]
        return before.isdigit() and after.isdigit()

    @property
    def quoted(self) -> str:
        """The text as a message quotes it: on one line, and not too long."""
        return quote(self.text)


def joined(parts: Sequence[Piece]) -> tuple[str, Span]:
    """Parts of a line as one text again, and its place.

    The place is no wider than the first part where the text does not stand like that in the note.
    """
    text = ", ".join(part.text for part in parts)
    first = parts[0]
    whole = first.origin.value.startswith(text, first.offset)
    return text, first.span(0, len(text) if whole else None)


def places(**pieces: Piece | None) -> dict[str, Span]:
    """The places of a record's fields, of those that are there."""
    return {name: piece.span() for name, piece in pieces.items() if piece and piece.text}


def quote(text: str, longest: int = 40) -> str:
    """A text in quotes, on one line and not too long for a message."""
    line = " ".join(text.split())
    return f'"{line[: longest - 1].rstrip()}…"' if len(line) > longest else f'"{line}"'


def in_quotes(text: str) -> str:
    """A text in the quotes between which YAML takes it letter by letter."""
    if '"' in text or "\\" in text:
        return "'" + text.replace("'", "''") + "'"
    return f'"{text}"'


@lru_cache(maxsize=4096)
def key_shape(text: str) -> str:
    """What two spellings of a key have in common: "Key_dip" and "key-dip" are one key."""
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())


class Refused(Exception):  # noqa: N818 -- a refusal to read one value, caught where the value is kept
    """A value that cannot be read; carries the finding."""

    def __init__(self, finding: Diagnostic) -> None:
        super().__init__(finding.message)
        self.finding = finding


def refuse(code: str, message: str, span: Span, hint: str = "", fix: Fix | None = None) -> Refused:
    """An error about one value, to be raised."""
    return Refused(Diagnostic(code, message, span, hint, fix=fix))


def fixed(span: Span, wrong: str, right: str | None) -> Fix | None:
    """The fix that puts `right` in the place of `wrong`; None where it does not stand like that.

    A value that YAML folded has no place of its own, and what runs over lines no fix.
    """
    if not right or right == wrong or span.width != len(wrong) or "\n" in wrong + right:
        return None
    return Fix(span, wrong, right)


def refuse_quantity(error: QuantityError, piece: Piece, code: str) -> Refused:
    """A quantity's own refusal, placed in the file."""
    span = piece.span(error.offset, error.length or None)
    wrong = piece.text[error.offset :][: error.length or None]
    fix = fixed(span, wrong, error.meant)
    return Refused(Diagnostic(code, error.message, span, error.hint, fix=fix))


@dataclass(slots=True)
class Findings:
    """What was found while one file was read.  Lives as long as the reading of that file."""

    gathered: list[Diagnostic] = field(default_factory=list)

    def error(
        self, code: str, message: str, span: Span, hint: str = "", fix: Fix | None = None
    ) -> None:
        self.gathered.append(Diagnostic(code, message, span, hint, fix=fix))

    def warning(self, code: str, message: str, span: Span, hint: str = "") -> None:
        self.gathered.append(Diagnostic(code, message, span, hint, Severity.WARNING))

    def info(self, code: str, message: str, span: Span, hint: str = "") -> None:
        self.gathered.append(Diagnostic(code, message, span, hint, Severity.INFO))

    def add(self, found: tuple[Diagnostic, ...]) -> None:
        self.gathered.extend(found)

    @property
    def all(self) -> tuple[Diagnostic, ...]:
        return tuple(self.gathered)
