"""The prose of a note, cut into what the owner reads and what stays on the bench.

Privacy is by place, so a fence that is misspelt or not closed is an error, and whatever might
have been meant for the bench stays there.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Literal

from dossier.diagnostics import Fix, Span
from dossier.model import Passage
from dossier.quantities import sure
from dossier.read.fields import did_you_mean
from dossier.read.pieces import Findings, Origin, Piece, fixed
from dossier.read.pitch_table import Stage

Audience = Literal["owner", "bench"]
STAGES: tuple[Stage, ...] = ("found", "left")
Tables = dict[Stage, list[Piece]]

_FENCE = re.compile(r"\s*(?P<colons>:{2,})[ \t]*(?P<word>[^:\s]*)(?P<rest>.*)")
_NEARLY = re.compile(r"\s*[:;.,]{1,4}\s*(?P<word>bench|owner)\b\s*", re.IGNORECASE)
_HINT = 'Write "::: bench" on a line of its own, and ":::" on a line of its own at its end.'


@dataclass(slots=True)
class _Cutter:
    """Walks the lines; `audience` is who may read the line at hand.

    `tables` are the lines between fences of a stage of the work, None where a note has no pitch;
    `table` is the stage whose lines are being walked.
    """

    file: str
    findings: Findings
    passages: list[Passage]
    tables: Tables | None = None
    table: Stage | None = None
    audience: Audience = "owner"
    open_line: int = 0
    broken: bool = False
    lines: list[str] | None = None
    begins: int = 0

    def take(self, line: str, number: int) -> None:
        fence = _FENCE.fullmatch(line)
        if fence:
            self._fence(fence, line, number)
        elif _NEARLY.fullmatch(line) or ":::" in line:
            self._break("fence-place", "This line is meant for a fence, but is none.", line, number)
        elif self.table and self.tables is not None:
            piece = Piece(line, Origin(self.file, number, 1, line)).part(0)
            self.tables.setdefault(self.table, []).append(piece)
        else:
            if self.lines is None:
                self.lines, self.begins = [], number
            self.lines.append(line)

    def _fence(self, fence: re.Match[str], line: str, number: int) -> None:
        word = fence["word"].casefold()
        if fence["rest"].strip():
            message = "A fence stands alone on its line."
            self._break("fence-place", message, line, number)
        elif len(fence["colons"]) == 2:
            self._break("fence-colons", "A fence has three colons, not two.", line, number)
        elif not word:
            self._close(line, number)
        elif word not in ("bench", "owner") and not (self.tables is not None and word in STAGES):
            hint = did_you_mean(word, ("bench", "owner"), _HINT)
            message = f'"{fence["word"]}" is not a kind of fence.'
            # A slip is taken for the bench alone: that nothing is published by a guess.
            bench = sure(word, ("bench", "owner")) == "bench"
            place = Span(self.file, number, fence.start("word") + 1, len(fence["word"]))
            fix = fixed(place, fence["word"], "bench") if bench else None
            self._break("fence-word", message, line, number, hint, fix)
        elif self.open_line:
            message = f"The fence on line {self.open_line} is not closed before this one."
            self._break("fence-nested", message, line, number, 'Write ":::" above this line.')
        else:
            self.flush()
            self.open_line = number
            self.audience = "bench" if self.broken or word == "bench" else "owner"
            self._begin_table(word, fence, number)

    def _begin_table(self, word: str, fence: re.Match[str], number: int) -> None:
        stage = next((stage for stage in STAGES if stage == word), None)
        if stage is None or self.tables is None:
            return
        self.table = stage
        piece = Piece(word, Origin(self.file, number, fence.start("word") + 1, word))
        if stage in self.tables:
            self.findings.error(
                "fence-twice",
                f"There are two tables of the pitch as {stage}; the first is on line "
                f"{self.tables[stage][0].span().line}.",
                piece.span(),
                "Put both into one, or file the later one as a visit of its own.",
            )
        self.tables.setdefault(stage, [piece])

    def _close(self, line: str, number: int) -> None:
        if not self.open_line and not self.broken:
            # What stands above may have been meant for the bench, by a fence that is not seen.
            self.passages[:] = [replace(passage, audience="bench") for passage in self.passages]
            self.audience = "bench"
            message = "This fence closes nothing, and the prose above it stays private too."
            self._break("fence-closing", message, line, number)
            return
        self.flush()
        self.open_line = 0
        self.audience = "bench" if self.broken else "owner"

    def _break(
        self,
        code: str,
        message: str,
        line: str,
        number: int,
        hint: str = _HINT,
        fix: Fix | None = None,
    ) -> None:
        self.flush()
        column = len(line) - len(line.lstrip()) + 1
        place = Span(self.file, number, column, len(line.strip()))
        self.findings.error(code, f"{message} What follows stays private.", place, hint, fix)
        self.broken = True
        self.audience = "bench"
        self.open_line = self.open_line or number

    def flush(self) -> None:
        self.table = None
        lines, self.lines = self.lines, None
        if lines is None:
            return
        text = "\n".join(lines)
        bare = text.strip("\n \t")
        if bare:
            blank = text[: text.index(bare[0])].count("\n")
            span = Span(self.file, self.begins + blank)
            markdown = text.strip("\n").rstrip()
            self.passages.append(Passage(span=span, markdown=markdown, audience=self.audience))


def read_body(
    body: str, file: str, first_line: int, findings: Findings, tables: Tables | None = None
) -> tuple[Passage, ...]:
    """Cut the prose of a note into passages, each for the owner or for the bench.

    A visit's may hold `tables` of the pitch: the lines between `::: found` or `::: left` and `:::`,
    the first of each the word itself.  They end there.
    """
    if not body.strip():
        return ()
    cutter = _Cutter(file, findings, [], tables)
    for number, line in enumerate(body.split("\n"), first_line):
        cutter.take(line, number)
    cutter.flush()
    if cutter.open_line and not cutter.broken:
        findings.error(
            "fence-open",
            "This fence is not closed, so that all that follows it stays private.",
            Span(file, cutter.open_line, 1, 9),
            'Write ":::" on a line of its own where it ends.',
        )
    return tuple(cutter.passages)


def parted(passages: tuple[Passage, ...]) -> tuple[str, str]:
    """The prose for the owner and that for the bench, each as one text."""
    return tuple(
        "\n\n".join(passage.markdown for passage in passages if passage.audience == audience)
        for audience in ("owner", "bench")
    )  # type: ignore[return-value]
