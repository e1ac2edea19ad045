"""What commands print, and how they end.

Exit codes: 0 fine, 1 problems in the notes or a statement that is not whole, 2 wrong use or a build
that could not be carried out, 130 stopped by Ctrl-C.
"""

from __future__ import annotations

import errno
import json
import sys
from contextlib import contextmanager
from datetime import UTC, date, datetime, time
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from dossier.diagnostics import Diagnostic


FINE, PROBLEMS, WRONG = 0, 1, 2
STOPPED = 130  # as a shell has it: 128 and the number of the signal


def day_of(today: date | None) -> date:
    """The day asked for, else the technician's own today: the one place that asks for it."""
    return today or date.today()


def moment_of(today: date | None) -> datetime:
    """When something is signed: now, or noon of the day asked for, so that it can be repeated."""
    return datetime.combine(today, time(12), UTC) if today else datetime.now(UTC)


def need_folder(content: Path) -> None:
    """Refuse where there are no notes, and say how to get to them."""
    if content.is_dir():
        return
    if content.exists():
        fail(f"{content} is a file. Name the folder with the notes by --content.")
    if Path("shop.md").is_file():
        fail(f"There is no folder {content} here: you are among the notes. Go one folder up.")
    fail(
        f"There is no folder {content} here. Go to your shop's folder, which holds the folder with "
        "the notes, or name that one by --content."
    )


def fail(message: str) -> NoReturn:
    """End with a sentence on stderr: wrong use, or what could not be carried out."""
    click.echo(f"dossier: {message}", err=True)
    sys.exit(WRONG)


@contextmanager
def ending_plainly() -> Iterator[None]:
    """End a command at a Ctrl-C, or where the system refuses, by a sentence and no traceback."""
    try:
        yield
    except (KeyboardInterrupt, click.Abort):
        click.echo(
            "dossier: Stopped. Nothing is left in parts; what is missing comes anew.", err=True
        )
        sys.exit(STOPPED)
    except OSError as error:
        if error.errno == errno.EPIPE:  # whoever read what is printed has enough
            raise
        reason = (error.strerror or str(error) or type(error).__name__).lower()
        fail(f"{error.filename or 'The system'} can't be used: {reason}. See to it and try again.")


def exit_code(found: Iterable[Diagnostic]) -> int:
    """1 where anything was found that stops what it concerns."""
    from dossier.diagnostics import has_errors

    return PROBLEMS if has_errors(found) else FINE


def show_findings(found: tuple[Diagnostic, ...], content: Path, *, quiet: bool) -> None:
    """All findings on stderr, each with its line and a caret; --quiet leaves out mere remarks."""
    from dossier.diagnostics import Severity, with_caret

    shown = [one for one in found if not quiet or one.severity is Severity.ERROR]
    if not shown:
        return  # and the reader need not be loaded
    from dossier.read import source_line

    for diagnostic in shown:
        click.echo(with_caret(diagnostic, source_line(content, diagnostic.span)), err=True)


def counted(found: Iterable[Diagnostic]) -> str:
    """How many errors and warnings there are, in words."""
    from dossier.diagnostics import Severity

    counts = dict.fromkeys(Severity, 0)
    for diagnostic in found:
        counts[diagnostic.severity] += 1
    errors, warnings = counts[Severity.ERROR], counts[Severity.WARNING]
    if not errors and not warnings:
        return "no problems"
    return f"{numbered(errors, 'error')}, {numbered(warnings, 'warning')}"


def numbered(count: int, noun: str) -> str:
    """A number with its noun."""
    return f"{count} {noun}" if count == 1 else f"{count} {noun}s"


def findings_data(found: Iterable[Diagnostic]) -> list[dict[str, object]]:
    """The findings for machines."""
    from dossier.diagnostics import as_json

    return [as_json(diagnostic) for diagnostic in found]


def print_json(data: object) -> None:
    """The result for machines, on stdout."""
    click.echo(json.dumps(data, indent=2, ensure_ascii=False))


class Bar:
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
