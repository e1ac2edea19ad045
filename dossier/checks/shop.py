"""Is the shop's register whole: clients, instruments, technicians, pictures?"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from dossier.analysis.hands import last_change, theirs_since
from dossier.checks.check import histories, info, shortened, visits, warning
from dossier.diagnostics import Diagnostic
from dossier.model import Notebook
from dossier.quantities import suggest


def without_instruments(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """A client without an instrument is a misspelt slug, or has sold it."""
    if notebook.stopped - notebook.instruments.keys():
        return  # whose they are can't be known before they can be read
    owners = {instrument.client for instrument in notebook.instruments.values()}
    for name, client in notebook.clients.items():
        if name not in owners and client.status != "left":
            yield warning(
                "client-without-instruments",
                f"No instrument names {name} as its client.",
                client.span,
                'Write the instrument\'s file, or "status: left" here.',
            )


def without_visits(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Its page says that nothing has been recorded yet."""
    for history in histories(notebook):
        if not history.visits and history.instrument.id not in notebook.stopped:
            yield info(
                "instrument-without-visits",
                "This instrument has no visit yet.",
                history.instrument.span,
            )


def technicians(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """Who came is part of the record: a misspelt name makes a second technician."""
    own = notebook.shop.technician
    colleagues = {one.name for one in notebook.shop.colleagues}
    told: set[str] = set()
    for _history, visit in visits(notebook):
        name = visit.technician
        if not name or name == own or name in colleagues | told:
            continue
        told.add(name)
        message = f"{shortened(name)} is not the shop's technician, {own}."
        if suggest(name, (own,)):
            hint = "Check how it is written."
            yield warning("technician", message, visit.place_of("technician"), hint)
        else:
            yield info("technician", message, visit.place_of("technician"))


def photos_twice(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """One of two lines with the same file was meant for another picture."""
    for _history, visit in visits(notebook):
        seen: dict[str, int] = {}
        for photo in visit.photos:
            if photo.file in seen:
                yield warning(
                    "photo-twice",
                    f"{shortened(photo.file)} is named on line {seen[photo.file]} already.",
                    photo.span,
                    "Keep one of the two, or name the other picture.",
                )
            seen.setdefault(photo.file, photo.span.line)


def hands(notebook: Notebook, _: date) -> Iterator[Diagnostic]:
    """What may be told of the time before hangs on whose the instrument is, and since when."""
    for history in histories(notebook):
        own = history.instrument
        change = last_change(own)
        if change is None:
            continue
        if change.client != own.client:
            yield warning(
                "hands",
                f"The last change of hands was to {change.client}, but its client is {own.client}: "
                "nothing that was written for anyone is shown.",
                change.place_of("client"),
                f'Write a line for the later change, as in "2026-05 sold, to {own.client}".',
            )
        elif theirs_since(own) == date.max:
            yield warning(
                "hands",
                "The day by which it had changed hands is open: nothing that was written for "
                "anyone is shown.",
                change.span,
                "Write the day, the month or the year.",
            )
