"""The command line: the one place that prints and exits.

Exit codes: 0 fine, 1 problems in the notes or a statement that is not whole, 2 wrong use or a build
that could not be carried out.
"""

from __future__ import annotations

import json
import sys
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from dossier import __version__

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from dossier.build import Outcome
    from dossier.desk.links import Order
    from dossier.diagnostics import Diagnostic
    from dossier.publish.review import ClientChanges
    from dossier.publish.state import Link
    from dossier.quantities import Period

FINE, PROBLEMS, WRONG = 0, 1, 2


class _Day(click.ParamType[date]):
    """A plain date."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value)
        except ValueError:
            self.fail(f"“{value}” is not a date. Write it like 2026-03-14.", param, ctx)


class _Sum(click.ParamType[str]):
    """A SHA-256 sum, as it is read out or written down: in groups, with colons, in any case."""

    name = "sum"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        digits = "".join(str(value).replace(":", " ").split()).lower()
        if digits and (len(digits) != 64 or not set(digits) <= set("0123456789abcdef")):
            self.fail(f"“{value}” is no fingerprint and no seal: 64 digits 0-9 a-f.", param, ctx)
        return digits


def _common(command: Callable[..., None]) -> Callable[..., None]:
    """The options that every command shares."""
    for option in (
        click.option("--quiet", is_flag=True, help="Print only problems."),
        click.option("--json", "as_json", is_flag=True, help="Print the result as JSON."),
        click.option("--today", type=_Day(), help="Take this day as today (YYYY-MM-DD)."),
        click.option(
            "--content",
            type=click.Path(path_type=Path),
            default=Path("content"),
            show_default=True,
            help="The folder with the notes.",
        ),
    ):
        command = option(command)
    return command


def _complete(kind: str) -> Callable[..., list[str]]:
    """Completion of an argument that names an instrument or a client, from folder names alone."""

    def complete(ctx: click.Context, _: click.Parameter, incomplete: str) -> list[str]:
        from dossier.desk.completion import client_names, instrument_names

        names = instrument_names if kind == "instrument" else client_names
        return list(names(Path(ctx.params.get("content") or "content"), incomplete))

    return complete


@click.group(
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog="Example:  dossier check && dossier build",
)
@click.version_option(__version__, prog_name="dossier")
def main() -> None:
    """Turn a piano technician's visit notes into every client's history.

    Begin with "dossier start". "dossier check" says whether the notes can be read, "dossier build"
    makes the pages.
    """


@main.command(epilog="Example:  dossier check --content content")
@_common
def check(content: Path, today: date | None, *, as_json: bool, quiet: bool) -> None:
    """Read all notes and show every problem, without building."""
    from dossier.checks import run_checks
    from dossier.diagnostics import in_order
    from dossier.read import read_notebook

    day = today or date.today()
    _folder(content)
    notebook, found = read_notebook(content, day)
    if notebook is not None:
        found = in_order((*found, *run_checks(notebook, day)))
    if as_json:
        _print_json({"findings": _findings(found)})
    else:
        _show(found, content, quiet=quiet)
        if not quiet and notebook is not None:
            visits = sum(len(visits) for visits in notebook.visits.values())
            click.echo(
                f"Read {_number(len(notebook.instruments), 'instrument')} of "
                f"{_number(len(notebook.clients), 'client')}, {_number(visits, 'visit')}: "
                f"{_counted(found)}."
            )
    sys.exit(_exit_code(found))


@main.command(
    short_help="Build every client's pages.",
    epilog="Example:  dossier build --content content --out build",
)
@click.argument("clients", nargs=-1, metavar="[CLIENT]...", shell_complete=_complete("client"))
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("build"),
    show_default=True,
    help="Where the bench's and the clients' pages go.",
)
@click.option(
    "--state",
    type=click.Path(path_type=Path),
    help="The private state folder.  [default: .dossier beside the notes]",
)
@click.option("--jobs", type=click.IntRange(1), help="Processes.  [default: one a core]")
@click.option(
    "--no-pdf",
    "pdf",
    is_flag=True,
    flag_value=False,
    default=True,
    help="Make no PDFs: for a quick look, not to hand out.",
)
@click.option("--review", is_flag=True, help="Ask before what owners read is changed.")
@_common
def build(  # noqa: PLR0913  # each is an option of the command line
    clients: tuple[str, ...],
    out: Path,
    state: Path | None,
    jobs: int | None,
    content: Path,
    today: date | None,
    *,
    pdf: bool,
    review: bool,
    as_json: bool,
    quiet: bool,
) -> None:
    """Build every client's pages, or those of the CLIENTs named; the others stay as they are."""
    import os

    from dossier.build import Request, UnknownClientError, run
    from dossier.publish.trouble import PublishError

    _folder(content)
    request = Request(
        content=content,
        out=out,
        state=state or content.resolve().parent / ".dossier",
        today=today or date.today(),
        clients=clients,
        jobs=jobs or os.cpu_count() or 1,
        pdf=pdf,
    )
    bar = _Bar(shown=not quiet and not as_json and sys.stderr.isatty())
    try:
        outcome = run(request, bar.tell, _approver(review=review, quiet=quiet or as_json))
    except (PublishError, UnknownClientError) as error:
        bar.close()
        _fail(str(error))
    except KeyboardInterrupt:
        bar.close()
        _fail("Interrupted. What was published before still stands.")
    bar.close()
    if as_json:
        _print_json(_as_data(outcome))
    else:
        _show(outcome.findings, content, quiet=quiet)
        if not quiet:
            _report(outcome, out, reviewed=review)
        _name_kept(outcome)
    sys.exit(_exit_code(outcome.findings))


