"""What a check is, and the few things that all checks are made of."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.model import History, Notebook, Visit

Examine = Callable[[Notebook, date], Iterator[Diagnostic]]


class Check(NamedTuple):
    """A check: its id, which is the code of its findings, why it is made, and how.

    The function gets the whole shop and the day of the build, and mends nothing.  Unless it looks
    `across` the instruments, it finds the same in each of them without the others.
    """

    id: str
    why: str
    function: Examine
    across: bool = False


def warning(code: str, message: str, span: Span, hint: str = "") -> Diagnostic:
    """A finding that is readable but unlikely."""
    return Diagnostic(code, message, span, hint, Severity.WARNING)


def info(code: str, message: str, span: Span, hint: str = "") -> Diagnostic:
    """A finding that may well be as it should be."""
    return Diagnostic(code, message, span, hint, Severity.INFO)


def histories(notebook: Notebook) -> Iterator[History]:
    """The history of every instrument whose client's file is there.

    Where it is not, the reader has said so, and nothing is published of that instrument.
    """
    for name, instrument in notebook.instruments.items():
        if instrument.client in notebook.clients:
            yield notebook.history(name)


def visits(notebook: Notebook) -> Iterator[tuple[History, Visit]]:
    """Every visit of the shop, each with its instrument's history."""
    for history in histories(notebook):
        for visit in history.visits:
            yield history, visit


def figure(value: float | Decimal) -> str:
    """A figure as short as it can be written."""
    return f"{float(value):.12g}"


def offset(cents: float | Decimal) -> str:
    """How far off a pitch is: "120 cents flat"."""
    return f"{figure(round(abs(float(cents)), 1))} cents {'flat' if cents < 0 else 'sharp'}"


def shortened(text: str, longest: int = 40) -> str:
    """A text of a note as a message quotes it: on one line, and not too long."""
    line = " ".join(text.split())
    return f'"{line[: longest - 1].rstrip()}…"' if len(line) > longest else f'"{line}"'
