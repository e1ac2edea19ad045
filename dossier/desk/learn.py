"""learned.md: what the shop's own instruments show of drift, written down to be looked over.

Builds merely read it, so that no owner's page changes through another's visit, but only when the
technician has looked at what was learned and let it stand.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from dossier.desk.files import DeskError, write_output

if TYPE_CHECKING:
    from dossier.analysis.priors import CoefficientPrior, Priors
    from dossier.model import History, Notebook

FILE = "learned.md"
LEAST = 3
"""Instruments with a comparison of visits that it takes to learn anything.  From memory."""

EXPLAINED = """
Written by `dossier learn` from this shop's own visits, and read by every build after it. Look it
over before you keep it: delete the file, and the tool's own starting values are back.

Each line has a mean, how far instruments stray from it, and how far an instrument's registers stray
from each other. They are where the estimate of each piano begins; its own visits go first.
"""


@dataclass(frozen=True, slots=True)
class Change:
    """One starting value as it stands and as it would be, in its unit."""

    name: str
    unit: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Lesson:
    """What was learned: the file as it would be written, and what it changes.

    `instruments` showed something; where they are fewer than `LEAST`, `text` is "".
    """

    instruments: int
    text: str
    changes: tuple[Change, ...]

    def lines(self) -> tuple[str, ...]:
        """The lesson as a technician reads it: each value before and after."""
        if not self.text:
            return (
                (
                    f"{self.instruments} of the shop's instruments can be compared from visit to "
                    f"visit; {LEAST} are needed to learn from. The starting values stay."
                ),
            )
        head = (
            f"From {self.instruments} instruments (mean, between instruments, between registers):"
        )
        rows = (
            f"  {one.name + ', ' + one.unit:<44} {one.before:<22} -> {one.after}"
            for one in self.changes
        )
        return (head, *rows)

    def data(self) -> dict[str, object]:
        """The same for machines."""
        changes = [
            {"name": one.name, "unit": one.unit, "before": one.before, "after": one.after}
            for one in self.changes
        ]
        return {"instruments": self.instruments, "changes": changes, "text": self.text}


def keep(content: Path, found: Lesson) -> None:
    """Write learned.md, in the place of an older one that this program wrote.

    Raises DeskError where the file there is not the program's own, or can't be written.
    """
    path = content / FILE
    write_output(path, found.text.encode(), b"---\nlearned:")


def lesson(notebook: Notebook, today: date) -> Lesson:
    """What the instruments that can be read show together, beside the starting values.

    Raises DeskError where none can be read.
    """
    from dossier.analysis.drift import shown
    from dossier.analysis.learning import learned
    from dossier.analysis.priors import priors_of

    histories = _histories(notebook)
    if notebook.instruments and not histories:
        raise DeskError("No instrument can be read. Mend the notes first: dossier check.")
    found = learned([shown(history) for history in histories])
    if found.instruments < LEAST:
        return Lesson(found.instruments, "", ())
    now = priors_of(notebook.shop)
    return Lesson(found.instruments, _text(found, today), tuple(_changes(now, found)))


def _histories(notebook: Notebook) -> list[History]:
    names = sorted(notebook.instruments.keys() - notebook.stopped)
    return [notebook.history(name) for name in names]


def _text(found: Priors, today: date) -> str:
    return (
        "---\n"
        f"learned: {today.isoformat()}\n"
        f"instruments: {found.instruments}\n"
        f"humidity response: {_row(found.humidity)}\n"
        f"slow fall: {_row(found.fall)}\n"
        f"settling share: {_row(found.settling)}\n"
        f"error: {found.error:.2f}\n"
        f"---\n{EXPLAINED}"
    )


def _row(one: CoefficientPrior) -> str:
    return f"{one.mean:.3f}, {one.shared:.3f}, {one.own:.3f}"


def _changes(now: Priors, found: Priors) -> Iterable[Change]:
    rows = (
        ("humidity response", "cents per % of moisture", now.humidity, found.humidity),
        ("slow fall", "cents a year", now.fall, found.fall),
        ("settling share", "share of a raise", now.settling, found.settling),
    )
    for name, unit, before, after in rows:
        yield Change(name, unit, _row(before), _row(after))
    yield Change("error", "cents", f"{now.error:.2f}", f"{found.error:.2f}")
