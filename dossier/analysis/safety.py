"""The warnings of an instrument: each stands from the visit that gave it until a note says safe."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from dossier.model import History


@dataclass(frozen=True, slots=True)
class WarningLife:
    """A warning: its words, since when and from which visit.

    `lifted` is the day on which it was lifted, `by` the visit and `words` what was said then; None
    and "" while it stands.
    """

    text: str
    since: date
    visit: str
    lifted: date | None = None
    by: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class Safety:
    """What is warned of now, in one text; since when, and from which visit on, something is."""

    text: str
    since: date
    visit: str


def warning_lives(history: History) -> tuple[WarningLife, ...]:
    """Every warning, in the order in which they were given.

    A note that says safe lifts all that stand; what the same note warns of is new.  A warning that
    follows another does not lift it.
    """
    ended: list[WarningLife] = []
    standing: list[WarningLife] = []
    for visit in history.visits:
        if visit.safe:
            ended += [
                replace(one, lifted=visit.date, by=visit.id, words=visit.safe) for one in standing
            ]
            standing = []
        if visit.unsafe:
            standing.append(WarningLife(visit.unsafe, visit.date, visit.id))
    return (*ended, *standing)


def warned_of(lives: Iterable[WarningLife]) -> Safety | None:
    """All that stands in one; None where nothing does."""
    standing = [one for one in lives if one.lifted is None]
    if not standing:
        return None
    texts = {one.text.casefold().rstrip(". "): one.text.rstrip(". ") for one in standing}
    text = standing[0].text if len(texts) == 1 else "; ".join(texts.values())
    return Safety(text, standing[0].since, standing[0].visit)
