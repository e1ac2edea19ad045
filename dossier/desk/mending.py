"""What can only have been meant in one way, put right: as a trial first, on the disk when asked.

A finding's fix is put in where nothing else is wrong at its place, and stays only where the notes,
read anew with it, no longer have that finding and none in its stead.  All else of a file stays as
it is, byte for byte: its encoding, its mark and its ends of lines.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from dossier.desk.files import replace_own
from dossier.desk.session import all_findings
from dossier.diagnostics import Diagnostic, Fix, Severity, Span
from dossier.read import Recollection, Sources
from dossier.read.text import BREAK, encoding_of

_TWICE = re.compile("-twice$|^duplicate-")


@dataclass(slots=True)
class Mending:
    """A trial: the files with what was put right in them, and what is then still found.

    `before` and `after` are the bytes of the files that differ; `done` the findings that are gone,
    each with its fix.
    """

    found: tuple[Diagnostic, ...]
    before: dict[str, bytes] = field(default_factory=dict)
    after: dict[str, bytes] = field(default_factory=dict)
    done: list[Diagnostic] = field(default_factory=list)

    def diff(self) -> Iterator[str]:
        """What would be changed, in the lines of a unified diff."""
        for file, new in sorted(self.after.items()):
            old, both = _lines(self.before[file]), _lines(new)
            yield from difflib.unified_diff(old, both, file, file, lineterm="", n=1)

    def write(self, content: Path) -> tuple[str, ...]:
        """Write the files, each in one step; those that have changed meanwhile are named and stay.

        Raises OSError.
        """
        return tuple(
            file
            for file, new in sorted(self.after.items())
            if not replace_own(content / file, new, self.before[file])
        )


def mending(
    sources: Sources,
    today: date,
    wanted: Callable[[Diagnostic], bool] = lambda _: True,
) -> Mending:
    """Try every fix that is wanted, again and again: what hid behind a mistake is then seen.

    Nothing is written.  A fix that does not help, or brings a new error to its place, is undone.
    """
    before = Recollection()
    trial = Mending(all_findings(sources, today, before))
    held: dict[str, bytes] = {}
    settled: set[tuple[object, ...]] = set()
    singly = False
    while True:
        tried = [
            one
            for one in trial.found
            if one.fix is not None and wanted(one) and _name(one) not in settled
        ]
        tried = [one for one in tried if not _crowded(one, trial.found)]
        tried = tried[:1] if singly else tried
        if not tried:
            return trial
        held |= {
            one.span.file: sources[one.span.file] for one in tried if one.span.file not in held
        }
        changed, put_in = _with_fixes(tried, {**held, **trial.after})
        settled |= {_name(one) for one in tried if one not in put_in}
        if not put_in:
            continue
        files = {**trial.after, **changed}
        found = all_findings(sources.with_files(files), today, before)
        bad = {_name(one) for one, place in put_in.items() if _still(one, place, found)}
        if not bad and _harmed(trial.found, found, put_in, files):
            bad = {_name(one) for one in put_in} if len(put_in) == 1 else set()
            singly = True
        if bad or (singly and len(put_in) > 1):
            settled |= bad
            continue  # and the others are tried again without them
        settled |= {_name(one) for one in put_in}
        trial.before = {file: held[file] for file in files}
        trial.after, trial.found = files, found
        trial.done += put_in


def _name(one: Diagnostic) -> tuple[object, ...]:
    """What a finding is known by while columns move: its line, its rule, its fix."""
    fix = one.fix
    return (one.span.file, one.span.line, one.code, fix and fix.wrong, fix and fix.right)


def _crowded(one: Diagnostic, found: Iterable[Diagnostic]) -> bool:
    """Whether another error, or another fix, has to do with the same letters."""
    fix = one.fix
    return fix is None or any(
        _meet(fix.span, other.span) or (other.fix is not None and _meet(fix.span, other.fix.span))
        for other in found
        if other is not one and other.severity is Severity.ERROR and other.fix != fix
    )


def _still(one: Diagnostic, place: Span, found: Iterable[Diagnostic]) -> bool:
    """Whether the finding is there again, or another error at the place of its fix."""
    return any(
        other.severity is Severity.ERROR
        and (_meet(place, other.span) or _name(other) == _name(one))
        for other in found
    )


def _harmed(
    before: Iterable[Diagnostic],
    after: Iterable[Diagnostic],
    put_in: Iterable[Diagnostic],
    files: Mapping[str, bytes],
) -> bool:
    """Whether there is an error that was not there before, nor hid behind what was put right.

    Behind a mistake of YAML's hides all of its file, and behind one of the shop's any file; behind
    another what is on its line and below its key, but for what is then there twice.
    """
    known = {(one.code, one.span.file, one.span.line) for one in before}
    opened = {one.span.file for one in put_in if one.code.startswith("yaml-")}
    hidden = {
        (one.span.file, line) for one in put_in for line in _below(one.span, files[one.span.file])
    }
    whole = any(one.span.file == "shop.md" for one in put_in)
    return any(
        one.severity is Severity.ERROR
        and (one.code, one.span.file, one.span.line) not in known
        and ((one.span.file, one.span.line) not in hidden or _TWICE.search(one.code))
        and one.span.file not in opened
        and not (whole and one.span.file != "shop.md")
        for one in after
    )


def _below(place: Span, raw: bytes) -> Iterator[int]:
    """The line of a place, and those below it that belong to its key or its table."""
    yield place.line
    for at, line in enumerate(_lines(raw)[place.line :], place.line + 1):
        if line.strip() and line[0] not in " \t-|":
            return
        yield at


def _meet(one: Span, other: Span) -> bool:
    """Whether two places share a letter; one without a width is its whole line."""
    if (one.file, one.line) != (other.file, other.line):
        return False
    if not one.width or not other.width:
        return True
    return one.column < other.column + other.width and other.column < one.column + one.width


def _with_fixes(
    tried: Iterable[Diagnostic], files: Mapping[str, bytes]
) -> tuple[dict[str, bytes], dict[Diagnostic, Span]]:
    """The files with these fixes in them, and where each of those that fit now stands."""
    by_file: dict[str, list[Diagnostic]] = {}
    for one in tried:
        by_file.setdefault(one.span.file, []).append(one)
    changed: dict[str, bytes] = {}
    places: dict[Diagnostic, Span] = {}
    for file, those in by_file.items():
        new, put_in = _put_in(files[file], those)
        if put_in:
            changed[file] = new
            places |= put_in
    return changed, places


def _put_in(raw: bytes, those: Iterable[Diagnostic]) -> tuple[bytes, dict[Diagnostic, Span]]:
    """One file's bytes with the fixes that fit to its letters."""
    encoding = encoding_of(raw)
    if encoding is None:
        return raw, {}
    parts = BREAK.split(raw[len(encoding.mark) :].decode(encoding.name))
    shifts: dict[int, int] = {}
    places: dict[Diagnostic, Span] = {}
    for one in sorted(those, key=lambda one: one.fix.span if one.fix else one.span):
        fix = one.fix
        if fix is None or 2 * fix.span.line > len(parts) + 1:
            continue
        at, shift = 2 * (fix.span.line - 1), shifts.get(fix.span.line, 0)
        line = _replaced(parts[at], fix, shift)
        if line is None or not _can_be_written(line, encoding.name):
            continue
        parts[at] = line
        shifts[fix.span.line] = shift + len(fix.right) - len(fix.wrong)
        column = fix.span.column + shift
        places[one] = Span(fix.span.file, fix.span.line, column, len(fix.right))
    return encoding.mark + "".join(parts).encode(encoding.name), places


def _replaced(line: str, fix: Fix, shift: int) -> str | None:
    """The line with the fix; None where what it replaces does not stand there, letter by letter."""
    start = _letter(line, fix.span.column - 1 + shift)
    end = _letter(line, fix.span.column - 1 + shift + fix.span.width)
    if start is None or end is None:
        return None
    if unicodedata.normalize("NFC", line[start:end]) != fix.wrong:
        return None
    return line[:start] + fix.right + line[end:]


def _letter(line: str, count: int) -> int | None:
    """Where in a line the letter stands that is the `count`-th in NFC; None where none begins."""
    if line.isascii():
        return count if count <= len(line) else None
    for at in range(len(line) + 1):
        whole = at == len(line) or not unicodedata.combining(line[at])
        if whole and len(unicodedata.normalize("NFC", line[:at])) == count:
            return at
    return None


def _can_be_written(line: str, encoding: str) -> bool:
    try:
        line.encode(encoding)
    except UnicodeEncodeError:
        return False
    return True


def _lines(raw: bytes) -> list[str]:
    encoding = encoding_of(raw)
    text = raw.decode("utf-8", "replace") if encoding is None else raw.decode(encoding.name)
    return BREAK.sub("\n", text.removeprefix("\ufeff")).split("\n")
