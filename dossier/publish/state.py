"""The private links: who has which address, kept so that no build ever changes one in silence."""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError, model_validator
from pydantic_core import PydanticCustomError

from dossier.diagnostics import Diagnostic, Span
from dossier.publish.folder import make_private, was_published, write_private
from dossier.publish.trouble import plainly

LINKS, BACKUP = "links.json", "links.json.bak"
VERSION = 1
TOKEN_BYTES = 20  # 160 bits: nobody guesses one
# 32 hexadecimal digits are 128 bits. No capitals: a disk or a host may not tell them apart.
_PATTERN = r"^[0-9a-z]{32,64}$"
_WORDS = {"string_pattern_mismatch": "It should be 32 to 64 characters of 0-9 a-z"}

Mint = Callable[[], str]
LinkKind = Literal["client", "instrument", "issued"]
_ISSUED = "/issued/"


class _Record(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid")


class Link(_Record):
    """A private address: whoever knows its token sees what `target` names, and nothing else.

    `target` is the slug of a client, or of a client and one instrument ("marsh/heron"), by `kind`:
    an instrument's link is bound to the client for whom it was made.  An issued statement's names
    its folder ("marsh/issued/heron-sale-2026-06-01"), and `seal` is the seal of just that
    statement.  `label` is the technician's own word for it.  On `last_day` it still opens.  A
    withdrawn link is remembered, so that no new one is made for that client by itself.
    """

    token: Annotated[str, Field(pattern=_PATTERN)]
    kind: LinkKind
    target: str
    label: str = ""
    made: date
    last_day: date | None = None
    withdrawn: date | None = None
    seal: str = ""

    @property
    def client(self) -> str:
        """Whose it is, by slug."""
        return self.target.partition("/")[0]

    @property
    def statement(self) -> str:
        """The folder of the issued statement that it opens; "" for any other link."""
        return self.target.partition(_ISSUED)[2]

    def is_of(self, who: str) -> bool:
        """Whether a word names what it opens: a client, "client/instrument", or a statement."""
        return bool(who) and who in (self.client, self.target, self.statement)

    def opens(self, today: date) -> bool:
        return self.withdrawn is None and (self.last_day is None or today <= self.last_day)


class State(_Record):
    """All links that were ever made, in the order in which they were."""

    links: tuple[Link, ...] = ()

    @model_validator(mode="after")
    def _tokens_differ(self) -> State:
        if len({link.token for link in self.links}) < len(self.links):
            raise PydanticCustomError("same_token", "Two links have the same token")
        return self


def load_state(folder: Path, out: Path) -> tuple[State | None, tuple[Diagnostic, ...]]:
    """The links of a shop; empty where nothing was ever published.

    None, with the error that says why, where they are missing or damaged: a build that went on
    would mint new links, and every address that a client holds would be dead.

    Raises PublishError where the folder can't be read.
    """
    with plainly(folder):
        path = folder / LINKS
        if not path.exists():
            if not was_published(folder, out):
                return State(), ()
            return None, (_missing(folder, out),)
        read = _parsed(path.read_bytes())
        if isinstance(read, State):
            return read, ()
        return None, (_damaged(folder, read),)


def save_state(folder: Path, state: State) -> None:
    """Write the links, and the same once more as a backup; nothing where nothing changed.

    Each is replaced whole: a crash leaves at least one of the two whole.  Raises PublishError.
    """
    make_private(folder)
    document = {"version": VERSION, **state.model_dump(mode="json")}
    data = f"{json.dumps(document, indent=1, ensure_ascii=False)}\n".encode()
    with plainly(folder):
        write_private(folder / LINKS, data)
        write_private(folder / BACKUP, data)


def ensure_links(
    state: State, clients: Iterable[str], today: date, mint: Mint
) -> tuple[State, tuple[Link, ...]]:
    """The state with a link for each client who never had one, and the links that are new.

    `clients` are those who may have a site.  One whose link was withdrawn or has run out gets no
    other by itself: it has to be asked for.  `mint` draws a token of 128 random bits or more.

    Raises ValueError for a token that is too short, or that another link has.
    """
    known = {link.target for link in state.links if link.kind == "client"}
    new = tuple(
        Link(token=mint(), kind="client", target=client, made=today)
        for client in sorted(set(clients) - known)
    )
    return State(links=(*state.links, *new)), new


def open_links(state: State, clients: Collection[str], today: date) -> tuple[Link, ...]:
    """The links to pages of these clients that are open today, by what they open, then by age.

    Statements are no pages: which of them open, the issued folders say.
    """
    pages = (link for link in state.links if link.kind != "issued")
    found = [link for link in pages if link.client in clients and link.opens(today)]
    return tuple(sorted(found, key=lambda link: link.target))


def statement_target(client: str, name: str) -> str:
    """What a link to an issued statement names: its client, and its folder."""
    return f"{client}{_ISSUED}{name}"


def withdrawn(state: State, tokens: Collection[str], today: date) -> State:
    """The state in which the links of these tokens open no more, from this day on."""
    return State(
        links=tuple(
            link.model_copy(update={"withdrawn": today})
            if link.token in tokens and link.withdrawn is None
            else link
            for link in state.links
        )
    )


@dataclass(frozen=True, slots=True)
class _Unread:
    """Why a list of links can't be read; `newer` where only a newer version can."""

    reason: str
    line: int = 1
    column: int = 1
    newer: bool = False


def _parsed(data: bytes) -> State | _Unread:
    try:
        document = json.loads(data.decode("utf-8-sig"))  # an editor may put a mark before it
    except json.JSONDecodeError as error:
        return _Unread(error.msg, error.lineno, error.colno)
    except (ValueError, RecursionError):
        return _Unread("it is no UTF-8 text of JSON")
    version = document.pop("version", None) if isinstance(document, dict) else None
    if not isinstance(version, int) or "links" not in document:
        return _Unread("it holds no list of links")
    if version != VERSION:
        return _Unread(f"it is of version {version}, and this is made for {VERSION}", newer=True)
    try:
        return State.model_validate_json(json.dumps(document))
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        place = ", ".join(
            f"entry {part + 1}" if isinstance(part, int) else str(part) for part in first["loc"]
        )
        return _Unread(f"{place or LINKS}: {_WORDS.get(first['type'], first['msg'])}")


def _missing(folder: Path, out: Path) -> Diagnostic:
    return Diagnostic(
        "links-missing",
        f"{LINKS} is missing from {folder}, though pages were published.",
        Span(f"{folder.name}/{LINKS}"),
        f"{_backup(folder)} Only if every client is to get a new address: delete {folder} and "
        f"{out / 'public'}, and build again.",
    )


def _damaged(folder: Path, found: _Unread) -> Diagnostic:
    return Diagnostic(
        "links-newer" if found.newer else "links-damaged",
        f"{LINKS} in {folder} can't be read: {found.reason}.",
        Span(f"{folder.name}/{LINKS}", found.line, found.column),
        "Build with the version of dossier that wrote it." if found.newer else _backup(folder),
    )


def _backup(folder: Path) -> str:
    """What to do, by what the backup beside it holds."""
    path = folder / BACKUP
    held = _parsed(path.read_bytes()) if path.is_file() else None
    if isinstance(held, State):
        count = len(held.links)
        return (
            f"Its backup is whole and holds {count} link{'s' if count != 1 else ''}: "
            f"copy {path} to {folder / LINKS}."
        )
    gone = "is missing too" if held is None else "is damaged too"
    return f"Its backup, {BACKUP}, {gone}: bring {LINKS} back from your own backup of {folder}."
