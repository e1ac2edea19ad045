"""The sums of files that nobody touched since they were last summed, told without reading them.

A file is taken for the same where its number, its size and both of its times are.  The time of its
last change is the system's own: no program can set it back.  What was changed within the same tick
of the clock in which it was read is read again; so is all where the system keeps no such time.
"""

from __future__ import annotations

import hashlib
import json
import os
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field

from dossier.store import Memory

RECORD = "untouched"
_TICK = 20_000_000
"""Nanoseconds within which two changes may bear the same time: two ticks of the slowest clock."""
_COARSE = 2_000_000_000
"""The same where the times are whole seconds, as on some disks and networks."""
_SECOND = 1_000_000_000
_SUM = 64
KEEPS_CHANGES = os.name == "posix"
"""Whether the time is that of the last change; elsewhere it is the one of the file's making."""


@dataclass(slots=True)
class Untouched:
    """What is known of files by their path; it can always be forgotten.

    `memory` holds it from one run to the next.
    """

    memory: Memory = field(default_factory=Memory)
    _known: dict[str, str] = field(init=False)  # path -> "number size modified changed sum"
    _asked: set[str] = field(default_factory=set)
    _linked: set[str] = field(default_factory=set)
    _is_new: bool = False

    def __post_init__(self) -> None:
        data = self.memory.recall(RECORD)
        self._known = {} if data is None else json.loads(data)

    def sum_of(
        self,
        path: str,
        status: os.stat_result | None = None,
        read: Callable[[], bytes] | None = None,
    ) -> str:
        """The SHA-256 of a file; `status` is what the system just told of it.  Raises OSError."""
        status = status or os.stat(path)  # noqa: PTH116
        stamp = _stamp(status)
        self._asked.add(path)
        known = self._known.get(path, "")
        if known[: -_SUM - 1] == stamp:
            return known[-_SUM:]
        if path in self._linked and _without_change(known[: -_SUM - 1]) == _without_change(stamp):
            self._put(path, stamp, known[-_SUM:])
            return known[-_SUM:]
        now = time.time_ns()
        total = hashlib.sha256((read or _reading(path))()).hexdigest()
        if _is_settled(status, now):
            self._put(path, stamp, total)
        else:
            self._known.pop(path, None)
        return total

    def is_same(self, path: str, status: os.stat_result) -> bool:
        """Whether what the system tells of another link is all that is known of the file at a path.

        Then it is the same file; where nothing is known, it may be none the less.
        """
        return self._known.get(path, "")[: -_SUM - 1] == _stamp(status)

    def wrote(self, path: str, file: str, total: str) -> None:
        """A file of that sum was written as `file`, alone in its folder, and will stand at a path.

        Nobody else can have changed it, so that its tick need not have passed.
        """
        self._asked.add(path)
        with suppress(OSError):
            self._put(path, _stamp(os.stat(file)), total)  # noqa: PTH116

    def linked(self, path: str) -> None:
        """A file gets or loses a second link, which changes none of its bytes, but a time."""
        self._linked.add(path)

    def settle(self) -> None:
        """Look again at what was linked: no more links are made."""
        for path in sorted(self._linked):
            with suppress(OSError):
                self.sum_of(path)
        self._linked.clear()

    def keep(self, *, all_asked: bool) -> None:
        """Keep what is known for the next run.

        `all_asked` says that this one asked for all that will be asked for: the rest is forgotten.
        """
        if all_asked and self._known.keys() - self._asked:
            self._known = {path: self._known[path] for path in self._asked & self._known.keys()}
            self._is_new = True
        if self._is_new:
            self.memory.keep(RECORD, json.dumps(self._known).encode())
            self._is_new = False

    def _put(self, path: str, stamp: str, total: str) -> None:
        if KEEPS_CHANGES:
            self._known[path] = f"{stamp} {total}"
            self._is_new = True


def _stamp(status: os.stat_result) -> str:
    return f"{status.st_ino} {status.st_size} {status.st_mtime_ns} {status.st_ctime_ns}"


def _without_change(stamp: str) -> str:
    return stamp.rpartition(" ")[0]


def _is_settled(status: os.stat_result, now: int) -> bool:
    latest = max(status.st_mtime_ns, status.st_ctime_ns)
    return now - latest > (_TICK if latest % _SECOND else _COARSE)


def _reading(path: str) -> Callable[[], bytes]:
    def read() -> bytes:
        with open(path, "rb") as stream:  # noqa: PTH123 -- half the time of Path
            return stream.read()

    return read
