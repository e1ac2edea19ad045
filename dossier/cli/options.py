"""What commands take: kinds of values, shared options, and names that complete."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import click

if TYPE_CHECKING:
    from collections.abc import Callable

    from dossier.quantities import Period


class Day(click.ParamType[date]):
    """A plain date."""

    name = "date"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        if isinstance(value, date):
            return value
        try:
            return date.fromisoformat(value)
        except ValueError:
            self.fail(f"“{value}” is not a date. Write it like 2026-03-14.", param, ctx)


class Sum(click.ParamType[str]):
    """A SHA-256 sum, as it is read out or written down: in groups, with colons, in any case."""

    name = "sum"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> str:
        digits = "".join(str(value).replace(":", " ").split()).lower()
        if digits and (len(digits) != 64 or not set(digits) <= set("0123456789abcdef")):
            self.fail(f"“{value}” is no fingerprint and no seal: 64 digits 0-9 a-f.", param, ctx)
        return digits


content_option = click.option(
    "--content",
    type=click.Path(path_type=Path),
    default=Path("content"),
    show_default=True,
    is_eager=True,
    help="The folder with the notes.",
)
today_option = click.option("--today", type=Day(), help="Take this day as today (YYYY-MM-DD).")
state_option = click.option(
    "--state",
    type=click.Path(path_type=Path),
    help="The private state folder.  [default: .dossier beside the notes]",
)


def state_of(content: Path, state: Path | None = None) -> Path:
    """The private state folder: the one that was named, or the one beside the notes."""
    return state or content.resolve().parent / ".dossier"


def out_option(what: str) -> Callable[..., Any]:
    """The folder that pages and statements are built into; `what` says what a command does there.

    It is one folder for all of them: links, kept pages and issued statements belong together.
    """
    return click.option(
        "--out",
        type=click.Path(path_type=Path),
        default=Path("build"),
        show_default=True,
        help=what,
    )


def common(command: Callable[..., None]) -> Callable[..., None]:
    """The options that every command shares."""
    for option in (
        click.option("--quiet", is_flag=True, help="Print only problems."),
        click.option("--json", "as_json", is_flag=True, help="Print the result as JSON."),
        today_option,
        content_option,
    ):
        command = option(command)
    return command


Named = Literal["instrument", "client", "room", "holder", "edition", "kind"]


def complete(named: Named) -> Callable[..., list[str]]:
    """Completion of a name by the Tab key, from folder names alone: nothing heavy is loaded."""

    def complete(ctx: click.Context, _: click.Parameter, incomplete: str) -> list[str]:
        from dossier.desk import completion

        content = Path(ctx.params.get("content") or "content")
        if named == "holder":
            built = Path(ctx.params.get("out") or "build")
            return list(completion.holder_names(content, built, incomplete))
        if named in ("edition", "kind"):
            words = completion.EDITIONS if named == "edition" else completion.KINDS
            return [word for word in words if word.startswith(incomplete)]
        names = {
            "instrument": completion.instrument_names,
            "client": completion.client_names,
            "room": completion.room_names,
        }[named]
        return list(names(content, incomplete))

    return complete


class WithDefault(click.Group):
    """A group whose word may be left out: what is no command of its own is the default's."""

    default = "show"

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        wants_help = bool(args) and args[0] in ctx.help_option_names
        if not wants_help and not (args and args[0] in self.commands):
            args = [self.default, *args]
        return super().parse_args(ctx, args)


def linking(command: Callable[..., None]) -> Callable[..., None]:
    """The options that every command about links shares."""
    for option in (state_option, out_option("Where the pages are built.")):
        command = option(command)
    return common(command)


def wishing(command: Callable[..., None]) -> Callable[..., None]:
    """How a new link may be."""
    for option in (
        click.option("--last-day", type=Day(), help="The last day on which it opens."),
        click.option("--label", help="Your own word for it; it stands on the bench alone."),
    ):
        command = option(command)
    return command


def writing(command: Callable[..., None]) -> Callable[..., None]:
    """The options that every command has that begins a note."""
    for option in (
        click.option(
            "--edit/--no-edit",
            default=None,
            help="Open it in $VISUAL or $EDITOR.  [default: on a terminal]",
        ),
        click.option("--print", "printed", is_flag=True, help="Print it and write nothing."),
        click.option(
            "--date", "--today", "day", type=Day(), help="The day of the visit.  [default: today]"
        ),
        content_option,
    ):
        command = option(command)
    return command


class PeriodType(click.ParamType["Period"]):
    """A period as the notes write it: 6 weeks."""

    name = "period"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> Period:
        from dossier.quantities import Period, QuantityError, parse_period

        if isinstance(value, Period):
            return value
        try:
            return parse_period(value)
        except QuantityError as error:
            self.fail(str(error), param, ctx)
