"""The private links as the technician orders them: one more, another in its place, none any more.

An order changes the list of links alone.  What is online changes with the next build, and an old
address opens until then.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from dossier.diagnostics import Diagnostic
from dossier.model import Notebook
from dossier.publish.folder import one_build
from dossier.publish.handed_out import HandedOut, HandedOutError, handed_out, names_issued
from dossier.publish.state import (
    TOKEN_BYTES,
    Link,
    LinkKind,
    Mint,
    State,
    load_state,
    save_state,
    statement_target,
    withdrawn,
)
from dossier.quantities import suggest
from dossier.sites.statements import why_closed

LOCK_SECONDS = 30.0
SHORTEST_PREFIX = 6
LONGEST_LABEL = 80


class LinkError(ValueError):
    """An order that can't be carried out, as a sentence for whoever gave it."""


@dataclass(frozen=True, slots=True)
class Wish:
    """What a new link should be like; None where the old one's, or nothing, is meant."""

    label: str | None = None
    last_day: date | None = None


@dataclass(frozen=True, slots=True)
class Ordered:
    """What an order came to: the links that are new, and those that open no more."""

    new: tuple[Link, ...] = ()
    gone: tuple[Link, ...] = ()


Order = Callable[[State], tuple[State, Ordered]]


def carry_out(
    folder: Path, out: Path, order: Order
) -> tuple[Ordered | None, tuple[Diagnostic, ...]]:
    """Change the links as ordered, with the build shut out meanwhile; None where they are damaged.

    Raises LinkError for an order that can't be, and PublishError where a build is at work or the
    folder can't be written.
    """
    with one_build(folder, LOCK_SECONDS):
        state, trouble = load_state(folder, out)
        if state is None:
            return None, trouble
        changed, ordered = order(state)
        save_state(folder, changed)
        return ordered, ()


def minted() -> str:
    """A new token: 160 bits that nobody can guess."""
    return secrets.token_hex(TOKEN_BYTES)


def of(state: State, who: str) -> tuple[Link, ...]:
    """All links, or those of a client, an instrument or a statement; LinkError without any."""
    found = tuple(link for link in state.links if not who or link.is_of(who))
    if who and not found:
        raise LinkError(_unknown(f"There is no link of “{who}”.", who, _targets(state)))
    return found


def added(
    state: State, notebook: Notebook, target: str, wish: Wish, today: date, mint: Mint
) -> tuple[State, Ordered]:
    """One link more, beside those that there are: for a client, or for one of their instruments.

    Raises LinkError for a target that no note names, a client who left, and a wish that can't be.
    """
    _refuse_target(notebook, target)
    kind: LinkKind = "instrument" if "/" in target else "client"
    return _with(state, _made(kind, target, _checked(wish, today), today, mint))


def statement_of(out: Path, name: str) -> HandedOut | None:
    """The issued statement that a word names, None where it names none.

    Raises LinkError where one of that name lies there and was changed.
    """
    if name not in names_issued(out):
        return None
    try:
        return handed_out(out, name)
    except HandedOutError as error:
        raise LinkError(f"{error} No link is made to it.") from error


def added_statement(
    state: State, notebook: Notebook, statement: HandedOut, wish: Wish, today: date, mint: Mint
) -> tuple[State, Ordered]:
    """A link that opens an issued statement, bound to its seal and to its instrument's client.

    Raises LinkError for a statement that no link may open, and a wish that can't be.
    """
    manifest = statement.manifest
    instrument = notebook.instruments.get(manifest.instrument)
    if instrument is None:
        raise LinkError(f"The notes name no {manifest.instrument}, of which {statement.name} is.")
    _refuse_target(notebook, instrument.client)
    if instrument.client in notebook.held():
        raise LinkError(f"{instrument.client} is on hold, and nothing of it is handed out.")
    if why := why_closed(notebook, instrument.client, instrument.client, manifest):
        raise LinkError(why)
    target = statement_target(instrument.client, statement.name)
    link = _made("issued", target, _checked(wish, today), today, mint, manifest.seal)
    return _with(state, link)


def _with(state: State, link: Link) -> tuple[State, Ordered]:
    return State(links=(*state.links, link)), Ordered(new=(link,))


def renewed(
    state: State, notebook: Notebook, who: str, wish: Wish, today: date, mint: Mint
) -> tuple[State, Ordered]:
    """Another address in the place of an old one, with its label and its last day.

    `who` is a client, "client/instrument", an issued folder, or the first characters of an
    address.  A client without an open link gets a new one.  Raises LinkError as `added` does, and
    where it isn't clear which link is meant.
    """
    old = _open(state, who, today)
    if len(old) > 1:
        raise LinkError(_which(who, old))
    if not old:
        return _anew(state, notebook, who, wish, today, mint)
    kept = Wish(
        old[0].label if wish.label is None else wish.label, wish.last_day or old[0].last_day
    )
    link = _made(old[0].kind, old[0].target, _checked(kept, today), today, mint, old[0].seal)
    shut = withdrawn(state, {old[0].token}, today)
    return State(links=(*shut.links, link)), Ordered(new=(link,), gone=old)


