"""The bench and the public site, swapped in whole: a reader sees the old one or the new one.

The same content gives the same bytes.  So no assets of the build before are kept beside the new
ones in this version: a page that was opened before a swap may miss a picture that it asks for
after it.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.publish import disk, headers, robots
from dossier.publish.disk import Sums, Tree
from dossier.publish.folder import hold, mark_published
from dossier.publish.gate import bench_faults, public_faults
from dossier.publish.manifest import Manifest, files_of, load_manifest, save_manifest
from dossier.publish.state import Link, State, save_state
from dossier.publish.trees import MODES, PUBLIC, SERVERS
from dossier.publish.trouble import STANDS, SWAPPED, PublishError, plainly, whole
from dossier.store import Content, Memory, write_whole
from dossier.untouched import Untouched

NOT_FOUND, HOST_HEADERS, FOLDER_HEADERS = "404.html", "_headers", ".htaccess"
_TREES = tuple(MODES)
_PATIENCE = 10.0  # seconds that a build with another state folder may hold the same out


@dataclass(frozen=True, slots=True)
class Places:
    """Where the notes lie, where the trees are built, and where the private state is."""

    content: Path
    out: Path
    state: Path


@dataclass(frozen=True, slots=True)
class Before:
    """What is known from before: the sums of files that stand, and where pages lead."""

    untouched: Untouched = field(default_factory=Untouched)
    pages: Memory = field(default_factory=Memory)


@dataclass(frozen=True, slots=True)
class Swapped:
    """A tree that took the place of another: how many files are new, and which are gone."""

    name: str
    written: int
    files: int
    gone: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Published:
    """The trees that were swapped, none where nothing had changed, and the sums of all of them."""

    swapped: tuple[Swapped, ...]
    stands: Mapping[str, Sums]


@dataclass(frozen=True, slots=True)
class _Plan:
    """A tree as it is wanted and as it stands."""

    name: str
    tree: Tree
    sums: Sums
    standing: Sums

    @property
    def changed(self) -> bool:
        return self.sums != self.standing


def public_tree(
    sites: Mapping[str, Tree], links: Iterable[Link], not_found: bytes, shared: Tree
) -> dict[str, Content]:
    """All that is uploaded, but for what each build adds by itself (robots.txt, headers).

    `sites` are the pages that a link may open, by its target and by paths relative to its folder;
    `links` those that are open.  What no open link names has no folder.  `not_found` is the 404
    page; it is shown at any address, so that it can point at no other file.  `shared` is what
    the sites of all clients ask for, by paths from the root.
    """
    tree: dict[str, Content] = {NOT_FOUND: not_found, **shared}
    for link in links:
        pages = sites.get(link.target, {})
        tree |= {f"{link.token}/{path}": content for path, content in pages.items()}
    return tree


def public_sum(pages: Tree) -> str:
    """The sum of the public tree that these pages will give."""
    return _sum(disk.sums_of(_complete(PUBLIC, pages)))


def standing_sum(out: Path) -> str:
    """The sum of the public tree as it stands; "" where none does.  Raises PublishError."""
    root = out / PUBLIC
    with plainly(out):
        return _sum(disk.survey(root, MODES[PUBLIC])) if root.is_dir() else ""


def _sum(sums: Sums) -> str:
    text = "".join(f"{sums[path]} {path}\n" for path in sorted(sums))
    return hashlib.sha256(text.encode()).hexdigest()


def publish(
    trees: Mapping[str, Tree], places: Places, state: State, before: Before | None = None
) -> tuple[Published | None, tuple[Diagnostic, ...]]:
    """Swap in "bench" and "public" where they differ from what stands; None where they may not.

    The links are saved before anything that bears them can be seen.  Whatever fails or is broken
    off before the swap leaves what stood; unchanged trees are not swapped.  The caller holds
    `folder.one_build`.  What is known from `before` saves time alone.

    Raises PublishError where the disk or a folder is in the way, ValueError for a path in a tree
    that leads out of it.
    """
    refuse_places(places)
    known = before or Before()
    with plainly(places.out):
        places.out.mkdir(parents=True, exist_ok=True)
    with _alone(places.out), plainly(places.out), whole():
        disk.clear(places.out, _TREES)
        manifest = load_manifest(places.state)
        plans = tuple(_plan(places.out, name, trees[name], known.untouched) for name in _TREES)
        faults = tuple(
            fault for plan in plans for fault in _faults(plan, plans, state, manifest, known.pages)
        )
        if faults:
            return None, faults
        save_state(places.state, state)
        _write_server_files(places.out / SERVERS)
        swapped = _swap_in(plans, places, manifest, known.untouched)
        stands = {plan.name: plan.sums for plan in plans}
        return Published(swapped, stands), tuple(_strangers(plans, manifest))


def refuse_places(places: Places) -> None:
    """Raises PublishError where a build would write over the notes, or publish its own state.

    A build asks before it makes anything, so that nobody waits for what can't be written.
    """
    if places.out.exists() and not places.out.is_dir():
        raise PublishError(f"{places.out} is a file.", "Name a folder to build into by --out.")
    content, out, state = (path.resolve() for path in (places.content, places.out, places.state))
    if out.is_relative_to(content):
        raise PublishError(
            f"{places.out} lies inside of the notes in {places.content}.",
            "Build into a folder beside them.",
        )
    for name in (*_TREES, SERVERS):
        for inner in (content, state):
            if inner.is_relative_to(out / name):
                raise PublishError(
                    f"{inner} lies inside of {places.out / name}, which a build replaces.",
                    "Move it out of there, or build into another folder.",
                )


def _plan(out: Path, name: str, pages: Tree, untouched: Untouched) -> _Plan:
    tree = _complete(name, pages)
    root = out / name
    if not os.path.lexists(root):
        return _Plan(name, tree, disk.sums_of(tree), {})
    if root.is_symlink() or not root.is_dir():
        raise PublishError(
            f"{root} is no folder of its own.", "Move it away, or build into another folder."
        )
    standing = disk.survey(root, MODES[name], untouched)
    if standing.keys() - {disk.ROOT} and not robots.is_ours(root):
        raise PublishError(
            f"{root} holds files that no build wrote.",
            "It is left as it is: move it away, or build into another folder.",
        )
    return _Plan(name, tree, disk.sums_of(tree), standing)


def _complete(name: str, pages: Tree) -> Tree:
    """A tree with what each build adds by itself."""
    own: dict[str, Content] = {robots.NAME: robots.ROBOTS}
    if name == PUBLIC:
        own[HOST_HEADERS] = headers.for_public()
        own[FOLDER_HEADERS] = headers.for_folder()
    return {**pages, **own}


def _faults(
    plan: _Plan, plans: tuple[_Plan, ...], state: State, manifest: Manifest, known: Memory
) -> tuple[Diagnostic, ...]:
    if not plan.changed:
        return ()
    if plan.name == PUBLIC:
        return public_faults(plan.tree, plan.sums, plan.standing, state, known)
    (public,) = (one for one in plans if one.name == PUBLIC)
    # The bench that stands was sound beside the public tree of its own build, and leads into it.
    as_built = manifest.trees.get(PUBLIC) == files_of(public.standing)
    is_sound = as_built and public.standing.keys() <= public.sums.keys()
    return bench_faults(plan.tree, public.tree, known, plan.standing if is_sound else None)


def _swap_in(
    plans: tuple[_Plan, ...], places: Places, manifest: Manifest, untouched: Untouched
) -> tuple[Swapped, ...]:
    """Stage all that changed, then swap, then make a spare of what was there before."""
    trees = {plan.name: files_of(plan.sums) for plan in plans}
    changed = tuple(plan for plan in plans if plan.changed)
    if changed or manifest.trees != trees:
        save_manifest(places.state, trees, {plan.name: plan.standing for plan in plans})
    try:
        if changed:
            disk.take_spare(places.out, _TREES)
        swapped = tuple(_staged(places.out, plan, untouched) for plan in changed)
        mark_published(places.state)
        for plan in changed:
            disk.swap(places.out, plan.name)
            with plainly(places.out, SWAPPED if plan is changed[-1] else STANDS):
                disk.fasten(places.out)
        if changed:
            with suppress(OSError):
                _spare(places.out, plans, untouched)
    finally:
        # What can't be removed now is only in the way of the next build, which then says so.
        with suppress(OSError):
            disk.clear(places.out, _TREES)
    return swapped


def _spare(out: Path, plans: tuple[_Plan, ...], untouched: Untouched) -> None:
    """Let the next build begin with trees like those that stand."""
    for plan in plans:
        if plan.changed or not disk.has_spare(out, plan.name):
            before = plan.standing if plan.changed else {}
            if not disk.follow(out, plan.name, plan.sums, before, MODES[plan.name], untouched):
                return
    disk.keep_spare(out)


def _staged(out: Path, plan: _Plan, untouched: Untouched) -> Swapped:
    written = disk.stage(
        out, plan.name, plan.tree, plan.sums, plan.standing, MODES[plan.name], untouched
    )
    gone = tuple(sorted(files_of(plan.standing).keys() - plan.tree.keys()))
    return Swapped(plan.name, written, len(plan.tree), gone)


def _write_server_files(folder: Path) -> None:
    """The snippets for web servers; a file there that isn't ours is left alone."""
    folder.mkdir(exist_ok=True)
    for name, data in headers.for_servers().items():
        path = folder / name
        old = path.read_bytes() if path.is_file() else headers.MARK.encode()
        if old != data and old.startswith(headers.MARK.encode()):
            write_whole(path, data, 0o644, durable=False)


def _strangers(plans: tuple[_Plan, ...], manifest: Manifest) -> Iterator[Diagnostic]:
    for plan in plans:
        for path in manifest.strangers(plan.name, plan.standing):
            yield Diagnostic(
                "publish-stranger",
                f"No build wrote this file into {plan.name}/; it was taken out.",
                Span(f"{plan.name}/{path}"),
                "A build replaces the whole folder: keep files of your own elsewhere.",
                Severity.WARNING,
            )


@contextmanager
def _alone(out: Path) -> Iterator[None]:
    """Keep out a build that has another state folder but the same place to build into."""
    with plainly(out):
        handle = os.open(out, os.O_RDONLY | os.O_CLOEXEC)
    try:
        if not _held(handle):
            raise PublishError(f"Another build writes to {out}.", "Build again when it has ended.")
        yield
    finally:
        os.close(handle)


def _held(handle: int) -> bool:
    try:
        return hold(handle, _PATIENCE)
    except OSError:
        return True  # Some network disks can't lock a folder; the state's own lock still holds.
