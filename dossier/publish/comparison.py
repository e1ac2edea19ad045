"""What was issued against what stands in a folder now, file by file."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from dossier.publish.standing import Standing


@dataclass(frozen=True, slots=True)
class Changes:
    """The files of a folder that are not as they were issued, by relative path, in order.

    `altered` gives for each the issued file whose content it holds now, if there is one, else "";
    `refused` why a file was not read; `renamed` the old name by the new one.
    """

    missing: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    altered: Mapping[str, str] = field(default_factory=dict)
    refused: Mapping[str, str] = field(default_factory=dict)
    renamed: Mapping[str, str] = field(default_factory=dict)

    def __bool__(self) -> bool:
        return bool(self.missing or self.added or self.altered or self.refused or self.renamed)


def changes(issued: Mapping[str, str], standing: Standing, own: str) -> Changes:
    """How a folder differs from the sums of what was issued.

    `own` is the list that those sums come from, which can't list itself.
    """
    there = standing.paths - {own}
    places = dict(_places(issued, there))
    missing = sorted(path for path in issued if path not in places)
    added = []
    renamed = {}
    for path in sorted(there - set(places.values()) - standing.refused.keys()):
        before = next((old for old in missing if issued[old] == standing.sums[path]), None)
        if before is None:
            added.append(path)
        else:
            renamed[path] = before
            missing.remove(before)
    altered = {
        path: holder_of(standing.sums[place], issued)
        for path, place in sorted(places.items())
        if place in standing.sums and standing.sums[place] != issued[path]
    }
    refused = {path: why for path, why in sorted(standing.refused.items()) if path != own}
    return Changes(tuple(missing), (*added, *sorted(standing.empty)), altered, refused, renamed)


def holder_of(sum_: str, issued: Mapping[str, str]) -> str:
    """The first issued file of that sum, or nothing."""
    return next((path for path, own in issued.items() if own == sum_), "")


def _places(issued: Iterable[str], there: frozenset[str]) -> Iterator[tuple[str, str]]:
    """Where each issued file stands: some disks write an accented letter as two characters."""
    composed = {unicodedata.normalize("NFC", path): path for path in sorted(there)}
    for path in issued:
        if path in there:
            yield path, path
        elif (other := composed.get(unicodedata.normalize("NFC", path))) is not None:
            yield path, other