@main.command(
    short_help="Issue a statement for a sale or an appraisal.",
    epilog="Example:  dossier issue heron --edition sale",
)
@click.argument("instrument")
@click.option("--edition", required=True, metavar="sale|appraisal", help="For whom it is.")
@click.option(
    "--out",
    type=click.Path(path_type=Path),
    default=Path("build"),
    show_default=True,
    help="It gets a folder of its own in issued/ there.",
)
@click.option(
    "--state",
    type=click.Path(path_type=Path),
    help="The private state folder.  [default: .dossier beside the notes]",
)
@click.option("--bag", is_flag=True, help="Write it as a bag (BagIt 1.0), for an archive.")
@click.option(
    "--sign",
    type=click.Path(path_type=Path),
    metavar="CERT",
    help="Sign the PDF with this certificate, a PKCS #12 (.p12) or PEM file.",
)
@click.option(
    "--key", type=click.Path(path_type=Path), help="The private key, if it is not in CERT."
)
@click.option(
    "--passphrase-file",
    "passphrase",
    type=click.Path(path_type=Path),
    help="The first line of it opens the key.  [default: asked for]",
)
@_common
def issue(  # noqa: PLR0913  # each is an option of the command line
    instrument: str,
    edition: str,
    out: Path,
    state: Path | None,
    content: Path,
    today: date | None,
    *,
    sign: Path | None,
    key: Path | None,
    passphrase: Path | None,
    bag: bool,
    as_json: bool,
    quiet: bool,
) -> None:
    """Issue a statement of INSTRUMENT for a buyer, or for an insurer or appraiser.

    An issued statement is never changed; a later one says what differs from it.
    """
    from dossier.pictures import PictureError
    from dossier.publish.identity import SigningError
    from dossier.publish.trouble import PublishError
    from dossier.render.html import PageError
    from dossier.render.paper import PdfError
    from dossier.sites.issue import IssueError, IssueRequest
    from dossier.sites.issue import issue as issued

    _folder(content)
    request = IssueRequest(
        content=content,
        out=out,
        state=state or content.resolve().parent / ".dossier",
        today=today or date.today(),
        instrument=instrument,
        edition=edition,
        bagged=bag,
        sign=_signer(sign, key, passphrase, today),
    )
    try:
        outcome = issued(request)
    except (IssueError, PublishError, PictureError, PageError, PdfError, SigningError) as error:
        _fail(str(error))
    folder = str(outcome.folder) if outcome.folder else ""
    if as_json:
        found = {"number": outcome.number, "before": outcome.before}
        _print_json({"folder": folder, **found, "findings": _findings(outcome.findings)})
    else:
        _show(outcome.findings, content, quiet=quiet)
        if outcome.folder is None:
            click.echo(f"{instrument}: nothing was issued.", err=True)
        elif not quiet:
            what = f"It says what differs from {outcome.before}." if outcome.before else ""
            click.echo(f"Issued number {outcome.number} into {folder}. {what}".rstrip())
    sys.exit(FINE if outcome.folder else PROBLEMS)


