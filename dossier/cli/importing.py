"""import: readings and logs that another program wrote, taken over into the notes."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dossier.cli.options import Day, complete, content_option, state_of
from dossier.cli.telling import FINE, PROBLEMS, day_of, exit_code, fail, need_folder, show_findings

if TYPE_CHECKING:
    from dossier.read.pitch_table import Stage


@click.group("import", epilog="Example:  dossier import pitch readings.csv --instrument heron")
def import_() -> None:
    """Take over what lies elsewhere: pitch readings, a logger's file, photographs, old notes.

    Nothing is overwritten, and nothing is believed before you have looked at it.
    """


@import_.command(
    epilog="Example:  dossier import pitch readings.csv --instrument heron --date 2026-03-14",
    short_help="Readings of the pitch from a table into a new note.",
)
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--instrument", required=True, shell_complete=complete("instrument"))
@click.option(
    "--date", "--today", "day", type=Day(), help="The day they were read. [default: today]"
)
@click.option(
    "--as",
    "stage",
    type=click.Choice(["found", "left"]),
    default="found",
    show_default=True,
    help="Whether the pitch was so before the work or after it.",
)
@content_option
def pitch(file: Path, instrument: str, content: Path, day: date | None, stage: Stage) -> None:
    """Write a new note with the readings of FILE, a table of notes and their cents or hertz.

    The note holds the client's pages until you have looked at it and taken out its hold.
    """
    from dossier.desk.files import DeskError, write_new
    from dossier.desk.importing import bytes_in, pitch_note
    from dossier.desk.session import findings_in, open_notebook
    from dossier.desk.visit import known_of, visit_path

    need_folder(content)
    today = day_of(None)
    when = day or today
    try:
        known_of(open_notebook(content, when), instrument, when)
        text, found = pitch_note(bytes_in(file), file, stage, today)
        show_findings(found, file.parent, quiet=False)
        if text is None:
            click.echo("Nothing was written.", err=True)
            sys.exit(PROBLEMS)
        path = visit_path(content, instrument, when)
        write_new(path, text)
    except DeskError as error:
        fail(str(error))
    found = findings_in(content, path, max(when, today))
    show_findings(found, content, quiet=False)
    click.echo(f"{path}: look at it, and take out hold.")
    sys.exit(exit_code(found))


@import_.command(
    epilog="Example:  dossier import log export.csv --room parlour",
    short_help="A logger's file into the folder of its room.",
)
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--room",
    required=True,
    help="The room, by the name of its file in rooms/.",
    shell_complete=complete("room"),
)
@click.option("--yes", is_flag=True, help="Copy it without asking.")
@content_option
def log(file: Path, room: str, content: Path, *, yes: bool) -> None:
    """Read FILE, say what was read of it, and copy it to its room under a name of its months.

    Asks first; in a pipe it only says what it read.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.importing import bytes_in, log_copy, log_in_words, take_over
    from dossier.desk.session import open_notebook

    need_folder(content)
    try:
        shop, raw = open_notebook(content, day_of(None)).shop, bytes_in(file)
        copy = log_copy(raw, file, room, shop, content)
        show_findings(copy.findings, file.parent, quiet=False)
        for line in copy.shown:
            click.echo(f"    {line}")
        if copy.log is None:
            click.echo("Nothing was copied.", err=True)
            sys.exit(PROBLEMS)
        for line in log_in_words(copy.log, shop):
            click.echo(line)
        if copy.there:
            click.echo(f"The same file is there already: {content / copy.target}")
        elif yes or (sys.stdin.isatty() and click.confirm(f"Copy it to {copy.target}?")):
            click.echo(f"Copied to {take_over(raw, copy, content)}")
        else:
            click.echo(f"Nothing was copied: --yes copies it to {content / copy.target}")
    except DeskError as error:
        fail(str(error))
    sys.exit(FINE)


@import_.command(
    epilog="Example:  dossier import photos ~/camera --instrument heron",
    short_help="A folder's photographs, each to the visit of its day.",
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--instrument", default="", shell_complete=complete("instrument"))
@click.option("--yes", is_flag=True, help="Take all that fit one visit, without asking.")
@click.option("--dry-run", is_flag=True, help="Say what would be done, and do nothing.")
@content_option
def photos(folder: Path, instrument: str, content: Path, *, yes: bool, dry_run: bool) -> None:
    """Offer each photograph of FOLDER to the visit of its day, and name it in that visit's note.

    Its day is the camera's, else that of its name. Each is shown and asked for; in a pipe it only
    lists. Photographs are copied, and a note's earlier text is kept in the state folder.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.photos import carry_out, offer, photographs
    from dossier.desk.session import open_notebook
    from dossier.desk.visit import known_of
    from dossier.publish.trouble import PublishError

    need_folder(content)
    today, trouble = day_of(None), False
    try:
        notebook = open_notebook(content, today)
        if instrument:
            known_of(notebook, instrument, today)
        for path in photographs(folder):
            one = offer(path, notebook, instrument, content)
            if one.trouble:
                when = f" ({one.day}, {one.how})" if one.how else ""
                click.echo(f"{path.name}{when}: {one.trouble}", err=True)
                trouble = True
                continue
            click.echo(f"{path.name} ({one.day}, {one.how}) -> {one.target}")
            click.echo(f"{one.note}: {one.line.strip()}")
            if not dry_run and (yes or (sys.stdin.isatty() and click.confirm("Take it?"))):
                carry_out(one, content, state_of(content))
                notebook = open_notebook(content, today)
    except (DeskError, PublishError) as error:
        fail(str(error))
    sys.exit(PROBLEMS if trouble else FINE)


@import_.command(
    epilog="Example:  dossier import notes ~/old-notes --instrument heron",
    short_help="Old notes in free text to drafts, word for word.",
)
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--instrument", required=True, shell_complete=complete("instrument"))
@click.option("--yes", is_flag=True, help="Write the drafts without asking.")
@content_option
def notes(folder: Path, instrument: str, content: Path, *, yes: bool) -> None:
    """Make a draft of each dated entry in the text files of FOLDER.

    Every word is kept, on the bench alone; what could be a figure is offered behind a #. The drafts
    hold the client's pages. In a pipe it only lists.
    """
    from dossier.desk.files import DeskError, write_new
    from dossier.desk.old_notes import draft, entries
    from dossier.desk.session import open_notebook
    from dossier.desk.visit import known_of, visit_path

    need_folder(content)
    today = day_of(None)
    try:
        known_of(open_notebook(content, today), instrument, today)
        found, left = entries(folder)
        for entry in found:
            click.echo(f"{entry.day}  {entry.file}, lines {entry.first} to {entry.last}")
        for sentence in left:
            click.echo(f"{sentence} It stays where it is.", err=True)
        asks = sys.stdin.isatty()
        if found and (yes or (asks and click.confirm(f"Write {len(found)} drafts?"))):
            for entry in found:
                path = visit_path(content, instrument, entry.day)
                write_new(path, draft(entry))
                click.echo(path)
        elif found:
            click.echo("Nothing was written: --yes writes the drafts.")
        else:
            click.echo("No entry with a date was found.")
    except DeskError as error:
        fail(str(error))
    sys.exit(PROBLEMS if left else FINE)
