"""What another program wrote, taken over into the notes: readings of the pitch, a logger's file.

Nothing is overwritten, and nothing that was imported is believed before a person has looked: a note
of readings holds the client's pages until its `hold` is taken out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from dossier.desk.files import DeskError, numbered
from dossier.desk.lines import tell
from dossier.diagnostics import Diagnostic, has_errors
from dossier.model import Log, Shop
from dossier.read.logs import read_log
from dossier.read.pieces import Findings
from dossier.read.pitch_table import Stage, lines_of, read_rows
from dossier.read.text import decode
from dossier.store import write_new

LARGEST = 32 * 1024 * 1024
_LINE = 90  # columns of a line of readings
_ENDINGS = (".csv", ".tsv", ".txt")
_FIRST_ROWS = 3


@dataclass(frozen=True, slots=True)
class LogCopy:
    """A logger's file as it would be taken over: what was read of it, and its new place.

    `shown` are its head and first rows for a look.  `there` says that the very same file is in
    the room's folder already, under that name.
    """

    log: Log | None
    target: str
    shown: tuple[str, ...]
    findings: tuple[Diagnostic, ...]
    there: bool = False


def bytes_in(path: Path) -> bytes:
    """A file's bytes.  Raises DeskError where it can't be opened or is no text a person keeps."""
    try:
        with path.open("rb") as file:
            raw = file.read(LARGEST + 1)
    except OSError as error:
        raise DeskError(f"{path} cannot be opened: {error.strerror}.") from None
    if len(raw) > LARGEST:
        raise DeskError(f"{path} is larger than {LARGEST // 2**20} MB.")
    return raw


def pitch_note(
    raw: bytes, path: Path, stage: Stage, today: date
) -> tuple[str | None, tuple[Diagnostic, ...]]:
    """A new note with the readings of a table; None, with errors, where a row can't be read."""
    text, found = decode(raw, path.name)
    findings = Findings(list(found))
    if text is None:
        return None, findings.all
    rows = read_rows(lines_of(text, path.name), stage, findings)
    if has_errors(findings.all) or not rows:
        return None, findings.all
    readings = [row.text for row in rows]
    first, *rest = _filled(f"{stage}: ", readings)
    head = (
        tell(f"Imported from {path.name} on {today}. Is it this instrument, this day, and heard"),
        tell("against this pitch? Look at each figure; then take out hold, and the client's pages"),
        tell("are made again."),
        "hold: yes",
        first,
        *rest,
    )
    return "\n".join(["---", *head, "---", ""]), findings.all


def log_copy(raw: bytes, path: Path, room: str, shop: Shop, content: Path) -> LogCopy:
    """Read a logger's file and say where it would go.  Raises DeskError for a room that is none."""
    if not (content / "rooms" / f"{room}.md").is_file():
        raise DeskError(f"There is no room {room}: a room is named by its file in rooms/.")
    findings = Findings()
    imperial = shop.units == "imperial"
    log = read_log(raw, path.name, shop.time_zone, findings, imperial=imperial)
    text = raw.decode("utf-8", "replace").splitlines()
    if log is None:
        return LogCopy(None, "", tuple(text[: _FIRST_ROWS + 1]), findings.all)
    first = log.lines[0] if len(log.lines) else 1
    shown = tuple(text[max(0, first - 2) : first - 1 + _FIRST_ROWS])
    folder = content / "rooms" / room
    for known in sorted(folder.glob("*")) if folder.is_dir() else ():
        if known.is_file() and known.stat().st_size == len(raw) and known.read_bytes() == raw:
            target = f"rooms/{room}/{known.name}"
            return LogCopy(log, target, shown, findings.all, there=True)
    return LogCopy(log, _target(log, path, room, shop, folder), shown, findings.all)


def log_in_words(log: Log, shop: Shop) -> tuple[str, ...]:
    """What was read: how many rows, from when to when, and of what."""
    zone = ZoneInfo(shop.time_zone)
    days = [datetime.fromtimestamp(log.seconds[at], UTC).astimezone(zone) for at in (0, -1)]
    span = " to ".join(f"{day:%Y-%m-%d %H:%M}" for day in days)
    lines = [f"{len(log.seconds)} rows, from {span} ({shop.time_zone})"]
    for name, unit, column in (
        ("temperature", "°C", log.temperature_c),
        ("humidity", "%", log.humidity),
    ):
        known = [value for value in column if value == value]  # noqa: PLR0124  # not NaN
        if known:
            lines.append(f"{name} from {min(known):.1f} to {max(known):.1f} {unit}")
        else:
            lines.append(f"no {name}")
    return tuple(lines)


def take_over(raw: bytes, copy: LogCopy, content: Path) -> Path:
    """Write the file to its place, byte for byte.  Raises DeskError."""
    target = content / copy.target
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        if target.exists():
            raise DeskError(f"{target} is there already, and nothing is overwritten.")
        write_new(target, raw, 0o644)
    except OSError as error:
        raise DeskError(f"{target} cannot be written: {error.strerror}.") from None
    return target


def _target(log: Log, path: Path, room: str, shop: Shop, folder: Path) -> str:
    zone = ZoneInfo(shop.time_zone)
    months = [f"{datetime.fromtimestamp(log.seconds[at], zone):%Y-%m}" for at in (0, -1)]
    span = months[0] if months[0] == months[1] else "-to-".join(months)
    ending = path.suffix.lower() if path.suffix.lower() in _ENDINGS else ".csv"
    taken = {known.name for known in folder.glob("*")} if folder.is_dir() else set[str]()
    return f"rooms/{room}/{next(name for name in numbered(span, ending) if name not in taken)}"


def _filled(begin: str, readings: Sequence[str]) -> list[str]:
    """`found: A1 +6, A3 +9`, from the second line on indented, as YAML goes on with a value."""
    lines, line = [], begin
    for at, reading in enumerate(readings):
        piece = reading if at == len(readings) - 1 else f"{reading},"
        if len(line) + len(piece) > _LINE:
            lines.append(line.rstrip())
            line = "  "
        line += f"{piece} "
    return [*lines, line.rstrip()]
