"""Charts, pictures and documents that are the same as before, taken from the cache and not made.

A changed sentence moves no point of a chart, and what the bench alone reads is on no owner's
paper.  Each is kept under the hash of all that it is made of, the program among it.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from dossier.pictures import Picture
from dossier.publish.check import Pages
from dossier.store import Memory, Store, put
from dossier.tasks import Job, Made, PlainHand, make
from dossier.theme import Theme
from dossier.words import Words

if TYPE_CHECKING:
    from dossier.charts import Medium
    from dossier.edition.figures import Figure
    from dossier.edition.pages import InstrumentView
    from dossier.quantities import Formatter


@dataclass(frozen=True, slots=True)
class Maker:
    """The task `make` for a process that shares the cache's disk; it can be pickled.

    It looks at each file as it will be looked at before it is published: `pages` holds what is
    seen, so that this need not wait for all instruments, and `store` takes the files themselves,
    for bytes on their way between processes are held in both.  A preview, which publishes nothing,
    has neither.
    """

    memory: Memory
    pages: Memory | None = None
    store: Store | None = None
    plain: PlainHand = field(default_factory=PlainHand)

    def __call__(self, job: Job) -> Made:
        """What `make` gives, with the keys of what it used."""
        hand = RecallingHand(replace(self.memory, used=set()), self.plain)
        made = make(job, hand)
        if self.pages is not None:
            for files in (made.owner, made.bench):
                Pages(files, replace(self.pages, used=set())).look()
        made = replace(made, recalled=tuple(sorted(hand.memory.used)))
        return made if self.store is None else _put_away(made, self.store)


def _put_away(made: Made, store: Store) -> Made:
    """The same with its files in the store; as it is where that takes none."""
    try:
        owner, bench = (
            {path: put(store, one) for path, one in files.items()}
            for files in (made.owner, made.bench)
        )
    except OSError:
        return made
    return replace(made, owner=owner, bench=bench)


@dataclass(frozen=True, slots=True)
class RecallingHand:
    """Makes what the memory does not hold."""

    memory: Memory
    plain: PlainHand = field(default_factory=PlainHand)

    def draw(self, figures: tuple[Figure, ...], medium: Medium) -> Mapping[str, str]:
        keys = {one.id: self.memory.key(b"chart", medium.encode(), _said(one)) for one in figures}
        known = self._recalled(keys)
        rest = tuple(one for one in figures if one.id not in known)
        return self._kept(keys, known, self.plain.draw(rest, medium) if rest else {})

    def explore(self, figures: tuple[Figure, ...], form: Formatter) -> Mapping[str, str]:
        said = repr(form).encode()
        keys = {one.id: self.memory.key(b"explore", said, _said(one)) for one in figures}
        known = self._recalled(keys)
        rest = tuple(one for one in figures if one.id not in known)
        return self._kept(keys, known, self.plain.explore(rest, form) if rest else {})

    def picture(self, data: bytes, name: str, thumb: int) -> Picture:
        key = self.memory.key(b"picture", name.encode(), str(thumb).encode(), data)
        known = _picture(self.memory.recall(key))
        if known is None:
            known = self.plain.picture(data, name, thumb)
            lengths = [len(known.small), len(known.large)]
            sizes = [*lengths, known.width, known.height, known.suffix, known.thumb_width]
            head = json.dumps(sizes).encode()
            self.memory.keep(key, head + b"\n" + known.small + known.large + known.thumb)
        return known

    def document(
        self,
        view: InstrumentView,
        charts: Mapping[str, str],
        pictures: Mapping[str, bytes],
        words: Words,
        theme: Theme,
        data: bytes,
    ) -> bytes:
        head = (words.language, theme.digest, sorted(charts.items()), sorted(pictures))
        said = (repr(view).encode(), repr(head).encode(), data)
        key = self.memory.key(b"document", *said, *(pictures[name] for name in sorted(pictures)))
        known = self.memory.recall(key)
        if known is None:
            known = self.plain.document(view, charts, pictures, words, theme, data)
            self.memory.keep(key, known)
        return known

    def _recalled(self, keys: Mapping[str, str]) -> dict[str, str]:
        found = {name: self.memory.recall(key) for name, key in keys.items()}
        return {name: data.decode() for name, data in found.items() if data is not None}

    def _kept(
        self, keys: Mapping[str, str], known: Mapping[str, str], new: Mapping[str, str]
    ) -> dict[str, str]:
        for name, text in new.items():
            self.memory.keep(keys[name], text.encode())
        both = {**known, **new}
        return {name: both[name] for name in keys}


def _said(figure: Figure) -> bytes:
    """All that a figure holds, with the classes of its parts."""
    return repr(figure).encode()


def _picture(data: bytes | None) -> Picture | None:
    if data is None:
        return None
    head, _, bodies = data.partition(b"\n")
    small, large, width, height, suffix, thumb_width = json.loads(head)
    end = small + large
    return Picture(
        bodies[:small], bodies[small:end], width, height, suffix, bodies[end:], thumb_width
    )
