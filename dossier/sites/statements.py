"""The issued statements that private links open, each as it was issued, or closed and told why."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.analysis.hands import theirs_since
from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.model import Notebook
from dossier.publish.handed_out import HandedOut, HandedOutError, handed_out
from dossier.publish.issued import IssuedManifest
from dossier.publish.kept import Keeping
from dossier.publish.state import Link, State
from dossier.publish.trees import ISSUED
from dossier.sites.clients import owner_of


@dataclass(frozen=True, slots=True)
class Opened:
    """The links to statements that open today, and the files of each, by what it opens."""

    links: tuple[Link, ...]
    sites: Mapping[str, Mapping[str, bytes]]


def opened_statements(
    state: State, notebook: Notebook, keeping: Keeping, out: Path, today: date
) -> tuple[Opened, tuple[Diagnostic, ...]]:
    """What the links to issued statements open.

    A statement is no page of its client: neither a note that can't be read now nor a visit on hold
    closes it.  But it ends with the client for whom it was issued: once they left, or the
    instrument is another's, it is closed, since it may tell of them what they released then.  One
    that is gone or changed is an error and opens nothing.

    Raises PublishError where the disk is in the way.
    """
    links: list[Link] = []
    sites: dict[str, Mapping[str, bytes]] = {}
    found: list[Diagnostic] = []
    for link in state.links:
        if link.kind != "issued" or not link.opens(today):
            continue
        try:
            statement = _as_linked(out, link)
        except HandedOutError as error:
            found.append(_shut(link, str(error), missing=error.missing))
            continue
        owner = owner_of(notebook, keeping, statement.manifest.instrument)
        if why := why_closed(notebook, owner, link.client, statement.manifest):
            found.append(_closed(link, why))
            continue
        links.append(link)
        sites[link.target] = statement.files
    return Opened(tuple(links), sites), tuple(found)


def why_closed(notebook: Notebook, owner: str | None, client: str, manifest: IssuedManifest) -> str:
    """Why no link of a client may open a statement, as a sentence; "" where one may.

    `owner` is the client whose the instrument is now, None where nothing tells.
    """
    known = notebook.clients.get(client)
    if known is not None and known.status == "left":
        return f"{client} left: no address of theirs opens anything."
    if owner != client:
        return f"{manifest.instrument} is no longer {client}'s."
    instrument = notebook.instruments.get(manifest.instrument)
    since = theirs_since(instrument) if instrument is not None else None
    if since is not None and date.fromisoformat(manifest.issued) < since:
        return (
            f"{manifest.instrument} was another's when it was issued: "
            "it may tell what only they could release."
        )
    return ""


def _as_linked(out: Path, link: Link) -> HandedOut:
    """The statement that the link was made for, by its seal.  Raises HandedOutError."""
    statement = handed_out(out, link.statement)
    if statement.manifest.seal != link.seal:
        raise HandedOutError(
            f"{out / ISSUED / link.statement} is not the statement that the link was made for: "
            "its seal is another."
        )
    return statement


def _shut(link: Link, why: str, *, missing: bool) -> Diagnostic:
    return Diagnostic(
        "issued-missing" if missing else "issued-changed",
        f"{why} Its link opens nothing.",
        Span(f"{ISSUED}/{link.statement}"),
        "Put it back from a copy and build again, or withdraw the link: "
        f"dossier link withdraw {link.statement}.",
    )


def _closed(link: Link, why: str) -> Diagnostic:
    return Diagnostic(
        "issued-closed",
        f"Its link opens nothing. {why}",
        Span(f"{ISSUED}/{link.statement}"),
        f"Withdraw it: dossier link withdraw {link.statement}.",
        Severity.WARNING,
    )
