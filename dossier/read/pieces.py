"""Pieces of a note that know their place, and the findings that are gathered while reading."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.quantities import QuantityError


@dataclass(frozen=True, slots=True)
class Origin:
    """Where a value stands in a file.

    `raw` is the source of a value that YAML folded or unquoted, None where the value stands in
    the file letter by letter.
    """

    file: str
    line: int
    column: int
    value: str
    raw: str | None = None

    def place(self, offset: int) -> tuple[int, int, bool]:
        """Line and column of one letter of the value, and whether the column is exact."""
        if self.raw is None:
            return self.line, self.column + offset, True
        # Folding changes only white space: the n-th other letter of the value is the n-th in
        # the source. Escapes break that; then the place is where the value begins.
        count = sum(not letter.isspace() for letter in self.value[:offset])
        seen = 0
        for at, letter in enumerate(self.raw):
            if letter.isspace():
                continue
            if seen == count:
                line = self.raw.count("\n", 0, at)
                column = at - self.raw.rfind("\n", 0, at)
                return self.line + line, column + (self.column - 1 if line == 0 else 0), True
            seen += 1
        return self.line, self.column, False


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of a value: its text, and where in its origin it begins."""

    text: str
    origin: Origin
    offset: int = 0

    def span(self, offset: int = 0, length: int | None = None) -> Span:
        length = len(self.text) - offset if length is None else length
        line, column, exact = self.origin.place(self.offset + offset)
        return Span(self.origin.file, line, column, length if exact else 0)

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


def quote(text: str, longest: int = 40) -> str:
    """A text in quotes, on one line and not too long for a message."""
    line = " ".join(text.split())
    return f'"{line[: longest - 1].rstrip()}…"' if len(line) > longest else f'"{line}"'


@lru_cache(maxsize=4096)
def key_shape(text: str) -> str:
    """What two spellings of a key have in common: "Key_dip" and "key-dip" are one key."""
    return " ".join(text.casefold().replace("-", " ").replace("_", " ").split())


class Refused(Exception):  # noqa: N818 -- a refusal to read one value, caught where the value is kept
    """A value that cannot be read; carries the finding."""

    def __init__(self, finding: Diagnostic) -> None:
        super().__init__(finding.message)
        self.finding = finding


def refuse(code: str, message: str, span: Span, hint: str = "") -> Refused:
    """An error about one value, to be raised."""
    return Refused(Diagnostic(code, message, span, hint))


def refuse_quantity(error: QuantityError, piece: Piece, code: str) -> Refused:
    """A quantity's own refusal, placed in the file."""
    span = piece.span(error.offset, error.length or None)
    return Refused(Diagnostic(code, error.message, span, error.hint))


@dataclass(slots=True)
class Findings:
    """What was found while one file was read.  Lives as long as the reading of that file."""

    gathered: list[Diagnostic] = field(default_factory=list)

    def error(self, code: str, message: str, span: Span, hint: str = "") -> None:
        self.gathered.append(Diagnostic(code, message, span, hint))

    def warning(self, code: str, message: str, span: Span, hint: str = "") -> None:
        self.gathered.append(Diagnostic(code, message, span, hint, Severity.WARNING))

    def info(self, code: str, message: str, span: Span, hint: str = "") -> None:
        self.gathered.append(Diagnostic(code, message, span, hint, Severity.INFO))

    def add(self, found: tuple[Diagnostic, ...]) -> None:
        self.gathered.extend(found)

    @property
    def all(self) -> tuple[Diagnostic, ...]:
        return tuple(self.gathered)
