"""A new visit's note, begun from what is known of the instrument."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from dossier.analysis.findings import analyse
from dossier.desk.files import DeskError, free_name, names_in
from dossier.desk.known import Known, known_lines
from dossier.desk.lines import tell
from dossier.model import Notebook
from dossier.quantities import suggest


def known_of(notebook: Notebook, instrument: str, today: date) -> Known:
    """What is known of an instrument up to a day.  Raises DeskError where it can't be read."""
    if instrument not in notebook.instruments:
        raise DeskError(_no_instrument(instrument, notebook))
    if notebook.instruments[instrument].client not in notebook.clients:
        raise DeskError(f"The client of {instrument} has no file that can be read.")
    history = notebook.history(instrument)
    visits = tuple(visit for visit in history.visits if visit.date <= today)
    history = replace(history, visits=visits)
    return Known(history, analyse(history), today)


def _no_instrument(name: str, notebook: Notebook) -> str:
    """What to say to a name that is none: the nearest one, or what a client named so has."""
    message = f"There is no instrument {name} that can be read."
    near = suggest(name, sorted(notebook.instruments))
    theirs = sorted(slug for slug, one in notebook.instruments.items() if one.client == name)
    if theirs and name in notebook.clients:
        return f"{message} {name} is a client, whose instruments are: {', '.join(theirs)}."
    if near:
        return f"{message} Did you mean {near}?"
    return f"{message} An instrument is named by its folder in instruments/."


def visit_note(known: Known, *, loose: bool = False) -> str:
    """The text of a new note, in which every key still waits behind a #.

    A `loose` one is for a telephone and names its instrument and day, as a note of inbox/ must.
    """
    own, client = known.history.instrument, known.history.client
    head = (
        tell(f"{own.title}: {client.name}, {client.phone}".rstrip(", ")),
        tell("Take the # off a line to use it. Lines that keep theirs say nothing."),
        tell("What the owner reads goes below the second ---; between a line of"),
        tell("::: bench and one of ::: goes what only you read, between ::: found (or"),
        tell("::: left) and ::: the table of a tuning program."),
    )
    named = (f"instrument: {own.id}", f"date: {known.today.isoformat()}") if loose else ()
    return "\n".join(["---", *named, *head, "", *known_lines(known), "---", "", ""])


def visit_path(content: Path, instrument: str, day: date) -> Path:
    """Where the note of a day goes: a second one of that day has a number behind its date."""
    folder = content / "instruments" / instrument / "visits"
    return folder / f"{free_name(day, names_in(folder))}.md"
