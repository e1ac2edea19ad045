"""Photographs from a camera's folder, each offered to the visit of its day.

A photograph is copied, never moved, under a name of its day; the one line that names it is put into
the visit's note, whose earlier text is kept in the private state folder.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from datetime import UTC, date, datetime
from hashlib import sha256
from pathlib import Path

from dossier.desk.files import DeskError, numbered, replace_own
from dossier.diagnostics import has_errors
from dossier.model import Notebook, Visit
from dossier.pictures import PictureError, picture
from dossier.publish.folder import make_private, write_private
from dossier.quantities import QuantityError, parse_date
from dossier.read import Occasion, read_visit_text, shop_setting
from dossier.read.text import BREAK, decode, encoding_of
from dossier.read.visit import setting_for
from dossier.store import write_new

ENDINGS = (".jpg", ".jpeg", ".png", ".webp")
BEFORE = "before"
_EXIF_PART, _TAKEN = 0x8769, 0x9003  # EXIF 2.32, 4.6.3 and table 8: DateTimeOriginal
_DAY = re.compile(r"(?<!\d)(20\d\d)[-_.]?(0[1-9]|1[0-2])[-_.]?(0[1-9]|[12]\d|3[01])(?!\d)")
_KEY = re.compile(r"photos?\s*:(?P<value>.*)", re.IGNORECASE)
_ITEM = re.compile(r"(?P<indent>\s*)- ")


@dataclass(frozen=True, slots=True)
class Offer:
    """A photograph, its day and how that is known, and where it would go; or why it can't.

    `note` is the visit's note, `before` and `after` its bytes now and then, `line` the new line.
    """

    source: Path
    day: date
    how: str
    target: str = ""
    note: str = ""
    line: str = ""
    before: bytes = b""
    after: bytes = b""
    raw: bytes = b""
    trouble: str = ""


def photographs(folder: Path) -> tuple[Path, ...]:
    """The pictures that lie directly in a folder.  Raises DeskError where there is none."""
    if not folder.is_dir():
        raise DeskError(f"There is no folder {folder}.")
    found = (path for path in folder.iterdir() if path.suffix.lower() in ENDINGS)
    return tuple(sorted(path for path in found if path.is_file()))


def offer(path: Path, notebook: Notebook, instrument: str, content: Path) -> Offer:
    """What would be done with a photograph, as the notes lie now; nothing is done yet.

    With an `instrument` only its visits are looked at.  Raises DeskError where it can't be opened.
    """
    try:
        raw = path.read_bytes()
        day, how = _taken(path)
        picture(raw, path.name)
    except OSError as error:
        raise DeskError(f"{path} cannot be opened: {error.strerror}.") from None
    except PictureError as error:
        return Offer(path, date.min, "", trouble=str(error).removeprefix(f"{path.name} "))
    visits = list(_visits(day, notebook, instrument))
    if len(visits) != 1:
        there = ", ".join(sorted({visit.instrument for visit in visits}))
        why = f"visits to {there} are of that day: name one by --instrument" if there else ""
        return Offer(path, day, how, trouble=why or "no visit is of that day")
    visit = visits[0]
    if visit.span.file.startswith("rounds/"):
        return Offer(path, day, how, trouble="its visit is a row of a round: name it there")
    return _into(Offer(path, day, how, raw=raw), visit, notebook, content)


def carry_out(one: Offer, content: Path, state: Path) -> None:
    """Copy the photograph and put its line into the note.  Raises DeskError, PublishError."""
    target, note = content / one.target, content / one.note
    kept = state / BEFORE / f"{one.note.replace('/', '-')}.{sha256(one.before).hexdigest()[:8]}"
    make_private(state)
    try:
        kept.parent.mkdir(0o700, exist_ok=True)
        write_private(kept, one.before)
        if not target.exists():
            target.parent.mkdir(parents=True, exist_ok=True)
            write_new(target, one.raw, 0o644)
        if not replace_own(note, one.after, one.before):
            raise DeskError(
                f"{note} has just changed: {target} is copied, and not yet named there."
            )
    except OSError as error:
        raise DeskError(f"{target} cannot be written: {error.strerror}.") from None


def _taken(path: Path) -> tuple[date, str]:
    """The day of a photograph: by its camera, else by its name, else by its file."""
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(path) as image:
            stamp = str(image.getexif().get_ifd(_EXIF_PART).get(_TAKEN, ""))
        return datetime.strptime(stamp.strip("\0 "), "%Y:%m:%d %H:%M:%S").date(), "by its camera"
    except (ValueError, UnidentifiedImageError, SyntaxError):
        pass
    if match := _DAY.search(path.stem):
        try:
            return parse_date("-".join(match.groups())), "by its name"
        except QuantityError:
            pass
    changed = datetime.fromtimestamp(path.stat().st_mtime, UTC).date()
    return changed, "by the file's own date, which copying may have changed"


def _visits(day: date, notebook: Notebook, instrument: str) -> Iterator[Visit]:
    for slug, visits in sorted(notebook.visits.items()):
        if not instrument or slug == instrument:
            yield from (visit for visit in visits if visit.date == day)


def _into(one: Offer, visit: Visit, notebook: Notebook, content: Path) -> Offer:
    media = content / "instruments" / visit.instrument / "media"
    name = _name(one, media)
    note = visit.span.file
    before = (content / note).read_bytes()
    after, line = _with_photo(before, name)
    if name in (photo.file for photo in visit.photos):
        return Offer(one.source, one.day, one.how, trouble="it is in that visit's note already")
    if not _says(before, after, name, visit, notebook):
        trouble = f"its line can't be put into {note}: write photos: {name} there yourself"
        return Offer(one.source, one.day, one.how, trouble=trouble)
    target = f"instruments/{visit.instrument}/media/{name}"
    return Offer(one.source, one.day, one.how, target, note, line, before, after, one.raw)


def _name(one: Offer, media: Path) -> str:
    """A name of its day and of what the camera called it; another picture's name is never taken."""
    stem = _DAY.sub("", one.source.stem).lower()
    word = re.sub(r"[^a-z0-9]+", "-", stem).strip("-")
    ending = one.source.suffix.lower().replace(".jpeg", ".jpg")
    plain = f"{one.day.isoformat()}-{word}".strip("-")
    return next(
        name
        for name in numbered(plain, ending)
        if not (media / name).exists() or (media / name).read_bytes() == one.raw
    )


