"""A note dropped in inbox/, filed among the visits of its instrument, with its pictures."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from pathlib import Path

from dossier.desk.files import DeskError, free_name, move_new, names_in
from dossier.model import Notebook
from dossier.read import Setting, Sources, shop_setting
from dossier.read.copies import is_aside
from dossier.read.inbox import open_loose, read_loose
from dossier.read.note import Note, open_text
from dossier.read.pieces import Findings, key_shape
from dossier.read.strays import strays
from dossier.read.text import decode
from dossier.read.visit import table_for

_OWN_KEYS = ("instrument", "date")


@dataclass(frozen=True, slots=True)
class Filing:
    """What would be moved where, relative to the content folder; nothing is moved yet.

    `raw` is the note as it will be, without the keys that its new place says; `pictures` are
    (from, to) pairs.  Where `trouble` says why, the note can't be filed.
    """

    source: str
    target: str = ""
    raw: bytes = b""
    pictures: tuple[tuple[str, str], ...] = ()
    trouble: str = ""


def waiting(sources: Sources) -> tuple[str, ...]:
    """The notes of the inbox, in the order of their names."""
    inside = sources.inside("inbox/")
    return tuple(path for path in inside if path.endswith(".md") and not is_aside(path))


def passed_over(sources: Sources) -> tuple[str, ...]:
    """A sentence for each file of the inbox that was meant as a note, as a telephone's .txt."""
    return tuple(
        f"{one.span.file}: {one.sentence}"
        for one in strays(sources, waiting(sources))
        if one.code == "note-ending"
        and one.span.file.startswith("inbox/")
        and not is_aside(one.span.file)
    )


def plan_filing(path: str, sources: Sources, notebook: Notebook, content: Path) -> Filing:
    """Where a note of the inbox belongs, as the files lie now."""
    setting, findings = shop_setting(notebook.shop), Findings()
    known = frozenset(
        folder.split("/")[1] for folder in sources.inside("instruments/") if folder.endswith("/")
    )
    raw = sources[path]
    loose = open_loose(raw, path, setting, known, findings)
    if loose is None or loose.day is None:
        return Filing(path, trouble=findings.all[0].sentence)
    home = f"instruments/{loose.instrument}"
    name = free_name(loose.day, names_in(content / home / "visits"))
    visit = read_loose(loose, frozenset(), setting, notebook.instruments, Findings())
    named = [photo.file for photo in visit.photos] if visit is not None else []
    bare = _without_own_keys(raw, loose.note, setting)
    if bare is None:
        return Filing(
            path, trouble="Its keys instrument and date don't stand on lines of their own."
        )
    pictures, trouble = _pictures(named, f"{home}/media/", sources)
    return Filing(path, f"{home}/visits/{name}.md", bare, pictures, trouble)


def carry_out(filing: Filing, content: Path) -> None:
    """Move a note and its pictures; nothing is overwritten.  Raises DeskError."""
    if filing.trouble:
        raise DeskError(filing.trouble)
    for old, new in filing.pictures:
        move_new(content / old, content / new)
    target = content / filing.target
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with target.open("xb") as file:
            file.write(filing.raw)
    except FileExistsError:
        raise DeskError(f"{target} is there already, and nothing is overwritten.") from None
    except OSError as error:
        raise DeskError(f"{target} cannot be written: {error.strerror}.") from None
    try:
        (content / filing.source).unlink()
    except OSError as error:
        raise DeskError(
            f"{content / filing.source} cannot be deleted: {error.strerror}. "
            f"It is filed as {target}, so delete it yourself."
        ) from None


def _pictures(
    named: Collection[str], media: str, sources: Sources
) -> tuple[tuple[tuple[str, str], ...], str]:
    """The files that the note names and that lie beside it, each with its new place."""
    found: list[tuple[str, str]] = []
    for name in dict.fromkeys(named):
        source = None if "/" in name else sources.alike(f"inbox/{name}")
        if source is None:
            continue
        target = media + source.rpartition("/")[2]
        there = sources.alike(target)
        if there is None:
            found.append((source, target))
        elif sources[there] != sources[source]:
            trouble = f"There is another {name} in {media}: give one of them another name."
            return (), trouble
    return tuple(found), ""


def _without_own_keys(raw: bytes, loose: Note, setting: Setting) -> bytes | None:
    """The note without the lines that name its instrument and day; None where more would go."""
    text, _ = decode(raw, loose.file)
    if text is None:
        return None
    table = table_for(setting)
    whole = open_text(text, loose.file, table, Findings())
    if whole is None:
        return None
    gone = {key.span().line for key, _ in whole.tree.pairs if key_shape(key.text) in _OWN_KEYS}
    lines = raw.split(b"\n")
    if len(lines) != text.count("\n") + 1:
        lines = text.encode().split(b"\n")
    bare = b"\n".join(line for number, line in enumerate(lines, 1) if number not in gone)
    left, _ = decode(bare, loose.file)
    after = None if left is None else open_text(left, loose.file, table, Findings())
    return bare if after is not None and _said(after) == _said(loose) else None


def _said(note: Note) -> tuple[tuple[str, ...], str]:
    return tuple(key.text for key, _ in note.tree.pairs), note.body
