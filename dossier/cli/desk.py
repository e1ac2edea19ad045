"""start, visit, round, inbox, due and schema: the writing side."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dossier.cli.options import (
    PeriodType,
    common,
    complete,
    content_option,
    state_of,
    today_option,
    writing,
)
from dossier.cli.telling import (
    FINE,
    PROBLEMS,
    day_of,
    exit_code,
    fail,
    need_folder,
    print_json,
    show_findings,
)

if TYPE_CHECKING:
    from dossier.diagnostics import Diagnostic
    from dossier.quantities import Period


@click.command(
    short_help="Begin a shop of your own, with one example of each file.",
    epilog="Example:  dossier start my-shop && cd my-shop && dossier check && dossier build",
)
@click.argument("folder", type=click.Path(path_type=Path))
@today_option
def start(folder: Path, today: date | None) -> None:
    """Begin a shop of your own in FOLDER, which must be empty or not there yet.

    It holds one example of each kind of file, every line of it explained: write over them.
    """
    from dossier.desk import start as desk
    from dossier.desk.files import DeskError

    try:
        written = desk.start(folder, day_of(today))
    except DeskError as error:
        fail(str(error))
    for path in written:
        click.echo(path)
    click.echo(
        f"Next: cd {folder}, write over the files in content, and then dossier check and "
        "dossier build."
    )


@click.command(
    short_help="Begin the note of a visit from what is known.",
    epilog="Example:  dossier visit heron   or, for a telephone:  dossier visit heron --print   "
    "or, when it is done:  dossier visit heron --letter --out heron.eml",
)
@click.argument("instrument", shell_complete=complete("instrument"))
@click.option(
    "--letter", "lettered", is_flag=True, help="Print the owner's message of the last visit."
)
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    help="With --letter: write it into this file, as text (.txt) or e-mail (.eml).",
)
@writing
def visit(
    instrument: str,
    content: Path,
    day: date | None,
    out: Path | None,
    *,
    lettered: bool,
    printed: bool,
    edit: bool | None,
) -> None:
    """Begin a new note for a visit to INSTRUMENT and open it in your editor.

    It offers what is open: problems, marks to look at again, advice without an answer, clocks that
    have run, and the readings usually taken, each behind a #. Take the # off what you use; the rest
    is taken out when you close it. --print prints it for a telephone's notes app: what comes back
    goes into inbox/.

    --letter makes the owner's message of the last visit, or of the one of --date, from their page
    alone. INSTRUMENT may then be a client, for all of theirs that were visited that day. Nothing
    sends it.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.session import open_notebook
    from dossier.desk.visit import known_of, visit_note, visit_path

    need_folder(content)
    if lettered:
        _letter(instrument, content, day, out)
        return
    if out is not None:
        fail("--out goes with --letter.")
    day = day_of(day)
    try:
        notebook = open_notebook(content, day)
        known = known_of(notebook, instrument, day)
        _tell_unread(notebook.stopped & {instrument})
        if printed:
            click.echo(visit_note(known, loose=True), nl=False)
            return
        _write_note(visit_path(content, instrument, day), visit_note(known), content, day, edit)
    except DeskError as error:
        fail(str(error))


def _letter(name: str, content: Path, day: date | None, out: Path | None) -> None:
    from dossier.desk.files import DeskError, write_new
    from dossier.desk.letter import as_mail, as_text, message
    from dossier.desk.session import open_notebook
    from dossier.publish.state import load_state
    from dossier.publish.trouble import PublishError

    if out is not None and out.suffix not in (".txt", ".eml"):
        fail(f"{out} ends neither with .txt nor with .eml.")
    today = day_of(None)
    try:
        notebook = open_notebook(content, day or today)
        state, _ = load_state(state_of(content), Path("build"))
        told = message(notebook, name, day, state, today)
        if out is None:
            click.echo(as_text(told), nl=False)
            return
        write_new(out, as_mail(told).decode("ascii") if out.suffix == ".eml" else as_text(told))
        click.echo(f"{out}: look it over before you send it.")
    except (DeskError, PublishError) as error:
        fail(str(error))


