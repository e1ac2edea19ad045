"""Recordings and films: only what is played is copied, and nothing that tells where it was made.

A telephone writes the place, the day and the maker's name into what it records.  So a file is
not rid of the tags that are known: it is put together anew from the parts that sound or show.
What the sound itself tells, a voice in the next room, can't be taken out here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from dossier.recordings import film, ogg, sound
from dossier.recordings.trouble import RecordingError

__all__ = ["MOST_BYTES", "Recording", "RecordingError", "recording"]

MOST_BYTES = 30_000_000
"""Half an hour of sound at 128 kbit/s.  A choice, no source."""
_FILM = ".mp4"


@dataclass(frozen=True, slots=True)
class Recording:
    """A recording without any metadata; `suffix` tells its kind."""

    data: bytes
    suffix: str

    @property
    def is_film(self) -> bool:
        """Whether it shows and does not only sound."""
        return self.suffix == _FILM


def recording(data: bytes, name: str, *, is_film: bool) -> Recording:
    """A recording ready to be heard, or a film to be seen.  The same bytes give the same bytes.

    What counts is what the bytes are, not how the file is called.  Raises RecordingError where it
    is too large, damaged, of another kind than `is_film` says, or holds what can't be taken out;
    `name` is how its message calls the file.
    """
    if len(data) > MOST_BYTES:
        raise RecordingError(
            f"{name} has {len(data) / 1e6:.0f} MB; a recording may have {MOST_BYTES / 1e6:.0f} MB."
        )
    try:
        made = _bare(data)
        _looked_at_again(made, is_film=is_film)
    except RecordingError as error:
        raise RecordingError(f"{name} {error}") from error
    return made


# What a file begins with, behind an ID3v2 tag if it has one, and who knows that kind.
_SOUNDS: tuple[tuple[bytes, str, Callable[[bytes], bytes]], ...] = (
    (b"RIFF", ".wav", sound.wav),
    (b"fLaC", ".flac", sound.flac),
    (b"OggS", ".ogg", ogg.bare),
    (b"\xff", ".mp3", sound.mp3),
)


def _bare(data: bytes) -> Recording:
    """What is played of it."""
    if data[4:8] == b"ftyp":
        bare, shows = film.bare(data)
        return Recording(bare, _FILM if shows else ".m4a")
    played = sound.behind_id3(data)
    for start, suffix, made in _SOUNDS:
        if played.startswith(start):
            return Recording(made(played), suffix)
    raise RecordingError(
        "is none of the recordings that every browser plays. Save sound as WAV, MP3, Ogg, FLAC or "
        "M4A, and a film as MP4."
    )


def _looked_at_again(made: Recording, *, is_film: bool) -> None:
    """Read by a library that knows the tags of all these kinds: it must play, and hold none."""
    import io

    import mutagen

    if made.is_film != is_film:
        raise RecordingError(
            "is a film. Write it below video:"
            if made.is_film
            else "is sound alone. Write it below audio:"
        )
    try:
        known = mutagen.File(io.BytesIO(made.data))
    except mutagen.MutagenError as error:
        raise RecordingError("is damaged: it can't be played.") from error
    if known is None or (not is_film and not known.info.length > 0):
        raise RecordingError("is damaged: it can't be played.")
    if known.tags:
        raise RecordingError("holds tags that can't be taken out. Export it without them.")
