"""The pages of a preview, held in memory and renewed from the notes in a process that stays warm.

A note that can't be read leaves its instrument's last good page in place, with the error on it.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from threading import Lock

from dossier.diagnostics import Diagnostic, Span, in_order
from dossier.model import Notebook
from dossier.publish.kept import Keeping
from dossier.read import Recollection, open_folder, read_sources, source_line
from dossier.sites.bench import bench_tree
from dossier.sites.cache import Cache, key_for
from dossier.sites.checked import checked
from dossier.sites.clients import INDEX, Sites, assemble
from dossier.sites.fronts import front, lasting, not_found_page
from dossier.sites.ground import Ground, ground_for
from dossier.sites.jobs import Tell, jobs, make_all
from dossier.sites.recalling import Maker, RecallingHand
from dossier.sites.workers import Here, processes
from dossier.store import Content, Store
from dossier.tasks import Job, Made, make

BENCH, PUBLIC = "bench/", "public/"
_FEW = 2  # instruments that are made sooner here than by workers that first have to start
_LITTER = 50  # pages made anew after which what they replaced is taken out of the cache


@dataclass(frozen=True, slots=True)
class Told:
    """A finding with the line of the note that it is about, as it stood when it was found."""

    finding: Diagnostic
    line: str | None


@dataclass(frozen=True, slots=True)
class Pages:
    """All that a preview shows: files by path, the clients' names by slug, and what was found.

    `twins` leads from a bench page of an instrument to its owner's, and back.
    """

    files: Mapping[str, Content] = field(default_factory=dict)
    clients: Mapping[str, str] = field(default_factory=dict)
    twins: Mapping[str, str] = field(default_factory=dict)
    told: tuple[Told, ...] = ()
    not_found: bytes = b""


@dataclass(frozen=True, slots=True)
class Renewed:
    """What one look at the notes led to: the instruments made anew, and all findings."""

    made: tuple[str, ...]
    findings: tuple[Diagnostic, ...]


@dataclass(slots=True)
class Workbench:
    """Makes the pages again and again; what is slow it remembers, here and in its own cache."""

    content: Path
    folder: Path
    processes: int
    pages: Pages = field(default_factory=Pages)
    _last: dict[str, tuple[str, Made]] = field(default_factory=dict)
    _before: Recollection = field(default_factory=Recollection)
    _jobs: dict[str, Job] = field(default_factory=dict)
    _warm: set[str] = field(default_factory=set)
    _unswept: int = 0
    _alone: Lock = field(default_factory=Lock)

    def renew(self, today: date, tell: Tell) -> Renewed:
        """Read the notes and make what they changed.  `self.pages` is then the new state.

        Raises OSError where the notes are out of reach, and whatever a theme of the shop's own may.
        """
        with self._alone:
            return self._renew(today, tell)

    def _renew(self, today: date, tell: Tell) -> Renewed:
        sources = open_folder(self.content)
        notebook, found = read_sources(sources, today, self._before)
        if notebook is None:
            self._tell(found)
            return Renewed((), found)
        hand = RecallingHand(self._cache.parts)
        ground, faults = ground_for(notebook, sources, self.content, today, hand)
        if ground is None:
            self._tell((*found, *faults))
            return Renewed((), (*found, *faults))
        nothing = Keeping(Store(self.folder / "nothing"))
        links = {client: client for client in notebook.clients}
        wanted, unread = jobs(ground, nothing, sources, links, pdf=False)
        self._jobs = {job.history.instrument.id: job for job in wanted}
        keys = {key_for(job): job for job in wanted}
        made, failed = self._make(keys, today, tell)
        seen = checked(notebook, today, keys, self._cache.checked)
        findings = in_order((*found, *faults, *seen, *unread, *failed))
        stands = {name: one for name, (_, one) in self._last.items() if _is_known(name, notebook)}
        sites = assemble(notebook, nothing, stands, frozenset(), front(ground), {})
        self.pages = Pages(
            files=_files(ground, self._cache, sites, stands, findings),
            clients={slug: notebook.clients[slug].name for slug in sites.sites},
            twins=_twins(sites, stands),
            told=self._with_lines(findings),
            not_found=not_found_page(ground),
        )
        return Renewed(made, findings)

    def warm_up(self, path: str) -> None:
        """Make the page that is looked at once, for its first save to find what draws at work."""
        name = path.removeprefix(BENCH).partition("/")[0]
        name = self.pages.twins.get(path, "").removeprefix(BENCH).partition("/")[0] or name
        job = self._jobs.get(name) or next(iter(self._jobs.values()), None)
        if job is None or job.history.instrument.id in self._warm:
            return
        with self._alone, suppress(Exception):  # what fails here fails again, and is told, in renew
            make(job)
        self._warm.add(job.history.instrument.id)

    def _make(
        self, keys: dict[str, Job], today: date, tell: Tell
    ) -> tuple[tuple[str, ...], tuple[Diagnostic, ...]]:
        """Make what isn't known, keep it as the last good, and say which that was."""
        new = {
            key: job
            for key, job in keys.items()
            if not self._stands(key, job.history.instrument.id, today)
        }
        cache = self._cache
        workers = _here if len(new) <= _FEW else processes(self.processes)
        made, failed = make_all(new, cache, workers, tell, Maker(cache.parts))
        key_of = {job.history.instrument.id: key for key, job in new.items()}
        self._last |= {name: (key_of[name], one) for name, one in made.items()}
        self._unswept += len(made)
        if len(made) > _FEW or self._unswept >= _LITTER:
            cache.sweep(key for key, _ in self._last.values())
            self._unswept = 0
        return tuple(made), failed

    @property
    def _cache(self) -> Cache:
        return Cache(self.folder / "cache")

    def _stands(self, key: str, name: str, today: date) -> bool:
        if name not in self._last or self._last[name][0] != key:
            return False
        first, last = self._last[name][1].steady
        return first <= today <= last

    def _tell(self, findings: tuple[Diagnostic, ...]) -> None:
        """Without a shop no page can be made: those of before stay, with the errors on them."""
        old = self.pages
        told = self._with_lines(findings)
        self.pages = Pages(old.files, old.clients, old.twins, told, old.not_found)

    def _with_lines(self, findings: tuple[Diagnostic, ...]) -> tuple[Told, ...]:
        return tuple(Told(one, source_line(self.content, one.span)) for one in findings)


