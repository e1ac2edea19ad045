"""One run over the files of a content folder, while it goes on."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date

from dossier.diagnostics import Span
from dossier.model import Client, Instrument, Room, Shop, Visit
from dossier.read.copies import is_aside
from dossier.read.folder import why
from dossier.read.joining import Scope
from dossier.read.names import DatedName
from dossier.read.pieces import Findings
from dossier.read.remembered import Recollection
from dossier.read.schema import Setting
from dossier.read.shop import fallback_shop
from dossier.sources import Sources


@dataclass(slots=True)
class Reading:
    """One run over the files, while it goes on: what was read, and what was found where."""

    sources: Sources
    today: date
    before: Recollection
    shop: Shop = field(default_factory=lambda: fallback_shop("shop.md"))
    setting: Setting = field(default_factory=Setting)
    clients: dict[str, Client] = field(default_factory=dict)
    rooms: dict[str, Room] = field(default_factory=dict)
    instruments: dict[str, Instrument] = field(default_factory=dict)
    visits: dict[str, list[tuple[tuple[object, ...], Visit]]] = field(default_factory=dict)
    linked: dict[str, tuple[Visit, ...]] = field(default_factory=dict)
    used: set[str] = field(default_factory=set)
    unread: set[str] = field(default_factory=set)
    findings: dict[Scope, Findings] = field(default_factory=dict)

    def scoped(self, kind: str = "", name: str = "") -> Findings:
        """The findings that concern the shop, one client, room or instrument, or nobody."""
        return self.findings.setdefault(Scope(kind, name), Findings())

    def bytes_of(self, path: str, findings: Findings) -> bytes | None:
        """A file's bytes; what can't be opened is an error, and never makes a note vanish."""
        self.used.add(path)
        try:
            return self.sources[path]
        except OSError as error:
            findings.error("unreadable", f"The file cannot be opened: {why(error)}.", Span(path))
            return None

    def raw_of(self, path: str) -> bytes:
        """The bytes of a file; none where it can't be opened, which was told before."""
        try:
            return self.sources.get(path, b"")
        except OSError:
            return b""

    def keep(self, visit: Visit | None, name: DatedName) -> None:
        """Keep a visit until all of its instrument can be brought into the order of their days."""
        if visit is not None:
            self.visits.setdefault(visit.instrument, []).append((name.rank, visit))

    # The files --------------------------------------------------------------------------------

    @property
    def known_instruments(self) -> frozenset[str]:
        """Every instrument that has a folder."""
        return frozenset(last_of(folder) for folder in self.folders("instruments/"))

    def files(self, folder: str, ending: str) -> list[tuple[str, str]]:
        """The files of a folder with an ending, each with its bare name."""
        return [
            (path, path[len(folder) : -len(ending)])
            for path in self.sources.inside(folder)
            if path.endswith(ending) and not is_aside(path)
        ]

    def folders(self, folder: str) -> list[str]:
        """The folders in a folder, each with its slash."""
        return [path for path in self.sources.inside(folder) if path.endswith("/")]


def last_of(folder: str) -> str:
    """A folder's own name, without those above it."""
    return folder.rstrip("/").rpartition("/")[2]
