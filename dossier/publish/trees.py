"""The trees that a build publishes, and who may read them."""

from __future__ import annotations

from collections.abc import Mapping

from dossier.publish.disk import Modes

BENCH, PUBLIC, SERVERS = "bench", "public", "headers"
# In the order in which they are swapped: what others see comes last.
MODES: Mapping[str, Modes] = {BENCH: Modes(0o600, 0o700), PUBLIC: Modes(0o644, 0o755)}