@click.command(
    "round",
    short_help="Begin the note of a round: a row for each instrument.",
    epilog="Example:  dossier round thornsay-school",
)
@click.argument("client", shell_complete=complete("client"))
@writing
def round_(
    client: str, content: Path, day: date | None, *, printed: bool, edit: bool | None
) -> None:
    """Begin a new note for all instruments of CLIENT, in one table, and open it in your editor."""
    from dossier.desk.files import DeskError
    from dossier.desk.round import round_note, round_of, round_path
    from dossier.desk.session import open_notebook

    need_folder(content)
    day = day_of(day)
    try:
        notebook = open_notebook(content, day)
        all_known = round_of(notebook, client, day)
        text = round_note(all_known)
        _tell_unread(notebook.stopped & {one.history.instrument.id for one in all_known})
        if printed:
            click.echo(text, nl=False)
            return
        _write_note(round_path(content, day), text, content, day, edit)
    except DeskError as error:
        fail(str(error))


def _tell_unread(stopped: frozenset[str]) -> None:
    for name in sorted(stopped):
        click.echo(
            f"{name}: a note of it can't be read, so more may be open: see dossier check.", err=True
        )


def _write_note(path: Path, text: str, content: Path, day: date, edit: bool | None) -> None:
    """Write a begun note and open it, as often as its writer wants to mend what is wrong."""
    from dossier.desk.files import write_new
    from dossier.desk.session import is_untouched, leave

    write_new(path, text)
    on_terminal = sys.stdin.isatty() and sys.stdout.isatty()
    if not (on_terminal if edit is None else edit):
        click.echo(path)
        return
    while True:
        try:
            click.edit(filename=str(path))
        except click.ClickException as error:
            fail(
                f"The editor could not be run ({error.message}). The note is begun: {path}. "
                "Set $EDITOR to the program that you write with."
            )
        if is_untouched(path, text):
            _drop_untouched(path)
            return
        found = _offered(content, path, day)
        if exit_code(found) == FINE:
            leave(path, text)
            click.echo(f"Written: {path}")
            return
        if not click.confirm("Open it again?", default=True):
            click.echo(f"Left as it is: {path}", err=True)
            sys.exit(PROBLEMS)


def _offered(content: Path, path: Path, day: date) -> tuple[Diagnostic, ...]:
    """What is wrong with the note, after its writer took over the words that are surely meant."""
    from dossier.desk.mending import mending
    from dossier.desk.session import findings_in
    from dossier.read import open_folder

    asked: set[Diagnostic] = set()
    while True:
        found = findings_in(content, path, day)
        first = next((one for one in found if one.fix and one not in asked), None)
        if first is None:
            show_findings(tuple(one for one in found if one not in asked), content, quiet=False)
            return found
        trial = mending(open_folder(content), day, first.__eq__)
        asked.add(first)
        show_findings((first,), content, quiet=False)
        if trial.done and click.confirm(f"{first.hint} Put it in?", default=True):
            trial.write(content)


def _drop_untouched(path: Path) -> None:
    """Nothing was written.  An editor that returns at once may still have the note open."""
    if click.confirm(f"Nothing was written. Delete {path}?", default=False):
        path.unlink()
    else:
        click.echo(f"It waits for a sentence: {path}")


