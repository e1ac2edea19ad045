"""Marks: things seen on notes or strings, as a kind and its places on the compass."""

from __future__ import annotations

from typing import NamedTuple


class MarkKind(NamedTuple):
    """A kind of mark: its name in the notes and the component that it belongs to.

    `dry_season` is for marks that hide while the wood is damp: such a mark counts as recovered
    only when it was found right in wood at least as dry as when it was seen.
    """

    name: str
    component: str
    dry_season: bool = False


MARK_KINDS: tuple[MarkKind, ...] = (
    MarkKind("sticking keys", "keys"),
    MarkKind("uneven keys", "keys"),
    MarkKind("worn key bushings", "keys"),
    MarkKind("chipped keytops", "keys"),
    MarkKind("slow repetition", "action"),
    MarkKind("sluggish hammers", "action"),
    MarkKind("action noise", "action"),
    MarkKind("double striking", "action"),
    MarkKind("worn hammers", "hammers"),
    MarkKind("hard hammers", "hammers"),
    MarkKind("loose hammer heads", "hammers", dry_season=True),
    MarkKind("sluggish dampers", "dampers"),
    MarkKind("leaking dampers", "dampers"),
    MarkKind("moth", "action"),
    MarkKind("strings", "strings"),
    MarkKind("bass strings", "strings"),
    MarkKind("broken strings", "strings"),
    MarkKind("rusty strings", "strings"),
    MarkKind("dead strings", "strings"),
    MarkKind("false beats", "strings"),
    MarkKind("buzzing", "strings"),
    MarkKind("loose pins", "tuning pins", dry_season=True),
    MarkKind("tight pins", "tuning pins"),
    MarkKind("bridge cracks", "bridges", dry_season=True),
    MarkKind("soundboard cracks", "soundboard", dry_season=True),
    MarkKind("loose ribs", "ribs", dry_season=True),
)
