"""An issued statement read back, to be opened by a private link: just what was issued, or nothing.

The link holds the seal that the statement had when the link was made, so that not even a folder
issued anew under the same name is published at an address that was given out for another.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from pydantic import ValidationError

from dossier.publish import bag, seal
from dossier.publish.issued import PAYLOAD, IssuedManifest
from dossier.publish.seal import MANIFEST
from dossier.publish.standing import RefusedError, bytes_of_file, survey
from dossier.publish.trees import ISSUED
from dossier.publish.trouble import plainly


class HandedOutError(ValueError):
    """Why a statement can't be opened, as a sentence; `missing` where it simply isn't there."""

    def __init__(self, message: str, *, missing: bool = False) -> None:
        super().__init__(message)
        self.missing = missing


@dataclass(frozen=True, slots=True)
class HandedOut:
    """An issued statement, whole: its folder's name, its manifest, and its files with that one.

    Of a bag they are what lies below data/, which is the folder as it was issued.
    """

    name: str
    manifest: IssuedManifest
    files: Mapping[str, bytes]


def names_issued(out: Path) -> tuple[str, ...]:
    """The names of the folders in which statements lie, in order.  Raises PublishError."""
    root = out / ISSUED
    with plainly(out):
        entries = sorted(path.name for path in root.iterdir()) if root.is_dir() else ()
    return tuple(name for name in entries if _inner(root / name) is not None)


def handed_out(out: Path, name: str) -> HandedOut:
    """The statement of that name, if every byte of it is as it was issued.

    Raises HandedOutError where it is gone, or anything in it was changed, added or taken away.
    """
    root = out / ISSUED / name
    inner = _inner(root)
    if inner is None or "/" in name or name.startswith("."):
        raise HandedOutError(f"There is no statement in {root}.", missing=True)
    try:
        data = bytes_of_file(inner / MANIFEST)
        seal.opened(data)
        manifest = IssuedManifest.model_validate_json(data)
    except (RefusedError, seal.SealError, ValidationError):
        raise _changed(root, MANIFEST) from None
    files = {MANIFEST: data, **dict(_files(inner, manifest.files))}
    wrapping = _TAGS if inner != root else frozenset()
    issued = {(inner / path).relative_to(root).as_posix() for path in files} | wrapping
    for path in sorted(survey(root).paths - issued):
        raise HandedOutError(f"{root} is no longer what was issued: {path} was added.")
    return HandedOut(name, manifest, files)


_TAGS = frozenset((bag.DECLARATION, bag.INFO, bag.PAYLOAD_SUMS, bag.TAG_SUMS))


def _inner(root: Path) -> Path | None:
    """Where the manifest lies: in the folder, or in a bag's payload; None where it is nowhere."""
    found = (root, root / PAYLOAD.rstrip("/"))
    return next((one for one in found if (one / MANIFEST).is_file()), None)


def _files(inner: Path, sums: Mapping[str, str]) -> Iterator[tuple[str, bytes]]:
    for path, expected in sums.items():
        try:
            data = bytes_of_file(inner / path)
        except RefusedError:
            raise _changed(inner, path) from None
        if hashlib.sha256(data).hexdigest() != expected:
            raise _changed(inner, path)
        yield path, data


def _changed(root: Path, path: str) -> HandedOutError:
    return HandedOutError(f"{root} is no longer what was issued: {path} was changed.")
