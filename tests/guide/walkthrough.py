"""Carries a page of the guide out, block by block, in a folder of its own.

A block's first words say what becomes of it: `console run DAY` is typed and its output compared,
`markdown note PATH` and `css file PATH` are written, `yaml keys KIND` is read as a file's front
matter, and `yaml lines visit` too, without looking for what it names in other files.  Blocks
without such words are programs of others, and are left alone.  In what is shown, … stands for any
text.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import click.testing
import pytest
from markdown_it import MarkdownIt

from dossier.cli import main, telling
from dossier.desk.start import first_files, start
from dossier.read import Occasion, Setting, read_notebook, read_visit_text

BEGUN = date(2025, 10, 1)


@dataclass(frozen=True)
class Block:
    """A fenced block of a page: what its first line says, its text, and the line it begins on."""

    info: tuple[str, ...]
    text: str
    line: int


def blocks(page: str) -> tuple[Block, ...]:
    return tuple(
        Block(tuple(token.info.split()), token.content, (token.map or [0])[0] + 1)
        for token in MarkdownIt().parse(page)
        if token.type == "fence"
    )


@dataclass
class Walk:
    """A page being carried out; `here` is the folder that it stands in."""

    here: Path
    patch: pytest.MonkeyPatch

    def begin(self) -> None:
        """The shop that `dossier start` makes, begun some time ago."""
        start(self.here, BEGUN)

    def step(self, block: Block) -> str:
        """Carry out a block, and say what was otherwise than the page says; "" where all is so."""
        match block.info:
            case ("console", "run", day):
                return self.typed(block.text, date.fromisoformat(day))
            case (_, "note" | "file", path):
                target = self.here / path
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_text(block.text, "utf-8")
                return ""
            case ("yaml", "lines", "visit"):
                return read_lines(block.text)
            case ("yaml", "keys", kind):
                return read_keys(kind, block.text, self.here / ".." / f"keys-{block.line}")
            case ("sh" | "text",):
                return ""
        return f"no one knows what to do with a block of {' '.join(block.info)}"

    def typed(self, text: str, day: date) -> str:
        for line, shown in commands(text):
            output = self.run(shlex.split(line), day)
            if not re.fullmatch(pattern(shown), output):
                return f"$ {line}\n--- shown\n{shown}\n--- printed\n{output}"
        return ""

    def run(self, words: list[str], day: date) -> str:
        self.patch.chdir(self.here)
        match words:
            case ["cd", folder]:
                self.here /= folder
                return ""
            case ["ls", folder]:
                return "".join(f"{one.name}\n" for one in sorted((self.here / folder).iterdir()))
            case ["dossier", *arguments]:
                self.patch.setattr(telling, "date", _on(day))
                result = click.testing.CliRunner().invoke(main, arguments, prog_name="dossier")
                if result.exception and not isinstance(result.exception, SystemExit):
                    raise result.exception
                return result.output
        raise AssertionError(f"the guide types {words[0]}, which no test can run")


def _on(day: date) -> type[date]:
    class Today(date):
        @classmethod
        def today(cls) -> date:  # type: ignore[override]  # a plain one can go to a worker
            return day

    return Today


def commands(text: str) -> list[tuple[str, str]]:
    """Each line that is typed, with what is shown below it."""
    parts = re.split(r"^\$ (.*)\n", text, flags=re.MULTILINE)
    assert parts[0] == "", "a block of commands begins with one"
    return list(zip(parts[1::2], parts[2::2], strict=True))


def pattern(shown: str) -> str:
    """What is shown as a pattern for what is printed: … is any text."""
    whole = re.sub(r"(?m)^…\n", "\0", shown)
    return ".*?".join(
        "[^\\n]*?".join(map(re.escape, part.split("…"))) for part in whole.split("\0")
    ).replace(".*?", "(?s:.*?)")


def read_lines(text: str) -> str:
    """Read lines of a visit's front matter by themselves; what the reader finds."""
    occasion = Occasion("blackbird", str(BEGUN), BEGUN)
    visit, found = read_visit_text(f"---\n{text}---\n", "visit.md", occasion, Setting())
    return "\n".join(map(str, found)) if visit else "no visit"


def read_keys(kind: str, text: str, folder: Path) -> str:
    """Read lines of a file's front matter as a part of the first shop; what the reader finds."""
    paths = {
        "shop": "shop.md",
        "client": "clients/moorings.md",
        "instrument": "instruments/blackbird/instrument.md",
        "visit": f"instruments/blackbird/visits/{BEGUN}.md",
    }
    needed = {
        "shop": "name: A shop\ntechnician: Its owner\n",
        "client": "name: Linnet Moorings\n",
        "instrument": "client: moorings\ntitle: The blackbird upright\n",
        "visit": "",
    }
    for path, first in first_files(BEGUN):
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        own = path == paths[kind]
        target.write_text(f"---\n{needed[kind]}{text}---\n" if own else first, "utf-8")
    # A picture that the lines name lies where the technician has put it.
    for name in re.findall(r"[\w-]+\.jpg", text):
        picture = folder / "instruments/blackbird/media" / name
        picture.parent.mkdir(parents=True, exist_ok=True)
        picture.write_bytes(b"")
    _, found = read_notebook(folder, date(2026, 6, 1))
    return "\n".join(str(one) for one in found if one.span.file == paths[kind])