@main.command(
    short_help="Say whether an issued statement is whole, and what changed.",
    epilog="Example:  dossier verify build/issued/heron-sale-2026-11-25",
)
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--expect",
    type=_Sum(),
    default="",
    metavar="HEX",
    help="What the workshop told you: its certificate's fingerprint (SHA-256), or the seal.",
)
@click.option("--quiet", is_flag=True, help="Print only what is not whole.")
@click.option("--json", "as_json", is_flag=True, help="Print the result as JSON.")
def verify(files: tuple[Path, ...], expect: str, *, as_json: bool, quiet: bool) -> None:
    """Say whether FILES, each an issued folder, a bag, or a PDF, are what was issued.

    Nothing is sent or fetched.  Exit code 0: all is whole; 1: something changed, or nothing shows
    that it is whole; 2: there is nothing to look at.
    """
    from dossier.publish.verdict import State
    from dossier.publish.verify import WrongUseError
    from dossier.publish.verify import verify as verified

    try:
        verdicts = [verified(path, expect) for path in files]
    except WrongUseError as error:
        _fail(str(error))
    whole = all(verdict.state is State.WHOLE for verdict in verdicts)
    if as_json:
        _print_json({"whole": whole, "verdicts": [verdict.as_json() for verdict in verdicts]})
    else:
        for verdict in verdicts:
            if not quiet or verdict.state is not State.WHOLE:
                click.echo("\n".join(verdict.lines()))
    sys.exit(FINE if whole else PROBLEMS)


def _signer(
    certificate: Path | None, key: Path | None, passphrase: Path | None, today: date | None
) -> Callable[[bytes, str], bytes] | None:
    """What signs a PDF now, or at noon of the day that is taken as today."""
    from dossier.publish.identity import PassphraseError, SigningError, read_identity
    from dossier.publish.signing import sign_pdf

    if certificate is None:
        if key or passphrase:
            _fail("Name the certificate by --sign.")
        return None
    moment = datetime.combine(today, time(12), UTC) if today else datetime.now(UTC)
    try:
        words = _first_line(passphrase) if passphrase else None
        try:
            identity = read_identity(certificate, key, words)
        except PassphraseError:
            if words is not None or not sys.stdin.isatty():
                raise
            asked: str = click.prompt("Passphrase of the key", hide_input=True, err=True)
            identity = read_identity(certificate, key, asked.encode())
    except SigningError as error:
        _fail(str(error))
    return lambda pdf, label: sign_pdf(pdf, identity, moment, label)


def _first_line(path: Path) -> bytes:
    try:
        return path.read_bytes().split(b"\n")[0].rstrip(b"\r")
    except OSError as error:
        _fail(f"{path} can't be read ({(error.strerror or '').lower()}).")


class _WithDefault(click.Group):
    """A group whose word may be left out: what is no command of its own is the default's."""

    default = "show"

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        wants_help = bool(args) and args[0] in ctx.help_option_names
        if not wants_help and not (args and args[0] in self.commands):
            args = [self.default, *args]
        return super().parse_args(ctx, args)


def _linking(command: Callable[..., None]) -> Callable[..., None]:
    """The options that every command about links shares."""
    for option in (
        click.option(
            "--state",
            type=click.Path(path_type=Path),
            help="The private state folder.  [default: .dossier beside the notes]",
        ),
        click.option(
            "--out",
            type=click.Path(path_type=Path),
            default=Path("build"),
            show_default=True,
            help="Where the pages are built.",
        ),
    ):
        command = option(command)
    return _common(command)


def _wishing(command: Callable[..., None]) -> Callable[..., None]:
    """How a new link may be."""
    for option in (
        click.option("--last-day", type=_Day(), help="The last day on which it opens."),
        click.option("--label", help="Your own word for it; it stands on the bench alone."),
    ):
        command = option(command)
    return command


