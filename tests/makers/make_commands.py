"""Writes the guide's page of the commands from the commands themselves.

Run it by `python -m tests.makers.make_commands` when a command changes; a test says when.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from dossier.cli import main

PAGE = Path(__file__).resolve().parents[2] / "dossier" / "guide" / "pages" / "commands.md"


def page() -> str:
    """The page as the commands have it now."""
    lines = ["# Commands", "", "As `dossier COMMAND --help` says them.", ""]
    for name, command in commands(main, "dossier"):
        lines += [f"## {name}", "", *_command(command, name)]
    return "\n".join(lines).rstrip() + "\n"


def commands(group: click.Group, above: str) -> Iterator[tuple[str, click.Command]]:
    """Every command with its whole name, those of a group behind it."""
    for name, command in group.commands.items():
        yield f"{above} {name}", command
        if isinstance(command, click.Group):
            yield from commands(command, f"{above} {name}")


def _command(command: click.Command, name: str) -> Iterator[str]:
    context = click.Context(
        command, info_name=name, terminal_width=88, help_option_names=["-h", "--help"]
    )
    yield "```text"
    yield from (line.rstrip() for line in command.get_help(context).split("\n"))
    yield "```"
    yield ""


if __name__ == "__main__":
    PAGE.write_text(page(), "utf-8")
