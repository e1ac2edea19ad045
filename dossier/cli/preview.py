"""preview: the pages on this machine alone, fresh at each save."""

from __future__ import annotations

import os
import sys
import time
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from dossier.cli.options import content_option, state_of, today_option
from dossier.cli.telling import Bar, counted, day_of, fail, need_folder, show_findings

if TYPE_CHECKING:
    from dossier.diagnostics import Diagnostic
    from dossier.preview import Preview

_MANY = 6  # instruments that are no longer named one by one
_PATIENCE = 0.0  # seconds to wait for another preview of the same shop: none


@click.command(
    short_help="See the pages while you write, fresh at each save.",
    epilog="Example:  dossier preview --open",
)
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="[default: a free one]")
@click.option("--open", "opened", is_flag=True, help="Open it in your browser.")
@click.option("--poll", is_flag=True, help="Look for changes by itself, as a network disk needs.")
@click.option(
    "--state",
    type=click.Path(path_type=Path),
    help="The private state folder.  [default: .dossier beside the notes]",
)
@content_option
@today_option
def preview(
    port: int,
    content: Path,
    today: date | None,
    state: Path | None,
    *,
    opened: bool,
    poll: bool,
) -> None:
    """Show the bench's and the owners' pages in your browser, and renew them when a note is saved.

    Only this machine can see them, and nothing is published: no link is minted and no build
    touched. What is wrong in a note stands on the page and here. Ctrl-C ends it.
    """
    from dossier.preview import PortTakenError, Preview
    from dossier.preview.site import Workbench
    from dossier.publish.folder import one_build
    from dossier.publish.trouble import BusyError, PublishError

    need_folder(content)
    folder = state_of(content, state) / "preview"
    bench = Workbench(content, folder, os.cpu_count() or 1)
    shown = Preview(bench, lambda: day_of(today), port)
    try:
        with one_build(folder, _PATIENCE):
            _run(shown, content, opened=opened, poll=poll)
    except PortTakenError as error:
        fail(str(error))
    except BusyError as error:
        fail(f"Another preview is open in {error.holder}. End it first, or look at that one.")
    except PublishError as error:
        fail(str(error))
    except OSError as error:
        fail(f"The preview had to end: {error}.")


def _run(shown: Preview, content: Path, *, opened: bool, poll: bool) -> None:
    from dossier.preview.watching import changes

    address = shown.open()
    told: frozenset[Diagnostic] = frozenset()
    try:
        told = _renew(shown, content, told)
        click.echo(f"Preview: {address}  Ctrl-C ends it.")
        if opened:
            click.launch(address)
        for _ in changes(content, shown.ended, poll=poll):
            told = _renew(shown, content, told)
    except KeyboardInterrupt:
        pass
    finally:
        shown.close()
    click.echo("The preview has ended.")


def _renew(shown: Preview, content: Path, told: frozenset[Diagnostic]) -> frozenset[Diagnostic]:
    """Renew the pages, and say what that gave where it gave anything.

    Errors are said at each save until they are mended, all else once.
    """
    from dossier.diagnostics import Severity

    bar = Bar(shown=sys.stderr.isatty())
    before, begun = shown.stand, time.monotonic()
    renewed = shown.renew(bar.tell)
    bar.close()
    if shown.stand == before:
        return told
    found = renewed.findings
    said = (one for one in found if one not in told or one.severity is Severity.ERROR)
    show_findings(tuple(said), content, quiet=False)
    what = ", ".join(renewed.made) if len(renewed.made) < _MANY else f"{len(renewed.made)} pages"
    took = f"{time.monotonic() - begun:.1f} s"
    click.echo(f"Fresh: {what or 'no instrument'} ({took}), {counted(found)}.")
    return frozenset(found)