@main.group(
    cls=_WithDefault,
    short_help="Show, add, renew or withdraw private links.",
    epilog="Example:  dossier link add marsh/heron --label concert --last-day 2026-06-30",
)
def link() -> None:
    """Show the private links, or those of one CLIENT: "dossier link", "dossier link marsh".

    Whoever has an address can read what it opens, and can send it on. If one got into wrong hands,
    renew it. What you order here holds from the next build on, once it is uploaded.
    """


@link.command(short_help="Show all links, or a client's.  [the default]")
@click.argument("client", default="")
@_linking
def show(
    client: str,
    content: Path,
    out: Path,
    state: Path | None,
    today: date | None,
    *,
    as_json: bool,
    quiet: bool,
) -> None:
    """Show all links, or those of one CLIENT: what each opens, its address, and how long."""
    from dossier.desk.links import LinkError, of
    from dossier.publish.state import load_state
    from dossier.publish.trouble import PublishError

    folder, day = _state_of(content, state), today or date.today()
    if not folder.is_dir():
        _folder(content)
    try:
        known, trouble = load_state(folder, out)
        links = of(known, client) if known is not None else ()
    except (LinkError, PublishError) as error:
        _fail(str(error))
    if as_json:
        _print_json({"links": [_link_data(one, day, quiet=quiet) for one in links]})
    _show(trouble, content, quiet=quiet)
    if not as_json and not quiet and known is not None:
        for line in (
            _link_table(links, day) if links else ("There is no link yet: a build makes them.",)
        ):
            click.echo(line)
    sys.exit(_exit_code(trouble))


@link.command("add", short_help="Add a link beside the others.")
@click.argument("target", metavar="CLIENT|CLIENT/INSTRUMENT")
@_wishing
@_linking
def link_add(target: str, label: str | None, last_day: date | None, **common: Any) -> None:
    """Add a link for a client, or for just one of their instruments; the others stay."""
    _order_new("added", target, label, last_day, **common)


@link.command("renew", short_help="Give a new address in the place of an old one.")
@click.argument("who", metavar="CLIENT|CLIENT/INSTRUMENT|ADDRESS")
@_wishing
@_linking
def link_renew(who: str, label: str | None, last_day: date | None, **common: Any) -> None:
    """Give a new address; the old one is gone at the next build.

    Of several links, name the one that you mean by the first characters of its address.
    """
    _order_new("renewed", who, label, last_day, **common)


@link.command("withdraw", short_help="Withdraw a client's links, or one.")
@click.argument("who", metavar="CLIENT|CLIENT/INSTRUMENT|ADDRESS")
@_linking
def link_withdraw(who: str, today: date | None, **common: Any) -> None:
    """Withdraw all links of a client, or the one whose address begins as given."""
    from dossier.desk.links import shut

    day = today or date.today()
    _order(lambda state: shut(state, who, day), day, **common)


def _order_new(
    order: str,
    who: str,
    label: str | None,
    last_day: date | None,
    *,
    content: Path,
    today: date | None,
    **common: Any,
) -> None:
    """Order a new link; for whom there may be one, the notes say."""
    from dossier.desk.links import Wish, added, minted, renewed
    from dossier.read import read_notebook

    _folder(content)
    day, wish = today or date.today(), Wish(label, last_day)
    notebook, found = read_notebook(content, day)
    if notebook is None:
        _show(found, content, quiet=True)
        sys.exit(_exit_code(found))
    make = added if order == "added" else renewed
    _order(
        lambda state: make(state, notebook, who, wish, day, minted), day, content=content, **common
    )


def _order(
    order: Order,
    day: date,
    *,
    content: Path,
    out: Path,
    state: Path | None,
    as_json: bool,
    quiet: bool,
) -> None:
    from dossier.desk.links import LinkError, carry_out
    from dossier.publish.trouble import PublishError

    try:
        ordered, trouble = carry_out(_state_of(content, state), out, order)
    except (LinkError, PublishError) as error:
        _fail(str(error))
    _show(trouble, content, quiet=quiet)
    if ordered is not None and as_json:
        _print_json(
            {
                "new": [_link_data(one, day, quiet=quiet) for one in ordered.new],
                "gone at the next build": [
                    _link_data(one, day, quiet=quiet) for one in ordered.gone
                ],
            }
        )
    elif ordered is not None and not quiet:
        for one in ordered.new:
            click.echo(f"{one.target}: {one.token}/ opens with the next build.")
        for one in ordered.gone:
            click.echo(f"{one.target}: {one.token[:6]}… is gone at the next build.")
    sys.exit(_exit_code(trouble))


