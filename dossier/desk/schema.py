"""Writes the JSON Schemas into a folder, where an editor finds them."""

from __future__ import annotations

from pathlib import Path

from dossier.desk.files import DeskError
from dossier.model import Shop
from dossier.schemas.schema import KINDS, MADE_BY, schema_text


def write_schemas(
    folder: Path, shop: Shop | None = None, dialect: str = "2020-12"
) -> tuple[Path, ...]:
    """Write the schema of every kind into a folder; one made before is made anew.

    Raises DeskError where another file has the name of one, or the folder can't be written to.
    """
    paths = []
    for kind, _, _ in KINDS:
        path = folder / f"{kind}.schema.json"
        if path.exists() and MADE_BY not in path.read_text("utf-8", errors="replace"):
            raise DeskError(f"{path} is not a schema of ours, and nothing is overwritten.")
        paths.append(path)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, (kind, _, _) in zip(paths, KINDS, strict=True):
            path.write_text(schema_text(kind, shop, dialect), "utf-8")
    except OSError as error:
        raise DeskError(f"{folder} cannot be written to: {error.strerror}.") from None
    return tuple(paths)
