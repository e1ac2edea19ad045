"""What is slow and the same from save to save, remembered as long as the preview runs."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from dossier.diagnostics import Diagnostic
from dossier.edition.figures import Figure
from dossier.model import Log
from dossier.read.logs import read_log
from dossier.read.pieces import Findings
from dossier.tasks import PlainHand

if TYPE_CHECKING:
    from dossier.charts import Medium
    from dossier.pictures import Picture
    from dossier.quantities import Formatter

MOST = 2000
"""Charts or pictures that are remembered; a chart is about 40 kB, a picture up to 600 kB."""


@dataclass(slots=True)
class RememberingHand(PlainHand):
    """Draws a chart again only where its figures differ, and encodes a picture once."""

    charts: dict[tuple[Figure, Medium], str] = field(default_factory=dict)
    explored: dict[tuple[Figure, Formatter], str] = field(default_factory=dict)
    pictures: dict[tuple[str, str, int], Picture] = field(default_factory=dict)
    plain: PlainHand = field(default_factory=PlainHand)

    def draw(self, figures: tuple[Figure, ...], medium: Medium) -> Mapping[str, str]:
        new = tuple(one for one in figures if (one, medium) not in self.charts)
        if len(self.charts) + len(new) > MOST:
            self.charts.clear()
            new = figures
        drawn = self.plain.draw(new, medium) if new else {}
        self.charts |= {(one, medium): drawn[one.id] for one in new}
        return {one.id: self.charts[one, medium] for one in figures}

    def explore(self, figures: tuple[Figure, ...], form: Formatter) -> Mapping[str, str]:
        keys = {one: (one, form) for one in figures}
        new = tuple(one for one in figures if keys[one] not in self.explored)
        if len(self.explored) + len(new) > MOST:
            self.explored.clear()
            new = figures
        made = self.plain.explore(new, form) if new else {}
        self.explored |= {keys[one]: made[one.id] for one in new}
        return {one.id: self.explored[keys[one]] for one in figures}

    def picture(self, data: bytes, name: str, thumb: int) -> Picture:
        key = (hashlib.sha256(data).hexdigest(), name, thumb)
        if key not in self.pictures:
            if len(self.pictures) >= MOST // 10:
                self.pictures.clear()
            self.pictures[key] = self.plain.picture(data, name, thumb)
        return self.pictures[key]


@dataclass(slots=True)
class RememberingReader:
    """Reads a logger's file once, as long as its bytes and the shop's settings stay the same."""

    logs: dict[tuple[str, str, str, bool], tuple[Log | None, tuple[Diagnostic, ...]]] = field(
        default_factory=dict
    )

    def __call__(
        self, raw: bytes, file: str, time_zone: str, findings: Findings, *, imperial: bool
    ) -> Log | None:
        key = (hashlib.sha256(raw).hexdigest(), file, time_zone, imperial)
        if key not in self.logs:
            own = Findings()
            log = read_log(raw, file, time_zone, own, imperial=imperial)
            # Of each file the newest reading alone: a log that grows would fill the memory.
            self.logs = {one: had for one, had in self.logs.items() if one[1] != file}
            self.logs[key] = (log, own.all)
        log, found = self.logs[key]
        findings.add(found)
        return log
