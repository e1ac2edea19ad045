"""Where YAML's parser gave up, and what a rule makes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from dossier.diagnostics import Diagnostic, Fix, Span


@dataclass(frozen=True, slots=True)
class Trouble:
    """Where the parser gave up (`line`, `column`) and where the thing it was reading began."""

    lines: list[str]
    problem: str
    context: str
    line: int
    column: int
    begun_line: int
    begun_column: int

    def text(self, line: int) -> str:
        return self.lines[line] if 0 <= line < len(self.lines) else ""

    @property
    def sign(self) -> str:
        return self.text(self.line)[self.column : self.column + 1]


@dataclass(frozen=True, slots=True)
class Told:
    """What a rule says of it, with line and column counted from 0 in the front matter.

    `fix` is the one thing that can have been meant: a column of that line, what stands there and
    what has to.
    """

    code: str
    message: str
    hint: str
    line: int
    column: int = 0
    width: int = 0
    fix: tuple[int, str, str] | None = None

    def finding(self, file: str, line: int) -> Diagnostic:
        """It as a finding in a file whose front matter begins on that line."""
        line += self.line
        span = Span(file, line, self.column + 1, self.width)
        if self.fix is None:
            return Diagnostic(self.code, self.message, span, self.hint)
        column, wrong, right = self.fix
        fix = Fix(Span(file, line, column + 1, len(wrong)), wrong, right)
        return Diagnostic(self.code, self.message, span, self.hint, fix=fix)


Rule = Callable[[Trouble], Told | None]
