"""The whole notebook: every file of the content folder read, joined, and judged.

A mistake stops what it concerns and nothing else: a bad note its own instrument, a bad client's
file that client's instruments, a bad room or log the instruments that stand or stood there.
"""

from __future__ import annotations

import gc
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from dossier.diagnostics import Diagnostic, Severity, Span, has_errors, in_order
from dossier.model import Log, Notebook, Shop
from dossier.read.client import read_client
from dossier.read.copies import copies, copy_of, is_aside
from dossier.read.folder import list_folder
from dossier.read.inbox import open_loose, read_loose
from dossier.read.joining import Scope, check_instrument, check_room, in_order_of_day
from dossier.read.learned import FILE as LEARNED
from dossier.read.learned import read_learned
from dossier.read.linking import link_visits
from dossier.read.media import find_media, with_media
from dossier.read.names import DatedName, dated_name, slug_of, tell_future
from dossier.read.own_folder import read_instruments
from dossier.read.pieces import Findings
from dossier.read.reading import Reading
from dossier.read.remembered import Recollection
from dossier.read.rooms import read_room
from dossier.read.rounds import read_round
from dossier.read.shop import read_shop
from dossier.read.strays import strays
from dossier.read.text import decode, line_of
from dossier.read.visit import setting_for, shop_setting
from dossier.sources import Sources


def read_notebook(folder: Path, today: date) -> tuple[Notebook | None, tuple[Diagnostic, ...]]:
    """Read a content folder.

    The notebook is None only where shop.md cannot be used.  All problems of all files are found
    in one run, in order of file and line.  `today` is only held against the dates of visits.
    """
    sources, trouble = list_folder(folder)
    return read_sources(sources, today) if sources is not None else (None, trouble)


def read_sources(
    sources: Sources, today: date, before: Recollection | None = None
) -> tuple[Notebook | None, tuple[Diagnostic, ...]]:
    """Read the files of a content folder, on the disk or in memory.

    Who reads the same folder again and again brings what was read `before`, which is asked for
    what the same bytes said; what is read is the same without it.
    """
    with _uncollected():
        return _read(_Stages(sources, today, before or Recollection()))


@contextmanager
def _uncollected() -> Iterator[None]:
    """No collection of garbage: records hold no circles.

    To look through 2,400 notes again and again for some costs a second.
    """
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.freeze()  # what was read lives as long as the build, and need not be looked through
            gc.enable()


def _read(reading: _Stages) -> tuple[Notebook | None, tuple[Diagnostic, ...]]:
    reading.tell_copies()
    shop = reading.read_shop()
    reading.read_clients()
    reading.read_rooms()
    read_instruments(reading)
    reading.read_rounds()
    reading.read_inbox()
    reading.join()
    reading.tell_strays()
    found = in_order(reading.finish())
    if shop is None:
        return None, found
    return reading.notebook(shop, found), found


def source_line(folder: Path, span: Span) -> str | None:
    """The line that a finding is about, as the reader saw it; None where there is none."""
    try:
        text, _ = decode((folder / span.file).read_bytes(), span.file)
    except OSError:
        return None
    return None if text is None else line_of(text, span.line)


