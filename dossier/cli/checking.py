"""check: every problem of every note, and what can only have been meant in one way put right."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dossier.cli.options import common
from dossier.cli.telling import (
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
    from dossier.desk.mending import Mending
    from dossier.diagnostics import Diagnostic
    from dossier.model import Notebook


@click.command(
    short_help="Read all notes and show every problem, without building.",
    epilog="Example:  dossier check --content content   or, to put slips right:  "
    "dossier check --fix",
)
@click.option("--fix", is_flag=True, help="Put right what can only be meant in one way.")
@click.option("--yes", is_flag=True, help="With --fix: write it without asking.")
@common
def check(
    content: Path, today: date | None, *, fix: bool, yes: bool, as_json: bool, quiet: bool
) -> None:
    """Read all notes and show every problem, without building.

    --fix puts right what can only have been meant in one way, such as a slip in a word of a fixed
    list. It shows each change and asks; in a pipe it only shows. A change that does not help is
    undone, and all else of a file stays as it is.
    """
    day = day_of(today)
    need_folder(content)
    if yes and not fix:
        fail("--yes goes with --fix.")
    fixed = _fixed(content, day, yes=yes, as_json=as_json) if fix else ()
    notebook, found = _read(content, day)
    if as_json:
        named = {"fixed": findings_data(fixed)} if fix else {}
        print_json({"findings": findings_data(found), **named})
    else:
        show_findings(found, content, quiet=quiet)
        if not quiet and notebook is not None:
            _sum_up(notebook, found, offered=not fix)
    sys.exit(exit_code(found))


def _read(content: Path, day: date) -> tuple[Notebook | None, tuple[Diagnostic, ...]]:
    from dossier.checks import run_checks
    from dossier.diagnostics import in_order
    from dossier.read import read_notebook

    notebook, found = read_notebook(content, day)
    if notebook is not None:
        found = in_order((*found, *run_checks(notebook, day)))
    return notebook, found


def _sum_up(notebook: Notebook, found: tuple[Diagnostic, ...], *, offered: bool) -> None:
    visits = sum(len(visits) for visits in notebook.visits.values())
    click.echo(
        f"Read {numbered(len(notebook.instruments), 'instrument')} of "
        f"{numbered(len(notebook.clients), 'client')}, {numbered(visits, 'visit')}: "
        f"{counted(found)}."
    )
    sure = sum(one.fix is not None for one in found)
    if offered and sure:
        click.echo(f"dossier check --fix offers to put right {sure} of them.")


def _fixed(content: Path, day: date, *, yes: bool, as_json: bool) -> tuple[Diagnostic, ...]:
    """What was put right, once it was shown and agreed to."""
    from dossier.desk.mending import mending
    from dossier.read import list_folder

    sources, _ = list_folder(content)
    trial = None if sources is None else mending(sources, day)
    if trial is None or not trial.done:
        if not as_json:
            click.echo("There is nothing that can only be meant in one way.")
        return ()
    if not as_json:
        for line in trial.diff():
            click.echo(line)
    if not yes and not _agreed(trial, as_json=as_json):
        return ()
    kept = trial.write(content)
    for file in kept:
        click.echo(f"{file}: changed meanwhile, and left as it is.", err=True)
    done = tuple(one for one in trial.done if one.span.file not in kept)
    if not as_json:
        for one in done:
            if one.fix is not None:
                click.echo(f"{one.fix.span}: {one.fix.wrong} is now {one.fix.right}")
    return done


def _agreed(trial: Mending, *, as_json: bool) -> bool:
    count = numbered(len(trial.done), "change")
    if sys.stdin.isatty() and not as_json:
        return click.confirm(f"Write {count}?", default=False)
    click.echo(f"Nothing was written: dossier check --fix --yes writes {count}.", err=True)
    return False