def _state_of(content: Path, state: Path | None) -> Path:
    return state or content.resolve().parent / ".dossier"


def _link_state(link: Link, day: date) -> str:
    if link.withdrawn is not None:
        return f"withdrawn {link.withdrawn}"
    return "open" if link.opens(day) else "ended"


def _link_data(link: Link, day: date, *, quiet: bool) -> dict[str, object]:
    """A link as data; --quiet keeps its address out of what may be logged."""
    data: dict[str, object] = {
        "client": link.client,
        "instrument": link.target.partition("/")[2],
        "label": link.label,
        "made": str(link.made),
        "last_day": str(link.last_day) if link.last_day else None,
        "withdrawn": str(link.withdrawn) if link.withdrawn else None,
        "open": link.opens(day),
    }
    return data if quiet else {**data, "address": f"{link.token}/"}


def _link_table(links: tuple[Link, ...], day: date) -> Iterable[str]:
    """A line a link, its address last, since that is the longest."""
    rows = [("Opens", "Label", "Made", "Last day", "Now", "Address below public/")]
    rows += [
        (
            one.target,
            one.label,
            str(one.made),
            str(one.last_day or ""),
            _link_state(one, day),
            f"{one.token}/",
        )
        for one in links
    ]
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()


_content_option = click.option(
    "--content",
    type=click.Path(path_type=Path),
    default=Path("content"),
    show_default=True,
    is_eager=True,
    help="The folder with the notes.",
)
_today_option = click.option("--today", type=_Day(), help="Take this day as today (YYYY-MM-DD).")


def _writing(command: Callable[..., None]) -> Callable[..., None]:
    """The options that every command has that begins a note."""
    for option in (
        click.option(
            "--edit/--no-edit",
            default=None,
            help="Open it in $VISUAL or $EDITOR.  [default: on a terminal]",
        ),
        click.option("--print", "printed", is_flag=True, help="Print it and write nothing."),
        click.option("--date", "day", type=_Day(), help="The day of the visit.  [default: today]"),
        _content_option,
    ):
        command = option(command)
    return command


@main.command(
    short_help="Begin a shop of your own, with one example of each file.",
    epilog="Example:  dossier start my-shop && cd my-shop && dossier check && dossier build",
)
@click.argument("folder", type=click.Path(path_type=Path))
@_today_option
def start(folder: Path, today: date | None) -> None:
    """Begin a shop of your own in FOLDER, which must be empty or not there yet.

    It holds one example of each kind of file, every line of it explained: write over them.
    """
    from dossier.desk import start as desk
    from dossier.desk.files import DeskError

    try:
        written = desk.start(folder, today or date.today())
    except DeskError as error:
        _fail(str(error))
    for path in written:
        click.echo(path)
    click.echo(
        f"Next: cd {folder}, write over the files in content, and then dossier check and "
        "dossier build."
    )