@dataclass(slots=True)
class _Stages(Reading):
    """The stages of a reading, in the order in which they are called."""

    def tell_copies(self) -> None:
        """Second copies are told and not read; one of a round stops whom it names."""
        for path, found in copies(self.sources):
            self.used.add(path)
            stops: tuple[str, ...] = ()
            if path.startswith("rounds/") and found.severity is Severity.ERROR:
                raw = self.bytes_of(path, Findings()) or b""
                named = (one for one in self.known_instruments if one.encode() in raw)
                stops = tuple(f"instrument:{one}" for one in sorted(named))
            scope = Scope.of(copy_of(path) or path)
            self.scoped(scope.kind, scope.name).add((replace(found, stops=stops),))

    def read_shop(self) -> Shop | None:
        findings = self.scoped("shop")
        if "shop.md" not in self.sources:
            message = (
                "shop.md is a folder." if "shop.md/" in self.sources else "There is no shop.md."
            )
            findings.error(
                "no-shop", message, Span("shop.md"), "Write the shop's name and yours in it."
            )
            raw = None
        else:
            raw = self.bytes_of("shop.md", findings)
        shop = None if raw is None else read_shop(raw, "shop.md", findings)
        self.shop = shop or self.shop
        if shop is not None and shop.look.logo:
            place = shop.place_of("logo")
            logo = find_media(shop.look.logo, place, "", self.sources, findings)
            if logo is not None:
                self.used.add(logo)
                look = replace(shop.look, logo=logo)
                self.shop = shop = replace(shop, look=look)
        if shop is not None and LEARNED in self.sources:
            raw = self.bytes_of(LEARNED, findings)
            learned = None if raw is None else read_learned(raw, findings)
            self.shop = shop = replace(shop, learned=learned)
        self.setting = shop_setting(self.shop)
        return shop

    def read_clients(self) -> None:
        for path, slug in self.files("clients/", ".md"):
            findings = self.scoped("client", slug)
            raw = self.bytes_of(path, findings)
            name = slug_of(slug, "a client", path, findings)
            if raw is not None and name and (client := read_client(raw, path, name, findings)):
                self.clients[name] = client

    def read_rooms(self) -> None:
        for path, slug in self.files("rooms/", ".md"):
            findings = self.scoped("room", slug)
            raw = self.bytes_of(path, findings)
            name = slug_of(slug, "a room", path, findings)
            logs = self._logs(slug, findings)
            if raw is not None and name and (room := read_room(raw, path, name, logs, findings)):
                self.rooms[name] = room

    def _logs(self, room: str, findings: Findings) -> tuple[Log, ...]:
        logs: list[Log] = []
        for path in self.sources.inside(f"rooms/{room}/"):
            if is_aside(path) or not path.casefold().endswith((".csv", ".tsv", ".txt")):
                continue
            raw = self.bytes_of(path, findings)
            if raw is not None:
                log = self.before.log(
                    raw, path, self.setting.time_zone, findings, imperial=self.setting.imperial
                )
                logs += [log] if log else []
        return tuple(logs)

    def read_rounds(self) -> None:
        for path, _ in self.files("rounds/", ".md"):
            findings = Findings()
            raw = self.bytes_of(path, findings)
            name = dated_name(path, findings)
            if name is not None:
                tell_future(name.day, self.today, path, findings)
            if raw is not None:
                self._read_round(raw, path, name, findings)
            else:
                self.scoped().add(findings.all)

    def _read_round(
        self, raw: bytes, path: str, name: DatedName | None, findings: Findings
    ) -> None:
        # A round without a good name is read all the same, to find its other mistakes.
        named = name or DatedName(self.today, "", "")
        known = self.known_instruments
        found = read_round(raw, path, named, self.setting, self.instruments, known)
        findings.add(found.whole)
        self._scope_whole_round(findings, found.mentioned)
        for instrument, told in found.by_instrument:
            self.scoped("instrument" if instrument else "", instrument).add(told)
        for visit in found.visits if name else ():
            self.keep(visit, named._replace(word=f"{named.word}-round".strip("-")))

    def _scope_whole_round(self, findings: Findings, mentioned: tuple[str, ...]) -> None:
        stops = tuple(f"instrument:{name}" for name in mentioned)
        self.scoped().add(
            tuple(
                replace(one, stops=stops) if one.severity is Severity.ERROR else one
                for one in findings.all
            )
        )

    def read_inbox(self) -> None:
        for path, _ in self.files("inbox/", ".md"):
            findings = Findings()
            raw = self.bytes_of(path, findings)
            if raw is None:
                self.scoped().add(findings.all)
                continue
            loose = open_loose(raw, path, self.setting, self.known_instruments, findings)
            if loose is None:
                self.scoped().add(findings.all)
                continue
            taken = frozenset(visit.id for _, visit in self.visits.get(loose.instrument, ()))
            visit = read_loose(loose, taken, self.setting, self.instruments, findings)
            if visit is not None and loose.day is not None:
                tell_future(loose.day, self.today, path, findings)
                word = visit.id.removeprefix(loose.day.isoformat()).removeprefix("-")
                self.keep(visit, DatedName(loose.day, word, visit.id))
            self.scoped("instrument", loose.instrument).add(findings.all)

    # What one file says of another ---------------------------------------------------------

    def join(self) -> None:
        marks = tuple(kind.name for kind in self.setting.mark_kinds)
        for slug, ranked in self.visits.items():
            findings = self.scoped("instrument", slug)
            ordered = (with_media(one, self.sources, findings) for one in in_order_of_day(ranked))
            own = setting_for(self.setting, self.instruments.get(slug))
            self.linked[slug] = link_visits(
                ordered, marks, findings, whole=slug not in self.unread, compass=own.compass
            )
        clients = {stem for _, stem in self.files("clients/", ".md")}
        rooms = {stem for _, stem in self.files("rooms/", ".md")}
        for slug, instrument in self.instruments.items():
            check_instrument(instrument, clients, rooms, self.scoped("instrument", slug))
        for slug, room in self.rooms.items():
            check_room(room, clients, self.scoped("room", slug))

    def tell_strays(self) -> None:
        for found in strays(self.sources, self.used):
            scope = Scope.of(found.span.file)
            self.scoped(scope.kind, scope.name).add((found,))

    # What comes of it -------------------------------------------------------------------------

    def finish(self) -> Iterable[Diagnostic]:
        """Every finding, each error with what it stops."""
        for scope, findings in self.findings.items():
            stops = scope.stops(self.instruments) if has_errors(findings.gathered) else ()
            for found in findings.gathered:
                if found.severity is Severity.ERROR and stops:
                    yield replace(found, stops=tuple(sorted({*found.stops, *stops})))
                else:
                    yield found

    def notebook(self, shop: Shop, found: tuple[Diagnostic, ...]) -> Notebook:
        stops = {stop for one in found for stop in one.stops}
        stopped = {stop.partition(":")[2] for stop in stops if stop.startswith("instrument:")}
        if "shop:" in stops:
            stopped |= self.known_instruments
        return Notebook(
            shop=shop,
            clients=self.clients,
            instruments=self.instruments,
            visits={slug: self.linked.get(slug, ()) for slug in self.instruments},
            rooms=self.rooms,
            stopped=frozenset(stopped),
        )
