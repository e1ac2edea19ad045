"""The trees that a build publishes and who may read them, and where issued statements lie."""

from __future__ import annotations

from collections.abc import Mapping

from dossier.publish.disk import Modes

BENCH, PUBLIC, SERVERS = "bench", "public", "headers"
ISSUED = "issued"  # the statements, each as it was issued; no build writes there
# In the order in which they are swapped: what others see comes last.
MODES: Mapping[str, Modes] = {BENCH: Modes(0o600, 0o700), PUBLIC: Modes(0o644, 0o755)}
