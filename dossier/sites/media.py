"""Pictures and recordings on their way to an instrument's pages, read when they are asked for.

A shop has gigabytes of them, and a build needs those of one instrument at a time.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from dossier.sources import Sources


class MediaError(RuntimeError):
    """A picture or recording that is not what it was when the build began; names it first."""


@dataclass(frozen=True, slots=True)
class Media(Mapping[str, bytes]):
    """The bytes of one instrument's pictures and recordings by the name that the notes give them.

    They are read anew each time and never held; `sums` are their SHA-256 as they were when the
    build began.  Whoever pickles it takes the bytes along, for a worker may share no disk.
    """

    folder: str
    sources: Sources
    sums: dict[str, str] = field(default_factory=dict)

    def note(self, name: str) -> None:
        """Take one in as it is now, read only if it may have been touched.  Raises OSError."""
        self.sums[name] = self.sources.sum_of(self.folder + name)

    def __getitem__(self, name: str) -> bytes:
        """Raises KeyError, and MediaError where it can't be opened any more or is another."""
        known = self.sums[name]
        try:
            data = self.sources[self.folder + name]
        except OSError as error:
            raise MediaError(f"{name} was taken away meanwhile. Build again.") from error
        if _sum(data) != known:
            raise MediaError(f"{name} was changed meanwhile. Build again.")
        return data

    def __iter__(self) -> Iterator[str]:
        return iter(self.sums)

    def __len__(self) -> int:
        return len(self.sums)

    def __reduce__(self) -> tuple[type[dict[str, bytes]], tuple[dict[str, bytes]]]:
        return dict, (dict(self),)


def sums(media: Mapping[str, bytes]) -> list[tuple[str, str]]:
    """The SHA-256 of each by name, in order of the names."""
    known = media.sums if isinstance(media, Media) else {k: _sum(v) for k, v in media.items()}
    return sorted(known.items())


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()
