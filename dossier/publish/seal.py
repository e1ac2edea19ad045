"""The manifest of an issued folder, which guards every file of it and itself.

`manifest.json` holds the SHA-256 sum of each other file and, as its last entry, its own seal: the
SHA-256 sum of the manifest as it is written without that entry.  It is written in one way only, so
that a reader can write it again and compare: there is no byte in it that could be another without
being noticed, not even a blank.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass

from dossier.store import Content, key_of

MANIFEST = "manifest.json"
VERSION = 1
# A manifest of ten thousand files has about 1.2 MB; more was never issued.
MANIFEST_LIMIT = 4_000_000  # bytes
_SUM = re.compile(r"[0-9a-f]{64}")
_OWN = ("version", "files", "seal")


class SealError(ValueError):
    """Why a manifest can't be trusted, as a sentence."""


@dataclass(frozen=True, slots=True)
class Manifest:
    """A manifest whose own seal agrees.

    `facts` are what the issuer wrote of the edition (instrument, edition, issued, number, ...);
    `files` the sums by relative path; `seal` is the one number that stands for all of it.
    """

    facts: Mapping[str, str | int]
    files: Mapping[str, str]
    seal: str


def sealed(files: Mapping[str, Content], facts: Mapping[str, str | int]) -> bytes:
    """The manifest.json of an issued folder, to be written beside the files.

    `files` are all others of the folder by their path in it; `facts` what is said of the edition,
    in the order in which it shall stand.  The same files and facts give the same bytes.

    Raises ValueError for a path that does not stay in the folder, and for a fact that has the name
    of an entry of the manifest's own.
    """
    for path in files:
        if not is_path(path) or path == MANIFEST:
            raise ValueError(f"“{path}” can't be the path of an issued file")
    if taken := sorted(facts.keys() & _OWN):
        raise ValueError(f"“{taken[0]}” is an entry of the manifest's own")
    sums = {path: key_of(files[path]) for path in sorted(files)}
    return _with_seal({"version": VERSION, **facts, "files": sums})


def opened(data: bytes) -> Manifest:
    """The manifest in those bytes, if it is as it was sealed.

    Raises SealError with the reason where a byte of it is another, or it is none of ours.
    """
    if len(data) > MANIFEST_LIMIT:
        raise SealError(f"{MANIFEST} is larger than any that was issued.")
    document = _document(data)
    files, seal = document.get("files"), document.get("seal")
    if not isinstance(files, dict) or not isinstance(seal, str):
        raise SealError(f"{MANIFEST} has no list of files, or no seal.")
    version = document.get("version")
    if type(version) is not int or version != VERSION:
        raise SealError(f"{MANIFEST} is not of version {VERSION}, the only one known here.")
    for path, sum_ in files.items():
        if not is_path(path) or not isinstance(sum_, str) or not _SUM.fullmatch(sum_):
            raise SealError(f"{MANIFEST} names a file by no path within the folder, or by no sum.")
    facts: dict[str, str | int] = {}
    for name, fact in document.items():
        if name not in _OWN:
            if isinstance(fact, bool) or not isinstance(fact, str | int):
                raise SealError(f"{MANIFEST} says what is neither a text nor a number.")
            facts[name] = fact
    if _again(document) != data:
        raise SealError(f"{MANIFEST} was changed: its seal does not agree with what it says.")
    return Manifest(facts, files, seal)


def is_path(path: str) -> bool:
    """Whether a path is one within a folder, written with forward slashes, as a manifest has it."""
    return not ({"", ".", ".."} & set(path.split("/")) or "\\" in path or "\0" in path)


def _document(data: bytes) -> dict[str, object]:
    try:
        document = json.loads(data.decode())
    except (ValueError, RecursionError) as error:
        raise SealError(f"{MANIFEST} can't be read: it is no text of JSON.") from error
    if not isinstance(document, dict):
        raise SealError(f"{MANIFEST} has no list of files, or no seal.")
    return document


def _again(document: Mapping[str, object]) -> bytes:
    """The bytes that a manifest of that content has."""
    try:
        return _with_seal({name: document[name] for name in document if name != "seal"})
    except ValueError:  # half of a pair of surrogates, which no file can hold
        return b""


def _with_seal(document: dict[str, object]) -> bytes:
    return _written({**document, "seal": hashlib.sha256(_written(document)).hexdigest()})


def _written(document: Mapping[str, object]) -> bytes:
    return f"{json.dumps(document, indent=1, ensure_ascii=False)}\n".encode()
