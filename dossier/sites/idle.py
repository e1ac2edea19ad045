"""A build that would change nothing, known from bytes alone: no note is parsed, no page made.

All that a build reads is hashed, and all that stands of the last one: the notes, pictures and
logs, the theme, the program, the request with its day, the links and what else is kept as state,
and every published file and issued statement; but a file that nobody touched since it was last
hashed is not read again.  Where each is as the last build left it, that build's own findings hold,
and so do its pages.  It imports nothing heavy.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from dossier.diagnostics import Diagnostic, Severity, Span
from dossier.publish import standing
from dossier.publish.disk import is_staged, survey
from dossier.publish.trees import BENCH, ISSUED, MODES, PUBLIC, SERVERS
from dossier.sites.outcome import Outcome, Request
from dossier.sites.program import program
from dossier.sources import open_folder
from dossier.store import Memory, Store
from dossier.theme import find_theme
from dossier.untouched import Untouched

FOLDER, RECORD = "cache", "standing"
_LOCK = "lock"
_PASSING = frozenset(("publish-stranger", "kept-damaged"))
"""Findings of what a build then mended, which the next one wouldn't have."""


def given(request: Request, untouched: Untouched) -> str | None:
    """The sum of all that a build reads before it looks at what stands.

    That is the notes, the theme, the program and the request; None where something can't be read.
    """
    total = hashlib.sha256(program().encode())
    try:
        theme = find_theme(request.content / "theme")
        places = (request.content.resolve(), request.out.resolve(), request.state.resolve())
        asked = (*map(str, places), request.today.isoformat(), request.pdf, request.clients)
        total.update(f"{theme.digest}\0{asked!r}\0".encode())
        sources = open_folder(request.content, untouched)
        total.update(repr(sorted(sources.links)).encode())
        for path in sources:
            total.update(f"{path}\0{sources.sum_of(path)}\0".encode())
    except OSError:
        return None
    return total.hexdigest()


@dataclass(frozen=True, slots=True)
class Look:
    """What is known of files before a build: those nobody touched, and the sum of all it reads."""

    untouched: Untouched
    given: str | None


def look(request: Request) -> Look:
    """Look at all that a build would read, with what the last run knew of the files."""
    untouched = Untouched(Memory(request.state / FOLDER))
    return Look(untouched, given(request, untouched))


def unchanged(request: Request, before: Look) -> Outcome | None:
    """What the last build said, where another one would change nothing and say the same."""
    record = _record(request)
    if record is None or record["given"] != before.given:
        return None

    def surveyed(name: str) -> Mapping[str, str]:
        return survey(request.out / name, MODES[name], before.untouched)

    if record["stands"] != _standing(request, surveyed):
        return None
    before.untouched.keep(all_asked=False)
    return _outcome(record["outcome"])


def remember(request: Request, before: Look, outcome: Outcome) -> None:
    """Write down what a build left, to be known again by `unchanged`.

    `before` is the look that was taken when it began: notes that were changed meanwhile are not
    those that it read.  One with errors is not written down: it may have failed for a reason that
    passes.  What it published is written down as it should stand: `unchanged` looks whether it
    does.
    """
    passing = any(
        one.severity is Severity.ERROR or one.code in _PASSING for one in outcome.findings
    )
    if before.given is None or passing or not outcome.published:
        return
    if given(request, before.untouched) != before.given:
        return
    stands = _standing(request, lambda name: outcome.stands[name])
    if stands is None:
        return
    said = replace(outcome, minted=(), changes=(), stands={})
    text = json.dumps({"given": before.given, "stands": stands, "outcome": asdict(said)}).encode()
    Memory(request.state / FOLDER).keep(RECORD, text)


def _standing(request: Request, tree: Callable[[str], Mapping[str, str]]) -> str | None:
    """The sum of the state and of the published trees, each as `tree` has it by its name.

    None where they can't be read, or where a build left something that the next one clears.
    """
    total = hashlib.sha256()
    if is_staged(request.out):
        return None
    try:
        for path in sorted(request.state.iterdir()):
            if path.is_file() and path.name != _LOCK:
                data = path.read_bytes()
                total.update(f"{path.name}\0{path.stat().st_mode}\0{len(data)}\0".encode())
                total.update(data)
        total.update(repr(Store(request.state / "kept").paths()).encode())
        for path in sorted(request.out.glob(f"{SERVERS}/*")):
            total.update(path.read_bytes())
        total.update(repr(sorted(request.out.glob(".*"))).encode())
        for name in (BENCH, PUBLIC):
            total.update(repr(sorted(tree(name).items())).encode())
        issued = standing.survey(request.out / ISSUED)  # links may open them
        if issued.cut:
            return None
        total.update(repr((sorted(issued.sums.items()), sorted(issued.refused.items()))).encode())
    except OSError:
        return None
    return total.hexdigest()


def _record(request: Request) -> dict[str, Any] | None:
    """The record; None where there is none, or a damaged one."""
    data = Memory(request.state / FOLDER).recall(RECORD)
    return None if data is None else dict(json.loads(data))


def _outcome(told: dict[str, Any]) -> Outcome:
    lists = {name: tuple(value) for name, value in told.items() if isinstance(value, list)}
    findings = tuple(
        Diagnostic(
            **{
                **one,
                "span": Span(**one["span"]),
                "severity": Severity(one["severity"]),
                "stops": tuple(one["stops"]),
            }
        )
        for one in told["findings"]
    )
    return Outcome(**{**told, **lists, "findings": findings})
