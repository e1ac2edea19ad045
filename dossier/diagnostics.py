"""What is wrong, where, and what to write instead.

Every stage of the pipeline returns its findings as values of this module; only the
command line prints them.  Nothing here knows what an instrument is.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import IntEnum


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A place in a file of the content folder, so that every figure can be traced to its line.

    `file` is relative to the content folder with forward slashes; `line` and `column` count
    from 1; `width` is the number of characters that are meant, 0 where only the line is known.
    """

    file: str
    line: int = 1
    column: int = 1
    width: int = 0

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


class Severity(IntEnum):
    """How much a finding matters: an error stops what it concerns, a warning does not."""

    INFO = 0
    WARNING = 1
    ERROR = 2

    @property
    def label(self) -> str:
        return self.name.lower()


@dataclass(frozen=True, slots=True, order=True)
class Fix:
    """The only thing that can have been meant: `wrong`, which stands at `span`, becomes `right`.

    Both are of one line.  Where two things are possible, or who reads a page hangs on it, there is
    none: a person has to say which.
    """

    span: Span
    wrong: str
    right: str


@dataclass(frozen=True, slots=True)
class Diagnostic:
    """One finding.

    `code` is stable and names the rule; `message` says what is wrong and `hint` what to write
    instead, both as whole sentences.  `stops` names what must not be published because of an
    error, as "kind:name" pairs ("instrument:heron", "client:marsh-school", "shop:"); the reader
    fills it and the build obeys it.  `fix` is there where only one thing can have been meant.
    """

    code: str
    message: str
    span: Span
    hint: str = ""
    severity: Severity = Severity.ERROR
    stops: tuple[str, ...] = ()
    fix: Fix | None = None

    @property
    def sentence(self) -> str:
        return f"{self.message} {self.hint}".rstrip()

    def __str__(self) -> str:
        return f"{self.span}: {self.severity.label}: {self.sentence}"


def in_order(found: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """Each finding once, by file, line and column, so that two runs print the same."""
    return tuple(
        sorted(dict.fromkeys(found), key=lambda d: (d.span, -d.severity, d.code, d.message))
    )


def has_errors(found: Iterable[Diagnostic]) -> bool:
    """Whether anything was found that stops what it concerns."""
    return any(d.severity is Severity.ERROR for d in found)


def with_caret(diagnostic: Diagnostic, line: str | None) -> str:
    """The finding as people read it: the sentence, the line it is about, a caret below it."""
    if line is None:
        return str(diagnostic)
    line = line.rstrip("\r\n")
    shown = line.expandtabs(4)
    start = len(line[: diagnostic.span.column - 1].expandtabs(4))
    width = max(1, min(diagnostic.span.width, len(shown) - start))
    return f"{diagnostic}\n    {shown}\n    {' ' * start}{'^' * width}"


def as_json(diagnostic: Diagnostic) -> dict[str, object]:
    """The same finding for machines; the keys are part of the command line's contract.

    Columns and widths count letters of the line in NFC, without a byte order mark.
    """
    fix = diagnostic.fix
    return {
        "file": diagnostic.span.file,
        "line": diagnostic.span.line,
        "column": diagnostic.span.column,
        "severity": diagnostic.severity.label,
        "code": diagnostic.code,
        "message": diagnostic.message,
        "hint": diagnostic.hint,
        "stops": list(diagnostic.stops),
        "fix": None
        if fix is None
        else {
            "line": fix.span.line,
            "column": fix.span.column,
            "width": fix.span.width,
            "replaces": fix.wrong,
            "with": fix.right,
        },
    }
