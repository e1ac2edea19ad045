"""The command line: the one room that prints, asks for the date, and exits."""

from __future__ import annotations

from typing import Any

import click

from dossier import __version__
from dossier.cli.building import build, learn
from dossier.cli.checking import check
from dossier.cli.desk import due, inbox, round_, schema, start, visit
from dossier.cli.importing import import_
from dossier.cli.links import link
from dossier.cli.preview import preview
from dossier.cli.statements import issue, verify
from dossier.cli.telling import ending_plainly

__all__ = ["main"]

COMMANDS: tuple[click.Command, ...] = (
    start,
    visit,
    round_,
    inbox,
    import_,
    check,
    build,
    preview,
    due,
    link,
    issue,
    verify,
    learn,
    schema,
)


class _Commands(click.Group):
    def invoke(self, ctx: click.Context) -> Any:
        with ending_plainly():
            return super().invoke(ctx)


@click.group(
    cls=_Commands,
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
