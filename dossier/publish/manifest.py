"""What the last build put where, kept as state: path by path, with the SHA-256 of each file."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from dossier.publish.disk import Sums
from dossier.publish.folder import write_private
from dossier.publish.trouble import plainly

MANIFEST = "manifest.json"


class Manifest(BaseModel):
    """The files of each tree, and what stood there before.

    It is written before the swap, so that a crash leaves one of the two true.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    version: Literal[1] = 1
    trees: dict[str, dict[str, str]] = {}
    before: dict[str, dict[str, str]] = {}

    def strangers(self, name: str, standing: Sums) -> tuple[str, ...]:
        """Files in a tree that no build wrote; none can be told where there is no manifest."""
        if name not in self.trees:
            return ()
        known = {*self.trees[name], *self.before.get(name, ())}
        return tuple(path for path in files_of(standing) if path not in known)


def files_of(sums: Sums) -> dict[str, str]:
    """Only the files, in order; what is no folder is one."""
    return {path: sums[path] for path in sorted(sums) if not path.endswith("/")}


def load_manifest(folder: Path) -> Manifest:
    """The manifest; an empty one where it is missing or damaged, for it only helps to explain.

    Raises PublishError.
    """
    path = folder / MANIFEST
    with plainly(folder):
        if not path.is_file():
            return Manifest()
        data = path.read_bytes()
    try:
        return Manifest.model_validate_json(data)
    except ValidationError:
        return Manifest()


def save_manifest(folder: Path, trees: Mapping[str, Sums], before: Mapping[str, Sums]) -> None:
    """Write down what is wanted and what stands.  Raises PublishError."""
    manifest = Manifest(
        trees={name: files_of(sums) for name, sums in trees.items()},
        before={name: files_of(sums) for name, sums in before.items()},
    )
    with plainly(folder):
        write_private(folder / MANIFEST, manifest.model_dump_json(indent=1).encode())
