"""A disk that refuses one step of a build, or every write from one step on."""

from __future__ import annotations

import builtins
import fcntl
import io
import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from dossier import store
from dossier.publish import disk
from dossier.sites import recalling
from dossier.sites.cache import key_for
from dossier.sites.recalling import RecallingHand
from dossier.store import Memory
from dossier.tasks import Job, Made, make

BY_PATH = (
    (os, "chmod"), (os, "link"), (os, "mkdir"), (os, "open"), (os, "rename"), (os, "replace"),
    (os, "rmdir"), (os, "unlink"), (disk, "exchange"),
)  # fmt: skip
BY_HANDLE = (
    (os, "fchmod"), (os, "fsync"), (os, "ftruncate"), (os, "pwrite"), (os, "write"),
    (fcntl, "flock"),
)  # fmt: skip
READING = ((os, "scandir"), (os, "stat"), (io, "open"), (builtins, "open"))
READS = {"scandir", "stat", "open to read"}


@dataclass(frozen=True, slots=True)
class Noting(Memory):
    """Remembers nothing, and notes each thing that it is asked for or given, in order."""

    said: list[tuple[str, bytes | None]] = field(default_factory=list)

    def recall(self, key: str) -> bytes | None:
        self.said.append((key, None))
        return None

    def keep(self, key: str, data: bytes) -> None:
        self.said.append((key, data))


_made: dict[tuple[str, object], tuple[Made, Noting]] = {}


def made_once(job: Job, hand: RecallingHand) -> Made:
    """What a job gives: a pure function, so that a thousand builds need not draw it anew.

    The memory on the disk is asked for and given the same as if it did.
    """
    key = (key_for(job), job.today)
    made, noting = _made[key] = _made.pop(key) if key in _made else _noted(job, hand)
    while len(_made) > 20:  # an address is minted anew in each build: the oldest go
        del _made[next(iter(_made))]
    known: set[str] = set()
    for name, data in noting.said:
        if data is None and hand.memory.recall(name) is not None:
            known.add(name)
        elif data is not None and name not in known:
            hand.memory.keep(name, data)
    return made


def _noted(job: Job, hand: RecallingHand) -> tuple[Made, Noting]:
    noting = Noting(mark=hand.memory.mark)
    return make(job, RecallingHand(noting, hand.plain)), noting


@contextmanager
def failing(
    below: Path, step: int = -1, error: int = 0, *, lasting: bool = False
) -> Iterator[list[str]]:
    """Refuse the step of that number on files below a folder; yields the steps so far.

    With `lasting`, all writing after it is refused as well.  Nothing waits for the disk.
    """
    done: list[str] = []

    def refused(name: str) -> bool:
        number = len(done)
        done.append(name)
        return number == step or (lasting and 0 <= step < number and name not in READS)

    def instead_of(name: str, call: Callable[..., object], told: str) -> Callable[..., object]:
        def instead(*given: object, **named: object) -> object:
            if name in BY_NAME and not str(given[0]).startswith(str(below)):
                return call(*given, **named)
            if refused(told):
                raise OSError(error, os.strerror(error), str(given[0]))
            return None if name == "fsync" else call(*given, **named)

        return instead

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(recalling, "make", made_once)
        patch.setattr(store, "hurry", lambda _: None)  # beside the build, at any time
        for owner, name in (*BY_PATH, *BY_HANDLE, *READING):
            told = "open to read" if owner in (io, builtins) else name
            patch.setattr(owner, name, instead_of(name, getattr(owner, name), told))
        yield done


BY_NAME = {name for _, name in (*BY_PATH, *READING)}
