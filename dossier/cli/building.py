"""build and learn: from the notes to the pages."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dossier.cli.options import common, complete, out_option, state_of, state_option
from dossier.cli.telling import (
    FINE,
    Bar,
    counted,
    day_of,
    exit_code,
    fail,
    findings_data,
    need_folder,
    numbered,
    print_json,
    show_findings,
)

if TYPE_CHECKING:
    from collections.abc import Callable

    from dossier.build import Approve
    from dossier.publish.review import ClientChanges
    from dossier.sites.idle import Look
    from dossier.sites.outcome import Outcome, Request


@click.command(
    short_help="Build every client's pages.",
    epilog="Example:  dossier build --content content --out build",
)
@click.argument("clients", nargs=-1, metavar="[CLIENT]...", shell_complete=complete("client"))
@out_option("Where the bench's and the clients' pages go.")
@state_option
@click.option("--jobs", type=click.IntRange(1), help="Processes.  [default: one a core]")
@click.option(
    "--scheduler",
    metavar="tcp://HOST:PORT",
    help="Make the pages on the workers of a dask scheduler.",
)
@click.option(
    "--no-pdf",
    "pdf",
    is_flag=True,
    flag_value=False,
    default=True,
    help="Make no PDFs: for a quick look, not to hand out.",
)
@click.option("--review", is_flag=True, help="Ask before what owners read is changed.")
@common
def build(  # noqa: PLR0913  # each is an option of the command line
    clients: tuple[str, ...],
    out: Path,
    state: Path | None,
    jobs: int | None,
    scheduler: str | None,
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

    from dossier.sites.idle import FOLDER, look, unchanged
    from dossier.sites.outcome import Request

    need_folder(content)
    request = Request(
        content=content,
        out=out,
        state=state_of(content, state),
        today=day_of(today),
        clients=clients,
        jobs=jobs or os.cpu_count() or 1,
        pdf=pdf,
    )
    is_first = not (request.state / FOLDER).is_dir()
    if is_first:
        _load_early(request, scheduler, charts=True)
    before = look(request)
    outcome = unchanged(request, before) or _built(
        request,
        before,
        Bar(shown=not quiet and not as_json and sys.stderr.isatty()),
        _approver(review=review, quiet=quiet or as_json),
        scheduler,
    )
    if as_json:
        print_json(_as_data(outcome))
    else:
        show_findings(outcome.findings, content, quiet=quiet)
        if not quiet:
            _report(outcome, out, reviewed=review)
        _name_kept(outcome)
    sys.exit(exit_code(outcome.findings))


def _built(
    request: Request, before: Look, bar: Bar, approve: Approve, scheduler: str | None
) -> Outcome:
    """Build, and end where that can't be carried out; it loads what pages are made with."""
    _load_early(request, scheduler, charts=False)
    from dossier.build import UnknownClientError, run
    from dossier.publish.trouble import PublishError
    from dossier.sites.cluster import cluster
    from dossier.sites.workers import WorkersError

    try:
        workers = cluster(scheduler) if scheduler else None
        return run(request, bar.tell, approve, workers, before)
    except (WorkersError, PublishError, UnknownClientError) as error:
        bar.close()
        fail(str(error))
    finally:
        bar.close()


def _load_early(request: Request, scheduler: str | None, *, charts: bool) -> None:
    """Let what pages are made with be loaded beside what is done here, if it isn't yet."""
    from dossier.sites.workers import load_early

    if request.jobs > 1 and not scheduler:
        needed = {"charts": charts, "documents": request.pdf}
        load_early(*(name for name, asked in needed.items() if asked))


def _report(outcome: Outcome, out: Path, *, reviewed: bool) -> None:
    from dossier.publish.review import listed

    for line in () if reviewed else listed(outcome.changes):
        click.echo(line)
    if outcome.minted:
        click.echo(
            f"Minted {numbered(len(outcome.minted), 'private link')}: {', '.join(outcome.minted)}. "
            f"See {out / 'bench' / 'index.html'}, or dossier link."
        )
    if outcome.published:
        click.echo(
            f"Built {numbered(len(outcome.built), 'instrument')}: "
            f"{numbered(outcome.pages, 'page')} and {numbered(outcome.pdfs, 'PDF')} below {out}, "
            f"{counted(outcome.findings)}."
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
        "findings": findings_data(outcome.findings),
    }


@click.command(
    short_help="Learn starting values of drift from the shop's own visits.",
    epilog="Example:  dossier learn",
)
@click.option("--yes", is_flag=True, help="Write learned.md without asking.")
@common
def learn(content: Path, today: date | None, *, yes: bool, as_json: bool, quiet: bool) -> None:
    """Show what the shop's instruments say together of how pitch drifts, and keep it if you agree.

    It is written to learned.md, beside shop.md, for you to look over. Builds merely read that file:
    only then does an estimate on an owner's page begin from it.
    """
    from dossier.desk.files import DeskError
    from dossier.desk.learn import FILE, keep, lesson
    from dossier.desk.session import open_notebook

    need_folder(content)
    day = day_of(today)
    try:
        found = lesson(open_notebook(content, day), day)
        if as_json:
            print_json(found.data())
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
        fail(str(error))
