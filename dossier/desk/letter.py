"""The owner's message of a visit as a file: plain text, or an e-mail that waits to be sent."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from email.errors import MessageError
from email.headerregistry import Address
from email.message import EmailMessage
from email.policy import SMTP
from email.utils import format_datetime
from textwrap import wrap

from dossier.analysis.findings import analyse
from dossier.desk.files import DeskError
from dossier.edition.declared import OWNER
from dossier.edition.hands import handed_on
from dossier.edition.instrument_page import instrument_view
from dossier.edition.letter import Letter, letter
from dossier.edition.pages import InstrumentView
from dossier.edition.situation import situation
from dossier.edition.told import Told
from dossier.edition.voice import voice_of
from dossier.model import Client, Notebook, Shop
from dossier.publish.state import State
from dossier.quantities import suggest
from dossier.words import load

WIDTH = 72  # columns; common practice for plain text in mail, no source
_PEOPLE = ("", "home", "private", "family")
_WEB = re.compile(r"https://[^\s/]+(?:/\S*)?")


@dataclass(frozen=True, slots=True)
class Message:
    """A letter with whom it is from and for; nothing sends it."""

    letter: Letter
    shop: Shop
    client: Client
    day: date


def message(
    notebook: Notebook, name: str, day: date | None, state: State | None, today: date
) -> Message:
    """The message of an instrument's last visit, or of a day's; of a client, of all they have.

    It tells what was known when that visit ended.  Without the shop's public address, or a link
    that is open, there is no address in it.  Raises DeskError.
    """
    slugs = _instruments(name, notebook)
    client = notebook.clients.get(notebook.instruments[slugs[0]].client)
    if client is None:
        raise DeskError(f"The client of {slugs[0]} has no file that can be read.")
    when = day or _last(notebook, slugs, today)
    visited = [slug for slug in slugs if any(v.date == when for v in notebook.visits[slug])]
    if not visited:
        raise DeskError(_no_visit(name, when, notebook, slugs))
    _refuse_half_true(visited, client, notebook)
    shop = notebook.shop
    voice = voice_of(shop, load(shop.locale))
    views = [_view(notebook, slug, when) for slug in visited]
    link = _link(state, client.id, shop.public_address, today)
    people = client.kind in _PEOPLE
    return Message(letter(views, voice, link, to_people=people), shop, client, when)


def as_text(told: Message) -> str:
    """The letter as plain text in lines of at most 72 columns; an address is never broken."""
    return "\n".join((*_lines(told.letter), ""))


def as_mail(told: Message) -> bytes:
    """The letter as a draft (RFC 5322) for any mail program, which opens it unsent.

    Raises DeskError for an address that is none.
    """
    mail = EmailMessage(policy=SMTP)
    shop, client = told.shop, told.client
    if shop.email:
        mail["From"] = _address(shop.name, shop.email, "shop.md")
    if client.email:
        mail["To"] = _address(client.name, client.email, f"clients/{client.id}.md")
    mail["Subject"] = " ".join(told.letter.subject.split())
    # Until it is sent, which gives it a date of its own, it is as old as what it tells.
    mail["Date"] = format_datetime(datetime.combine(told.day, time(12), UTC))
    mail["X-Unsent"] = "1"
    mail.set_content(as_text(told), charset="utf-8", cte="quoted-printable")
    return mail.as_bytes()


def _instruments(name: str, notebook: Notebook) -> list[str]:
    if name in notebook.instruments:
        return [name]
    theirs = [slug for slug, one in sorted(notebook.instruments.items()) if one.client == name]
    if theirs:
        return theirs
    near = suggest(name, sorted({*notebook.instruments, *notebook.clients}))
    hint = f" Did you mean {near}?" if near else ""
    raise DeskError(f"There is no instrument and no client {name} that can be read.{hint}")


def _last(notebook: Notebook, slugs: list[str], today: date) -> date:
    days = [v.date for slug in slugs for v in notebook.visits[slug] if v.date <= today]
    return max(days, default=today)


def _no_visit(name: str, day: date, notebook: Notebook, slugs: list[str]) -> str:
    days = sorted({visit.date for slug in slugs for visit in notebook.visits[slug]})
    if not days:
        return f"No visit to {name} has been written down yet."
    near = min(days, key=lambda one: abs((one - day).days))
    return f"No visit to {name} is of {day}. The nearest is of {near}."


def _refuse_half_true(slugs: list[str], client: Client, notebook: Notebook) -> None:
    for slug in slugs:
        if slug in notebook.stopped:
            raise DeskError(
                f"A note of {slug} can't be read, and the letter could be half true: "
                "see dossier check."
            )
    if client.id in notebook.held():
        raise DeskError(f"{client.id} is on hold: take hold: yes out of the note first.")


def _view(notebook: Notebook, slug: str, day: date) -> InstrumentView:
    """The owner's page as it was when that day's visit ended."""
    history = notebook.history(slug)
    visits = tuple(visit for visit in history.visits if visit.date <= day)
    history = handed_on(replace(history, visits=visits))
    findings = analyse(history)
    voice = voice_of(history.shop, load(history.shop.locale))
    view = instrument_view(OWNER, Told(history, findings, situation(history, findings, day), voice))
    if not view.visits:
        raise DeskError(f"The visit to {slug} on {day} was before it changed hands.")
    return view


def _link(state: State | None, client: str, site: str, today: date) -> str:
    if state is None or not site:
        return ""
    found = (one for one in state.links if one.target == client and one.opens(today))
    link = next(found, None)
    return f"{site.rstrip('/')}/{link.token}/" if link else ""


def _lines(told: Letter) -> Iterator[str]:
    for at, block in enumerate(told.blocks):
        if at:
            yield ""
        for line in block.text.split("\n"):
            yield from _wrapped(line)
        for item in block.lines:
            if _WEB.fullmatch(item):
                yield item
            else:
                yield from _wrapped(item, "- ", "  ")


def _wrapped(text: str, first: str = "", later: str = "") -> list[str]:
    return wrap(
        text, WIDTH, initial_indent=first, subsequent_indent=later, break_long_words=False,
        break_on_hyphens=False,
    )  # fmt: skip


def _address(name: str, email: str, file: str) -> Address:
    try:
        return Address(" ".join(name.split()), addr_spec=email.strip())
    except (ValueError, IndexError, MessageError):
        raise DeskError(f"{file}: “{email}” is no e-mail address.") from None