def fault(error: Exception) -> Diagnostic:
    """What is said where the notes couldn't even be looked at."""
    return Diagnostic("preview", f"The pages could not be renewed: {error}", Span("."))


def _here(_: int) -> Here:
    return Here()


def _is_known(name: str, notebook: Notebook) -> bool:
    """Whether an instrument is still there, if only as a folder that can't be read just now."""
    return name in notebook.instruments or name in notebook.stopped


def _files(
    ground: Ground,
    cache: Cache,
    sites: Sites,
    made: Mapping[str, Made],
    findings: tuple[Diagnostic, ...],
) -> dict[str, Content]:
    bench = bench_tree(ground, sites, made, (), findings, lasting(ground, cache))
    files = {f"{BENCH}{path}": content for path, content in bench.items()}
    for client, pages in sites.sites.items():
        files |= {f"{PUBLIC}{client}/{path}": content for path, content in pages.items()}
    return files


def _twins(sites: Sites, made: Mapping[str, Made]) -> dict[str, str]:
    twins: dict[str, str] = {}
    for name, one in made.items():
        site = sites.sites.get(one.client, {})
        bench = f"{BENCH}{name}/{INDEX}"
        theirs = [f"{PUBLIC}{one.client}/{path}" for path in (f"{name}/{INDEX}", INDEX)]
        there = [path for path in theirs if path.removeprefix(f"{PUBLIC}{one.client}/") in site]
        if there:
            twins[bench] = there[0]
            twins |= {path: twins.get(path, bench) for path in there}
    return twins
