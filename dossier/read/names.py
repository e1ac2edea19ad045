"""What the names of files and folders say: the day of a visit, the slug of an instrument."""

from __future__ import annotations

import re
from datetime import date
from typing import NamedTuple

from dossier.diagnostics import Span
from dossier.quantities import QuantityError, parse_date
from dossier.read.pieces import Findings, quote
from dossier.slugs import is_slug, likely_slug

_DATED = re.compile(r"(?P<day>\d{4}-\d{2}-\d{2})(?:-(?P<word>.+))?")
# The words that part one day; any other word comes after them, in the order of the alphabet.
_TIMES_OF_DAY = ("", "early", "morning", "noon", "midday", "afternoon", "evening", "night", "late")


class DatedName(NamedTuple):
    """The name of a note: its day, the word behind it, and both as written."""

    day: date
    word: str
    stem: str

    @property
    def rank(self) -> tuple[date, int, int, str]:
        """Notes of one day in the order in which the day goes."""
        if self.word in _TIMES_OF_DAY:
            return (self.day, _TIMES_OF_DAY.index(self.word), 0, self.word)
        number = re.match(r"\d+", self.word)
        return (self.day, len(_TIMES_OF_DAY), int(number[0]) if number else 10**6, self.word)


def dated_name(path: str, findings: Findings) -> DatedName | None:
    """Read a note's file name, `2026-03-14.md` or `2026-03-14-evening.md`.

    An ill-formed date is an error and never makes a note vanish.
    """
    stem = path.rpartition("/")[2].removesuffix(".md")
    match = _DATED.fullmatch(stem)
    if match is None:
        _no_date(stem, path, findings)
        return None
    try:
        day = parse_date(match["day"])
    except QuantityError as error:
        findings.error("name-date", f"In the file's name, {error.message}", Span(path), error.hint)
        return None
    word = match["word"] or ""
    if word and not is_slug(word):
        likely = likely_slug(word) or "2"
        findings.error(
            "name-word",
            f"In the file's name, {quote(word)} is not lower-case letters, digits and hyphens.",
            Span(path),
            f"Rename it to {match['day']}-{likely}.md",
        )
        return None
    return DatedName(day, word, stem)


def day_in(stem: str) -> date | None:
    """The day that a file's name begins with, if it does."""
    match = re.match(r"\d{4}-\d{2}-\d{2}(?!\d)", stem)
    try:
        return parse_date(match[0]) if match else None
    except QuantityError:
        return None


def slug_of(name: str, what: str, path: str, findings: Findings) -> str | None:
    """The slug that a file or folder is named by."""
    if is_slug(name):
        return name
    likely = likely_slug(name)
    findings.error(
        "name-slug",
        f"{quote(name)} is not a name for {what}: that is lower-case letters, digits and hyphens.",
        Span(path),
        f"Rename it to {likely}" if likely else "Rename it.",
    )
    return None


def tell_future(day: date, today: date, path: str, findings: Findings) -> None:
    """A visit that has not been yet is unlikely, and its note counts all the same."""
    if day > today:
        findings.warning(
            "visit-future",
            f"The visit is dated {day.isoformat()}, and today is {today.isoformat()}.",
            Span(path),
            "Check the year in the file's name.",
        )


def _no_date(stem: str, path: str, findings: Findings) -> None:
    begins = re.match(r"[\d./ -]+|\w+", stem)
    hint = "Rename it to the date of the visit, as in 2026-03-14.md"
    try:
        parse_date(begins[0].strip(" -.") if begins else stem)
    except QuantityError as error:
        if match := re.match(r"Write (\d{4}-\d{2}-\d{2})\.", error.hint):
            hint = f"Rename it to {match[1]}.md"
    findings.error(
        "name-date",
        f"The file's name, {quote(stem)}, does not begin with a date.",
        Span(path),
        hint,
    )
