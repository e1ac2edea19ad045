"""Where YAML's parser gave up, and what a rule makes of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


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
    """What a rule says of it, with line and column counted from 0 in the front matter."""

    code: str
    message: str
    hint: str
    line: int
    column: int = 0
    width: int = 0


Rule = Callable[[Trouble], Told | None]
