"""Waits for the notes to change, until it is told to end."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from threading import Event

import watchfiles

_STEP = 50  # ms without another change, after which a save counts as whole
_LONGEST = 400  # ms after which it counts even if changes go on
_PAUSE = 300  # ms between two looks where the system tells of no change
_TURN = 250  # ms after which it looks whether it is to end


def changes(folder: Path, ended: Event, *, poll: bool) -> Iterator[None]:
    """Yield once for each save below a folder.

    Where the system can't tell of changes (a network disk, too many watches) it looks again and
    again by itself, and always with `poll`.
    """
    while not ended.is_set():
        try:
            for _ in watchfiles.watch(
                folder,
                step=_STEP,
                debounce=_LONGEST,
                rust_timeout=_TURN,
                stop_event=ended,
                force_polling=poll or None,
                poll_delay_ms=_PAUSE,
            ):
                yield
        except (OSError, RuntimeError):
            if poll or not folder.is_dir():
                raise
            poll = True
