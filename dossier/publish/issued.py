"""Statements that were issued: a folder each, with the sums of its files, never written again.

An issued folder is what a buyer or an insurer was given.  It is written once, whole, and is read
only to say what a later statement says otherwise.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Literal

from pydantic import BaseModel, ConfigDict, ValidationError

from dossier.publish import seal
from dossier.publish.bag import sum_list
from dossier.publish.seal import MANIFEST
from dossier.publish.trees import ISSUED
from dossier.publish.trouble import PublishError, plainly
from dossier.store import sync, write_new

HISTORY, PAYLOAD = "history.json", "data/"
_STAGING = ".staging-"
# Whole and lasting, so that an editor or a slip of the hand can't change what was handed out.
_FILE_MODE, _FOLDER_MODE, _ROOT_MODE = 0o444, 0o755, 0o700


class IssuedManifest(BaseModel):
    """What an issued folder holds: of which instrument, for whom, of which day, file by file.

    `number` counts the statements of this instrument and edition, from 1; `program` is what wrote
    it ("dossier 0.1.0"); `files` gives the SHA-256 of each file, in hexadecimal, by its path from
    the folder in which the manifest lies.  The manifest itself isn't among them; `seal` guards it.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)

    version: Literal[1] = 1
    instrument: str
    edition: str
    issued: str
    number: int
    program: str
    files: dict[str, str]
    seal: str = ""


@dataclass(frozen=True, slots=True)
class Issued:
    """A statement that was issued: its folder's name, its manifest, and its history as JSON."""

    name: str
    manifest: IssuedManifest
    history: bytes


def sealed(manifest: IssuedManifest, files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files with their manifest, which gets the sums of all of them and its own seal."""
    facts = manifest.model_dump(exclude={"version", "files", "seal"})
    return {**files, MANIFEST: seal.sealed(files, facts)}


def bag(
    files: Mapping[str, bytes], name: str, day: date, sender: str, program: str
) -> dict[str, bytes]:
    """The files as a bag of BagIt 1.0: themselves below data/, with the sums of all.

    Source: RFC 8493, 2.1.1 (bagit.txt), 2.1.3 (manifests), 2.2.1 (tag manifests), 2.2.2
    (bag-info.txt: octets and number of files of the payload).
    """
    payload = {f"{PAYLOAD}{path}": data for path, data in files.items()}
    octets = sum(len(data) for data in payload.values())
    info = {
        "Source-Organization": " ".join(sender.split()),
        "External-Identifier": name,
        "Bagging-Date": day.isoformat(),
        "Bag-Software-Agent": program,
        "Payload-Oxum": f"{octets}.{len(payload)}",
    }
    tags = {
        "bagit.txt": b"BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        "bag-info.txt": "".join(f"{label}: {said}\n" for label, said in info.items()).encode(),
        "manifest-sha256.txt": _sums(payload),
    }
    return {**payload, **tags, "tagmanifest-sha256.txt": _sums(tags)}


def _sums(files: Mapping[str, bytes]) -> bytes:
    return sum_list({path: hashlib.sha256(files[path]).hexdigest() for path in files})


def earlier(out: Path, instrument: str, edition: str) -> tuple[Issued, ...]:
    """The statements of an instrument in an edition that lie in `out`, in order of their numbers.

    Raises PublishError where one of them is no longer what was issued: a later one could not say
    truly what differs from it.
    """
    root = out / ISSUED
    shape = re.compile(rf"{re.escape(instrument)}-{re.escape(edition)}-\d{{4}}-\d\d-\d\d(?:-\d+)?")
    with plainly(out):
        names = sorted(path.name for path in root.iterdir()) if root.is_dir() else []
        found = [_read(root, name) for name in names if shape.fullmatch(name)]
    ours = (one for one in found if one.manifest.edition == edition)
    same = (one for one in ours if one.manifest.instrument == instrument)
    return tuple(sorted(same, key=lambda one: (one.manifest.number, one.name)))


def _read(root: Path, name: str) -> Issued:
    folder = root / name
    if not (folder / MANIFEST).is_file():
        folder = folder / PAYLOAD
    try:
        data = (folder / MANIFEST).read_bytes()
        seal.opened(data)
        manifest = IssuedManifest.model_validate_json(data)
        history = (folder / HISTORY).read_bytes()
    except (FileNotFoundError, seal.SealError, ValidationError):
        raise _changed(root, name) from None
    if hashlib.sha256(history).hexdigest() != manifest.files.get(HISTORY):
        raise _changed(root, name)
    return Issued(name, manifest, history)


def _changed(root: Path, name: str) -> PublishError:
    return PublishError(
        f"{root / name} is no longer what was issued, so that a later statement can't say what "
        "differs from it.",
        "Put it back from a copy, or move it away; then it counts as never issued.",
    )


def free_name(out: Path, instrument: str, edition: str, day: date) -> str:
    """The name of the folder for a statement of that day; a second one gets -2, and so on."""
    first = f"{instrument}-{edition}-{day.isoformat()}"
    name, count = first, 1
    while os.path.lexists(out / ISSUED / name):
        count += 1
        name = f"{first}-{count}"
    return name


def write_issued(out: Path, name: str, files: Mapping[str, bytes]) -> Path:
    """Write an issued folder whole and lastingly, or not at all; return where it lies.

    Nothing that stands is touched.  The caller holds `folder.one_build`.  Raises PublishError
    where something stands in its place, or the disk is in the way.
    """
    root, staged = out / ISSUED, out / ISSUED / f"{_STAGING}{name}"
    with plainly(out):
        root.mkdir(_ROOT_MODE, parents=True, exist_ok=True)
        if os.path.lexists(root / name):
            raise PublishError(
                f"{root / name} stands already.", "An issued statement is never written again."
            )
        if os.path.lexists(staged):
            shutil.rmtree(staged)
        try:
            _write(staged, files)
            staged.rename(root / name)
        finally:
            shutil.rmtree(staged, ignore_errors=True)
        sync(root)
    return root / name


def _write(staged: Path, files: Mapping[str, bytes]) -> None:
    folders = {staged, *((staged / path).parent for path in files)}
    folders |= {above for folder in folders for above in folder.parents if staged in above.parents}
    for folder in sorted(folders):
        folder.mkdir()
        folder.chmod(_FOLDER_MODE)
    for path in sorted(files):
        write_new(staged / path, files[path], _FILE_MODE)
        sync(staged / path)
    for folder in sorted(folders, reverse=True):
        sync(folder)
