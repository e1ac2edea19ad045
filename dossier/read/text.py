"""Bytes to text: what telephones, Windows and cameras do to a file, undone or refused out loud."""

from __future__ import annotations

import codecs
import re
import unicodedata
from typing import NamedTuple

from dossier.diagnostics import Diagnostic, Severity, Span

Found = tuple[Diagnostic, ...]

BREAK = re.compile("(\r\n|\r|\n)")
"""An end of a line as any editor writes it.  To split at it gives lines and their ends in turn, the
lines as many as those of `decode`."""

_UTF16 = ((codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
# YAML takes these for ends of lines and counts lines after them differently from every editor.
_ODD_BREAKS = re.compile("[\x85\u2028\u2029\x0b\x0c]")
_TURNING = re.compile("[\u202a-\u202e\u2066-\u2069]")
_CONTROL = re.compile("[\x00-\x08\x0e-\x1f\x7f-\x84\x86-\x9f\ufeff\ufffe\uffff]")
_CURLY_VALUE = re.compile(
    r"^(?P<before>[^#\"“”]*?(?:: |- ))“(?P<value>[^\"“”\n]*)”[ \t]*$", re.MULTILINE
)
_SPACES = "\u00a0\u2007\u2009\u202f"


def decode(raw: bytes, file: str) -> tuple[str | None, Found]:
    """Turn a file's bytes into text, with `\\n` at the ends of lines and letters in NFC.

    Places in the text count from the first letter: a byte order mark or CRLF never shifts them.
    The text is None where nothing of the file may be trusted.
    """
    text, found = _letters(raw, file)
    if text is None:
        return None, found
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if not text.isascii():
        text = unicodedata.normalize("NFC", _ODD_BREAKS.sub(" ", text))
    elif "\x0b" in text or "\x0c" in text:
        text = _ODD_BREAKS.sub(" ", text)
    refused = _refused(text, file)
    return (None, (*found, refused)) if refused else (text, found)


def straight_quotes(front: str) -> str:
    """Make quotes that a telephone curled around a whole value straight, so that YAML sees them.

    Only the marks around a whole value are touched, never those inside a sentence; spaces that
    only look like spaces become spaces.  The length of every line stays as it was.
    """
    if front.isascii():
        return front
    for space in _SPACES:
        front = front.replace(space, " ")
    return _CURLY_VALUE.sub(r'\g<before>"\g<value>"', front) if "“" in front else front


def line_of(text: str, line: int) -> str | None:
    """One line of a text, counted from 1, for the message that points at it."""
    lines = text.split("\n")
    return lines[line - 1] if 0 < line <= len(lines) else None


class Encoding(NamedTuple):
    """How a file's letters are written: the byte order mark before them, and the encoding.

    `slip` is where the first byte stands that is no UTF-8, so that it was read as Windows text.
    """

    mark: bytes
    name: str
    slip: int | None = None


def encoding_of(raw: bytes) -> Encoding | None:
    """The encoding of a file that a person typed; None where it is none that can be read."""
    marks = (*_UTF16, (codecs.BOM_UTF8, "utf-8"), (b"", "utf-8"))
    mark, name = next(one for one in marks if raw.startswith(one[0]))
    try:
        raw[len(mark) :].decode(name)
    except UnicodeDecodeError as error:
        return None if name != "utf-8" else _windows(raw, error.start + len(mark))
    return Encoding(mark, name)


def _windows(raw: bytes, slip: int) -> Encoding | None:
    try:
        return None if "\x00" in raw.decode("cp1252") else Encoding(b"", "cp1252", slip)
    except UnicodeDecodeError:
        return None


def _letters(raw: bytes, file: str) -> tuple[str | None, Found]:
    encoding = encoding_of(raw)
    if encoding is None:
        return None, (_undecodable(file),)
    text = raw[len(encoding.mark) :].decode(encoding.name)
    return text, () if encoding.slip is None else (_no_utf8(raw, text, encoding.slip, file),)


def _no_utf8(raw: bytes, text: str, start: int, file: str) -> Diagnostic:
    line = raw.count(b"\n", 0, start) + 1
    column = start - raw.rfind(b"\n", 0, start)
    return Diagnostic(
        "text-cp1252",
        "The file is not UTF-8; it was read as Windows text, so that this letter is "
        f'"{text[start]}".',
        Span(file, line, column, 1),
        "Save it as UTF-8.",
        Severity.WARNING,
    )


def _undecodable(file: str) -> Diagnostic:
    return Diagnostic(
        "text-undecodable",
        "The file is not text that can be read.",
        Span(file),
        "Save it as plain text in UTF-8.",
    )


def _refused(text: str, file: str) -> Diagnostic | None:
    if match := _CONTROL.search(text):
        if match[0] == "\x00":
            message = "The file holds a NUL character, so it is not plain text."
        else:
            message = f"An invisible control character (U+{ord(match[0]):04X}) stands here."
        return Diagnostic(
            "text-control",
            message,
            _place(text, match.start(), file),
            "Delete it, or save the file again as UTF-8.",
        )
    if not text.isascii() and (match := _TURNING.search(text)):
        return Diagnostic(
            "text-bidi",
            f"An invisible character (U+{ord(match[0]):04X}) turns the text around, "
            "so that it reads otherwise than it is.",
            _place(text, match.start(), file),
            "Delete it and type the words again.",
        )
    return None


def unseen(text: str) -> str | None:
    """The first sign of a text that no reader sees and that may turn it around; None for none."""
    found = _CONTROL.search(text) or _TURNING.search(text)
    return found[0] if found else None


def _place(text: str, at: int, file: str) -> Span:
    return Span(file, text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at), 1)
