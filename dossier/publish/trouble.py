"""What can go wrong between memory and the disk, told as a sentence and what to do."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from dossier.store import LostError

STANDS = "What was published before still stands."
SWAPPED = "The new pages stand all the same."
_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_CLOSED = {errno.EACCES, errno.EPERM, errno.EROFS}
_GONE = {errno.ENOENT, errno.ENOTDIR, errno.ESTALE}
_APART = {errno.EXDEV, errno.EBUSY}


class PublishError(RuntimeError):
    """Why nothing was published: `sentence` says what is wrong, `hint` what to do about it."""

    def __init__(self, sentence: str, hint: str) -> None:
        super().__init__(f"{sentence} {hint}")
        self.sentence = sentence
        self.hint = hint


class BusyError(PublishError):
    """Another build holds the state folder; `holder` says in which folder, and which process."""

    def __init__(self, holder: str) -> None:
        super().__init__(
            f"Another build is at work in {holder}.", "Wait until it has ended, and build again."
        )
        self.holder = holder


class LostPageError(PublishError):
    """A page was lost while it was being published; a second try makes it anew."""


@contextmanager
def whole() -> Iterator[None]:
    """Raises LostPageError where a store lost what was to be published."""
    try:
        yield
    except LostError as error:
        raise LostPageError(
            "The cache lost a page while it was being published.",
            "Build again: what is missing is then made anew.",
        ) from error


@contextmanager
def plainly(folder: Path, stands: str = STANDS) -> Iterator[None]:
    """Tell what the system refuses in `folder` in plain words, and which pages stand then.

    Only that folder is named: a path below it can hold a client's private address.

    Raises PublishError for any OSError; lets all else pass, a Ctrl-C too.
    """
    try:
        yield
    except OSError as error:
        raise _told(error, folder, stands) from error


def _told(error: OSError, folder: Path, stands: str) -> PublishError:
    if error.errno in _FULL:
        return PublishError(
            f"The disk that holds {folder} is full.", f"Make room and build again. {stands}"
        )
    if error.errno in _CLOSED:
        return PublishError(
            f"{folder} can't be written to ({_reason(error)}).",
            f"Give yourself the right to write there, or choose another folder. {stands}",
        )
    if error.errno in _GONE:
        return PublishError(
            f"Something vanished from {folder} while it was being written.",
            f"Build again; if it happens again, another program moves or cleans it. {stands}",
        )
    if error.errno in _APART:
        return PublishError(
            f"The trees in {folder} lie on different disks, or one of them is in use as a mount.",
            f"Mount the whole folder, not a tree in it. {stands}",
        )
    return PublishError(
        f"{folder} could not be written ({_reason(error)}).",
        f"See to it, and build again. {stands}",
    )


def _reason(error: OSError) -> str:
    return (error.strerror or type(error).__name__).lower()
