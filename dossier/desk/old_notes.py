"""A folder of old notes in free text, each entry to a draft that keeps every word of it.

Only dates are read.  The words stay as they were written, on the bench alone, and what could be a
figure of the pitch or the air is offered behind a #; the draft holds the client's pages.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from dossier.desk.files import DeskError
from dossier.desk.importing import bytes_in
from dossier.desk.lines import tell
from dossier.quantities import QuantityError, parse_readings
from dossier.read.log_times import AmbiguousDatesError, reader_for
from dossier.read.text import decode

DayOf = Callable[[str], date | None]

ENDINGS = (".txt", ".md", ".text")
_FIGURES = r"\d{4}-\d\d-\d\d|\d{1,2}\.\d{1,2}\.\d{2,4}|\d{1,2}/\d{1,2}/\d{2,4}"
_IN_WORDS = r"\d{1,2}\.? [A-Za-z]{3,9}\.? \d{4}"
_HEAD = re.compile(rf"[#*\s-]*(?P<day>{_FIGURES}|{_IN_WORDS})(?!\d)")
_NAMED = re.compile(r"\d{4}-\d\d-\d\d")
_HERTZ = re.compile(r"\bA4?\s*(?:=|:|at|was)?\s*(\d{3}(?:\.\d+)?)\s*Hz", re.IGNORECASE)
_CENTS = re.compile(r"\b\d+(?:\.\d+)?\s*(?:cents?|c)?\s*(?:flat|sharp)\b", re.IGNORECASE)
_AIR = re.compile(r"(\d+(?:\.\d+)?)\s*%")


@dataclass(frozen=True, slots=True)
class Entry:
    """What was written of one day: its file and lines, its words as they stand there."""

    file: str
    first: int
    last: int
    day: date
    words: str


def entries(folder: Path) -> tuple[tuple[Entry, ...], tuple[str, ...]]:
    """All entries by day, and a sentence for each stretch that has no day and stays behind.

    Raises DeskError without a folder, and where nothing tells the day from the month.
    """
    texts, left = _texts(folder)
    heads = [
        match["day"] for lines in texts.values() for line in lines if (match := _HEAD.match(line))
    ]
    day_of = _days(heads)
    made: list[Entry] = []
    for name, lines in texts.items():
        for first, last, day in _stretches(name, lines, day_of):
            words = "\n".join(lines[first - 1 : last]).strip("\n")
            if not words.strip():
                continue
            if day is None:
                left.append(f"{name}:{first}:1: no date stands above these lines.")
            elif any(line.lstrip().startswith(":::") for line in words.split("\n")):
                left.append(f"{name}:{first}:1: a line begins with :::, which parts a note.")
            else:
                ends = max(at for at in range(first, last + 1) if lines[at - 1].strip())
                made.append(Entry(name, first, ends, day, words))
    return tuple(sorted(made, key=lambda one: (one.day, one.file, one.first))), tuple(left)


def _texts(folder: Path) -> tuple[dict[str, list[str]], list[str]]:
    """The lines of each text file, and what is to be said of those that are no text."""
    if not folder.is_dir():
        raise DeskError(f"There is no folder {folder}.")
    texts: dict[str, list[str]] = {}
    left: list[str] = []
    for path in sorted(path for path in folder.iterdir() if path.suffix.lower() in ENDINGS):
        text, found = decode(bytes_in(path), path.name)
        if text is None:
            left += [str(one) for one in found]
        else:
            texts[path.name] = text.split("\n")
    return texts, left


def _days(heads: Sequence[str]) -> DayOf:
    """Reads the dates of these notes; in figures all in one order.  Raises DeskError."""
    try:
        read = reader_for(head for head in heads if " " not in head)
    except AmbiguousDatesError:
        raise DeskError(
            "Nothing in these notes tells whether their dates begin with the day or with the "
            "month. Write one of them like 2026-03-14."
        ) from None

    def day_of(text: str) -> date | None:
        try:
            if " " not in text:
                return read(text).date()
            plain = " ".join(part.rstrip(".")[:3] for part in text.split()[:2])
            return datetime.strptime(f"{plain} {text[-4:]}", "%d %b %Y").date()
        except ValueError:
            return None

    return day_of


def draft(entry: Entry) -> str:
    """The draft of an entry, as a note that can be read at once."""
    where = f"{entry.file}, lines {entry.first} to {entry.last}"
    head = (
        tell(f"Imported from {where}, word for word. Take the # off what is right,"),
        tell("let the owner read what you take out of the bench's block, and take out hold."),
        "hold: yes",
        *_offered(entry.words),
    )
    return "\n".join(["---", *head, "---", "", "::: bench", entry.words, ":::", ""])


def _stretches(
    name: str, lines: Sequence[str], day_of: DayOf
) -> Iterator[tuple[int, int, date | None]]:
    """From which line to which an entry goes; before the first date, the file's own name tells."""
    named = _NAMED.search(name)
    day, first = day_of(named[0]) if named else None, 1
    for number, line in enumerate(lines, 1):
        match = _HEAD.match(line)
        begun = day_of(match["day"]) if match else None
        if begun is not None:
            if number > first:
                yield first, number - 1, day
            day, first = begun, number
    yield first, len(lines), day


def _offered(words: str) -> Iterator[str]:
    """What could be read, behind a #, where it stands there just once."""
    hertz = [f"A4 {figure} Hz" for figure in _HERTZ.findall(words)]
    pitch = [*hertz, *(() if hertz else _CENTS.findall(words))]
    if len(pitch) == 1 and _reads(pitch[0]):
        yield f"#found: {pitch[0]}"
    air = _AIR.findall(words)
    if len(air) == 1:
        yield f"#air: {air[0]} %"


def _reads(text: str) -> bool:
    try:
        return bool(parse_readings(text))
    except QuantityError:
        return False
