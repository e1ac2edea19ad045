"""What every edition is made from."""

from __future__ import annotations

from dataclasses import dataclass

from dossier.analysis.findings import Findings
from dossier.edition.situation import Situation
from dossier.edition.voice import Voice
from dossier.model import History


@dataclass(frozen=True, slots=True)
class Told:
    """All that an edition is made from: what the notes say, what follows, and how it is told."""

    history: History
    findings: Findings
    now: Situation
    voice: Voice
