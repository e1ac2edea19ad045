"""A new round's note: a school's many instruments in one table, a row each."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from dossier.desk.files import DeskError, free_name, names_in
from dossier.desk.known import Known, open_in_words
from dossier.desk.lines import tell, wait
from dossier.desk.visit import known_of
from dossier.model import Notebook
from dossier.quantities import suggest

COLUMNS = ("instrument", "found", "work", "remark")
_ROOM = (0, 24, 24, 24)  # letters of a column that are left free for whoever fills it in


def round_of(notebook: Notebook, client: str, today: date) -> tuple[Known, ...]:
    """What is known of each instrument of a client.  Raises DeskError where there is none."""
    if client not in notebook.clients:
        raise DeskError(_no_client(client, notebook))
    own = sorted(slug for slug, one in notebook.instruments.items() if one.client == client)
    if not own:
        raise DeskError(f"No instrument names the client {client}.")
    return tuple(known_of(notebook, slug, today) for slug in own)


def _no_client(name: str, notebook: Notebook) -> str:
    """What to say to a name that is none: the nearest one, or whose the instrument named so is."""
    message = f"There is no client {name} that can be read."
    near = suggest(name, sorted(notebook.clients))
    if name in notebook.instruments:
        owner = notebook.instruments[name].client
        return f"{message} {name} is an instrument, whose client is {owner}."
    if near:
        return f"{message} Did you mean {near}?"
    return f"{message} A client is named by their file in clients/, without the .md."


def round_note(all_known: Sequence[Known]) -> str:
    """The text of a new round: what is open above, a row for each instrument below."""
    client = all_known[0].history.client
    reach = ", ".join(filter(None, (client.contact, client.phone)))
    head = (
        f"client: {client.id}",
        tell(": ".join(filter(None, (client.name, reach)))),
        tell("Take the # off a line to use it; it then holds for every row."),
        tell("Take the row out of what nobody looked at. A column more may be any key of a visit,"),
        tell("or bench for what only you read; a remark is read by the owner."),
        *(line for known in all_known for line in _open(known)),
        *wait("reason", ""),
        *wait("left", "on pitch"),
        *wait("work", "tuning"),
    )
    widths = [max(len(name), room) for name, room in zip(COLUMNS, _ROOM, strict=True)]
    slugs = [known.history.instrument.id for known in all_known]
    widths[0] = max(len(slug) for slug in (COLUMNS[0], *slugs))
    rows = (
        COLUMNS,
        tuple("-" * width for width in widths),
        *((slug, "", "", "") for slug in slugs),
    )
    return "\n".join(["---", *head, "---", *(_row(row, widths) for row in rows), ""])


def _open(known: Known) -> tuple[str, ...]:
    own = known.history.instrument
    last = f"last {known.last.date}" if known.last else "not visited yet"
    told = "; ".join(open_in_words(known))
    return (tell(f"{own.id} ({own.title}), {last}{': ' if told else ''}{told}"),)


def _row(cells: Sequence[str], widths: Sequence[int]) -> str:
    return f"| {' | '.join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True))} |"


def round_path(content: Path, day: date) -> Path:
    """Where the round of a day goes; a second one of that day has a number behind its date."""
    folder = content / "rounds"
    return folder / f"{free_name(day, names_in(folder))}.md"
