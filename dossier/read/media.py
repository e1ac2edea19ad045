"""Pictures, recordings and films that notes name: are they there, and what they may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import PurePosixPath
from typing import Literal

from dossier.diagnostics import Span
from dossier.model import Photo, Visit
from dossier.quantities import suggest
from dossier.read.pieces import Findings, quote
from dossier.sources import Sources

PICTURES = frozenset(("jpg", "jpeg", "png", "webp"))
SOUNDS = frozenset(("mp3", "m4a", "wav", "ogg", "opus", "flac"))
FILMS = frozenset(("mp4", "m4v"))

Kind = Literal["picture", "audio", "video"]

# For each kind of file: its endings, its key, what it is called, and what it can be.
_KINDS: Mapping[Kind, tuple[frozenset[str], str, str, str]] = {
    "picture": (PICTURES, "photos", "a picture", "shown"),
    "audio": (SOUNDS, "audio", "a recording", "played"),
    "video": (FILMS, "video", "a film", "played"),
}


def find_media(
    name: str,
    span: Span,
    folder: str,
    sources: Sources,
    findings: Findings,
    kind: Kind = "picture",
) -> str | None:
    """The file in a media folder that a note means, by its true name; None with a finding.

    `folder` ends with a slash.  A link that leads out of the content folder is refused, because
    what lies there is not the notes' to publish.
    """
    wanted = name.removeprefix("./")
    if folder.endswith("/media/"):
        wanted = wanted.removeprefix("media/")
    if (
        "\\" in wanted
        or ":" in wanted
        or wanted.startswith(("/", "~"))
        or ".." in wanted.split("/")
    ):
        findings.error(
            "media-path",
            f"{quote(name)} leads out of {folder}.",
            span,
            f"Put the file into {folder} and write only its name.",
        )
        return None
    if not _right_kind(wanted, span, findings, kind):
        return None
    path = folder + wanted
    if path in sources.links:
        findings.error(
            "media-link",
            f"{quote(name)} is a link that leads out of the notes.",
            span,
            f"Put the file itself into {folder}.",
        )
        return None
    found = sources.alike(path)
    if found is None or f"{path}/" in sources:
        _missing(name, span, folder, sources, findings)
        return None
    return found[len(folder) :]


def with_media(visit: Visit, sources: Sources, findings: Findings) -> Visit:
    """The visit with the true names of its files; those that are not there become findings."""
    if not visit.photos:
        return visit
    folder = f"instruments/{visit.instrument}/media/"
    photos: list[Photo] = []
    for photo in visit.photos:
        found = find_media(photo.file, photo.span, folder, sources, findings, photo.kind)
        if found is not None:
            photos.append(replace(photo, file=found))
    return replace(visit, photos=tuple(photos))


# What a file may be instead, and how it becomes a picture that every browser shows.
_OTHER_PICTURES: tuple[tuple[tuple[str, ...], str, str], ...] = (
    (
        ("svg", "svgz"),
        "is an SVG, which can hold programs, and is not taken as a picture.",
        "Save it as a PNG.",
    ),
    (
        ("heic", "heif", "avif"),
        "is a picture of a kind that not every browser shows ({kind}).",
        "Open it and export it as a JPEG, or let the camera save JPEGs.",
    ),
    (
        ("gif", "tif", "tiff", "bmp"),
        "is a {kind}, and pictures are JPEG, PNG or WebP files.",
        "Save it as a JPEG, or a drawing as a PNG.",
    ),
)


def _right_kind(name: str, span: Span, findings: Findings, kind: Kind) -> bool:
    ending = PurePosixPath(name).suffix.removeprefix(".").casefold()
    endings, _, _, done = _KINDS[kind]
    if ending in endings:
        return True
    for others, key, called, _ in _KINDS.values():
        if ending in others:
            findings.error(
                "media-kind", f"{quote(name)} is {called}.", span, f"Write it below {key}:"
            )
            return False
    for unlike, message, hint in _OTHER_PICTURES if kind == "picture" else ():
        if ending in unlike:
            told = message.format(kind=ending.upper())
            findings.error("media-kind", f"{quote(name)} {told}", span, hint)
            return False
    findings.error(
        "media-kind",
        f"{quote(name)} is not a kind of file that can be {done}.",
        span,
        f"Save it as one of {', '.join(sorted(endings))}.",
    )
    return False


def _missing(name: str, span: Span, folder: str, sources: Sources, findings: Findings) -> None:
    there = [path[len(folder) :] for path in sources if path.startswith(folder)]
    near = suggest(name, [one for one in there if one and not one.endswith("/")])
    hint = f"Did you mean {near}?" if near else "Put the file there, or take the line out."
    if sources.alike(f"inbox/{name}"):
        hint = "It lies in inbox/, and dossier inbox files it with its note."
    findings.error("media-missing", f"There is no {quote(name)} in {folder}.", span, hint)