@click.command(
    short_help="File the notes that were dropped in inbox/.",
    epilog="Example:  dossier inbox",
)
@click.option("--yes", is_flag=True, help="File all that can be filed, without asking.")
@content_option
@today_option
def inbox(content: Path, today: date | None, *, yes: bool) -> None:
    """File each note of inbox/ among the visits of the instrument that it names.

    Asks for each; its pictures go with it. In a pipe it only lists. Nothing is ever overwritten.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.inbox import carry_out, passed_over, plan_filing, waiting
    from dossier.desk.session import open_notebook
    from dossier.read import open_folder

    need_folder(content)
    try:
        notebook = open_notebook(content, day_of(today))
        paths = waiting(open_folder(content))
        skipped = passed_over(open_folder(content))
        trouble, asks = bool(skipped), sys.stdin.isatty()
        for path in paths:
            filing = plan_filing(path, open_folder(content), notebook, content)
            if filing.trouble:
                click.echo(f"{path}: {filing.trouble}", err=True)
                trouble = True
                continue
            for old, new in ((filing.source, filing.target), *filing.pictures):
                click.echo(f"{old} -> {new}")
            if yes or (asks and click.confirm("File it?", default=True)):
                carry_out(filing, content)
    except DeskError as error:
        fail(str(error))
    for sentence in skipped:
        click.echo(sentence, err=True)
    if not paths:
        click.echo(f"No note waits in {content / 'inbox'}.")
    elif not yes and not asks:
        click.echo("Nothing was moved: dossier inbox --yes files all that can be filed.")
    sys.exit(PROBLEMS if trouble else FINE)


@click.command(
    short_help="List who is to be visited, why and by when.",
    epilog='Example:  dossier due --within "3 months" --by place',
)
@click.option(
    "--within",
    type=PeriodType(),
    default="6 weeks",
    show_default=True,
    help="How far to look ahead.",
)
@click.option(
    "--by",
    "order",
    type=click.Choice(["need", "place"]),
    default="need",
    show_default=True,
    help="In order of need, or of a journey.",
)
@click.option("--ics", type=click.Path(allow_dash=True), help="Write a calendar file; - prints it.")
@common
def due(
    content: Path,
    today: date | None,
    within: Period,
    order: str,
    ics: str | None,
    *,
    as_json: bool,
    quiet: bool,
) -> None:
    """List who is to be visited, why, by when and where, the most pressing first.

    Unsafe instruments come first, then what is overdue, due, and due soon; what has something open
    and no date comes last. Dormant and departed clients are left out.
    """
    from dossier.desk import due as desk
    from dossier.desk.due_table import due_table
    from dossier.desk.files import DeskError, write_output
    from dossier.desk.session import open_notebook

    need_folder(content)
    day = day_of(today)
    try:
        found = desk.due_list(open_notebook(content, day), day, within)
        if ics == "-":
            click.echo(desk.due_calendar(found, day), nl=False)
            return
        if ics is not None:
            write_output(Path(ics), desk.due_calendar(found, day), b"BEGIN:VCALENDAR")
            if not quiet:
                click.echo(f"Wrote {ics}.", err=True)
    except DeskError as error:
        fail(str(error))
    if as_json:
        print_json(desk.due_data(found))
    elif not quiet or ics is None:
        visits = sorted(found.visits, key=desk.by_place) if order == "place" else found.visits
        for line in due_table(found, visits):
            click.echo(line)


@click.command(
    short_help="JSON Schemas, so that an editor helps while you write.",
    epilog="Example:  dossier schema --out .schemas   or  dossier schema visit",
)
@click.argument("kind", required=False, shell_complete=complete("kind"))
@click.option("--out", type=click.Path(path_type=Path), help="Write all of them into this folder.")
@click.option(
    "--dialect",
    type=click.Choice(["2020-12", "draft-07"]),
    default="2020-12",
    show_default=True,
    help="The dialect; some tools for Markdown know the older alone.",
)
@content_option
def schema(kind: str | None, out: Path | None, dialect: str, content: Path) -> None:
    """Print the JSON Schema of a KIND of file's front matter, or write those of all kinds.

    The kinds are shop, client, instrument, visit, round, room and inbox. Where there are notes, the
    measured kinds and marks that shop.md adds are in it.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.schema import write_schemas
    from dossier.read import read_notebook
    from dossier.schemas.schema import KINDS, schema_text

    known = [name for name, _, _ in KINDS]
    if kind is not None and kind not in known:
        fail(f"There is no kind {kind}. The kinds are {', '.join(known)}.")
    notebook = read_notebook(content, day_of(None))[0] if content.is_dir() else None
    shop = notebook.shop if notebook is not None else None
    if out is not None:
        try:
            written = write_schemas(out, shop, dialect)
        except DeskError as error:
            fail(str(error))
        for path in written:
            click.echo(path)
    elif kind is not None:
        click.echo(schema_text(kind, shop, dialect), nl=False)
    else:
        for name, place, title in KINDS:
            click.echo(f"{name:<12}{place:<32}{title}")
        click.echo("Print one by its name, or write all of them with --out FOLDER.")
