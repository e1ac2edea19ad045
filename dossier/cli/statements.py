"""issue and verify: what leaves the workshop to be relied on."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dossier.cli.options import Sum, common, complete, out_option, state_of, state_option, wishing
from dossier.cli.telling import (
    FINE,
    PROBLEMS,
    day_of,
    fail,
    findings_data,
    moment_of,
    need_folder,
    print_json,
    show_findings,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from dossier.desk.links import Wish
    from dossier.publish.state import Link
    from dossier.sites.issue import IssueOutcome, IssueRequest


@click.command(
    short_help="Issue a statement for a sale or an appraisal.",
    epilog="Example:  dossier issue heron --edition sale --link --last-day 2027-03-01",
)
@click.argument("instrument", shell_complete=complete("instrument"))
@click.option(
    "--edition",
    required=True,
    metavar="sale|appraisal",
    help="For whom it is.",
    shell_complete=complete("edition"),
)
@out_option("It gets a folder of its own in issued/ there.")
@state_option
@click.option("--link", is_flag=True, help="Make a private link to it; the next build opens it.")
@wishing
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
@common
def issue(  # noqa: PLR0913  # each is an option of the command line
    instrument: str,
    edition: str,
    out: Path,
    state: Path | None,
    content: Path,
    today: date | None,
    *,
    label: str | None,
    last_day: date | None,
    link: bool,
    sign: Path | None,
    key: Path | None,
    passphrase: Path | None,
    bag: bool,
    as_json: bool,
    quiet: bool,
) -> None:
    """Issue a statement of INSTRUMENT for a buyer, or for an insurer or appraiser.

    An issued statement is never changed; a later one says what differs from it. With --link,
    whoever has the private address can read it, and send it on, until its last day. For a link
    later: dossier link add and the folder's name.
    """
    from dossier.desk.links import LinkError, Wish, refuse_wish
    from dossier.pictures import PictureError
    from dossier.publish.identity import SigningError
    from dossier.publish.trouble import PublishError
    from dossier.recordings import RecordingError
    from dossier.render.html import PageError
    from dossier.render.paper import PdfError
    from dossier.sites.issue import IssueError, IssueRequest
    from dossier.sites.issue import issue as issued

    need_folder(content)
    wish = Wish(label, last_day)
    if not link and wish != Wish():
        fail("--label and --last-day are for a link. Add --link.")
    request = IssueRequest(
        content=content,
        out=out,
        state=state_of(content, state),
        today=day_of(today),
        instrument=instrument,
        edition=edition,
        bagged=bag,
        sign=_signer(sign, key, passphrase, today),
    )
    try:
        refuse_wish(wish, request.today)
        outcome = issued(request)
    except (
        LinkError,
        IssueError,
        PublishError,
        PictureError,
        RecordingError,
        PageError,
        PdfError,
        SigningError,
    ) as error:
        fail(str(error))  # fmt: skip
    made: tuple[Link, ...] = ()
    why = ""
    if link and outcome.folder is not None:
        made, why = _linked(request, outcome.folder.name, wish)
    if as_json:
        print_json(_issued_data(outcome, made, quiet=quiet))
    else:
        show_findings(outcome.findings, content, quiet=quiet)
        if outcome.folder is None:
            click.echo(f"{instrument}: nothing was issued.", err=True)
        elif not quiet:
            what = f"It says what differs from {outcome.before}." if outcome.before else ""
            click.echo(f"Issued number {outcome.number} into {outcome.folder}. {what}".rstrip())
            for one in made:
                click.echo(f"{one.statement}: {one.token}/ opens with the next build.")
    if why:
        click.echo(f"No link was made. {why}", err=True)
    sys.exit(FINE if outcome.folder and not why else PROBLEMS)


def _issued_data(
    outcome: IssueOutcome, made: tuple[Link, ...], *, quiet: bool
) -> dict[str, object]:
    """An issuing as data; --quiet keeps an address out of what may be logged."""
    data: dict[str, object] = {
        "folder": str(outcome.folder) if outcome.folder else "",
        "number": outcome.number,
        "before": outcome.before,
        "findings": findings_data(outcome.findings),
    }
    return data if quiet or not made else {**data, "address": f"{made[0].token}/"}


def _linked(request: IssueRequest, name: str, wish: Wish) -> tuple[tuple[Link, ...], str]:
    """The link to what was just issued, or why there is none: the statement stands either way."""
    from dossier.desk.links import LinkError, added_statement, carry_out, minted, statement_of
    from dossier.publish.trouble import PublishError
    from dossier.read import read_notebook

    notebook, _ = read_notebook(request.content, request.today)
    try:
        statement = statement_of(request.out, name)
        if notebook is None or statement is None:
            return (), f"Add one by dossier link add {name}."
        ordered, trouble = carry_out(
            request.state,
            request.out,
            lambda state: added_statement(state, notebook, statement, wish, request.today, minted),
        )
    except (LinkError, PublishError) as error:
        return (), str(error)
    return (ordered.new, "") if ordered else ((), " ".join(str(one) for one in trouble))


@click.command(
    short_help="Say whether an issued statement is whole, and what changed.",
    epilog="Example:  dossier verify build/issued/heron-sale-2026-11-25",
)
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--expect",
    type=Sum(),
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
        fail(str(error))
    whole = all(verdict.state is State.WHOLE for verdict in verdicts)
    if as_json:
        print_json({"whole": whole, "verdicts": [verdict.as_json() for verdict in verdicts]})
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
            fail("Name the certificate by --sign.")
        return None
    moment = moment_of(today)
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
        fail(str(error))
    return lambda pdf, label: sign_pdf(pdf, identity, moment, label)


def _first_line(path: Path) -> bytes:
    try:
        return path.read_bytes().split(b"\n")[0].rstrip(b"\r")
    except OSError as error:
        fail(f"{path} can't be read ({(error.strerror or '').lower()}).")
