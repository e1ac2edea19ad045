"""The command line: the one room that prints, asks for the date, and exits."""

from __future__ import annotations

import click

from dossier import __version__
from dossier.cli.building import build, check, learn
from dossier.cli.desk import due, inbox, round_, schema, start, visit
from dossier.cli.links import link
from dossier.cli.statements import issue, verify

__all__ = ["main"]

COMMANDS: tuple[click.Command, ...] = (
    start,
    visit,
    round_,
    inbox,
    check,
    build,
    due,
    link,
    issue,
    verify,
    learn,
    schema,
)


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


for _command in COMMANDS:
    main.add_command(_command)
