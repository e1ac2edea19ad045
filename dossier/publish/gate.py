"""What may not be published: a client's folder that leads elsewhere, or names another's address."""

from __future__ import annotations

import posixpath
from collections.abc import Collection, Iterator, Mapping

from dossier.diagnostics import Diagnostic, Span
from dossier.publish.check import Fault, Pages, tokens_in
from dossier.publish.disk import Sums, Tree
from dossier.publish.state import State
from dossier.store import Content, Memory

_ROOT = "public"
SHARED = "assets"
"""The folder of what all clients' sites share: nothing of any client."""


def public_faults(
    tree: Tree, sums: Sums, standing: Sums, state: State, known: Memory | None = None
) -> tuple[Diagnostic, ...]:
    """Why the public tree must not be swapped in.

    A folder in which nothing differs from the standing tree was looked at when that was built.
    `known` holds what was seen in files, by their content.
    Raises LostError where a store lost the content of a file.
    """
    # What all sites share stands beside the clients' folders, under a name that no token has.
    owners = {SHARED: SHARED} | {
        link.token: link.target for link in state.links if link.withdrawn is None
    }
    tokens = frozenset(link.token for link in state.links)
    changed = {
        _folder_of(path)
        for path in sums.keys() | standing.keys()
        if sums.get(path) != standing.get(path)
    }
    return tuple(
        fault
        for folder, files in by_folder(tree).items()
        if folder in changed
        for fault in _folder_faults(folder, Pages(files, known or Memory()), owners, tokens)
    )


def bench_faults(
    tree: Tree,
    public: Collection[str],
    known: Memory | None = None,
    sound: Sums | None = None,
) -> tuple[Diagnostic, ...]:
    """Why the bench must not be swapped in.

    It may point at the pages of `public`, which lies beside it on the technician's machine.
    `sound` is the bench that stands, where all that it leads to in the public tree is still there.
    Raises LostError as `public_faults` does.
    """
    return tuple(
        _fault("address", f"bench/{fault.page}", f"“{fault.address}” {fault.why}.")
        for fault in Pages(tree, known or Memory()).faults(sound)
        if _beside(fault) not in public
    )


def _beside(fault: Fault) -> str:
    """The path in the public tree that an address of the bench means, "" where it means none."""
    folder = posixpath.dirname(fault.page)
    path = posixpath.normpath(posixpath.join(folder, fault.address))
    return path.removeprefix(f"../{_ROOT}/") if path.startswith(f"../{_ROOT}/") else ""


def by_folder(tree: Tree) -> Mapping[str, dict[str, Content]]:
    """The files of each first-level folder, by their paths in it; those beside them under ""."""
    found: dict[str, dict[str, Content]] = {}
    for path in sorted(tree):
        folder = _folder_of(path)
        found.setdefault(folder, {})[path.removeprefix(f"{folder}/")] = tree[path]
    return found


def _folder_of(path: str) -> str:
    folder, slash, _ = path.partition("/")
    return folder if slash else ""


def _folder_faults(
    folder: str, pages: Pages, owners: Mapping[str, str], tokens: frozenset[str]
) -> Iterator[Diagnostic]:
    if folder and folder not in owners:
        yield _fault("no-link", _ROOT, "A folder has the name of no link that is open.")
        return
    # The client's own name: a finding may be read by whoever looks over a shoulder.
    name = owners[folder] if folder else _ROOT
    if folder not in ("", SHARED) and "index.html" not in pages.files:
        yield _fault("no-page", f"{name}/", "The link would open nothing: there is no index.html.")
    for fault in pages.faults():
        yield _fault("address", f"{name}/{fault.page}", f"“{fault.address}” {fault.why}.")
    others = tokens - {folder}
    for path in pages.files:
        if tokens_in(path.encode(), others) or pages.tokens(path, others):
            yield _fault(
                "token", f"{name}/{path}", "It holds a private address that isn't its own."
            )


def _fault(code: str, place: str, message: str) -> Diagnostic:
    return Diagnostic(
        f"publish-{code}",
        message,
        Span(place),
        "Nothing was published; what was published before still stands.",
    )