@main.command(
    short_help="Begin the note of a visit from what is known.",
    epilog="Example:  dossier visit heron   or, for a telephone:  dossier visit heron --print",
)
@click.argument("instrument", shell_complete=_complete("instrument"))
@_writing
def visit(
    instrument: str,
    content: Path,
    day: date | None,
    *,
    printed: bool,
    edit: bool | None,
) -> None:
    """Begin a new note for a visit to INSTRUMENT and open it in your editor.

    It offers what is open: problems, marks to look at again, advice without an answer, clocks that
    have run, and the readings usually taken, each behind a #. Take the # off what you use; the rest
    is taken out when you close it. --print prints it for a telephone's notes app: what comes back
    goes into inbox/.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.session import open_notebook
    from dossier.desk.visit import known_of, visit_note, visit_path

    _folder(content)
    day = day or date.today()
    try:
        notebook = open_notebook(content, day)
        known = known_of(notebook, instrument, day)
        _tell_unread(notebook.stopped & {instrument})
        if printed:
            click.echo(visit_note(known, loose=True), nl=False)
            return
        _write_note(visit_path(content, instrument, day), visit_note(known), content, day, edit)
    except DeskError as error:
        _fail(str(error))


@main.command(
    "round",
    short_help="Begin the note of a round: a row for each instrument.",
    epilog="Example:  dossier round thornsay-school",
)
@click.argument("client", shell_complete=_complete("client"))
@_writing
def round_(
    client: str, content: Path, day: date | None, *, printed: bool, edit: bool | None
) -> None:
    """Begin a new note for all instruments of CLIENT, in one table, and open it in your editor."""
    from dossier.desk.files import DeskError
    from dossier.desk.round import round_note, round_of, round_path
    from dossier.desk.session import open_notebook

    _folder(content)
    day = day or date.today()
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
        _fail(str(error))


def _tell_unread(stopped: frozenset[str]) -> None:
    for name in sorted(stopped):
        click.echo(
            f"{name}: a note of it can't be read, so more may be open: see dossier check.", err=True
        )


def _write_note(path: Path, text: str, content: Path, day: date, edit: bool | None) -> None:
    """Write a begun note and open it, as often as its writer wants to mend what is wrong."""
    from dossier.desk.files import write_new
    from dossier.desk.session import findings_in, is_untouched, leave

    write_new(path, text)
    on_terminal = sys.stdin.isatty() and sys.stdout.isatty()
    if not (on_terminal if edit is None else edit):
        click.echo(path)
        return
    while True:
        try:
            click.edit(filename=str(path))
        except click.ClickException as error:
            _fail(
                f"The editor could not be run ({error.message}). The note is begun: {path}. "
                "Set $EDITOR to the program that you write with."
            )
        if is_untouched(path, text):
            _drop_untouched(path)
            return
        found = findings_in(content, path, day)
        _show(found, content, quiet=False)
        if _exit_code(found) == FINE:
            leave(path, text)
            click.echo(f"Written: {path}")
            return
        if not click.confirm("Open it again?", default=True):
            click.echo(f"Left as it is: {path}", err=True)
            sys.exit(PROBLEMS)


def _drop_untouched(path: Path) -> None:
    """Nothing was written.  An editor that returns at once may still have the note open."""
    if click.confirm(f"Nothing was written. Delete {path}?", default=False):
        path.unlink()
    else:
        click.echo(f"It waits for a sentence: {path}")


@main.command(
    short_help="File the notes that were dropped in inbox/.",
    epilog="Example:  dossier inbox",
)
@click.option("--yes", is_flag=True, help="File all that can be filed, without asking.")
@_content_option
@_today_option
def inbox(content: Path, today: date | None, *, yes: bool) -> None:
    """File each note of inbox/ among the visits of the instrument that it names.

    Asks for each; its pictures go with it. In a pipe it only lists. Nothing is ever overwritten.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.inbox import carry_out, passed_over, plan_filing, waiting
    from dossier.desk.session import open_notebook
    from dossier.read import open_folder

    _folder(content)
    try:
        notebook = open_notebook(content, today or date.today())
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
        _fail(str(error))
    for sentence in skipped:
        click.echo(sentence, err=True)
    if not paths:
        click.echo(f"No note waits in {content / 'inbox'}.")
    elif not yes and not asks:
        click.echo("Nothing was moved: dossier inbox --yes files all that can be filed.")
    sys.exit(PROBLEMS if trouble else FINE)


class _Period(click.ParamType["Period"]):
    """A period as the notes write it: 6 weeks."""

    name = "period"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Period:
        from dossier.quantities import Period, QuantityError, parse_period

        if isinstance(value, Period):
            return value
        try:
            return parse_period(value)
        except QuantityError as error:
            self.fail(str(error), param, ctx)