def _anew(
    state: State, notebook: Notebook, who: str, wish: Wish, today: date, mint: Mint
) -> tuple[State, Ordered]:
    """A new link where none is open; that of a statement opens just what its last one did."""
    before = [link for link in state.links if who in (link.statement, link.target)]
    if not before or before[-1].kind != "issued":
        return added(state, notebook, who, wish, today, mint)
    last = before[-1]
    _refuse_target(notebook, last.client)
    kept = Wish(last.label if wish.label is None else wish.label, wish.last_day)
    link = _made(last.kind, last.target, _checked(kept, today), today, mint, last.seal)
    return _with(state, link)


def shut(state: State, who: str, today: date) -> tuple[State, Ordered]:
    """The links of a client, of one instrument or statement, or of one address, withdrawn.

    Of a client all are, those of single instruments and of statements among them.  Raises
    LinkError where none is open.
    """
    gone = tuple(
        link for link in state.links if link.is_of(who) and link.withdrawn is None
    ) or _by_prefix(state, who)
    if not gone:
        hint = "" if any(link.is_of(who) for link in state.links) else who
        message = f"There is no open link of “{who}”."
        raise LinkError(_unknown(message, hint, _targets(state)) if hint else message)
    return withdrawn(state, {link.token for link in gone}, today), Ordered(gone=gone)


def _open(state: State, who: str, today: date) -> tuple[Link, ...]:
    """The links that a word means: those of just that target that open, else by its address."""
    exact = tuple(
        link
        for link in state.links
        if who in (link.target, link.statement) and who and link.opens(today)
    )
    return exact or _by_prefix(state, who)


def _by_prefix(state: State, who: str) -> tuple[Link, ...]:
    """The one link whose address begins so.  Raises LinkError where there are several."""
    if len(who) < SHORTEST_PREFIX:
        return ()
    found = tuple(
        link for link in state.links if link.token.startswith(who) and link.withdrawn is None
    )
    if len(found) > 1:
        raise LinkError(f"{len(found)} addresses begin with “{who}”. Write more of it.")
    return found


def _made(kind: LinkKind, target: str, wish: Wish, today: date, mint: Mint, seal: str = "") -> Link:
    return Link(
        token=mint(),
        kind=kind,
        target=target,
        label=wish.label or "",
        made=today,
        last_day=wish.last_day,
        seal=seal,
    )


def refuse_wish(wish: Wish, today: date) -> None:
    """Raises LinkError for a wish that can't be: a day that is over, a label of many lines."""
    _checked(wish, today)


def _checked(wish: Wish, today: date) -> Wish:
    if wish.last_day is not None and wish.last_day < today:
        raise LinkError(f"{wish.last_day} is over: the link would open nothing.")
    label = (wish.label or "").strip()
    if len(label) > LONGEST_LABEL or not label.isprintable():
        raise LinkError(f"A label has one line of at most {LONGEST_LABEL} letters.")
    return Wish(label, wish.last_day)


def _refuse_target(notebook: Notebook, target: str) -> None:
    client, slash, name = target.partition("/")
    if client not in notebook.clients:
        raise LinkError(
            _unknown(f"There is no client “{client}”.", client, sorted(notebook.clients))
        )
    if notebook.clients[client].status == "left":
        raise LinkError(f"{client} left: no address of theirs opens anything.")
    theirs = sorted(
        slug for slug, instrument in notebook.instruments.items() if instrument.client == client
    )
    if slash and name not in theirs:
        raise LinkError(_unknown(f"{client} has no instrument “{name}”.", name, theirs))


def _which(who: str, links: tuple[Link, ...]) -> str:
    """Which of several is meant is asked by their labels, and by no more of an address than that
    it can be told apart."""
    listed = ", ".join(
        f"{link.token[:SHORTEST_PREFIX]} ({link.label or f'made {link.made}'})" for link in links
    )
    return f"{who} has {len(links)} open links. Say which by how its address begins: {listed}."


def _targets(state: State) -> list[str]:
    return sorted(
        {name for link in state.links for name in (link.client, link.statement or link.target)}
    )


def _unknown(message: str, who: str, known: list[str]) -> str:
    nearest = suggest(who, known)
    if nearest:
        return f"{message} Did you mean {nearest}?"
    if len(known) == 1:
        return f"{message} There is only {known[0]}."
    return f"{message} There are {', '.join(known)}." if known else message
