"""What all files of the notes have in common: bytes to front matter and prose."""

from __future__ import annotations

import re
from dataclasses import dataclass

from dossier.diagnostics import Diagnostic, Span
from dossier.read.frontmatter import Halves, split
from dossier.read.pieces import Findings
from dossier.read.schema import Table
from dossier.read.text import decode
from dossier.read.yaml_nodes import Pairs, compose

# A row of = alone may underline a heading, so it tells nothing by itself.
_CONFLICT = re.compile(r"(?:<{7}|\|{7}|>{7})(?: .*)?")


@dataclass(frozen=True, slots=True)
class Note:
    """One file, opened: its keys with their values, and its prose."""

    file: str
    tree: Pairs
    body: str
    body_line: int


def open_note(raw: bytes, file: str, table: Table, findings: Findings) -> Note | None:
    """Open a file's bytes.  None, with findings, where its halves can't be told apart."""
    text, found = decode(raw, file)
    findings.add(found)
    return None if text is None else open_text(text, file, table, findings)


def open_text(text: str, file: str, table: Table, findings: Findings) -> Note | None:
    """Open a file's text."""
    if not text.strip():
        findings.error(
            "empty-file",
            "The file is empty.",
            Span(file),
            "Write one sentence, or delete the file.",
        )
        return None
    if unjoined := _unjoined(text, file):
        findings.gathered.append(unjoined)
        return None
    halves, found = split(text, file, table.by_shape)
    findings.add(found)
    return None if halves is None else _composed(halves, file, findings)


def _unjoined(text: str, file: str) -> Diagnostic | None:
    """The finding for a note in which a merge left both versions, of which neither is the truth."""
    marks = [
        (number, line)
        for number, line in enumerate(text.split("\n"), 1)
        if _CONFLICT.fullmatch(line)
    ]
    if not marks:
        return None
    number, line = marks[0]
    end, _ = marks[-1]
    return Diagnostic(
        "conflict",
        f"Two versions of this note were never joined: lines {number} to {end} hold both."
        if end > number
        else "Two versions of this note were joined only by half: a line of marks is left.",
        Span(file, number, 1, len(line.rstrip())),
        "Keep what is true, and take out the lines that begin with <<<<<<<, ======= and >>>>>>>.",
    )


def _composed(halves: Halves, file: str, findings: Findings) -> Note | None:
    tree = compose(halves.front, file, halves.front_line, findings)
    return None if tree is None else Note(file, tree, halves.body, halves.body_line)