@main.command(
    short_help="List who is to be visited, why and by when.",
    epilog='Example:  dossier due --within "3 months" --by place',
)
@click.option(
    "--within",
    type=_Period(),
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
@_common
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

    _folder(content)
    day = today or date.today()
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
        _fail(str(error))
    if as_json:
        _print_json(desk.due_data(found))
    elif not quiet or ics is None:
        visits = sorted(found.visits, key=desk.by_place) if order == "place" else found.visits
        for line in due_table(found, visits):
            click.echo(line)


@main.command(
    short_help="JSON Schemas, so that an editor helps while you write.",
    epilog="Example:  dossier schema --out .schemas   or  dossier schema visit",
)
@click.argument("kind", required=False)
@click.option("--out", type=click.Path(path_type=Path), help="Write all of them into this folder.")
@click.option(
    "--dialect",
    type=click.Choice(["2020-12", "draft-07"]),
    default="2020-12",
    show_default=True,
    help="The dialect; some tools for Markdown know the older alone.",
)
@_content_option
def schema(kind: str | None, out: Path | None, dialect: str, content: Path) -> None:
    """Print the JSON Schema of a KIND of file's front matter, or write those of all kinds.

    The kinds are shop, client, instrument, visit, round, room and inbox. Where there are notes, the
    measured kinds and marks that shop.md adds are in it.
    """
    from dossier.desk import schema as desk
    from dossier.desk.files import DeskError
    from dossier.read import read_notebook

    known = [name for name, _, _ in desk.KINDS]
    if kind is not None and kind not in known:
        _fail(f"There is no kind {kind}. The kinds are {', '.join(known)}.")
    notebook = read_notebook(content, date.today())[0] if content.is_dir() else None
    shop = notebook.shop if notebook is not None else None
    if out is not None:
        try:
            written = desk.write_schemas(out, shop, dialect)
        except DeskError as error:
            _fail(str(error))
        for path in written:
            click.echo(path)
    elif kind is not None:
        click.echo(desk.schema_text(kind, shop, dialect), nl=False)
    else:
        for name, place, title in desk.KINDS:
            click.echo(f"{name:<12}{place:<32}{title}")
        click.echo("Print one by its name, or write all of them with --out FOLDER.")


def _folder(content: Path) -> None:
    """Refuse where there are no notes, and say how to get to them."""
    if content.is_dir():
        return
    if content.exists():
        _fail(f"{content} is a file. Name the folder with the notes by --content.")
    if Path("shop.md").is_file():
        _fail(f"There is no folder {content} here: you are among the notes. Go one folder up.")
    _fail(
        f"There is no folder {content} here. Go to your shop's folder, which holds the folder with "
        "the notes, or name that one by --content."
    )


def _fail(message: str) -> NoReturn:
    click.echo(f"dossier: {message}", err=True)
    sys.exit(WRONG)


def _exit_code(found: Iterable[Diagnostic]) -> int:
    from dossier.diagnostics import has_errors

    return PROBLEMS if has_errors(found) else FINE


def _show(found: tuple[Diagnostic, ...], content: Path, *, quiet: bool) -> None:
    """All findings on stderr, each with its line and a caret; --quiet leaves out mere remarks."""
    from dossier.diagnostics import Severity, with_caret
    from dossier.read import source_line

    for diagnostic in found:
        if quiet and diagnostic.severity is not Severity.ERROR:
            continue
        click.echo(with_caret(diagnostic, source_line(content, diagnostic.span)), err=True)


def _counted(found: Iterable[Diagnostic]) -> str:
    from dossier.diagnostics import Severity

    counts = dict.fromkeys(Severity, 0)
    for diagnostic in found:
        counts[diagnostic.severity] += 1
    errors, warnings = counts[Severity.ERROR], counts[Severity.WARNING]
    if not errors and not warnings:
        return "no problems"
    return f"{_number(errors, 'error')}, {_number(warnings, 'warning')}"


def _number(count: int, noun: str) -> str:
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def _report(outcome: Outcome, out: Path, *, reviewed: bool) -> None:
    from dossier.publish.review import listed

    for line in () if reviewed else listed(outcome.changes):
        click.echo(line)
    if outcome.minted:
        click.echo(
            f"Minted {_number(len(outcome.minted), 'private link')}: {', '.join(outcome.minted)}. "
            f"See {out / 'bench' / 'index.html'}, or dossier link."
        )
    if outcome.published:
        click.echo(
            f"Built {_number(len(outcome.built), 'instrument')}: "
            f"{_number(outcome.pages, 'page')} and {_number(outcome.pdfs, 'PDF')} below {out}, "
            f"{_counted(outcome.findings)}."
        )
    else:
        click.echo("Nothing was published; what stood before still stands.")


def _name_kept(outcome: Outcome) -> None:
    for name in outcome.kept:
        click.echo(f"{name}: not built; its last good pages stand.", err=True)
    for name in outcome.missing:
        click.echo(f"{name}: not built, and there are no earlier pages to keep.", err=True)
    for name in outcome.held:
        click.echo(f"{name}: on hold; the client's pages stay as they are.", err=True)


def _approver(*, review: bool, quiet: bool) -> Callable[[tuple[ClientChanges, ...]], bool]:
    """Whether to go on with what owners will read: --review asks on a terminal."""
    from dossier.publish.review import listed

    def approve(changes: tuple[ClientChanges, ...]) -> bool:
        if quiet or not review or not changes:
            return True
        for line in listed(changes):
            click.echo(line)
        if not sys.stdin.isatty():
            return True
        return click.confirm("Publish this?", default=False)

    return approve


def _findings(found: Iterable[Diagnostic]) -> list[dict[str, object]]:
    from dossier.diagnostics import as_json

    return [as_json(diagnostic) for diagnostic in found]


def _as_data(outcome: Outcome) -> dict[str, object]:
    return {
        "published": outcome.published,
        "built": list(outcome.built),
        "kept": list(outcome.kept),
        "missing": list(outcome.missing),
        "held": list(outcome.held),
        "minted": list(outcome.minted),
        "pages": outcome.pages,
        "pdfs": outcome.pdfs,
        "changes": [
            {"client": change.client, "new": list(change.new), "gone": list(change.gone)}
            for change in outcome.changes
        ],
        "findings": _findings(outcome.findings),
    }


def _print_json(data: object) -> None:
    click.echo(json.dumps(data, indent=2, ensure_ascii=False))


class _Bar:
    """A progress bar on a terminal; nothing in a pipe."""

    def __init__(self, *, shown: bool) -> None:
        self._shown = shown
        self._width = 0

    def tell(self, what: str, done: int, total: int) -> None:
        """Show how far a step is."""
        if not self._shown:
            return
        filled = round(24 * done / total) if total else 24
        text = f"{what:<12} {'█' * filled}{'░' * (24 - filled)} {done}/{total}"
        click.echo("\r" + text.ljust(self._width), nl=False, err=True)
        self._width = len(text)

    def close(self) -> None:
        """Clear the line, so that what is printed next stands alone."""
        if self._shown and self._width:
            click.echo("\r" + " " * self._width + "\r", nl=False, err=True)
            self._width = 0


@main.command(
    short_help="Learn starting values of drift from the shop's own visits.",
    epilog="Example:  dossier learn",
)
@click.option("--yes", is_flag=True, help="Write learned.md without asking.")
@_common
def learn(content: Path, today: date | None, *, yes: bool, as_json: bool, quiet: bool) -> None:
    """Show what the shop's instruments say together of how pitch drifts, and keep it if you agree.

    It is written to learned.md, beside shop.md, for you to look over. Builds merely read that file:
    only then does an estimate on an owner's page begin from it.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.learn import FILE, keep, lesson
    from dossier.desk.session import open_notebook

    _folder(content)
    day = today or date.today()
    try:
        found = lesson(open_notebook(content, day), day)
        if as_json:
            _print_json(found.data())
        elif not quiet:
            for line in found.lines():
                click.echo(line)
        if not found.text:
            sys.exit(FINE)
        asked = sys.stdin.isatty() and not as_json
        if yes or (asked and click.confirm(f"Write {content / FILE}?", default=False)):
            keep(content, found)
            if not quiet and not as_json:
                click.echo(f"Wrote {content / FILE}. The next build begins its estimates there.")
        elif not quiet and not as_json:
            click.echo("Nothing was written.")
    except DeskError as error:
        _fail(str(error))