def _with_photo(raw: bytes, name: str) -> tuple[bytes, str]:
    """The note with a line that names the photograph, and that line; else it is as it was.

    All other bytes stay: the encoding, its mark, the ends of lines.
    """
    encoding = encoding_of(raw)
    if encoding is None:
        return raw, ""
    parts = BREAK.split(raw[len(encoding.mark) :].decode(encoding.name))
    lines, ends = parts[::2], [*parts[1::2], ""]
    at, until, new = _change(lines, name)
    end = ends[at] or ends[at - 1] or "\n"
    added = (part for line in new for part in (line, end))
    text = "".join((*parts[: 2 * at], *added, *parts[2 * until :]))
    line = next((line for line in new if name in line), "")
    return encoding.mark + text.encode(encoding.name), line


def _change(lines: list[str], name: str) -> tuple[int, int, tuple[str, ...]]:
    """Which lines others take the place of, from one to before another, and those; else none."""
    marks = [at for at, line in enumerate(lines) if line.rstrip() == "---"]
    if lines[0].rstrip() != "---":
        return 0, 0, ("---", f"photos: {name}", "---")
    if len(marks) < 2:
        return 0, 0, ()
    end = marks[1]
    keys = ((at, _KEY.fullmatch(lines[at])) for at in range(1, end))
    at, match = next(((at, match) for at, match in keys if match), (end, None))
    if match is None:
        return end, end, (f"photos: {name}",)
    last = at + 1
    while last < end and lines[last][:1] in (" ", "-"):
        last += 1
    if value := match["value"].strip():
        items = ("photos:", f"  - {value}", f"  - {name}")
        return (at, last, items) if last == at + 1 else (0, 0, ())
    item = _ITEM.match(lines[at + 1])
    return (last, last, (f"{item['indent']}- {name}",)) if item else (0, 0, ())


def _says(before: bytes, after: bytes, name: str, visit: Visit, notebook: Notebook) -> bool:
    """Whether the note, read again, says what it said and names one photograph more."""
    texts = [decode(raw, visit.span.file)[0] for raw in (before, after)]
    setting = setting_for(shop_setting(notebook.shop), notebook.instruments.get(visit.instrument))
    occasion = Occasion(visit.instrument, visit.id, visit.date)
    (old, had), (new, found) = (
        (None, ()) if text is None else read_visit_text(text, visit.span.file, occasion, setting)
        for text in texts
    )
    if old is None or new is None or has_errors(found) != has_errors(had):
        return False
    files = [photo.file for photo in old.photos if photo.kind == "picture"]
    named = [photo.file for photo in new.photos if photo.kind == "picture"]
    return named == [*files, name] and _bare(old) == _bare(new)


def _bare(visit: Visit) -> object:
    """All that a visit says but its pictures, without the places of the lines."""

    def without(value: object) -> object:
        if isinstance(value, dict):
            kept = {key: one for key, one in value.items() if key not in ("span", "places")}
            return {key: without(one) for key, one in kept.items()}
        return [without(one) for one in value] if isinstance(value, list | tuple) else value

    return without(asdict(replace(visit, photos=())))
