"""What a build is asked to do, and what it did."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path

from dossier.diagnostics import Diagnostic
from dossier.publish.review import ClientChanges


@dataclass(frozen=True, slots=True)
class Request:
    """What to build: the folders, the day, the clients (none: all), and how many processes.

    Without `pdf` no documents are made: for a quick look, not for what is handed out.
    """

    content: Path
    out: Path
    state: Path
    today: date
    clients: tuple[str, ...] = ()
    jobs: int = 1
    pdf: bool = True


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a build did.

    `kept` are instruments whose last good pages stand, `missing` those without any; `held` the
    clients on hold, `minted` those with a new link; `published` whether the trees now stand as
    this build wants them; `pages` and `pdfs` count what then stands; `stands` is the sum of each
    file in them, by the name of its tree and by its path.
    """

    findings: tuple[Diagnostic, ...]
    built: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    held: tuple[str, ...] = ()
    minted: tuple[str, ...] = ()
    changes: tuple[ClientChanges, ...] = ()
    published: bool = False
    pages: int = 0
    pdfs: int = 0
    stands: Mapping[str, Mapping[str, str]] = field(default_factory=dict, repr=False, compare=False)


class UnknownClientError(ValueError):
    """A client is asked for whom no note names; the message names the nearest."""
