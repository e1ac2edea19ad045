"""link: the private addresses."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from dossier.cli.options import WithDefault, complete, linking, state_of, wishing
from dossier.cli.telling import day_of, exit_code, fail, need_folder, print_json, show_findings

if TYPE_CHECKING:
    from collections.abc import Iterable

    from dossier.desk.links import Order, Ordered
    from dossier.publish.state import Link, State


@click.group(
    cls=WithDefault,
    short_help="Show, add, renew or withdraw private links.",
    epilog="Example:  dossier link add marsh/heron --label concert --last-day 2026-06-30",
)
def link() -> None:
    """Show the private links, or those of one CLIENT: "dossier link", "dossier link marsh".

    Whoever has an address can read what it opens, and can send it on. If one got into wrong hands,
    renew it. What you order here holds from the next build on, once it is uploaded.
    """


@link.command(short_help="Show all links, or a client's.  [the default]")
@click.argument("client", default="", shell_complete=complete("client"))
@linking
def show(
    client: str,
    content: Path,
    out: Path,
    state: Path | None,
    today: date | None,
    *,
    as_json: bool,
    quiet: bool,
) -> None:
    """Show all links, or those of one CLIENT: what each opens, its address, and how long."""
    from dossier.desk.links import LinkError, of
    from dossier.publish.state import load_state
    from dossier.publish.trouble import PublishError

    folder, day = state_of(content, state), day_of(today)
    if not folder.is_dir():
        need_folder(content)
    try:
        known, trouble = load_state(folder, out)
        links = of(known, client) if known is not None else ()
    except (LinkError, PublishError) as error:
        fail(str(error))
    if as_json:
        print_json({"links": [_link_data(one, day, quiet=quiet) for one in links]})
    show_findings(trouble, content, quiet=quiet)
    if not as_json and not quiet and known is not None:
        for line in (
            _link_table(links, day) if links else ("There is no link yet: a build makes them.",)
        ):
            click.echo(line)
    sys.exit(exit_code(trouble))


@link.command("add", short_help="Add a link beside the others.")
@click.argument(
    "target", metavar="CLIENT|CLIENT/INSTRUMENT|ISSUED", shell_complete=complete("holder")
)
@wishing
@linking
def link_add(target: str, label: str | None, last_day: date | None, **common: Any) -> None:
    """Add a link for a client, or for just one of their instruments; the others stay.

    ISSUED is the name of a folder in issued/, as heron-sale-2026-11-25: the link opens that
    statement, just as it was issued.
    """
    _order_new("added", target, label, last_day, **common)


@link.command("renew", short_help="Give a new address in the place of an old one.")
@click.argument(
    "who", metavar="CLIENT|CLIENT/INSTRUMENT|ISSUED|ADDRESS", shell_complete=complete("holder")
)
@wishing
@linking
def link_renew(who: str, label: str | None, last_day: date | None, **common: Any) -> None:
    """Give a new address; the old one is gone at the next build.

    Of several links, name the one that you mean by the first characters of its address.
    """
    _order_new("renewed", who, label, last_day, **common)


@link.command("withdraw", short_help="Withdraw a client's links, or one.")
@click.argument(
    "who", metavar="CLIENT|CLIENT/INSTRUMENT|ISSUED|ADDRESS", shell_complete=complete("holder")
)
@linking
def link_withdraw(who: str, today: date | None, **common: Any) -> None:
    """Withdraw all links of a client, of a statement, or the one whose address begins as given."""
    from dossier.desk.links import shut

    day = day_of(today)
    _order(lambda state: shut(state, who, day), day, **common)


def _order_new(
    order: str,
    who: str,
    label: str | None,
    last_day: date | None,
    *,
    content: Path,
    today: date | None,
    **common: Any,
) -> None:
    """Order a new link; for whom there may be one, the notes say."""
    from dossier.desk.links import (
        Wish,
        added,
        added_statement,
        minted,
        renewed,
        statement_of,
    )
    from dossier.read import read_notebook

    need_folder(content)
    day, wish = day_of(today), Wish(label, last_day)
    notebook, found = read_notebook(content, day)
    if notebook is None:
        show_findings(found, content, quiet=True)
        sys.exit(exit_code(found))

    def ordered(state: State) -> tuple[State, Ordered]:
        statement = statement_of(common["out"], who) if order == "added" else None
        if statement is not None:
            return added_statement(state, notebook, statement, wish, day, minted)
        make = added if order == "added" else renewed
        return make(state, notebook, who, wish, day, minted)

    _order(ordered, day, content=content, **common)


def _order(
    order: Order,
    day: date,
    *,
    content: Path,
    out: Path,
    state: Path | None,
    as_json: bool,
    quiet: bool,
) -> None:
    from dossier.desk.links import LinkError, carry_out
    from dossier.publish.trouble import PublishError

    try:
        ordered, trouble = carry_out(state_of(content, state), out, order)
    except (LinkError, PublishError) as error:
        fail(str(error))
    show_findings(trouble, content, quiet=quiet)
    if ordered is not None and as_json:
        print_json(
            {
                "new": [_link_data(one, day, quiet=quiet) for one in ordered.new],
                "gone at the next build": [
                    _link_data(one, day, quiet=quiet) for one in ordered.gone
                ],
            }
        )
    elif ordered is not None and not quiet:
        for one in ordered.new:
            click.echo(f"{one.statement or one.target}: {one.token}/ opens with the next build.")
        for one in ordered.gone:
            click.echo(
                f"{one.statement or one.target}: {one.token[:6]}… is gone at the next build."
            )
    sys.exit(exit_code(trouble))


def _link_state(link: Link, day: date) -> str:
    if link.withdrawn is not None:
        return f"withdrawn {link.withdrawn}"
    return "open" if link.opens(day) else "ended"


def _link_data(link: Link, day: date, *, quiet: bool) -> dict[str, object]:
    """A link as data; --quiet keeps its address out of what may be logged."""
    data: dict[str, object] = {
        "client": link.client,
        "instrument": "" if link.statement else link.target.partition("/")[2],
        "statement": link.statement,
        "label": link.label,
        "made": str(link.made),
        "last_day": str(link.last_day) if link.last_day else None,
        "withdrawn": str(link.withdrawn) if link.withdrawn else None,
        "open": link.opens(day),
    }
    return data if quiet else {**data, "address": f"{link.token}/"}


def _link_table(links: tuple[Link, ...], day: date) -> Iterable[str]:
    """A line a link, its address last, since that is the longest."""
    rows = [("Opens", "Label", "Made", "Last day", "Now", "Address below public/")]
    rows += [
        (
            one.statement or one.target,
            one.label,
            str(one.made),
            str(one.last_day or ""),
            _link_state(one, day),
            f"{one.token}/",
        )
        for one in links
    ]
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]
    for row in rows:
        yield "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
